"""Pans, stand places and the mat: each in one hand at a time, the mat never over-full."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from benchplan.model import Tray
from benchplan.scheduling.check.reading import Book, clashes, is_int


def check(book: Book) -> Iterator[str]:
    """Yield every fault in what is taken up."""
    yield from _pans(book)
    yield from _stand(book)
    if not book.day.on_pan:
        yield from _mat(book)


def _emptied(book: Book, tray: Tray) -> int | None:
    """Return when a tray's pan is empty: after transfer, or after pack where tins stay on it."""
    last = book.step(tray, "pack" if book.day.on_pan else "transfer")
    return last.end_s if last else None


def _pans(book: Book) -> Iterator[str]:
    held: dict[tuple[str, int], list[tuple[int, int, str]]] = {}
    for tray in book.trays.values():
        first, last = book.step(tray, "set"), _emptied(book, tray)
        if first is not None and last is not None and is_int(tray.pan_number):
            span = (first.start_s, last + book.day.cooling.pan_for_s, f"tray {tray.number}")
            held.setdefault((tray.pan, tray.pan_number), []).append(span)
    for (pan, number), spans in sorted(held.items()):
        for one, other in clashes(spans):
            yield f"pan: {one} and {other} have {pan} {number} at once."


def _stand(book: Book) -> Iterator[str]:
    """A place is taken from the unload's start until the pan leaves it, one place all along."""
    held: dict[str, list[tuple[int, int, str]]] = {}
    for tray in book.trays.values():
        names = ("cool", "pack") if book.day.on_pan else ("rest", "transfer")
        there = [step for name in names if (step := book.step(tray, name))]
        places = {step.place for step in there if isinstance(step.place, str)}
        if len(places) > 1:
            yield f"stand: tray {tray.number} moves from one stand place to another."
        first, last = book.step(tray, "unload"), _emptied(book, tray)
        if first is not None and last is not None:
            for place in places:
                held.setdefault(place, []).append((first.start_s, last, f"tray {tray.number}"))
    for place, spans in sorted(held.items()):
        for one, other in clashes(spans):
            yield f"stand: {one} and {other} are on {place} at once."


def _mat(book: Book) -> Iterator[str]:
    """At every moment the shares of the mat that trays take add up to at most all of it."""
    held: list[tuple[int, int, Fraction, int]] = []
    for tray in book.trays.values():
        tin = book.day.recipes[tray.recipe].tin
        fit = book.tins_on_mat(tin)
        if not fit:
            yield f"fit: nothing says that {tin} fit on the mat, which tray {tray.number} needs."
            continue
        first, last = book.step(tray, "transfer"), book.step(tray, "pack")
        if first is not None and last is not None:
            share = Fraction(len(tray.scents), fit)
            held.append((first.start_s, last.end_s, share, tray.number))
    for start, end, share, number in held:
        others = [
            other
            for other_start, other_end, other, other_number in held
            if other_number != number
            and start < other_end
            and (other_start <= start if end > start else other_start < start)
            and other_end > other_start
        ]
        room = share + sum(others, Fraction(0))
        if room > 1:
            yield (
                f"mat: when tray {number} is moved over at {start} s the mat would have to hold "
                f"{room} of what it can."
            )

"""Scales: one line of fills each, begun clean, cleaned between tins that differ in scent."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from benchplan.model import Other, Step, Tray
from benchplan.scheduling.check.reading import Book, clashes, is_int
from benchplan.scheduling.check.steps import units


@dataclass(frozen=True, slots=True)
class _Border:
    """Where the scent on a scale changes: after one tin ends, before the next one begins."""

    scale: str
    tray: int
    start: int
    end: int
    scents: tuple[str, str]


def check(book: Book) -> Iterator[str]:
    """Yield every fault on the scales."""
    lines: dict[str, list[tuple[Step, Tray]]] = {}
    for tray in book.trays.values():
        fill = book.step(tray, "fill")
        if fill is not None and fill.end_s > fill.start_s and isinstance(fill.place, str):
            lines.setdefault(fill.place, []).append((fill, tray))
    borders: list[_Border] = []
    for scale, line in sorted(lines.items()):
        line.sort(key=lambda each: (each[0].start_s, each[0].end_s))
        spans = [(fill.start_s, fill.end_s, f"tray {tray.number}") for fill, tray in line]
        for first, second in clashes(spans):
            yield f"scale: {first} and {second} are on {scale} at once."
        borders.extend(_borders(book, scale, line))
    yield from _changes(book, borders)


def _tins(book: Book, fill: Step, tray: Tray) -> list[tuple[int, int, str]]:
    """Return start, end and scent of each tin filled; nothing when the parts are no whole tins."""
    one, many = book.day.times.fill_s, units(tray, "fill")
    worked = sum(end - start for start, end in fill.parts)
    if one <= 0 or worked != one * many or many > len(tray.scents):
        return []
    starts = [at for start, end in fill.parts for at in range(start, end, one)]
    scents = [scent for scent, count in tray.to_fill for _ in range(count)]
    if len(starts) != many or len(scents) != many:
        return []
    return [(at, at + one, scent) for at, scent in zip(starts, scents, strict=True)]


def _borders(book: Book, scale: str, line: list[tuple[Step, Tray]]) -> Iterator[_Border]:
    before: tuple[int, str] | None = None
    for fill, tray in line:
        tins = _tins(book, fill, tray)
        if not tins and tray.to_fill:  # reported as a wrong length: go by the ends of the fill
            tins = [(fill.start_s, fill.end_s, tray.to_fill[0][0])]
        for start, end, scent in tins:
            if before is not None and before[1] != scent:
                yield _Border(scale, tray.number, before[0], start, (before[1], scent))
            before = (end, scent)


def _changes(book: Book, borders: list[_Border]) -> Iterator[str]:
    """Each border has exactly one change inside it, and each change a border."""
    lasts = book.day.times.change_scent_s
    left = book.others("change_scent")
    for change in left:
        yield from _form(book, change)
    for border in borders:
        inside = [
            change
            for change in left
            if (change.place, change.before_tray) == (border.scale, border.tray)
            and border.start <= change.start_s
            and change.end_s <= border.end
        ]
        if inside:
            left.remove(inside[0])
        elif lasts > 0:
            first, second = border.scents
            yield (
                f"change: nobody cleans {border.scale} between {first} and {second}, "
                f"before or in tray {border.tray}."
            )
    for change in left:
        yield (
            f"change: the change of scent at {change.start_s} s on {change.place} before tray "
            f"{change.before_tray} is not between two tins of different scent there."
        )


def _form(book: Book, change: Other) -> Iterator[str]:
    which = f"the change of scent before tray {change.before_tray}"
    wanted = book.day.times.change_scent_s
    if change.end_s - change.start_s != wanted:
        yield f"length: {which} takes {change.end_s - change.start_s} s, not {wanted} s."
    if change.end_s == change.start_s:
        if change.person is not None:
            yield f"person: {which} takes no time and needs no person."
    elif not is_int(change.person) or not 1 <= (change.person or 0) <= book.day.people:
        yield f"person: {which} is done by {change.person!r} of {book.day.people} people."
    if change.place not in [f"scale {number}" for number in range(1, book.day.scales + 1)]:
        yield f"place: {which} is at {change.place!r}."

"""The steps of a tray: which there are, in what order, how long, in what parts, by whom, where."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from benchplan.model import Step, Tray
from benchplan.scheduling.check.reading import HANDS, ON_MAT, ON_PAN, Book, is_int

PAUSABLE = ("fill", "transfer", "pack")


def check(book: Book) -> Iterator[str]:
    """Yield every fault of a step that shows without looking at another tray."""
    for tray in book.trays.values():
        for name in ON_PAN if book.day.on_pan else ON_MAT:
            step = book.step(tray, name)
            if step is None:
                yield f"steps: tray {tray.number} has no {name} that can be used."
                continue
            if name in HANDS:
                yield from _length(book, tray, step)
                yield from _person(book, step)
            else:
                yield from _waiting(book, tray, step)
            yield from _place(book, tray, step)
        yield from _order(book, tray)


def each_s(book: Book, name: str) -> int:
    """Return the seconds of hand work for one tin, or for one pan with load and unload."""
    times = book.day.times
    pack = times.pack_s if book.day.pack == "today" else times.clear_s
    return {
        "fill": times.fill_s, "set": times.set_s, "load": times.load_s, "unload": times.unload_s,
        "transfer": times.transfer_s, "pack": pack,
    }[name]  # fmt: skip


def units(tray: Tray, name: str) -> int:
    """Return how many times ``each_s`` a step takes."""
    if name == "fill":
        return sum(count for _, count in tray.to_fill)
    return 1 if name in ("load", "unload") else len(tray.scents)


def _name(step: Step) -> str:
    return f"the {step.step} of tray {step.tray}"


def _length(book: Book, tray: Tray, step: Step) -> Iterator[str]:
    one = each_s(book, step.step)
    wanted = one * units(tray, step.step)
    worked = sum(end - start for start, end in step.parts)
    if worked != wanted:
        yield f"length: {_name(step)} takes {worked} s of work, not {wanted} s."
    if len(step.parts) == 1:
        return
    if step.step not in PAUSABLE:
        yield f"pause: {_name(step)} may not pause."
    elif wanted <= 0:
        yield f"pause: {_name(step)} takes no time and comes in several parts."
    elif any(end == start or (end - start) % one for start, end in step.parts):
        yield f"pause: {_name(step)} pauses in the middle of a tin."


def _person(book: Book, step: Step) -> Iterator[str]:
    if step.end_s == step.start_s:
        if step.person is not None:
            yield f"person: {_name(step)} takes no time and needs no person."
    elif not is_int(step.person) or not 1 <= (step.person or 0) <= book.day.people:
        yield f"person: {_name(step)} is done by {step.person!r} of {book.day.people} people."


def _waiting(book: Book, tray: Tray, step: Step) -> Iterator[str]:
    """A bake, rest or cool: one part, nobody's work, long enough."""
    recipe = book.day.recipes[tray.recipe]
    lasts = step.end_s - step.start_s
    if step.person is not None:
        yield f"person: {_name(step)} needs no person."
    if len(step.parts) > 1:
        yield f"pause: {_name(step)} may not pause."
    if step.step == "bake" and lasts != recipe.bake_for_s:
        yield f"length: {_name(step)} lasts {lasts} s, not {recipe.bake_for_s} s."
    if step.step == "rest" and lasts < recipe.rest_for_s:
        yield f"rest: tray {tray.number} rests for {lasts} s, not {recipe.rest_for_s} s."
    if step.step == "cool" and recipe.cool_for_s is None:
        yield f"form: the day does not say how long {recipe.name} cools."
    elif step.step == "cool" and lasts < (recipe.cool_for_s or 0):
        yield f"cool: tray {tray.number} cools for {lasts} s, not {recipe.cool_for_s} s."


def _place(book: Book, tray: Tray, step: Step) -> Iterator[str]:
    day, place = book.day, step.place
    if place is not None and not isinstance(place, str):
        yield f"form: the place of {_name(step)} is not a name."
        return
    stand = [f"stand {number}" for number in range(1, day.cooling.stand + 1)]
    allowed: list[str | None]
    if step.step == "fill":
        allowed = [f"scale {number}" for number in range(1, day.scales + 1)]
        if step.end_s == step.start_s:
            allowed.append(None)
    elif step.step == "set":
        allowed = [None]
    elif step.step in ("load", "bake", "unload"):
        ovens = [load.load.oven for load in book.loads if tray in load.trays]
        allowed = [*(ovens or day.ovens)]
    elif step.step in ("rest", "transfer") or day.on_pan:
        allowed = [*stand]
    else:
        allowed = ["mat"]
    if place not in allowed:
        yield f"place: {_name(step)} is at {place!r}."


def _order(book: Book, tray: Tray) -> Iterator[str]:
    """Each step begins when or after the one before it ends; what only waits fills its gap."""
    names = ON_PAN if book.day.on_pan else ON_MAT
    for before, after in pairwise(names):
        first, second = book.step(tray, before), book.step(tray, after)
        if first is None or second is None:
            continue
        if second.start_s < first.end_s:
            yield f"order: {_name(second)} begins before its {before} ends."
        elif second.start_s > first.end_s and (
            "rest" in (before, after) or "cool" in (before, after)
        ):
            yield f"order: between {before} and {after} of tray {tray.number} time is left over."

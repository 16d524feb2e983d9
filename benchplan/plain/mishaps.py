"""Typed words for what goes otherwise than planned: each becomes one mark, or a sentence."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchplan import units
from benchplan.model import Action, Day, Mark, Plan, standing
from benchplan.model.words import either_words

if TYPE_CHECKING:
    from benchplan.live.state import Card, State

MOST_MINUTES = 24 * 60
MISHAPS = {
    "filled": "filled 3: so many tins of the tray are filled, the rest comes later",
    "longer": "longer 2: the bake that ends next lasts two minutes more",
    "under": "under 2: the tray that came out last goes back in for two minutes",
    "scrap": "scrap 2 of 3 dropped: two tins of tray 3 are scrapped, and why",
    "skip": "skip WHY: passes over the next thing on the checklist",
    "reading": "reading 165: what the oven's own thermometer shows",
    "away": "away 5: you are away for five minutes",
    "comes": "comes: one more person from now on",
    "goes": "goes: you leave for the day",
    "broken": "broken OVEN: that oven is out of the day",
    "stop": "stop: what is hot is finished, the rest is left for another day",
    "abort": "abort: all ends at once, ovens off",
}


@dataclass(frozen=True, slots=True)
class Bench:
    """What a typed word is about."""

    day: Day
    plan: Plan
    state: State
    marks: tuple[Mark, ...]
    card: Card | None
    person: int


def mishap(word: str, rest: str, bench: Bench) -> Mark | str:
    """Return the mark that a word of ``MISHAPS`` makes now, or a sentence about what would do."""
    found = _FOUND[word](rest, bench)
    return f"{found} For example: {MISHAPS[word]}." if isinstance(found, str) else found


def _mark(
    bench: Bench,
    what: str,
    action: Action | None = None,
    amount: float = 0.0,
    note: str = "",
    item: str = "",
) -> Mark:
    now = bench.state.now_s
    return Mark(what, now, now, action, item, bench.person, amount=amount, note=note)


def _minutes(rest: str, usual: int | None = None) -> int | None:
    """Return whole minutes as typed, in seconds; None for anything else."""
    number = " ".join(
        part for part in rest.lower().split() if part not in ("min", "minute", "minutes")
    )
    if not number and usual is not None:
        return usual * 60
    if not number.isdecimal() or not 1 <= int(number) <= MOST_MINUTES:
        return None
    return int(number) * 60


def _filled(rest: str, bench: Bench) -> Mark | str:
    action = bench.card.action if bench.card else None
    if action is None or action.what != "fill":
        return "No tray is being filled."
    most = bench.plan.tray(action.trays[0]).tins - 1
    count = rest.split(" ")[0]
    if not count.isdecimal() or int(count) > most:
        return f"Of this tray 0 to {most} tins can be filled so far."
    return _mark(bench, "filled", action, float(count))


def _next_out(bench: Bench) -> Action | None:
    """Return the unload that ends the bake which is over first."""
    baking = [hot for hot in bench.state.hot if hot.kind == "oven"]
    if not baking:
        return None
    hot = min(baking, key=lambda each: (each.until_s, each.place))
    for load in bench.plan.loads:
        if load.oven == hot.place and set(load.trays) == set(hot.trays):
            return Action("unload", load.trays, load.oven)
    return Action("unload", hot.trays, hot.place)


def _longer(rest: str, bench: Bench) -> Mark | str:
    action, seconds = _next_out(bench), _minutes(rest, 1)
    if action is None:
        return "Nothing is in an oven."
    if seconds is None:
        return f'"{rest}" is no number of minutes.'
    return _mark(bench, "longer", action, seconds)


def _under(rest: str, bench: Bench) -> Mark | str:
    seconds = _minutes(rest, 1)
    if seconds is None:
        return f'"{rest}" is no number of minutes.'
    resting = {tray for hot in bench.state.hot if hot.kind == "stand" for tray in hot.trays}
    for mark in reversed(standing(bench.marks)):
        action = mark.action
        if mark.what == "done" and action and action.what == "unload":
            if not resting.issuperset(action.trays):
                break
            return _mark(bench, "back in", action, seconds)
    return "No tray that came out of an oven is still on the stand."


def _scrap(rest: str, bench: Bench) -> Mark | str:
    count, _, more = rest.partition(" ")
    of, _, why = more.partition(" ")
    if of.lower() in ("of", "from", "tray"):
        of, _, why = why.removeprefix("tray ").partition(" ")
    action = bench.card.action if bench.card else None
    if not of.isdecimal() and action and len(action.trays) == 1:
        of, why = str(action.trays[0]), more
    trays = {tray.number: tray.tins for tray in bench.plan.trays}
    if not of.isdecimal() or int(of) not in trays:
        return "Say of which tray."
    if not count.isdecimal() or not 1 <= int(count) <= trays[int(of)]:
        return f"Tray {of} holds {trays[int(of)]} tins."
    if not why.strip():
        return "Say why: it stands in the record."
    what = action.what if action and action.trays == (int(of),) else "pack"
    return _mark(bench, "scrapped", Action(what, (int(of),)), float(count), why.strip())


def _skip(rest: str, bench: Bench) -> Mark | str:
    left = [item for item, ticked in bench.card.checklist if not ticked] if bench.card else []
    if not left or bench.card is None:
        return "Nothing is left to tick."
    if not rest:
        return "Say why: it stands in the record."
    return _mark(bench, "pass over", bench.card.action, note=rest, item=left[0])


def _reading(rest: str, bench: Bench) -> Mark | str:
    action = bench.card.action if bench.card else None
    oven = action.place if action and action.what in ("preheat", "load", "unload") else ""
    if not oven:
        ovens = list(bench.day.ovens)
        oven = ovens[0] if len(ovens) == 1 else ""
    if not oven:
        return "No oven is on the card now."
    bare = rest.replace(".", "", 1).isdecimal()
    unit = " F" if bench.day.display.units == "us" else " C"
    try:
        degrees = units.parse(rest + unit if bare else rest, "temperature")
    except units.UnitProblem:
        return f'"{rest}" is no temperature.'
    about = action if action and action.place == oven else Action("preheat", (), oven)
    return _mark(bench, "reading", about, degrees)


def _away(rest: str, bench: Bench) -> Mark | str:
    seconds = _minutes(rest)
    if seconds is None:
        return f'"{rest}" is no number of minutes.'
    return _mark(bench, "late", amount=seconds)


def _broken(rest: str, bench: Bench) -> Mark | str:
    ovens = {name.lower(): name for name in bench.day.ovens}
    oven = ovens.get(rest.lower()) or (next(iter(ovens.values())) if len(ovens) == 1 else "")
    if not oven:
        return f"Say which oven: {either_words(list(ovens.values()))}."
    return _mark(bench, "oven out", Action("preheat", (), oven))


_FOUND: dict[str, Callable[[str, Bench], Mark | str]] = {
    "filled": _filled,
    "longer": _longer,
    "under": _under,
    "scrap": _scrap,
    "skip": _skip,
    "reading": _reading,
    "away": _away,
    "comes": lambda _, bench: _mark(bench, "person comes"),
    "goes": lambda _, bench: _mark(bench, "person goes"),
    "broken": _broken,
    "stop": lambda _, bench: _mark(bench, "stop"),
    "abort": lambda _, bench: _mark(bench, "abort"),
}

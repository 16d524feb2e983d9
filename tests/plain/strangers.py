"""Somebody who types whatever comes to mind, and what must be so of a run all the same.

The rules are worked out anew from the marks alone, with none of the program's own lookups.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from random import Random

from plain_world import SAMPLES, own

from benchplan import planner
from benchplan.carrying.session import Session
from benchplan.clock import ManualClock, at
from benchplan.files import PlanFile, read_plan
from benchplan.live import State
from benchplan.model import Day, Mark, Order, Plan, Times
from benchplan.plain.telling import Telling

WORDS = (
    *["other {n}"] * 24, *["yes"] * 14, *["1"] * 10, *["2"] * 3, *["no"] * 2, *["done"] * 40,
    *["tick"] * 20, *["tick all"] * 10, *["done {n}"] * 2, "skip no time", "skip",
    "longer", "longer", "under 1", "under 1", "scrap 1 of {n} fell", "reading {degrees}", "back",
    "back 2", "hold", "on", "on", "on", "comes Ada", "checked {n}", "checked {n}", "judged {n} 0",
    "what", "hot", "filled {n}",
)  # fmt: skip
WILLING = ("tick", "tick", "tick", "done", "done", "1")
RARE = ("wet", "wet", "wet {scent}", "broken", "goes", "back 9", "stop", "abort", "yes", "yes")
WAITS = (1, 5, 20, 90, 90, 300, 700, 2400)
LONG = (90, 300, 700)
KINDS = ("usual", "two scents", "mixed", "filled", "no time", "no time, filled")


@cache
def planned(kind: str) -> tuple[PlanFile, Plan]:
    """Return a small day of a kind, and its plan."""
    plan_file = read_plan(own(SAMPLES / "first_tray.toml"))
    day = plan_file.day
    recipe, tins = day.orders[0].recipe, 5 if kind == "mixed" else 8
    filled = tins if "filled" in kind else 0
    scents = ("Salt and fig",) if kind == "usual" else ("Salt and fig", "Warm cedar")
    day = replace(
        day,
        orders=tuple(Order(scent, recipe, tins, filled) for scent in scents),
        mix_scents=kind == "mixed",
        cooling=replace(day.cooling, pan_for_s=0),
        times=Times(*[0] * 9) if "no time" in kind else day.times,
    )
    plan = planner.plan_day(day)
    assert isinstance(plan, Plan), plan
    return replace(plan_file, day=day), plan


def lines(seed: int, most: int = 140) -> list[tuple[float, str]]:
    """Return what a stranger types, each line with the seconds before it."""
    chance, found = Random(seed), [(0.0, "start")]
    willing = chance.random()  # how much of it is what the run asks for
    for _ in range(chance.randint(10, most)):
        words = RARE if chance.random() < 0.01 else WORDS
        words = WILLING if chance.random() < willing else words
        word = chance.choice(words).format(
            n=chance.randint(1, 6),
            scent=chance.choice(("Salt and fig", "Warm cedar")),
            degrees=chance.choice(("165 C", "350", "240 C", "20 C")),
        )
        found.append((float(chance.choice(LONG if words is WILLING else WAITS)), word))
    return found


class Stranger:
    """Types each line so many seconds after the one before; nobody looks in between."""

    def __init__(self, clock: ManualClock, typed: list[tuple[float, str]]) -> None:
        self.clock, self.typed, self.real = clock, iter(typed), 1000.0
        self.heard: list[str] = []

    def __call__(self, seconds: float) -> str:
        wait, line = next(self.typed, (0.0, "leave"))
        self.clock.move(wait)
        self.real += wait
        self.heard.append(f"> {line}")
        return line


def let_in(kind: str, typed: list[tuple[float, str]]) -> tuple[Session, State | None, list[str]]:
    """Tell a day of a kind to somebody who types some lines; return what was said, too."""
    plan_file, plan = planned(kind)
    clock = ManualClock(at(plan_file.day.start, 0))
    session = Session(clock, 1.0, lambda start, _: clock)
    stranger = Stranger(clock, typed)
    telling = Telling(session, stranger, stranger.heard.append, monotonic=lambda: stranger.real)
    telling.run(plan_file, plan)
    return session, session.state(), stranger.heard


def faults(session: Session, state: State | None) -> list[str]:
    """Return what is not so of a run that must be so; nothing where all is well."""
    found: list[str] = []
    day, plan = session.day, session.base_plan
    if day is None or plan is None:
        return found
    standing: list[Mark] = []
    for mark in session.marks:
        if mark.what == "take back":
            standing = [each for each in standing if each.number != mark.takes_back]
            continue
        about = mark.action.what if mark.action else ""
        if mark.action and (mark.what == "back in" or (mark.what, about) == ("done", "load")):
            for tray in mark.action.trays:
                for scent in set(plan.tray(tray).scents):
                    tests = [each.what for each in standing if each.item.scent == scent]
                    if tests[-1:] != ["tick"]:
                        found.append(f"mark {mark.number}: tray {tray} went in, {scent}: {tests}")
        why = _too_soon(day, plan, standing, mark) if mark.what == "done" else ""
        if why and mark.reason is None:
            found.append(f"mark {mark.number}: {why}, and nobody was asked")
        standing.append(mark)
    listed = {tray for hot in (state.hot if state else ()) for tray in hot.trays}
    for tray in plan.trays if state else ():
        hot = _may_be_hot(day, standing, tray.number, tray.recipe)
        if not hot and state.ending == "abort":
            hot = _last(standing, "load", tray.number) and not _last(
                standing, "unload", tray.number
            )
        if hot and tray.number not in listed:
            found.append(f"tray {tray.number} may be hot and is on no list")
    return found


def _last(standing: list[Mark], what: str, tray: int) -> Mark | None:
    own = [
        each
        for each in standing
        if each.what == "done" and each.action and each.action.what == what
        and tray in each.action.trays
    ]  # fmt: skip
    return own[-1] if own else None


def _too_soon(day: Day, plan: Plan, standing: list[Mark], mark: Mark) -> str:
    """Say what was not so yet when an action was marked done."""
    assert mark.action is not None
    tray = mark.action.trays[0] if mark.action.trays else 0
    if mark.action.what == "load":
        on = [
            each for each in standing
            if each.what == "done" and each.action
            and (each.action.what, each.action.place) == ("preheat", mark.action.place)
        ]  # fmt: skip
        if not on:
            return "the oven is off"
        heats = day.ovens[mark.action.place].preheat_s
        return "the oven heats" if mark.happened_s < on[0].happened_s + heats else ""
    before = {"transfer": "unload", "pack": "unload" if day.on_pan else "transfer"}
    last = _last(standing, before.get(mark.action.what, ""), tray)
    if last is None:
        return ""
    recipe = day.recipes[plan.tray(tray).recipe]
    waits = recipe.rest_for_s if mark.action.what == "transfer" else recipe.cool_for_s or 0
    early = last.happened_s + waits - mark.happened_s
    return f"{early} s early" if early > 0 else ""


def _may_be_hot(day: Day, standing: list[Mark], tray: int, recipe: str) -> bool:
    """Whether a tray came out of an oven and was neither packed cool nor checked."""
    out, moved, packed = (_last(standing, what, tray) for what in ("unload", "transfer", "pack"))
    if out is None or any(
        each.what in ("checked", "judged") and each.action and tray in each.action.trays
        for each in standing
    ):
        return False
    if packed is None:
        return True
    cools = day.recipes[recipe].cool_for_s or 0
    since = moved or out
    early = packed.happened_s < since.happened_s + cools
    return early and packed.reason != "checked cool"

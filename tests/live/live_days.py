"""Small days and plans made by hand, and a bench that follows a day by marking what it is told."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime

from benchplan.live import State, actions, possible, state
from benchplan.model import (
    Action,
    Cooling,
    Day,
    Fit,
    Limits,
    Load,
    Mark,
    Order,
    Other,
    Oven,
    Pan,
    Plan,
    Recipe,
    Step,
    Times,
    Tin,
    Tray,
)

ON = Action("preheat", (), "counter")
FENNEL, CEDAR = ["Sea fennel"] * 8, ["Cedar"] * 8
HANDS = ("fill", "set", "load", "unload", "transfer", "pack")


def make_day(**changes: object) -> Day:
    """Return a day of one recipe, one pan, one oven; ``changes`` replace its fields."""
    day = Day(
        name="Hand day",
        start=datetime(2026, 12, 5, 9, tzinfo=UTC),
        orders=(Order("Sea fennel", "standard", 8),),
        recipes={"standard": Recipe("standard", "round", 31.0, 158.0, 420, 30, 120, 1980)},
        tins={"round": Tin("round", 72.0, 17.0, 65.0)},
        pans={"small": Pan("small", (282.0, 206.0), (297.0, 221.0), count=2)},
        ovens={"counter": Oven("counter", (362.0, 292.0))},
        cooling=Cooling(stand=2, mat_tins=24),
    )
    return replace(day, **changes)  # type: ignore[arg-type]


def make_plan(
    day: Day, scents: list[list[str]], *, filled: tuple[int, ...] = (), people: int = 1
) -> Plan:
    """Return a plan that bakes one tray after another, each moved to the mat before the next.

    Slow and plain on purpose: every step follows the last one, and packing comes at the end.
    Trays named in ``filled`` were filled beforehand. Person 2 of two does all the packing.
    """
    times, recipe = day.times, day.recipes["standard"]
    oven = day.ovens["counter"]
    trays, loads, steps, other = [], [], [], []
    at, last = 0, ""
    oven_free = oven.preheat_s
    packs: list[tuple[int, int, int]] = []

    def add(tray: int, step: str, lasts: int, place: str | None = None, by: int | None = 1) -> None:
        nonlocal at
        who = by if lasts and step in HANDS else None
        steps.append(Step(tray, step, ((at, at + lasts),), who, place))
        at += lasts

    for number, own in enumerate(scents, start=1):
        count = len(own)
        to_fill = () if number in filled else tuple((s, own.count(s)) for s in dict.fromkeys(own))
        trays.append(Tray(number, tuple(own), "standard", "small", 1, (), to_fill))
        loads.append(Load("counter", number, (number,)))
        changes = to_fill and last and to_fill[0][0] != last
        if changes and times.fill_s and times.change_scent_s:
            span = ((at, at + times.change_scent_s),)
            other.append(Other("change_scent", span, "scale 1", 1, number))
            at += times.change_scent_s
        last = to_fill[-1][0] if to_fill else last
        add(number, "fill", times.fill_s * (count if to_fill else 0), "scale 1")
        if number > 1:
            at = max(at, at + day.cooling.pan_for_s)
        add(number, "set", times.set_s * count)
        at = max(at, oven_free)
        add(number, "load", times.load_s, "counter")
        add(number, "bake", recipe.bake_for_s, "counter", None)
        add(number, "unload", times.unload_s, "counter")
        oven_free = at + oven.recover_s
        if not day.on_pan:
            add(number, "rest", recipe.rest_for_s, "stand 1", None)
            add(number, "transfer", times.transfer_s * count, "stand 1")
        packs.append((number, at, count))
        if day.on_pan or sum(each for _, _, each in packs) + count > (day.cooling.mat_tins or 24):
            at = _packs(day, packs, steps, at, people)
    at = _packs(day, packs, steps, at, people)
    first = min(step.start_s for step in steps if step.step == "load")
    other.append(Other("preheat", ((first - oven.preheat_s, first),), "counter"))
    return Plan(
        trays=tuple(trays),
        loads=tuple(loads),
        steps=tuple(steps),
        other=tuple(other),
        fits=(Fit("tins on mat", day.cooling.mat_tins or 24, tin="round"),),
        finish_s=at,
        bound_s=0,
        bound_any_s=0,
        limits=Limits("oven", "one tray at a time", ()),
    )


def _packs(
    day: Day, packs: list[tuple[int, int, int]], steps: list[Step], at: int, people: int
) -> int:
    cool_for = day.recipes["standard"].cool_for_s or 0
    place = "stand 1" if day.on_pan else "mat"
    for number, since, count in packs:
        at = max(at, since + cool_for)
        steps.append(Step(number, "cool", ((since, at),), None, place))
        lasts = day.pack_each_s * count
        steps.append(
            Step(number, "pack", ((at, at + lasts),), min(2, people) if lasts else None, place)
        )
        at += lasts
    packs.clear()
    return at


class Bench:
    """Follows a plan: time moves only to the next thing that is due, and marks get numbers."""

    def __init__(self, day: Day, plan: Plan) -> None:
        self.day, self.plan, self.now = day, plan, 0
        self.marks: tuple[Mark, ...] = ()

    @property
    def state(self) -> State:
        return state(self.day, self.plan, self.marks, self.now)

    def mark(self, action: Action, happened: int | None = None, person: int = 1) -> None:
        self.add(Mark("done", self.now if happened is None else happened, self.now, action,
                      person=person))  # fmt: skip

    def add(self, mark: Mark) -> None:
        self.marks += (replace(mark, number=len(self.marks) + 1),)

    def take_back(self, number: int) -> None:
        self.add(Mark("take back", self.now, self.now, takes_back=number))

    def next_moment(self, found: State) -> int:
        """Return the next instant at which something is due or changes by itself."""
        ready = self.day.times.ready_s
        moments = [card.end_s for card in found.cards]
        moments += [hot.until_s for hot in found.hot]
        moments += [hot.until_s - ready for hot in found.hot if hot.kind == "oven"]
        moments += [coming.begin_s for coming in found.coming]
        return min((moment for moment in moments if moment > self.now), default=self.now + 1)

    def follow(self, after_mark: Callable[[Bench], None] | None = None, most: int = 20_000) -> None:
        """Mark whatever card is due at its end until the day is complete."""
        for _ in range(most):
            found = self.state
            if found.complete:
                return
            due = [
                card for card in found.cards if card.action is not None and card.end_s <= self.now
            ]
            if due:
                focus = next((card for card in due if card.person == found.focus), due[0])
                assert focus.action is not None
                self.mark(focus.action, person=focus.person)
                if after_mark is not None:
                    after_mark(self)
            elif aside := [
                each for each in found.hot if each.kind == "aside" and each.until_s <= self.now
            ]:
                self.add(Mark("checked", self.now, self.now, one("pack", *aside[0].trays)))
            else:
                self.now = self.next_moment(found)
        raise AssertionError(f"not complete at {self.now}: {self.state}")

    def wander(self, chance: random.Random, steps: int) -> None:
        """Mark ``steps`` things that are possible, at random, with random time in between."""
        for _ in range(steps):
            self.now += chance.randrange(0, 400)
            offered = possible(self.day, self.plan, self.marks)
            if not offered:
                return
            self.mark(chance.choice(offered), person=chance.randint(1, self.day.people))


def planned_end(plan: Plan, action: Action) -> int:
    """Return when the plan ends an action."""
    return next(each.end_s for each in actions(plan) if each.action == action)


def no_times() -> Times:
    """Return hand work that takes no time at all."""
    return Times(0, 0, 0, 0, 0, 0, 0, 0, 0)


def one(what: str, *trays: int) -> Action:
    return Action(what, trays or (1,), "counter" if what in ("load", "unload") else "")


def paused_day() -> tuple[Day, Plan]:
    """Return a day whose second fill is put down for the first exit, and a break after it."""
    day = make_day(times=Times(ready_s=30), people=1)
    scents = ("Sea fennel",) * 8
    trays = tuple(
        Tray(number, scents, "standard", "small", number, (), (("Sea fennel", 8),))
        for number in (1, 2)
    )
    rows = [
        (1, "fill", ((0, 160),), "scale 1"),
        (1, "set", ((160, 184),), None),
        (1, "load", ((660, 675),), "counter"),
        (1, "bake", ((675, 1095),), "counter"),
        (1, "unload", ((1095, 1110),), "counter"),
        (2, "fill", ((1005, 1065), (1110, 1210)), "scale 1"),
        (1, "rest", ((1110, 1230),), "stand 1"),
        (1, "transfer", ((1230, 1278),), "stand 1"),
        (2, "set", ((1278, 1302),), None),
        (2, "load", ((1302, 1317),), "counter"),
        (2, "bake", ((1317, 1737),), "counter"),
        (2, "unload", ((1737, 1752),), "counter"),
        (2, "rest", ((1752, 1872),), "stand 2"),
        (2, "transfer", ((1872, 1920),), "stand 2"),
        (1, "cool", ((1278, 3600),), "mat"),
        (1, "pack", ((3600, 3736),), "mat"),
        (2, "cool", ((1920, 3900),), "mat"),
        (2, "pack", ((3900, 4036),), "mat"),
    ]
    steps = tuple(
        Step(tray, step, parts, None if step in ("bake", "rest", "cool") else 1, place)
        for tray, step, parts, place in rows
    )
    plan = Plan(
        trays=trays,
        loads=(Load("counter", 1, (1,)), Load("counter", 2, (2,))),
        steps=steps,
        other=(
            Other("preheat", ((0, 660),), "counter"),
            Other("break", ((1930, 3600),), person=1),
        ),
        fits=(Fit("tins on mat", 24, tin="round"),),
        finish_s=4036,
        bound_s=0,
        bound_any_s=0,
        limits=Limits("hands", "", ()),
    )
    return day, plan


def until_the_second_fill() -> Bench:
    bench = Bench(*paused_day())
    for moment, action in ((0, ON), (160, one("fill")), (184, one("set")), (675, one("load"))):
        bench.now = moment
        bench.mark(action)
    return bench

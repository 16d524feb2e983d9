"""What people do in a plan, as the actions they mark, and every lookup that the live run needs.

A fill or a set without a person, because the day gives it no time, needs no marking: it counts as
done when what is before it is done. Whatever moves something hot is marked even then: no tray goes
into an oven unseen, none is left in, and none leaves the mat by itself. A preheat is marked when
the oven is switched on, so its action takes no time.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from benchplan.model import Action, Day, Load, Other, Plan, Recipe, Step, Tray
from benchplan.model.plan import Span
from benchplan.model.run import ACTIONS

ONE_TRAY = ("fill", "set", "transfer", "pack")
HOT = ("transfer", "pack")
WHOLE_LOAD = ("load", "unload")
NOBODY = 0
FOR_GOOD = 1 << 40
"""A second after every day's end: what has no end ends then."""


@dataclass(frozen=True, slots=True)
class Planned:
    """An action with who does it and when; ``parts`` are its stretches where it may pause."""

    action: Action
    person: int
    begin_s: int
    end_s: int
    parts: tuple[Span, ...]


@dataclass(frozen=True, slots=True)
class Piece:
    """One stretch of a planned action; ``last``: after it the action should be done."""

    begin_s: int
    end_s: int
    last: bool
    planned: Planned


def actions(plan: Plan) -> tuple[Planned, ...]:
    """Return every action of a plan that a person marks, in time order.

    The trays of a load are loaded and unloaded in one action. A preheat, and what is done with
    something hot in no time, goes to a person who is free at that moment (else to person 1). A
    change of scent inside a mixed tray belongs to its fill and is not listed.
    """
    steps = {(step.tray, step.step): step for step in plan.steps}
    marked = [
        _planned(Action(step.step, (step.tray,)), step.person or NOBODY, step.parts)
        for step in plan.steps
        if step.step in HOT or (step.step in ONE_TRAY and step.person is not None)
    ]
    at_oven = [_merge(load, what, steps) for load in plan.loads for what in WHOLE_LOAD]
    marked += [each for each in at_oven if each is not None]
    found = [each for each in marked if each.person]
    # a change that was done too early may stand in the plan twice: the later one counts
    changes = {
        other.before_tray: _planned(
            Action("change_scent", (other.before_tray,)), other.person or 1, other.parts
        )
        for other in _changes(plan, steps)
        if other.before_tray is not None
    }
    found += changes.values()
    found += _unstaffed(plan, found, [each for each in marked if not each.person])
    return tuple(sorted(found, key=_order))


def _planned(action: Action, person: int, parts: tuple[Span, ...]) -> Planned:
    return Planned(action, person, parts[0][0], parts[-1][1], parts)


def _order(planned: Planned) -> tuple[int, int, int, tuple[int, ...]]:
    what = ACTIONS.index(planned.action.what)
    return planned.begin_s, planned.end_s, what, planned.action.trays


def _merge(load: Load, what: str, steps: Mapping[tuple[int, str], Step]) -> Planned | None:
    own = [steps[tray, what] for tray in load.trays if (tray, what) in steps]
    if not own:
        return None
    own.sort(key=lambda step: step.start_s)
    span = (own[0].start_s, max(step.end_s for step in own))
    person = next((step.person for step in own if step.person), NOBODY)
    return _planned(Action(what, load.trays, load.oven), person, (span,))


def _changes(plan: Plan, steps: Mapping[tuple[int, str], Step]) -> list[Other]:
    """Return the changes of scent between two trays, in time order, that their fills rely on.

    One that another change came after, before its tray was filled, was done for nothing.
    """
    changes = [other for other in plan.other if other.what == "change_scent"]
    changes.sort(key=lambda other: (other.start_s, other.end_s))
    found, next_on = [], dict[str | None, Other]()
    for other in reversed(changes):
        after = next_on.get(other.place)
        next_on[other.place] = other
        fill = None if other.before_tray is None else steps.get((other.before_tray, "fill"))
        void = fill is not None and after is not None and after.end_s <= fill.start_s
        if not void and (fill is None or other.start_s <= fill.start_s):
            found.append(other)
    return found[::-1]


def _unstaffed(plan: Plan, busy: list[Planned], in_no_time: list[Planned]) -> list[Planned]:
    """Return the preheats, and what is done in no time, each with who is free then."""
    wanted = [*in_no_time]
    turns: dict[str, int] = defaultdict(int)
    for other in sorted(plan.other, key=lambda each: each.start_s):
        if other.what == "preheat":
            oven, at = other.place or "", other.start_s
            turns[oven] += 1
            wanted.append(_planned(Action("preheat", (), oven, turns[oven]), NOBODY, ((at, at),)))
    people = sorted({each.person for each in busy} | {1})
    taken = [(each.person, part) for each in busy for part in each.parts]
    away = [
        (each.person or 1, part)
        for each in plan.other
        if each.what == "break"
        for part in each.parts
    ]

    def free(at: int) -> int:
        held = {person for person, (begin, end) in taken if begin <= at < end}
        out = {person for person, (begin, end) in away if begin <= at < end}
        here = [person for person in people if person not in out]
        return next((person for person in here if person not in held), (here or [1])[0])

    return [replace(each, person=free(each.begin_s)) for each in wanted]


@dataclass(frozen=True, slots=True)
class News:
    """What marks say beside what was done, in seconds of the run.

    ``absent``: who is not at the bench when, breaks apart. ``held``: when all hands stopped; the
    last one lasts to ``FOR_GOOD`` while it is not over. ``gone``: who left for the day. ``closed``:
    since when an oven is out of the day. ``left``: since when a tray that went into an oven is
    done with as soon as it is out. ``shut_in``: since when a tray stays in an oven whose door must
    stay shut, because beads in it are wet; ``judged`` are those of them that were taken out cold
    and judged. ``lost``: how many tins of a tray are scrapped. ``ending`` is
    "stop" or "abort" from ``ended_s`` on.
    """

    absent: tuple[tuple[int, Span], ...] = ()
    held: tuple[Span, ...] = ()
    gone: frozenset[int] = frozenset()
    closed: Mapping[str, int] = field(default_factory=dict)
    left: Mapping[int, int] = field(default_factory=dict)
    shut_in: Mapping[int, int] = field(default_factory=dict)
    judged: frozenset[int] = frozenset()
    lost: Mapping[int, int] = field(default_factory=dict)
    ending: str = ""
    ended_s: int = 0

    @property
    def held_s(self) -> int | None:
        """Since when hands are held; None while they are not."""
        return self.held[-1][0] if self.held and self.held[-1][1] == FOR_GOOD else None


@dataclass(frozen=True, slots=True)
class Index:
    """Every lookup into a day and its plan, built once for an instant.

    ``chain`` names the stages that a tray goes through by hand. ``hand`` holds each (tray,
    stage) that somebody marks. ``turn_of`` is the preheat that a tray's load relies on (0: none).
    """

    day: Day
    plan: Plan
    trays: Mapping[int, Tray]
    steps: Mapping[tuple[int, str], Step]
    planned: tuple[Planned, ...]
    by_person: Mapping[int, tuple[Piece, ...]]
    chain: tuple[str, ...]
    hand: frozenset[tuple[int, str]]
    loads: tuple[Load, ...]
    load_of: Mapping[int, Load]
    turn_of: Mapping[int, int]
    turns: Mapping[str, int]
    on_mat: Mapping[str, int]
    away: tuple[tuple[int, Span], ...]
    news: News = News()

    def recipe(self, tray: int) -> Recipe:
        """Return the recipe of a tray."""
        return self.day.recipes[self.trays[tray].recipe]

    def cool_for_s(self, tray: int) -> int:
        """Return how long a tray cools at least: as the recipe says, else as the plan has it."""
        said = self.recipe(tray).cool_for_s
        if said is not None:
            return said
        step = self.steps.get((tray, "cool"))
        return step.end_s - step.start_s if step else 0

    def wait_after_s(self, tray: int, stage: str) -> int:
        """Return the least time between the end of a stage and the beginning of the next."""
        recipe = self.recipe(tray)
        if stage == "load":
            return recipe.bake_for_s
        if stage == "unload":
            return self.cool_for_s(tray) if self.day.on_pan else recipe.rest_for_s
        return self.cool_for_s(tray) if stage == "transfer" else 0

    @property
    def people(self) -> tuple[int, ...]:
        """Everybody who takes part, from 1; nobody who has left for the day."""
        everybody = range(1, max(self.day.people, *self.by_person, 1) + 1)
        return tuple(person for person in everybody if person not in self.news.gone)


def index(day: Day, plan: Plan) -> Index:
    """Build the lookups of a day and its plan."""
    planned = actions(plan)
    steps = {(step.tray, step.step): step for step in plan.steps}
    pieces: dict[int, list[Piece]] = defaultdict(list)
    for each in planned:
        for begin, end in each.parts:
            pieces[each.person].append(Piece(begin, end, end == each.end_s, each))
    chain = tuple(
        what
        for what in ("fill", "set", "load", "unload", "transfer", "pack")
        if what != "transfer" or not day.on_pan
    )
    begun = {load: _load_start(load, steps) for load in plan.loads}
    loads = tuple(sorted(plan.loads, key=lambda load: (begun[load], load.oven, load.number)))
    starts: dict[str, list[int]] = defaultdict(list)
    for each in planned:
        if each.action.what == "preheat":
            starts[each.action.place].append(each.begin_s)
    return Index(
        day=day,
        plan=plan,
        trays={tray.number: tray for tray in plan.trays},
        steps=steps,
        planned=planned,
        by_person={
            person: tuple(sorted(own, key=lambda piece: (piece.begin_s, piece.end_s)))
            for person, own in pieces.items()
        },
        chain=chain,
        hand=frozenset((tray, each.action.what) for each in planned for tray in each.action.trays),
        loads=loads,
        load_of={tray: load for load in plan.loads for tray in load.trays},
        turn_of={
            tray: sum(at <= begun[load] for at in starts[load.oven])
            for load in loads
            for tray in load.trays
        },
        turns={oven: len(own) for oven, own in starts.items()},
        on_mat={fit.tin: fit.count for fit in plan.fits if fit.what == "tins on mat" and fit.tin},
        away=tuple(
            (other.person, part)
            for other in plan.other
            if other.what == "break" and other.person is not None
            for part in other.parts
        ),
    )


def _load_start(load: Load, steps: Mapping[tuple[int, str], Step]) -> int:
    own = [steps[tray, "load"].start_s for tray in load.trays if (tray, "load") in steps]
    return min(own, default=0)

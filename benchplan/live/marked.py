"""A day and its plan as the marks have left them: who is there, which ovens serve, what has left.

Nothing here is kept: everything follows from the marks that stand, so a mark taken back leaves no
trace. A plan that followed the marks already comes out as it went in.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import replace

from benchplan.live.actions import FOR_GOOD, Index, News, index
from benchplan.live.progress import Progress, progress
from benchplan.model import Day, Load, Mark, MarkKind, Other, Plan, standing
from benchplan.model.plan import Span
from benchplan.model.run import NOTED

CHANGING = frozenset(MarkKind) - {
    MarkKind.DONE, MarkKind.FILLED, MarkKind.LONGER, MarkKind.BACK_IN, MarkKind.TAKE_BACK, *NOTED
}  # fmt: skip
OVEN_STEPS = ("load", "bake", "unload")


def changing(marks: tuple[Mark, ...]) -> bool:
    """Say whether any of some marks makes another day or plan of what it was before them."""
    return any(mark.what in CHANGING or mark.what == MarkKind.TAKE_BACK for mark in marks)


def as_marked(day: Day, plan: Plan, marks: tuple[Mark, ...]) -> Index:
    """Return the lookups of a day and its plan with all that marks have changed in them.

    Its ``day`` has everybody who came, its ``plan`` only what is still to be done of a tray that
    left and only ovens that serve: a tray in no load has left the day.
    """
    kept = standing(marks)
    if not any(mark.what in CHANGING for mark in kept):
        return index(day, plan)
    comers = [mark for mark in kept if mark.what == MarkKind.PERSON_COMES]
    came = tuple(
        (person, (0, mark.happened_s)) for person, mark in enumerate(comers, day.people + 1)
    )
    gone = _gone(day.people, kept)
    day = replace(day, people=day.people + len(comers))
    trays = _Trays(day, plan, kept)
    ends = [mark for mark in kept if mark.what in (MarkKind.STOP, MarkKind.ABORT)]
    ends.sort(key=lambda mark: mark.what == MarkKind.STOP)
    found = index(day, _handed_on(day, trays.plan, gone))
    news = News(
        absent=(
            *((person, (since, FOR_GOOD)) for person, since in gone.items()),
            *(
                (mark.person, (mark.happened_s, mark.happened_s + round(mark.amount)))
                for mark in kept
                if mark.what == MarkKind.LATE and mark.amount > 0
            ),
        ),
        held=_held(kept),
        gone=frozenset(gone),
        closed=trays.closed,
        left=trays.left,
        shut_in=trays.shut_in,
        judged=frozenset(trays.judged),
        lost=trays.lost,
        ending=ends[0].what if ends else "",
        ended_s=ends[0].happened_s if ends else 0,
    )
    return replace(found, away=(*found.away, *came), news=news)


def _gone(people: int, kept: tuple[Mark, ...]) -> dict[int, int]:
    """Return who left for the day, and when; somebody always stays."""
    here = set(range(1, people + 1))
    gone: dict[int, int] = {}
    for mark in kept:
        if mark.what == MarkKind.PERSON_COMES:
            people += 1
            here.add(people)
        elif mark.what == MarkKind.PERSON_GOES and mark.person in here and len(here) > 1:
            here.remove(mark.person)
            gone[mark.person] = mark.happened_s
    return gone


def _held(kept: tuple[Mark, ...]) -> tuple[Span, ...]:
    """Return when all hands were stopped; who stops or aborts the day holds it no longer."""
    found: list[Span] = []
    since: int | None = None
    for mark in kept:
        if mark.what == MarkKind.HOLD and since is None:
            since = mark.happened_s
        elif mark.what in (MarkKind.GO_ON, MarkKind.STOP, MarkKind.ABORT) and since is not None:
            found.append((since, max(since, mark.happened_s)))
            since = None
    return (*found, (since, FOR_GOOD)) if since is not None else tuple(found)


def _handed_on(day: Day, plan: Plan, gone: Mapping[int, int]) -> Plan:
    """Give the work of everybody who left to somebody who stays; a replan shares it out better."""
    if not gone:
        return plan
    stays = next(person for person in range(1, day.people + 1) if person not in gone)
    return replace(
        plan,
        steps=tuple(
            replace(step, person=stays) if step.person in gone else step for step in plan.steps
        ),
        other=tuple(
            replace(other, person=stays)
            if other.person in gone and other.what != "break"
            else other
            for other in plan.other
        ),
    )


class _Trays:
    """Goes through the marks that take trays out of the plan, or ovens away from them."""

    def __init__(self, day: Day, plan: Plan, kept: tuple[Mark, ...]) -> None:
        self._day, self.plan = day, plan
        self.closed: dict[str, int] = {}
        self.left: dict[int, int] = {}
        self.shut_in: dict[int, int] = {}
        self.judged: set[int] = set()
        self.lost: Counter[int] = Counter()
        self._tins = {tray.number: tray.tins for tray in plan.trays}
        for count, mark in enumerate(kept):
            leaving = self._leaving(mark)
            if leaving or mark.what in (MarkKind.OVEN_OUT, MarkKind.WET):
                so_far = progress(index(day, self.plan), kept[:count], mark.entered_s)
                if mark.what == MarkKind.OVEN_OUT and mark.action:
                    self._close(mark.action.place, mark.happened_s, so_far)
                if mark.what == MarkKind.WET:
                    self._shut_in(mark, so_far)
                self._leave(leaving, mark, so_far)

    def _leaving(self, mark: Mark) -> set[int]:
        """Return the trays that a mark says leave the day."""
        named = {tray for tray in (mark.action.trays if mark.action else ()) if tray in self._tins}
        if mark.what == MarkKind.STOP:
            return set(self._tins)
        if mark.what in (MarkKind.LEAVES, MarkKind.WET):
            return named
        if mark.what == MarkKind.JUDGED:
            for tray in named & self.shut_in.keys():
                self.judged.add(tray)
                self.lost[tray] = max(0, self._tins[tray] - round(mark.amount))
        if mark.what != MarkKind.SCRAPPED:
            return set()
        for tray in named:
            self.lost[tray] = min(self._tins[tray], self.lost[tray] + max(0, round(mark.amount)))
        return {tray for tray in named if self.lost[tray] == self._tins[tray]}

    def _leave(self, leaving: set[int], mark: Mark, so_far: Progress) -> None:
        """Take trays out of the plan; what is in an oven, or has been, is seen to first."""
        loaded = so_far.at["load"]
        if mark.what != MarkKind.STOP:
            for tray in leaving & set(loaded):
                self.left.setdefault(tray, mark.happened_s)
        self.plan = _without(self.plan, leaving - set(loaded), so_far)

    def _shut_in(self, mark: Mark, so_far: Progress) -> None:
        """Leave in its oven whatever bakes with a scent that is wet, and the oven out of the day.

        Its tins are scrap until somebody has judged them.
        """
        for oven, trays in so_far.baking.items():
            inside = {tray for tray in trays if tray not in self.shut_in}
            if not any(mark.item.scent in self.plan.tray(tray).scents for tray in inside):
                continue
            for tray in inside:
                self.shut_in[tray] = mark.happened_s
                self.left.setdefault(tray, mark.happened_s)
                self.lost[tray] = self._tins[tray]
            self._close(oven, mark.happened_s, so_far)

    def _close(self, oven: str, at_s: int, so_far: Progress) -> None:
        """Move what was to go into an oven into others, as far as these take it."""
        if oven not in self._day.ovens:
            return
        self.closed.setdefault(oven, at_s)
        moved: list[Load] = []
        nowhere: set[int] = set()
        for load in self.plan.loads:
            if load.oven != oven or any(tray in so_far.at["load"] for tray in load.trays):
                moved.append(load)
                continue
            room = {
                name: min(self._room(tray, name) for tray in load.trays)
                for name in self._day.ovens
                if name not in self.closed
            }
            best = max(room, key=lambda name: room[name], default="")
            most = room.get(best, 0)
            if not most:
                nowhere |= set(load.trays)
            else:
                moved += [
                    Load(best, load.number, load.trays[at : at + most])
                    for at in range(0, len(load.trays), most)
                ]
        plan = replace(self.plan, loads=tuple(moved))
        self.plan = _without(_in_their_ovens(self._day, plan), nowhere, so_far)

    def _room(self, number: int, oven: str) -> int:
        """Return how many pans like a tray's an oven takes."""
        tray, kit = self.plan.tray(number), self._day.ovens[oven]
        tin = self._day.tins[self._day.recipes[tray.recipe].tin]
        if max(tin.height_mm, self._day.pans[tray.pan].height_mm) > kit.headroom_mm:
            return 0
        count = kit.shelves * sum(
            fit.count
            for fit in self.plan.fits
            if fit.what == "pans on shelf" and (fit.pan, fit.oven) == (tray.pan, oven)
        )
        return count if kit.most_tins is None else min(count, kit.most_tins // tray.tins)


def _without(plan: Plan, trays: set[int], so_far: Progress) -> Plan:
    """Return a plan without trays that never went into an oven; what was filled of them stays."""
    loads = tuple(
        replace(load, trays=rest)
        for load in plan.loads
        if (rest := tuple(tray for tray in load.trays if tray not in trays))
    )
    filled = so_far.at["fill"]
    ovens = {load.oven for load in loads}
    turns = Counter[str]()
    other = []
    for each in plan.other:
        if each.what == "preheat":
            turns[each.place or ""] += 1
            begun = (each.place, turns[each.place or ""]) in so_far.heated
            if not begun and each.place not in ovens:
                continue
        if each.before_tray in trays and each.before_tray not in filled:
            continue
        other.append(each)
    return replace(
        plan,
        loads=loads,
        steps=tuple(
            step
            for step in plan.steps
            if step.tray not in trays or (step.step == "fill" and step.tray in filled)
        ),
        other=tuple(other),
    )


def _in_their_ovens(day: Day, plan: Plan) -> Plan:
    """Let the steps of a plan say what its loads do; an oven that had no load is heated first."""
    ovens = {tray: load.oven for load in plan.loads for tray in load.trays}
    steps = tuple(
        replace(step, place=ovens[step.tray])
        if step.step in OVEN_STEPS and step.tray in ovens
        else step
        for step in plan.steps
    )
    heated = {each.place for each in plan.other if each.what == "preheat"}
    begins: dict[str, int] = {}
    for step in steps:
        oven = ovens.get(step.tray, "")
        if step.step == "load" and oven and oven not in heated:
            begins[oven] = min(begins.get(oven, step.start_s), step.start_s)
    more = tuple(
        Other("preheat", ((max(0, at - day.ovens[oven].preheat_s), at),), place=oven)
        for oven, at in begins.items()
    )
    return replace(plan, steps=steps, other=(*plan.other, *more))

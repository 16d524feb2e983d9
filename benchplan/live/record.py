"""A run read back: its first plan beside what its marks say, with whatever was corrected later."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import replace

from benchplan.live.actions import Index, News, index
from benchplan.live.marked import as_marked
from benchplan.live.past import done_actions
from benchplan.live.progress import Progress, progress
from benchplan.model import Action, Day, Done, Mark, MarkKind, Outcome, Plan, Run, Tray
from benchplan.model.plan import STEPS, Span
from benchplan.model.record import (
    Correction,
    Entry,
    Record,
    Stage,
    Totals,
    TrayRecord,
    named,
)


def record(
    run: Run,
    day: Day,
    plan: Plan,
    marks: tuple[Mark, ...],
    corrections: tuple[Correction, ...] = (),
    names: Mapping[int, str] | None = None,
) -> Record:
    """Return the record of a run of ``day``; ``plan`` is the plan that it began with.

    ``names`` are those of the people that are known anyway; whoever came under a name has it, and
    corrections come last. Never raises, whatever was marked.
    """
    entries = _entries(marks, corrections)
    counting = (each.mark for each in entries if each.counts)
    kept = tuple(mark for mark in counting if mark.what != MarkKind.TAKE_BACK)
    lookups = index(day, plan)
    # What takes no time follows by itself, but not after the end of a run that was cut short.
    until = run.finished_s if run.state != "complete" else None
    if until is None and run.state != "complete":
        until = max((mark.entered_s for mark in kept), default=0)
    so_far = progress(lookups, kept, until)
    trays = _Trays(lookups, so_far, kept, as_marked(day, plan, kept).news)
    found = tuple(trays.record(tray) for tray in sorted(plan.trays, key=lambda each: each.number))
    planned = sum(tray.tins for tray in found)
    packed, scrapped = sum(tray.packed for tray in found), sum(tray.scrapped for tray in found)
    given = {**(names or {}), **_comers(day, kept), **named(corrections)}
    known = {person: name for person, name in given.items() if name}
    who = {each.person for each in lookups.planned} | {mark.person for mark in kept} | set(known)
    return Record(
        run=run.number,
        name=run.name,
        file=run.file,
        start=day.start,
        state=_state(run, kept),
        rehearsal=run.rehearsal,
        planned_finish_s=plan.finish_s,
        finished_s=run.finished_s,
        trays=found,
        preheats=_preheats(lookups, so_far),
        entries=entries,
        totals=Totals(planned, packed, scrapped, planned - packed - scrapped),
        people=tuple(sorted(who)),
        names=known,
        corrections=corrections,
        units=day.display.units,
        clock=day.display.clock,
        pack=day.pack,
    )


def _entries(marks: tuple[Mark, ...], corrections: tuple[Correction, ...]) -> tuple[Entry, ...]:
    """Return every mark as it counts now, in the order of their numbers."""
    struck = {}
    for each in corrections:
        if each.field == "stands":
            struck[each.mark] = each.new == "no"
    backs = {
        mark.takes_back: mark.number
        for mark in marks
        if mark.what == MarkKind.TAKE_BACK and not struck.get(mark.number)
    }
    found = []
    for mark in marks:
        own = tuple(each for each in corrections if each.mark == mark.number and mark.number)
        now = _corrected(mark, own)
        found.append(
            Entry(
                mark=now,
                first=mark if now != mark else None,
                taken_back=backs.get(mark.number, 0),
                struck=struck.get(mark.number, False),
                corrections=own,
            )
        )
    return tuple(found)


def _corrected(mark: Mark, corrections: Iterable[Correction]) -> Mark:
    for each in corrections:
        if each.field == "time":
            mark = replace(mark, happened_s=int(each.new))
        elif each.field == "person":
            mark = replace(mark, person=int(each.new))
        elif each.field == "amount":
            mark = replace(mark, amount=float(each.new))
        elif each.field == "note":
            mark = replace(mark, note=each.new)
    return mark


def _state(run: Run, kept: tuple[Mark, ...]) -> str:
    pauses = [mark.what for mark in kept if mark.what in (MarkKind.HOLD, MarkKind.GO_ON)]
    held = run.state == "running" and bool(pauses) and pauses[-1] == MarkKind.HOLD
    return "held" if held else run.state


def _comers(day: Day, kept: tuple[Mark, ...]) -> dict[int, str]:
    """Return the names of those who came during the run; they are numbered in that order."""
    comers = [mark for mark in kept if mark.what == MarkKind.PERSON_COMES]
    return {
        number: mark.note for number, mark in enumerate(comers, day.people + 1) if mark.note.strip()
    }


def _preheats(lookups: Index, so_far: Progress) -> tuple[Stage, ...]:
    found, turns = [], Counter[str]()
    for other in sorted(lookups.plan.other, key=lambda each: each.start_s):
        if other.what != "preheat":
            continue
        oven = other.place or ""
        turns[oven] += 1
        action = Action("preheat", (), oven, turns[oven])
        said, on = so_far.said.get(action), so_far.heated.get((oven, turns[oven]))
        real = None if on is None else (on, on)
        planned = (other.start_s, other.end_s)
        who = said.person if said else None
        found.append(Stage("preheat", planned, real, who, oven, said is not None))
    return tuple(found)


class _Trays:
    """What happened to each tray, by the marks that count."""

    def __init__(
        self, lookups: Index, so_far: Progress, kept: tuple[Mark, ...], news: News
    ) -> None:
        self._index, self._so_far, self._kept, self._news = lookups, so_far, kept, news
        self._done: dict[tuple[int, str], Done] = {}
        for done in done_actions(lookups, so_far):
            for tray in done.action.trays:
                self._done.setdefault((tray, done.action.what), done)

    def record(self, tray: Tray) -> TrayRecord:
        """Return the record of one tray."""
        number, load = tray.number, self._index.load_of.get(tray.number)
        scrapped = self._news.lost.get(number, 0)
        bakes, out = self._bakes(number)
        left = self._about(number, MarkKind.LEAVES, MarkKind.WET)
        packed = (number, "pack") in self._done or number in self._news.judged
        outcome = Outcome.LEFT_THE_DAY if left else Outcome.LEFT_OVER
        if packed and not left:
            outcome = Outcome.PACKED
        return TrayRecord(
            number=number,
            scents=tray.scents,
            recipe=tray.recipe,
            pan=tray.pan,
            oven=self._so_far.oven.get(number, load.oven if load else ""),
            tins=tray.tins,
            stages=tuple(self._stages(number, bakes, out)),
            bake_for_s=self._index.day.recipes[tray.recipe].bake_for_s,
            bakes=bakes,
            outcome=outcome,
            packed=tray.tins - scrapped if outcome is Outcome.PACKED else 0,
            scrapped=scrapped,
            over_baked_s=self._over_baked(number, bakes),
        )

    def _over_baked(self, tray: int, bakes: tuple[Span, ...]) -> int:
        """Return how long a tray baked past its time, if that is longer than it may wait."""
        if not bakes:
            return 0
        recipe, so_far = self._index.recipe(tray), self._so_far
        first = bakes[0][0] + recipe.bake_for_s + so_far.longer_s.get(tray, 0)
        due = (first, *(so_far.bake_end((tray,)) for _ in bakes[1:]))
        over = max(end - by for (_, end), by in zip(bakes, due, strict=True))
        return over if over > recipe.bake_late_s else 0

    def _about(self, tray: int, *whats: str) -> list[Mark]:
        """Return the marks of some kinds that are about a tray."""
        return [
            mark
            for mark in self._kept
            if mark.what in whats and mark.action is not None and tray in mark.action.trays
        ]

    def _bakes(self, tray: int) -> tuple[tuple[Span, ...], int | None]:
        """Return a tray's stretches in an oven, and when it came out of it for good.

        A load is marked when it is in, an unload when it is out: a stretch ends the time that an
        unload takes before that. A load comes out tray by tray, as the plan has it.
        """
        takes = self._index.day.times.unload_s
        loaded = self._so_far.at["load"].get(tray)
        outs = sorted(self._out(mark, tray) for mark in self._about(tray, MarkKind.DONE)
                      if mark.action and mark.action.what == "unload")  # fmt: skip
        if not outs and tray in self._so_far.at["unload"]:
            outs = [self._so_far.at["unload"][tray]]
        if loaded is None or not outs:
            return (), None
        found = [(loaded, max(loaded, outs[0] - takes))]
        out = outs[0]
        for back in sorted(self._about(tray, MarkKind.BACK_IN), key=lambda mark: mark.happened_s):
            later = [each for each in outs if each > back.happened_s]
            end = later[0] - takes if later else back.happened_s + round(back.amount)
            found.append((back.happened_s, max(back.happened_s, end)))
            out = later[0] if later else found[-1][1]
        return tuple(found), out

    def _out(self, unload: Mark, tray: int) -> int:
        trays = unload.action.trays if unload.action else ()
        steps = self._index.steps
        order = sorted(trays, key=lambda each: (
            steps[each, "unload"].start_s if (each, "unload") in steps else 0, each
        ))  # fmt: skip
        after = len(order) - 1 - order.index(tray)
        return max(0, unload.happened_s - after * self._index.day.times.unload_s)

    def _stages(self, tray: int, bakes: tuple[Span, ...], out: int | None) -> Iterable[Stage]:
        for step in STEPS:
            planned, done = self._index.steps.get((tray, step)), self._done.get((tray, step))
            if planned is None:
                continue
            span = (planned.start_s, planned.end_s)
            real = (done.start_s, done.end_s) if done else None
            if step == "bake":
                real = (bakes[0][0], bakes[-1][1]) if bakes else None
            elif step == "unload" and out is not None:
                real = (min(bakes[-1][1], out), out)
            elif step in ("rest", "cool"):
                real = self._waited(tray, step, out)
            elif step == "transfer" and real and out is not None:
                rested = out + self._index.wait_after_s(tray, "unload")  # it may have gone back in
                real = (max(real[0], min(rested, real[1])), real[1])
            marked = done is not None and done.action in self._so_far.said
            if span[0] == span[1] and not marked:
                continue  # the day gives it no time: nobody did it
            place = planned.place or ""
            if step in ("load", "bake", "unload"):
                place = self._so_far.oven.get(tray, place)
            who = done.person if done and marked else None
            yield Stage(step, span, real, who, place, marked)

    def _waited(self, tray: int, step: str, out: int | None) -> Span | None:
        """Return how long a tray rested, or cooled: until the next hand took it."""
        moved, packed = self._done.get((tray, "transfer")), self._done.get((tray, "pack"))
        begin = out if step == "rest" or self._index.day.on_pan else moved.end_s if moved else None
        until = moved if step == "rest" else packed
        if begin is None or until is None:
            return None
        least = self._index.wait_after_s(tray, "unload") if step == "rest" else 0
        return begin, max(begin, min(until.end_s, max(until.start_s, begin + least)))

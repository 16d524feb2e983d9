"""What a replan takes as given: what is done with its inferred start, and what is under way."""

from __future__ import annotations

from collections import defaultdict

from benchplan.live.actions import FOR_GOOD, ONE_TRAY, Index, Planned
from benchplan.live.marked import as_marked
from benchplan.live.possible import can
from benchplan.live.progress import Progress, progress
from benchplan.live.turns import paused, ready_s, turns
from benchplan.model import Action, Day, Done, Mark, MarkKind, Past, Plan, UnderWay, standing
from benchplan.model.run import NOTED


def past(day: Day, plan: Plan, marks: tuple[Mark, ...], now_s: int) -> Past:
    """Return what marks say has happened by ``now_s``, and what people are taken to be doing.

    A done action began when its person's last one before it was done, or when what it needed was
    there, or after a break of theirs, whichever is latest. What nobody marked because it follows
    from other marks (a step of 0 s, or something that must have come before) is done at the
    moment it follows from and takes no time. A preheat is done when the oven is switched on.
    """
    found = as_marked(day, plan, marks)
    so_far = progress(found, marks, now_s)
    done = done_actions(found, so_far)
    under_way = []
    for turn in turns(found, so_far, now_s):
        begun = paused(so_far, turn, now_s)
        if turn.kind == "do" and turn.planned is not None:
            begun.append(turn.planned)
        for planned in begun:
            start = _begun(found, so_far, done, turn.person, planned, now_s)
            if start is not None:
                said = so_far.filled.get(planned.action)
                start = max(start, said.happened_s) if said else start
                under_way.append(UnderWay(planned.action, turn.person, start))
    return Past(
        now_s=now_s,
        done=done,
        under_way=tuple(under_way),
        away=(*found.news.absent, *_held(found, now_s)),
        bake_ends={
            tray: end
            for tray, loaded in so_far.at["load"].items()
            if (end := so_far.bake_end((tray,))) != loaded + found.recipe(tray).bake_for_s
        },
        ovens={
            tray: so_far.oven[tray]
            for tray, load in found.load_of.items()
            if tray in so_far.at["load"] and so_far.oven.get(tray, "") not in ("", load.oven)
        },
        filled={
            action.trays[0]: round(said.amount)
            for action, said in so_far.filled.items()
            if so_far.ended(action) is None
        },
        lost=found.news.lost,
        closed=frozenset(found.news.closed),
        fresh_hands=any(
            mark.what == MarkKind.PERSON_COMES and mark.happened_s == now_s
            for mark in standing(marks)
        ),
    )


def on_time(found: Index, marks: tuple[Mark, ...], now_s: int) -> bool:
    """Whether all was done by whom and at the second that the plan has it, and nothing else was."""
    planned = {each.action: each for each in found.planned}
    so_far = progress(found, marks, now_s)
    for mark in standing(marks):
        each = planned.get(mark.action) if mark.action else None
        if mark.what in NOTED:
            continue
        if mark.what != MarkKind.DONE or each is None:
            return False
        if (mark.happened_s, mark.person) != (each.end_s, each.person):
            return False
    return all(
        each.end_s >= now_s or so_far.ended(each.action) is not None for each in found.planned
    )


def _held(index: Index, now_s: int) -> list[tuple[int, tuple[int, int]]]:
    """Return when everybody's hands were stopped, until now at most."""
    spans = [(begin, now_s if end == FOR_GOOD else end) for begin, end in index.news.held]
    return [(person, span) for person in index.people for span in spans if span[0] < span[1]]


def done_actions(index: Index, so_far: Progress) -> tuple[Done, ...]:
    """Return everything that has happened, in the order in which it ended."""
    found = []
    last: dict[int, int] = defaultdict(int)
    said = [*so_far.said.items(), *so_far.filled.items()]
    for action, mark in sorted(said, key=lambda each: (each[1].happened_s, each[1].number)):
        end = mark.happened_s
        if mark.what == MarkKind.FILLED:
            last[mark.person] = max(last[mark.person], end)  # they were at it until then
            continue
        start = max(last[mark.person], min(end, ready_s(so_far, action, by=end) or 0))
        start = max([start, *_back(index, mark.person, start, end)])
        if action.what == "load" and (planned := _planned_load(index, action)) < end:
            start = max(start, planned)  # its card waits for that: nobody was at it before
        if action.what == "preheat":
            start = end
        else:
            last[mark.person] = end
        found.append(Done(action, mark.person, start, end))
    for planned, action in _unsaid(index, so_far):
        moment = so_far.ended(action)
        if moment is not None:
            found.append(Done(action, planned, moment, moment))
    return tuple(sorted(found, key=lambda done: (done.end_s, done.start_s, done.action)))


def _planned_load(index: Index, action: Action) -> int:
    """Return when the plan has a load begin; 0 where the plan does not say."""
    steps = [index.steps[tray, "load"] for tray in action.trays if (tray, "load") in index.steps]
    return min((step.start_s for step in steps), default=0)


def _back(index: Index, person: int, start: int, end: int) -> list[int]:
    """Return when a person came back from breaks between two moments."""
    return [over for who, (begin, over) in index.away if who == person and start < over <= end]


def _unsaid(index: Index, so_far: Progress) -> list[tuple[int, Action]]:
    """Return actions that follow from marks without being marked, with who did them."""
    told = {(tray, action.what) for action in so_far.said for tray in action.trays}
    found = [(each.person, each.action) for each in index.planned]
    # what takes no time has nobody; the first person is as good as any
    found += [
        (1, Action(stage, (tray,)))
        for tray in index.trays
        for stage in index.chain
        if stage in ONE_TRAY and (tray, stage) not in index.hand
    ]
    return [
        (person, action)
        for person, action in found
        if action not in so_far.said
        and not any((tray, action.what) in told for tray in action.trays)
    ]


def _begun(
    index: Index,
    so_far: Progress,
    done: tuple[Done, ...],
    person: int,
    planned: Planned,
    now_s: int,
) -> int | None:
    """Return when a person began what they are at; None when that cannot have begun yet.

    Work that was put down began in a stretch that the plan has for it and that nothing else of
    theirs took; anything else began when their last action was done.
    """
    action = planned.action
    ready = ready_s(so_far, action)
    if action.what == "change_scent" and not _scale_is_free(index, so_far, action):
        return None
    if action.what == "preheat" or not can(so_far, action) or ready is None:
        return None
    if action.what == "load":
        ready = max(ready, planned.begin_s)
    # What the plan has for later waits for a reason; a plan that follows the marks says when.
    if max(ready, planned.begin_s) > now_s:
        return None
    own = sorted(
        (each.start_s, each.end_s)
        for each in done
        if each.person == person and each.action in so_far.said and each.start_s < each.end_s
    )
    for begin, end in planned.parts[:-1]:
        moment = max(begin, ready)
        for taken, freed in own:
            if taken <= moment < freed:
                moment = freed
        if moment < min(end, now_s):
            return moment
    last = max((end for _, end in own), default=0)
    return min(now_s, max([last, ready, planned.begin_s, *_back(index, person, -1, now_s)]))


def _scale_is_free(index: Index, so_far: Progress, change: Action) -> bool:
    """Whether every fill that the plan has on a scale before a change of scent is done."""
    fill = index.steps.get((change.trays[0], "fill"))
    return fill is None or all(
        (tray, stage) == (fill.tray, "fill")
        or step.place != fill.place
        or step.start_s >= fill.start_s
        or so_far.ended(Action("fill", (tray,))) is not None
        for (tray, stage), step in index.steps.items()
        if stage == "fill"
    )

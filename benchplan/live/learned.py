"""How long work really takes, from past runs."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from statistics import median

from benchplan.live.actions import Index
from benchplan.live.marked import as_marked
from benchplan.live.past import done_actions
from benchplan.live.progress import progress
from benchplan.model import Day, Done, Mark, Plan, Run
from benchplan.model.record import UNENDED

LEARNED = ("fill", "set", "load", "unload", "transfer", "pack")


@dataclass(frozen=True, slots=True)
class Learned:
    """What past runs say of a step: the median ``seconds`` for each ``per``, of ``samples``."""

    step: str
    seconds: float
    per: str
    samples: int


def learned_times(runs: Iterable[tuple[Run, Day, Plan, tuple[Mark, ...]]]) -> tuple[Learned, ...]:
    """Return what real runs that have ended say of each step, in the order of the steps.

    A sample is one marked action: its seconds over its tins ("tin"), or over its trays for load
    and unload ("pan"). Left out are actions that the plan had in several stretches, that were
    interrupted by a break, a call or a word on them, or that took no time by their marks (several
    marked at once), and so are rehearsals and runs that were aborted: what went wrong is no pace.
    """
    found: dict[str, list[float]] = defaultdict(list)
    for run, day, plan, marks in runs:
        if run.rehearsal or run.state in (*UNENDED, "aborted"):
            continue
        lookups = as_marked(day, plan, marks)
        so_far = progress(lookups, marks)
        whole = {each.action for each in lookups.planned if len(each.parts) == 1}
        for done in done_actions(lookups, so_far):
            what, trays = done.action.what, done.action.trays
            if done.action not in so_far.said or done.action not in whole:
                continue
            if what not in LEARNED or done.end_s <= done.start_s:
                continue
            if done.action in so_far.filled or _was_away(lookups, done):
                continue
            if what in ("load", "unload"):
                count = len(trays)
            else:
                tray = lookups.trays[trays[0]]
                lost = 0 if what == "fill" else lookups.news.lost.get(tray.number, 0)
                count = (tray.fill_count if what == "fill" else tray.tins) - lost
            step = "clear" if what == "pack" and day.pack == "later" else what
            if count:
                found[step].append((done.end_s - done.start_s) / count)
    return tuple(
        Learned(
            step,
            median(found[step]),
            "pan" if step in ("load", "unload") else "tin",
            len(found[step]),
        )
        for step in (*LEARNED, "clear")
        if found[step]
    )


def _was_away(index: Index, done: Done) -> bool:
    """Whether somebody did an action right after a break, or was called from it."""
    if any(who == done.person and end == done.start_s for who, (_, end) in index.away):
        return True
    called = [span for who, span in index.news.absent if who == done.person]
    return any(
        begin < done.end_s and done.start_s < end for begin, end in (*called, *index.news.held)
    )

"""How a run stands and how it ends, in the words of the batch standard, and what it leaves over."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from benchplan.errors import BenchplanError
from benchplan.model import standing
from benchplan.model.words import count_words

if TYPE_CHECKING:
    from pathlib import Path

    from benchplan.carrying.session import Session
    from benchplan.live.state import State

LEGAL = {
    "hold": ("running",),
    "go on": ("held",),
    "stop": ("running", "held"),
    "abort": ("running", "held", "stopping"),
}
"""From which states a run can be held, gone on with (restarted), stopped and aborted.

The batch standard's example of a state transition diagram (ANSI/ISA-88.01, procedural states), from
memory; there stopping is a state of its own that ends in stopped.
"""
HEAD = "# What run {number} left over, as benchplan writes it.\n"
REFUSED = {
    "hold": "Nothing can be held: the run is {state}.",
    "go on": "Nothing is held: the run is {state}.",
    "stop": "The run cannot be stopped: it is {state}.",
    "abort": "The run cannot be aborted: it is {state}.",
}


def run_state(state: State) -> str:
    """Return how a run stands: one of ``model.run.RUN_STATES``, or "stopping"."""
    if state.ending == "abort":
        return "aborted"
    if state.complete:
        return "stopped" if state.ending == "stop" else "complete"
    if state.ending == "stop":
        return "stopping"
    return "held" if state.held_s is not None else "running"


def kept_state(state: State) -> str:
    """Return how a run stands as the book keeps it: one that is stopping is running still."""
    found = run_state(state)
    return "running" if found == "stopping" else found


def ended_s(session: Session) -> int:
    """Return when a run ended: with the last thing done, or with the word to end it."""
    whats = ("done", "stop", "abort")
    ends = [mark.happened_s for mark in standing(session.marks) if mark.what in whats]
    return max(ends, default=session.now_s())


def refused(session: Session, what: str) -> str:
    """Say why a mark of a kind cannot be made as the run stands; an empty text where it can."""
    state = session.state() if what in LEGAL else None
    if state is None or run_state(state) in LEGAL[what]:
        return ""
    return REFUSED[what].format(state=run_state(state))


def left_over(session: Session) -> str:
    """Write what a run left over into a plan file of its own, and say so; nothing left: no words.

    A rehearsal writes nothing, nor does a run of a sample day. It is never written over a file of
    another run, or a maker's own.
    """
    from benchplan import files, live
    from benchplan.files.folder import write_file
    from benchplan.files.samples import sample_paths

    plan_file, day, plan, run = session.plan_file, session.day, session.base_plan, session.run
    if plan_file is None or day is None or plan is None or run is None:
        return ""
    orders = live.leftover(day, plan, session.marks)
    if not orders:
        return ""
    head = HEAD.format(number=run.number)
    tins = count_words(sum(order.tins for order in orders), "tin")
    writes = "writes them into a plan file for another day"
    if session.rehearsal:
        return f"Left over: {tins}. A real run {writes}."
    if session.path is None or session.path.resolve() in {
        path.resolve() for path in sample_paths()
    }:
        return f"Left over: {tins}. A run of a plan file of your own {writes}."
    rest = replace(
        session.own_day or day,
        name=f"{(session.own_day or day).name}, the rest",
        orders=orders,
        queue=(),
    )
    path = rest_path(session.path, run.number)
    try:
        write_file(path, head + "\n" + files.snapshot(plan_file, rest), head)
    except BenchplanError as error:
        return f"Left over: {tins}. {error}"
    return f"Left over: {tins}. They stand in {path.name} for another day."


def rest_path(path: Path, run: int) -> Path:
    """Return where the rest of a run stands: beside its plan."""
    return path.with_name(f"{path.stem}_rest_of_run_{run}.toml")

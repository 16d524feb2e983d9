"""How a run stands, how it ends, in the words of the batch standard, and what is still to make."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from benchplan.errors import BenchplanError
from benchplan.model import standing
from benchplan.model.ids import MarkKind
from benchplan.model.run import NOTED
from benchplan.model.words import count_words

if TYPE_CHECKING:
    from pathlib import Path

    from benchplan.carrying.session import Session
    from benchplan.live.state import State
    from benchplan.model import Mark, Order

LEGAL = {
    MarkKind.HOLD: ("running",),
    MarkKind.GO_ON: ("held",),
    MarkKind.STOP: ("running", "held"),
    MarkKind.ABORT: ("running", "held", "stopping"),
}
"""From which states a run can be held, gone on with (restarted), stopped and aborted.

The batch standard's example of a state transition diagram (ANSI/ISA-88.01, procedural states), from
memory; there stopping is a state of its own that ends in stopped.
"""
HEAD = "# What run {number} did not make, as benchplan writes it.\n"
AFTER = (*NOTED, MarkKind.JUDGED, MarkKind.TAKE_BACK)
"""What can still be marked of a run that is over."""
REFUSED = {
    MarkKind.HOLD: "Nothing can be held: the run is {state}.",
    MarkKind.GO_ON: "Nothing is held: the run is {state}.",
    MarkKind.STOP: "The run cannot be stopped: it is {state}.",
    MarkKind.ABORT: "The run cannot be aborted: it is {state}.",
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
    """Return how a run stands as the book keeps it.

    One that is stopping is running still, and so is one that was aborted while something hot is
    unchecked: a run that is over is offered to nobody again.
    """
    found = run_state(state)
    hot = found == "aborted" and any(hot.trays for hot in state.hot)
    return "running" if hot or found == "stopping" else found


def ended_s(session: Session) -> int:
    """Return when a run ended: with the last thing done, or with the word to end it."""
    whats = (MarkKind.DONE, MarkKind.STOP, MarkKind.ABORT)
    ends = [mark.happened_s for mark in standing(session.marks) if mark.what in whats]
    return max(ends, default=session.now_s())


def refused(session: Session, what: MarkKind) -> str:
    """Say why a mark of a kind cannot be made as the run stands; an empty text where it can."""
    state = None if what in AFTER else session.state()
    if state is None:
        return ""
    if what in LEGAL:
        legal = run_state(state) in LEGAL[what]
        return "" if legal else REFUSED[what].format(state=run_state(state))
    return f"Nothing more can be marked: the run is {run_state(state)}." if state.complete else ""


def state_to_end(session: Session) -> State | None:
    """Return the state of the run that would be ended: on show, or on offer; None without one.

    One on offer is taken by its marks alone: what it says of anything hot does not need its plan.
    """
    from benchplan import clock, live
    from benchplan.carrying.recorded import day_and_plan

    if session.run is not None or session.offer is None:
        return session.state()
    run, marks = session.offer
    now_s = max((mark.entered_s for mark in marks), default=0)
    if not run.rehearsal:
        now_s = max(now_s, round(clock.elapsed(run.start, session.wall.now())))
    try:
        return live.state(*day_and_plan(run), marks, now_s)
    except BenchplanError:
        return None


def left_over(session: Session) -> str:
    """Write what a run did not make into a plan file of its own, and say so; often nothing.

    A rehearsal writes nothing, nor does a run of a sample day. It is never written over a file of
    another run, or a maker's own.
    """
    from benchplan.files.folder import write_file

    orders, path = _orders(session, session.marks), _own_path(session)
    if not orders or session.run is None:
        return ""
    tins = count_words(sum(order.tins for order in orders), "tin")
    writes = "writes them into a plan file for another day"
    if session.rehearsal:
        return f"Still to make: {tins}. A real run {writes}."
    if path is None:
        return f"Still to make: {tins}. A run of a plan file of your own {writes}."
    try:
        write_file(path, _text(session, orders), HEAD.format(number=session.run.number))
    except BenchplanError as error:
        return f"Still to make: {tins}. {error}"
    return f"Still to make: {tins}. They are in {path.name} for another day."


def left_over_no_more(session: Session) -> str:
    """Remove what ``left_over`` wrote at an end that is taken back, and say so.

    A file that is not, to the byte, what this run wrote then stays, and that is said too.
    """
    path, marks = _own_path(session), session.marks
    if path is None:
        return ""
    try:
        found = path.read_bytes()
    except FileNotFoundError:
        return ""
    except OSError as error:
        return f"{path.name} stays: it cannot be read ({error.strerror or error})."
    # The end was there before some of the last take-backs; what it wrote follows from its marks.
    while marks and marks[-1].what == MarkKind.TAKE_BACK:
        marks = marks[:-1]
        orders = _orders(session, marks)
        if orders and found == _text(session, orders).encode("utf-8"):
            try:
                path.unlink()
            except OSError as error:
                return f"{path.name} cannot be removed ({error.strerror or error}): do not bake it."
            return f"{path.name} is removed: what it held is in this day again."
    return f"{path.name} stays: it is not as this run wrote it."


def _orders(session: Session, marks: tuple[Mark, ...]) -> tuple[Order, ...]:
    """Return what a run with some marks does not make, as orders."""
    from benchplan import live

    day, plan = session.day, session.base_plan
    return () if day is None or plan is None else live.leftover(day, plan, marks)


def _own_path(session: Session) -> Path | None:
    """Return where the rest of the run on show stands; None where it is not written."""
    from benchplan.files.samples import sample_paths

    if session.run is None or session.plan_file is None or session.path is None:
        return None
    sample = session.path.resolve() in {path.resolve() for path in sample_paths()}
    return None if session.rehearsal or sample else rest_path(session.path, session.run.number)


def _text(session: Session, orders: tuple[Order, ...]) -> str:
    """Return the plan file of what the run on show did not make."""
    from benchplan import files

    day = session.file_day()
    assert day is not None
    assert session.plan_file is not None
    assert session.run is not None
    rest = replace(day, name=f"{day.name}, the rest", orders=orders, queue=())
    head = HEAD.format(number=session.run.number)
    return f"{head}\n{files.snapshot(session.plan_file, rest)}"


def rest_path(path: Path, run: int) -> Path:
    """Return where the rest of a run stands: beside its plan."""
    return path.with_name(f"{path.stem}_rest_of_run_{run}.toml")

"""A whole run played by a clumsy maker on a clock that only jumps: as fast as the planner plans."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchplan.carrying import work
from benchplan.carrying.carrier import Carrier
from benchplan.carrying.clumsy import Clumsy
from benchplan.carrying.due import next_due_s
from benchplan.carrying.session import Session
from benchplan.clock import ManualClock
from benchplan.errors import BenchplanError, Problem
from benchplan.model import Cannot

if TYPE_CHECKING:
    from pathlib import Path

    from benchplan.files import PlanFile
    from benchplan.model import Mark, Plan

SPEED = 60.0
LONGEST_S = 48 * 3600  # a run that goes on for longer is taken to be stuck


@dataclass(frozen=True, slots=True)
class Played:
    """How a run went: every mark, whether it ended, and, where not, why not."""

    marks: tuple[Mark, ...]
    plan: Plan
    complete: bool
    why: str = ""


class Rehearsal:
    """A run in the bench book with a clumsy maker of ``seed`` at it."""

    def __init__(self, plan_file: PlanFile, seed: int) -> None:
        self.clock = ManualClock(plan_file.day.start, SPEED)
        self.session = Session(self.clock, SPEED, lambda _start, _speed: self.clock)
        self.carrier = Carrier(self.session)
        self.maker = Clumsy(seed)
        self.session.open_file(plan_file)

    def begin(self) -> None:
        """Plan the day and begin; raises ``BenchplanError`` where either cannot be."""
        day = self.session.day
        assert day is not None
        plan = work.plan(day, self.carrier.known_fits(), lambda: False)
        if isinstance(plan, Cannot):
            raise BenchplanError(*(Problem(reason) for reason in plan.reasons))
        self.session.planned(day, plan)
        self.carrier.begin()
        if self.session.run is None:
            raise BenchplanError(Problem(self.session.message))

    def steps(self) -> Iterator[Mark]:
        """Yield each mark once it is in the book, until the run is complete or stuck."""
        while not self.session.done and self.session.now_s() < LONGEST_S:
            yield from self.maker.act(self.session, self.carrier)
            self.carrier.replanning.foresee()
            self._wait()

    def _wait(self) -> None:
        """Let time pass until the maker marks something, or until something changes."""
        state, now_s = self.session.state(), self.session.now_s()
        due = self.maker.due_s()
        if due is None and state is not None:
            due = next_due_s(state)
        self.clock.move(max(0, due - now_s) if due is not None else 60)

    def play(self) -> Played:
        """Play the run to its end and say how it went."""
        for _ in self.steps():
            pass
        session = self.session
        state, plan = session.state(), session.good_plan()
        assert state is not None
        assert plan is not None
        cards = "; ".join(card.words for card in state.cards)
        why = "" if session.done else f"Not complete after {LONGEST_S // 3600} h, at: {cards}."
        return Played(session.marks, plan, session.done, why)


def rehearse(path: Path, seed: int) -> Played:
    """Play a plan file's day with a clumsy maker; raises ``BenchplanError`` as reading does."""
    from benchplan.files import read_plan

    rehearsal = Rehearsal(read_plan(path), seed)
    try:
        rehearsal.begin()
        return rehearsal.play()
    finally:
        rehearsal.carrier.close()

"""The plan of a run follows its marks, worked out beside the bench.

The last few plans are at hand: whoever takes marks back sees at once what is to be done then.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any, Protocol

from benchplan.carrying import work
from benchplan.model.run import known_part, moving

if TYPE_CHECKING:
    from benchplan.carrying.session import Session
    from benchplan.model import Mark, Plan
    from benchplan.model.stop import Stop

TRAIL = 12  # plans that are kept: taking back further plans from the first one again
FORESEE_S = 30  # seconds of the run's clock between two forecasts while something is overdue


class Start(Protocol):
    """Does ``work`` and hands what it returns to ``take``; a later one of a group takes over."""

    def __call__(
        self, group: str, work: Callable[[Stop], Any], take: Callable[[Any], None]
    ) -> None: ...


def at_once(group: str, work: Callable[[Stop], Any], take: Callable[[Any], None]) -> None:
    """Do work where it is asked for, before anything else happens."""
    take(work(lambda: False))


class Replanning:
    """Keeps the plan of a session's run. ``followed`` is called whenever it follows all marks.

    ``followed_s`` is the second of the run that the shown plan was made at.
    """

    def __init__(self, session: Session, start: Start, followed: Callable[[], None]) -> None:
        self._session, self._start, self._followed = session, start, followed
        self._trail: dict[tuple[int, ...], Plan] = {}  # by the marks that each follows
        self.followed_s = 0

    def begin(self) -> None:
        """Forget what was planned for another run."""
        self._trail, self.followed_s = {}, 0

    def follow(self) -> None:
        """Plan what follows from the marks that stand; the cards do not wait for it.

        Until then the nearest plan that is known serves. One of fewer marks says nothing untrue:
        what was done and what is hot go by the marks. One that followed a mark which is taken back
        would: it has no work left after a stop.
        """
        session = self._session
        day, base, marks, now_s = session.day, session.base_plan, session.marks, session.now_s()
        if day is None or base is None:
            return
        self.followed_s = now_s
        nearest = known_part(self._trail, moving(marks))
        plan = self._trail.get(nearest, base)
        if nearest:
            self._keep(nearest, plan)
        if plan is not session.marked_plan:
            session.replanned(marks, plan)
        task = partial(work.followed, day, base, marks, now_s, dict(self._trail))
        self._start("replan", task, partial(self._take, marks))

    def _take(self, marks: tuple[Mark, ...], plans: tuple[Plan, Plan]) -> None:
        """Take the plan that follows some marks and how it looks by now."""
        followed, forecast = plans
        self._keep(moving(marks), followed)
        self._session.replanned(marks, followed)
        if forecast is not followed:
            self._session.forecast(marks, forecast)
        self._followed()

    def _keep(self, numbers: tuple[int, ...], plan: Plan) -> None:
        """Keep a plan as the latest; the one on show is never the first to go."""
        self._trail.pop(numbers, None)
        self._trail[numbers] = plan
        while len(self._trail) > TRAIL:
            del self._trail[next(iter(self._trail))]

    def foresee(self) -> None:
        """Plan the rest again when something is overdue, at most every ``FORESEE_S`` seconds.

        Without this the finish and what comes would stand still while nothing is marked.
        """
        session = self._session
        state, now_s = session.state(), session.now_s()
        if state is None or state.complete or now_s - self.followed_s < FORESEE_S:
            return
        day, plan, marks = session.day, session.marked_plan, session.marks
        late = any(card.action and card.end_s < now_s for card in state.cards)
        if day is None or plan is None or not late or self._behind(marks):
            return
        self.followed_s = now_s
        task = partial(work.replan, day, plan, marks, now_s)
        self._start("replan", task, partial(session.forecast, marks))

    def _behind(self, marks: tuple[Mark, ...]) -> bool:
        """Whether the plan does not follow all marks yet."""
        numbers = moving(marks)
        return known_part(self._trail, numbers) != numbers

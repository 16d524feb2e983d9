"""The state of a run at each second, worked out anew only as far as something has changed."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from benchplan import live
from benchplan.model import standing
from benchplan.model.ids import MarkKind

if TYPE_CHECKING:
    from collections.abc import Mapping

    from benchplan.live.actions import Index, Planned
    from benchplan.live.progress import Progress
    from benchplan.live.state import State
    from benchplan.model import Action, Day, Mark, Plan


@dataclass(frozen=True, slots=True)
class Moment:
    """All that a state depends on. ``marked`` is the plan that followed the last mark, ``plan``
    the newest one: it may differ by the time that passed since."""

    day: Day
    plan: Plan
    marked: Plan
    marks: tuple[Mark, ...]
    now_s: int

    def same_run(self, other: Moment) -> bool:
        """Whether nothing but time lies between two moments."""
        return self.same_plan(other) and self.plan is other.plan and self.marks is other.marks

    def same_plan(self, other: Moment) -> bool:
        """Whether two moments look at one plan of one day, by what was marked last."""
        return self.day is other.day and self.marked is other.marked


@dataclass(frozen=True, slots=True)
class _Lasting:
    """What does not change until the next mark or plan."""

    index: Index
    so_far: Progress | None
    expected: Mapping[Action, Planned]
    done: int


class Seeing:
    """Keeps what it found for one moment for those that come after it."""

    def __init__(self) -> None:
        self._last: tuple[Moment, _Lasting, State] | None = None
        self._overdue: dict[Action, tuple[int, int]] = {}  # when each should have begun and ended

    def state(self, moment: Moment) -> State:
        """Return the state by the plan of the last mark, with the newest plan's forecasts."""
        if self._last is not None and self._last[0].same_run(moment):
            before, lasting, state = self._last
            if before.now_s == moment.now_s:
                return state
        else:
            lasting = self._lasting(moment)
        state = self._dated(_state(moment, lasting))
        self._last = (moment, lasting, state)
        return state

    def _dated(self, state: State) -> State:
        """Let work that is overdue be so since it became it: a plan that a mark brings meanwhile
        has it end later, as nothing can end in the past.

        An oven's exit has a moment of its own, and no plan moves it.
        """
        undone = {card.action for card in state.cards} | {each.action for each in state.coming}
        self._overdue = {each: was for each, was in self._overdue.items() if each in undone}
        cards = []
        for card in state.cards:
            action = card.action
            if action is not None and action.what != "unload" and state.held_s is None:
                if card.end_s < state.now_s:
                    self._overdue.setdefault(action, (card.begin_s, card.end_s))
                begin_s, end_s = self._overdue.get(action, (card.begin_s, card.end_s))
                card = replace(card, begin_s=begin_s, end_s=end_s)
            cards.append(card)
        return replace(state, cards=tuple(cards))

    def _lasting(self, moment: Moment) -> _Lasting:
        index = self._index(moment)
        newest = () if moment.marked is moment.plan else live.actions(moment.plan)
        # What was done in no time at all is no action of the plan any more: count the marks.
        done = {mark.action for mark in standing(moment.marks) if mark.what == MarkKind.DONE}
        return _Lasting(
            index,
            live.lasting(index, moment.marks),
            {each.action: each for each in newest},
            len(done),
        )

    def _index(self, moment: Moment) -> Index:
        """Return a plan's lookups: those before, where the marks since change nothing in them."""
        if self._last is not None and self._last[0].same_plan(moment):
            before = self._last[0].marks
            since = moment.marks[len(before) :]
            if moment.marks[: len(before)] == before and not live.changing(since):
                return self._last[1].index
        return live.as_marked(moment.day, moment.marked, moment.marks)


def _state(moment: Moment, lasting: _Lasting) -> State:
    now_s, day = moment.now_s, moment.day
    state = live.state_of(lasting.index, moment.marks, now_s, lasting.so_far, lasting.expected)
    done = lasting.done
    state = replace(state, done=done, total=done + state.total - state.done)
    if moment.marked is moment.plan or state.complete:
        return state
    finish_s = max(moment.plan.finish_s, now_s)
    slack_s = None if day.finish_by_s is None else day.finish_by_s - finish_s
    return replace(state, finish_s=finish_s, slack_s=slack_s)

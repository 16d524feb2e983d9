"""What is new since it was last said: cards that changed, alarms, hot things that became due."""

from __future__ import annotations

import math

from benchplan import live
from benchplan.live.alarms import Stage
from benchplan.live.state import Card, Hot, State
from benchplan.model import Action, Day, Plan
from benchplan.plain import words
from benchplan.views.bench import OVENS_OFF, oven_wanted

REPEAT_S = 20.0  # real seconds between two sayings of one alarm while a tray should be out

WAITING = (Stage.NOW, Stage.OVERDUE)

Said = tuple[Action | None, str, bool]


class News:
    """Remembers what was said; everything is said once, and an exit that waits at intervals."""

    def __init__(self) -> None:
        self._cards: dict[int, Said] = {}
        self._hot: dict[tuple[str, str, tuple[int, ...]], str] | None = None
        self._alarmed: dict[tuple[Stage, str, tuple[int, ...]], float] = {}  # what was said when
        self._oven_wanted = True
        self.came_at: dict[int, float] = {}  # the real second at which a card came by itself

    def lines(self, day: Day, plan: Plan, state: State, monotonic: float, asked: bool) -> list[str]:
        """Return what is to be said at this moment; ``monotonic`` are real seconds.

        ``asked``: it comes of what the person typed, and does not take them by surprise.
        """
        found = self._alarms(state, monotonic)
        found += self._hot_things(state)
        for card in state.cards:
            if self._cards.get(card.person) != (said := _said(state, card)):
                before = self._cards.get(card.person)
                self._cards[card.person] = said
                if not asked and (before is None or before[0] != card.action):
                    self.came_at[card.person] = monotonic
                found.append(words.card_line(day, plan, state, card))
        return found

    def told(self, card: Card) -> bool:
        """Whether a card is the one that was said last of its person."""
        said = self._cards.get(card.person)
        return said is not None and said[0] == card.action

    def heard(self, state: State) -> None:
        """Take every card as said: somebody has just asked for them."""
        self._cards = {card.person: _said(state, card) for card in state.cards}

    def _alarms(self, state: State, monotonic: float) -> list[str]:
        before, self._alarmed, found = self._alarmed, {}, []
        for alarm in live.alarms(state):
            what = (alarm.stage, alarm.oven, alarm.trays)
            said = before.get(what, -math.inf)
            if said == -math.inf or (alarm.stage in WAITING and monotonic - said >= REPEAT_S):
                said = monotonic
                found.append(words.alarm_line(alarm, state.now_s))
            self._alarmed[what] = said
        return found

    def repeat_at(self) -> float | None:
        """Return the real second at which an alarm is said again; None where none is waiting."""
        waiting = [said for what, said in self._alarmed.items() if what[0] in WAITING]
        return min(waiting) + REPEAT_S if waiting else None

    def _hot_things(self, state: State) -> list[str]:
        before, self._hot = self._hot, {_key(hot): hot.state for hot in state.hot}
        wanted, self._oven_wanted = self._oven_wanted, oven_wanted(state)
        off = [OVENS_OFF] if wanted and not self._oven_wanted else []
        if before is None:
            return off
        new = [hot for hot in state.hot if before.get(_key(hot), hot.state) != hot.state]
        if off:  # one sentence says it of every oven
            new = [hot for hot in new if hot.kind != "idle"]
        return [*(said for hot in new if (said := words.hot_news(hot))), *off]


def _said(state: State, card: Card) -> Said:
    """Return what makes a card worth saying again: another action, or that it is overdue."""
    out = card.action is not None and card.action.what == "unload"  # its alarm says the rest
    late = card.action is not None and not out and state.now_s >= card.end_s + words.LATE_S
    return card.action, card.words, late


def _key(hot: Hot) -> tuple[str, str, tuple[int, ...]]:
    return hot.kind, hot.place, hot.trays

"""When an alarm rings: at each new stage, then at growing intervals while the exit is due."""

from __future__ import annotations

from dataclasses import dataclass

from benchplan.live.alarms import EXITS, Alarm, Stage, alarms
from benchplan.live.state import State

GAPS_S = (20.0, 40.0, 60.0)
"""Real seconds between two rings of a due exit; the last one holds from then on. The first leaves
time to take a tray out: nobody is rung at while doing what the bell asks for."""

LONGER_S = 20
"""A bake that ends so much later than it did was made longer; less is jitter and rings nothing."""


@dataclass(slots=True)
class _Exit:
    """What was rung for one load: how far its stages got, when it rang last, how often since."""

    trays: tuple[int, ...]
    due_s: int
    stage: int = -1
    rang: float = 0.0
    times: int = 0


class Ringing:
    """Remembers what has rung. One load in one oven is one alarm from its first ring to its end."""

    def __init__(self) -> None:
        self._exits: dict[str, _Exit] = {}
        self._told: set[tuple[Stage, str]] = set()  # alarms that ring once

    def rings(self, state: State, monotonic: float) -> Alarm | None:
        """Return the alarm to ring for now; ``monotonic`` are real seconds, whatever the run's.

        Of several that would ring at one moment the most urgent rings for all.
        """
        self._follow(state)
        found = alarms(state)
        due = [each for each in found if each.counts and self._due(each, monotonic)]
        once = {(each.stage, each.oven): each for each in found if not each.counts}
        due += [each for key, each in once.items() if key not in self._told]
        self._told = set(once)
        return due[0] if due else None

    def _follow(self, state: State) -> None:
        """Forget what has left its oven, and what was rung for a bake that was made longer."""
        hot = {each.place: each for each in state.hot if each.kind == "oven"}
        for oven in set(self._exits) - set(hot):
            del self._exits[oven]
        for oven, each in hot.items():
            held = self._exits.get(oven)
            if held is None or not set(held.trays) & set(each.trays):
                held = self._exits[oven] = _Exit(each.trays, each.until_s)
            if each.until_s > held.due_s + LONGER_S and held.stage >= 0:
                # Whoever made it longer stands there: what is near already is no news to them.
                held.stage = 0 if each.soon_s <= state.now_s else -1
                held.times = 0
            if abs(each.until_s - held.due_s) > LONGER_S or held.stage < 0:
                held.due_s = each.until_s
            held.trays = each.trays

    def _due(self, found: Alarm, monotonic: float) -> bool:
        """Say whether an exit's alarm rings now, and remember that it did."""
        held, stage = self._exits[found.oven], EXITS.index(found.stage)
        if stage > held.stage:
            held.times = 0
        elif found.stage is Stage.SOON or monotonic - held.rang < self._gap(held):
            return False
        else:
            held.times += 1
        held.stage, held.rang = max(stage, held.stage), monotonic
        return True

    def _gap(self, held: _Exit) -> float:
        return GAPS_S[min(held.times, len(GAPS_S) - 1)]

"""The live run: what marks say has happened, and what comes next. Time is always an argument."""

from benchplan.live.actions import Planned, actions
from benchplan.live.alarms import Alarm, alarm
from benchplan.live.checklist import DRY_CHECK, checklist
from benchplan.live.learned import Learned, learned_times
from benchplan.live.past import past
from benchplan.live.possible import possible
from benchplan.live.state import Away, Card, Coming, Hot, State, state

__all__ = [
    "DRY_CHECK", "Alarm", "Away", "Card", "Coming", "Hot", "Learned", "Planned", "State", "actions",
    "alarm", "checklist", "learned_times", "past", "possible", "state",
]  # fmt: skip

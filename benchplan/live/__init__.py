"""The live run: what marks say has happened, and what comes next. Time is always an argument."""

from benchplan.live.actions import Planned, actions
from benchplan.live.alarms import Alarm, alarm, alarms
from benchplan.live.checklist import DONE_CHECK, DRY_CHECK, LANDING_CHECK, checklist, required
from benchplan.live.learned import Learned, learned_times
from benchplan.live.leftover import leftover
from benchplan.live.marked import as_marked, changing
from benchplan.live.past import past
from benchplan.live.possible import possible
from benchplan.live.ringing import Ringing
from benchplan.live.state import Away, Card, Coming, Hot, State, checks, lasting, state, state_of

__all__ = [
    "DONE_CHECK", "DRY_CHECK", "LANDING_CHECK", "Alarm", "Away", "Card", "Coming", "Hot", "Learned",
    "Planned", "Ringing", "State", "actions", "alarm", "alarms", "as_marked", "changing",
    "checklist", "checks", "lasting", "learned_times", "leftover", "past", "possible", "required",
    "state", "state_of",
]  # fmt: skip

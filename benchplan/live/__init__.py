"""The live run: what marks say has happened, and what comes next. Time is always an argument."""

from benchplan.live.actions import Planned, actions
from benchplan.live.alarms import Alarm, Stage, alarm, alarms
from benchplan.live.checklist import Check, before_a_load, checklist, scents_of
from benchplan.live.learned import Learned, learned_times
from benchplan.live.leftover import leftover
from benchplan.live.marked import as_marked, changing
from benchplan.live.not_yet import MOST_OVER_K, REASONS, Unready, not_yet, not_yet_again, set_heat_c
from benchplan.live.past import on_time, past
from benchplan.live.possible import possible
from benchplan.live.progress import progress
from benchplan.live.ringing import Ringing
from benchplan.live.state import Away, Card, Coming, Hot, State, lasting, state, state_of

__all__ = [
    "MOST_OVER_K", "REASONS", "Alarm", "Away", "Card", "Check", "Coming", "Hot", "Learned",
    "Planned", "Ringing", "Stage", "State", "Unready", "actions", "alarm", "alarms", "as_marked",
    "before_a_load", "changing", "checklist", "lasting", "learned_times", "leftover", "not_yet",
    "not_yet_again", "on_time", "past", "possible", "progress", "scents_of", "set_heat_c", "state",
    "state_of",
]  # fmt: skip

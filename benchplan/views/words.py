"""Words that more than one screen says about a day and its plan."""

from __future__ import annotations

from benchplan.model import Day, Plan
from benchplan.model.words import at_clock, bound_words, finish_words, slack_words

__all__ = ["at_clock", "bound_words", "finish_words", "is_late", "slack_words"]


def is_late(day: Day, plan: Plan) -> bool:
    """Say whether a plan ends after the day's ``finish_by``."""
    return day.finish_by_s is not None and plan.finish_s > day.finish_by_s

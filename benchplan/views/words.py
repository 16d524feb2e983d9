"""Words that more than one screen says about a day and its plan."""

from __future__ import annotations

from benchplan.model import Day, Plan
from benchplan.model.words import at_clock, bound_words, count_words, finish_words, slack_words

__all__ = ["at_clock", "bound_words", "finish_words", "is_late", "slack_words"]


def is_late(day: Day, plan: Plan) -> bool:
    """Say whether a plan ends after the day's ``finish_by``."""
    return day.finish_by_s is not None and plan.finish_s > day.finish_by_s


def short_warnings(plan: Plan) -> tuple[str, ...]:
    """Return a plan's warnings, values past a limit in one: the Bench names each before a run."""
    past = len(plan.value_warnings)
    said = f"{count_words(past, 'value')} past a limit: the Bench names each before you start."
    return (said, *plan.warnings) if past else plan.warnings

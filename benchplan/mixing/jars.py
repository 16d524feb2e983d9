"""What a day needs in dry beads, scent by scent, counted back to the day a jar must be started."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, timedelta

from benchplan.model import Day
from benchplan.model.beads import beads_g
from benchplan.model.words import count_words

DRYING_DAYS = 14
"""A rule of thumb without a source, for a full load of oil at 20 to 22 °C and a shake a day."""
DAY_S = 86_400
WET_JARS = (
    "Wet jars never reach the oven. Beads are dry when nothing clings to the glass as you shake, "
    "nothing shines and a paper tissue stays clean; until then the jar waits, and so does the day."
)


@dataclass(frozen=True, slots=True)
class JarNeed:
    """The finished beads that a day needs of one scent, and the last date to start its jars on.

    ``tins`` still have to be filled and take ``beads_g`` with an allowance for overfilling.
    ``from_where`` says in words how long the jars are taken to dry, and how that is known.
    """

    scent: str
    tins: int
    beads_g: float
    start_by: date
    from_where: str


def jars_needed(day: Day) -> tuple[JarNeed, ...]:
    """Return what each scent of a day needs, the earliest start first; filled tins need nothing."""
    tins: dict[str, int] = defaultdict(int)
    grams: dict[str, float] = defaultdict(float)
    for order in day.orders:
        left = order.tins - order.filled
        if left > 0:
            tins[order.scent] += left
            grams[order.scent] += beads_g(day, order)
    found = []
    for scent, count in tins.items():
        days, from_where = _drying(day, scent)
        start_by = day.start.date() - timedelta(days=days)
        found.append(JarNeed(scent, count, grams[scent], start_by, from_where))
    return tuple(sorted(found, key=lambda need: (need.start_by, need.scent)))


def _drying(day: Day, scent: str) -> tuple[int, str]:
    known = day.scent(scent).drying_s
    if known is None:
        rule = "(rule of thumb; no jar of this scent has been timed yet)"
        return DRYING_DAYS, f"assumes {DRYING_DAYS} days {rule}"
    days = -(-known[1] // DAY_S)
    return days, f"takes {count_words(days, 'day')}, the longest its jars took so far"

"""A small day and its capacities for tests of the schedule; demo data of our own."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from benchplan.model import Cooling, Day, Order, Oven, Pan, Recipe, Tin
from benchplan.scheduling import Capacities, Shop


def small_day(**changes: Any) -> Day:
    """Return a day of 16 tins: two trays of 8, one oven, two pans, two stand places."""
    parts: dict[str, Any] = {
        "name": "Small day",
        "start": datetime(2026, 12, 5, 9, tzinfo=UTC),
        "orders": (Order("Sea fennel", "standard", 16),),
        "recipes": {"standard": Recipe("standard", "low 72", 31, 158, 420, cool_for_s=1980)},
        "tins": {"low 72": Tin("low 72", 72, 17)},
        "pans": {"small": Pan("small", (282, 206), (297, 221), count=2)},
        "ovens": {"countertop": Oven("countertop", (362, 292))},
        "cooling": Cooling(stand=2, mat_mm=(750, 430)),
    }
    parts.update(changes)
    return Day(**parts)


def shop(day: Day, on_pan: int = 8, on_shelf: int = 1, on_mat: int = 40) -> Shop:
    """Return the day with the same capacity for every pan, shelf and mat."""
    return Shop(
        day,
        Capacities(
            {(tin, pan): on_pan for tin in day.tins for pan in day.pans},
            {(pan, oven): on_shelf for pan in day.pans for oven in day.ovens},
            dict.fromkeys(day.tins, on_mat),
        ),
    )

"""A kit is known by the names of its ovens, pans and tins."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from benchplan.model import Day

Names = tuple[frozenset[str], ...]


def kit_of(day: Day) -> Names:
    """Return the names of a day's ovens, pans and tins."""
    return frozenset(day.ovens), frozenset(day.pans), frozenset(day.tins)


def kit_names(day_text: str) -> Names:
    """Return the ovens', pans' and tins' names in the text of a day; all empty where unreadable."""
    import tomllib

    try:
        found = tomllib.loads(day_text)
    except tomllib.TOMLDecodeError:
        found = {}
    return tuple(frozenset(found.get(part, ())) for part in ("ovens", "pans", "tins"))

"""A kit is known by the names of its ovens, pans and tins; what was confirmed on it, by a print."""

from __future__ import annotations

import hashlib
import json
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from benchplan.model import Day
    from benchplan.model.warning import ValueWarning

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


def fingerprint(day: Day, warning: ValueWarning) -> str:
    """Return what a confirmed value is known by: another kit, value or limit has another one."""
    kit = [sorted(names) for names in kit_of(day)]
    said = [kit, warning.id.value, warning.name, warning.value, warning.limit]
    return hashlib.sha256(json.dumps(said).encode()).hexdigest()[:16]

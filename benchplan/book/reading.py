"""Whether a record that was read from the book is one: SQLite keeps any value in any column."""

from __future__ import annotations

import math
from dataclasses import fields, is_dataclass
from functools import cache
from types import UnionType
from typing import Any, TypeVar, get_args, get_origin, get_type_hints

from benchplan.model import Run
from benchplan.model.run import RUN_STATES

UNREADABLE = (ValueError, TypeError, LookupError, AttributeError, OverflowError, RecursionError)
"""What a row raises that does not hold what its record holds."""
LARGEST = 10**10
"""No number in the book is beyond it; as seconds it is some three hundred years."""

T = TypeVar("T")


def sound(record: T) -> T:
    """Return a record as it is; raises ``ValueError`` where a value is not of its kind."""
    known = not isinstance(record, Run) or record.state in RUN_STATES
    if not known or not _is_a(record, type(record)):
        raise ValueError("a value of another kind")
    return record


def _is_a(value: Any, kind: Any) -> bool:
    if isinstance(kind, UnionType):
        return any(_is_a(value, each) for each in get_args(kind))
    if get_origin(kind) is tuple:
        return isinstance(value, tuple) and all(_is_a(each, get_args(kind)[0]) for each in value)
    if kind in (int, float):
        return isinstance(value, int | kind) and math.isfinite(value) and abs(value) <= LARGEST
    return isinstance(value, kind) and all(
        _is_a(getattr(value, name), each) for name, each in _kinds(kind).items()
    )


@cache
def _kinds(kind: Any) -> dict[str, Any]:
    if not is_dataclass(kind):
        return {}
    hints = get_type_hints(kind)
    return {each.name: hints[each.name] for each in fields(kind)}

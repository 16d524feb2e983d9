"""What a changed day changes in the data of its file: only what differs, nothing else."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from copy import deepcopy
from datetime import UTC, datetime, time, timedelta, timezone
from typing import Any

from benchplan import clock
from benchplan.errors import BenchplanError
from benchplan.files.fields import TABLES
from benchplan.files.moments import seconds_after
from benchplan.model import Break, Day, Order, QueuedTray

PLAIN = ("count", "flag", "choice")


def changed(data: dict[str, Any], before: Day, after: Day) -> dict[str, Any]:
    """Return ``data``, which was read as ``before``, as it must be to be read as ``after``.

    Name, display, orders, queue and everything under ``[day]`` may differ; kit and recipes may not.
    """
    found = deepcopy(data)
    if after.name != before.name:
        found["name"] = after.name
    for key, old, new in (("display", before.display, after.display), ("day", before, after)):
        for field in TABLES[key].fields:
            if field.kind in PLAIN and getattr(new, field.attr) != getattr(old, field.attr):
                found.setdefault(key, {})[field.key] = getattr(new, field.attr)
    _moments(found.setdefault("day", {}), before, after)
    if after.orders != before.orders:
        found["orders"] = _entries(
            found["orders"], before.orders, after.orders, _order, ("scent", "recipe")
        )
    if after.queue != before.queue:
        old_trays = found.get("trays", [])
        found["trays"] = _entries(old_trays, before.queue, after.queue, _tray, ())
        if not after.queue:
            del found["trays"]
    return found


def _moments(day: dict[str, Any], before: Day, after: Day) -> None:
    """Write the start, and each break and the finish where its written time no longer says it."""
    if after.start.astimezone(UTC) != before.start.astimezone(UTC):  # fold counts
        day["date"] = after.start.date()
        day["start"] = written_start(after.start)
    finish = _said(after.start, day["finish_by"]) if "finish_by" in day else None
    if finish != after.finish_by_s:
        day.pop("finish_by", None)
        if after.finish_by_s is not None:
            day["finish_by"] = time_at(after.start, after.finish_by_s)
    said = [_said(after.start, each["at"]) for each in day.get("breaks", [])]
    if after.breaks != before.breaks or said != [pause.at_s for pause in after.breaks]:
        day["breaks"] = [_break(after.start, pause) for pause in after.breaks]
        if not after.breaks:
            del day["breaks"]


def written_start(start: datetime) -> time | datetime:
    """Return the start as a file writes it: with its offset where clocks show it a second time."""
    if start.fold and start.replace(fold=0).utcoffset() != start.utcoffset():
        return start.replace(tzinfo=_offset(start), fold=0)
    return start.time()


def time_at(start: datetime, seconds: int) -> time | datetime:
    """Return a moment as a file writes it: a time of day, or with its date where that misleads."""
    local = clock.at(start, seconds)
    for said in (local.time().replace(fold=0), local.replace(tzinfo=None, fold=0)):
        if _said(start, said) == seconds:
            return said
    return local.replace(tzinfo=_offset(local), fold=0)


def _said(start: datetime, at: time | datetime) -> int | None:
    """Return the seconds a written moment stands for; None where the clocks leap over it."""
    try:
        return seconds_after(start, at)
    except BenchplanError:
        return None


def _offset(moment: datetime) -> timezone:
    return timezone(moment.utcoffset() or timedelta())


def _break(start: datetime, pause: Break) -> dict[str, Any]:
    found: dict[str, Any] = {"at": time_at(start, pause.at_s), "for": f"{pause.for_s} s"}
    if pause.for_s % 60 == 0:
        found["for"] = f"{pause.for_s // 60} min"
    if pause.away is not None:
        found["away"] = pause.away
    return found


def _entries(
    held: list[dict[str, Any]],
    before: Sequence[Any],
    after: Sequence[Any],
    write: Callable[[Any, dict[str, Any]], dict[str, Any]],
    same: tuple[str, ...],
) -> list[dict[str, Any]]:
    """Return the entries for ``after``, each made from the entry that was read as its like."""
    left = list(zip(before, held, strict=True))
    found = []
    for each in after:
        equal = [pair for pair in left if pair[0] == each]
        alike = [
            pair
            for pair in left
            if same and all(getattr(pair[0], k) == getattr(each, k) for k in same)
        ]
        if equal or alike:
            best = (equal or alike)[0]
            left = [pair for pair in left if pair is not best]
            found.append(dict(best[1]) if equal else write(each, dict(best[1])))
        else:
            found.append(write(each, {}))
    return found


def _order(order: Order, held: dict[str, Any]) -> dict[str, Any]:
    held |= {"scent": order.scent, "recipe": order.recipe, "tins": order.tins}
    if order.filled or "filled" in held:
        held["filled"] = order.filled
    return held


def _tray(tray: QueuedTray, held: dict[str, Any]) -> dict[str, Any]:
    one = len(set(tray.scents)) == 1
    held |= {"scent": tray.scents[0] if one else list(tray.scents), "recipe": tray.recipe}
    if one:
        held["tins"] = tray.tins
    if tray.pan is not None:
        held["pan"] = tray.pan
    return held

"""What the tables of the bench book hold, as records and back."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

from benchplan.model import Action, Item, ItemId, Mark, MarkKind, Reason, Run
from benchplan.model.record import Correction

RUN = "number, name, file, start, day_text, plan_text, rehearsal, speed, state, finished_s"
MARK = (
    "number, what, happened_s, entered_s, action, trays, place, turn, item, person, takes_back,"
    " amount, note, item_id, scent, reason"
)
JAR = "number, scent, started, note, failed_run, failed_mark"
CORRECTION = "mark, field, old, new, why, entered, number"

Row = tuple[Any, ...]


@dataclass(frozen=True, slots=True)
class RecentFile:
    """A plan file that was opened, and when it last was."""

    path: str
    name: str
    opened: datetime


@dataclass(frozen=True, slots=True)
class Jar:
    """A jar of beads: its scent, the day it was started, and a note.

    ``failed``: the run and the mark that said that its beads are not dry.
    """

    number: int
    scent: str
    started: date
    note: str = ""
    failed: tuple[int, int] | None = None


def file_key(file: str | Path) -> str:
    """Return the one spelling of a path under which a file's runs are kept."""
    return str(Path(file).resolve()) if str(file) else ""


def number_of(run: Run | int) -> int:
    """Return a run's number."""
    return run.number if isinstance(run, Run) else run


def value_of(text: str) -> Any:
    """Return what JSON holds, or None where it is none."""
    try:
        return json.loads(text)
    except (TypeError, ValueError, RecursionError):
        return None


def run_of(row: Row) -> Run:
    """Return the run of a row of ``RUN``."""
    number, name, file, start, day_text, plan_text, rehearsal, speed, state, finished_s = row
    begun = datetime.fromisoformat(start)
    return Run(
        number, name, file, begun, day_text, plan_text, bool(rehearsal), speed, state, finished_s
    )


def mark_of(row: Row) -> Mark:
    """Return the mark of a row of ``MARK``."""
    number, what, happened_s, entered_s, action, trays, place, turn, own, person, back = row[:11]
    amount, note, item_id, scent, reason = row[11:]
    said = None if action is None else Action(action, tuple(json.loads(trays)), place, turn)
    return Mark(
        MarkKind(what),
        happened_s,
        entered_s,
        said,
        Item(ItemId(item_id) if item_id else None, scent, own),
        person,
        back,
        number,
        amount,
        note,
        Reason(reason) if reason else None,
    )


def mark_row(mark: Mark) -> Row:
    """Return a mark as a row of ``MARK``."""
    action = mark.action or Action("")
    return (
        mark.number,
        mark.what,
        mark.happened_s,
        mark.entered_s,
        mark.action.what if mark.action else None,
        json.dumps(action.trays),
        action.place,
        action.turn,
        mark.item.own,
        mark.person,
        mark.takes_back,
        mark.amount,
        mark.note,
        mark.item.id or "",
        mark.item.scent,
        mark.reason or "",
    )


def recent_of(row: Row) -> RecentFile:
    """Return the recent file of a row of path, name, and when it was opened."""
    path, name, opened = row
    return RecentFile(path, name, datetime.fromisoformat(opened))


def jar_of(row: Row) -> Jar:
    """Return the jar of a row of ``JAR``."""
    number, scent, started, note, run, mark = row
    return Jar(number, scent, date.fromisoformat(started), note, (run, mark) if run else None)


def correction_of(row: Row) -> Correction:
    """Return the correction of a row of ``CORRECTION``."""
    mark, field, old, new, why, entered, number = row
    return Correction(mark, field, old, new, why, datetime.fromisoformat(entered), number)


def correction_row(correction: Correction) -> Row:
    """Return a correction as a row of ``CORRECTION``."""
    return (
        correction.mark,
        correction.field,
        correction.old,
        correction.new,
        correction.why,
        correction.entered.astimezone(UTC).isoformat(),
        correction.number,
    )

"""Records of runs in the bench book: read back whole, and corrected once a run is over."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from benchplan.errors import BenchplanError, Problem

if TYPE_CHECKING:
    from pathlib import Path

    from benchplan.book import BenchBook
    from benchplan.model import Day, Mark, Plan, Run
    from benchplan.model.record import Correction, Record


def record_of(book: BenchBook, number: int) -> Record:
    """Return the record of a run in the book; raises ``BenchplanError`` where it has none."""
    run = book.run(number)
    return read_record(run, book.marks(run), book.corrections(run))


def read_record(
    run: Run, marks: tuple[Mark, ...], corrections: tuple[Correction, ...] = ()
) -> Record:
    """Return the record of a run with its marks; raises ``BenchplanError`` for a torn day."""
    from benchplan.live.record import record

    day, plan = day_and_plan(run)
    try:
        return record(run, day, plan, marks, corrections)
    except KeyError as error:  # each is sound, and one names what the other does not know
        raise _torn(run, error) from None


def day_and_plan(run: Run) -> tuple[Day, Plan]:
    """Return the day of a run in the book and the plan it began with.

    Raises ``BenchplanError`` where the book holds them damaged.
    """
    from benchplan import files
    from benchplan.book import UNREADABLE
    from benchplan.papers.plan_json import plan_from_dict

    try:
        day = files.read_text(run.day_text, f"run {run.number}", kept=True).day
        return day, plan_from_dict(json.loads(run.plan_text))
    except (BenchplanError, *UNREADABLE) as error:
        raise _torn(run, error) from None


def _torn(run: Run, error: Exception) -> BenchplanError:
    return BenchplanError(
        Problem(
            f"Run {run.number} ({run.name}) cannot be read back: what the bench book holds of "
            f"its day is damaged ({error}).",
            "A copy of the book from before may have it whole.",
        )
    )


def last_bake_of(book: BenchBook, path: Path) -> Record | None:
    """Return the newest run of a plan file in which a tray was baked; rehearsals bake nothing."""
    for run in book.run_heads():
        if run.file == str(path.resolve()) and not run.rehearsal:
            found = record_of(book, run.number)
            if any(tray.baked_s is not None for tray in found.trays):
                return found
    return None

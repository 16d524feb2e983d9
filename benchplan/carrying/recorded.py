"""Records of runs in the bench book: read back whole, and corrected once a run is over."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from benchplan.errors import BenchplanError, Problem

if TYPE_CHECKING:
    from pathlib import Path

    from benchplan.book import BenchBook
    from benchplan.model import Mark, Run
    from benchplan.model.record import Correction, Record


def record_of(book: BenchBook, number: int) -> Record:
    """Return the record of a run in the book; raises ``BenchplanError`` where it has none."""
    run = book.run(number)
    return read_record(run, book.marks(run), book.corrections(run))


def read_record(
    run: Run, marks: tuple[Mark, ...], corrections: tuple[Correction, ...] = ()
) -> Record:
    """Return the record of a run with its marks; raises ``BenchplanError`` for a torn day."""
    from benchplan import files
    from benchplan.live.record import record
    from benchplan.papers.plan_json import plan_from_dict

    try:
        day = files.read_text(run.day_text, f"run {run.number}", kept=True).day
        plan = plan_from_dict(json.loads(run.plan_text))
    except (BenchplanError, ValueError, KeyError, TypeError) as error:
        raise BenchplanError(
            Problem(
                f"Run {run.number} ({run.name}) cannot be read back: what the bench book holds of "
                f"its day is damaged ({error}).",
                "A copy of the book from before may have it whole.",
            )
        ) from None
    return record(run, day, plan, marks, corrections)


def last_bake_of(book: BenchBook, path: Path) -> Record | None:
    """Return the newest run of a plan file in which a tray was baked; rehearsals bake nothing."""
    for run in book.runs():
        if run.file == str(path.resolve()) and not run.rehearsal:
            found = record_of(book, run.number)
            if any(tray.baked_s is not None for tray in found.trays):
                return found
    return None

"""A day of as many trays as asked, and a run of it in a bench book that stands somewhere."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from benchplan import files, live, planner
from benchplan.book import BenchBook
from benchplan.carrying.work import begun
from benchplan.model import Mark, Plan
from benchplan.model.stop import Iterations

SAMPLE = Path(__file__).parents[2] / "sample_runs" / "first_tray.toml"
A_PAN = 7  # tins


def write_day(path: Path, trays: int, *, all_at_once: bool = False) -> Path:
    """Write the first sample day with as many trays; ``all_at_once``: room for all to cool."""
    text = SAMPLE.read_text("utf-8")
    changes = {
        "tins = 14": f"tins = {trays * A_PAN}",
        "finish_by": "# finish_by",
        "[pans.long]": f'[pans.long]\ntins = {{ "wide low" = {A_PAN} }}',
        "count = 1": "count = 2",
    }
    if all_at_once:
        changes |= {'mat = ["26 in", "11 in"]': "mat_tins = 5000", "38 min": "95 min"}
        changes |= {'gap = "0.5 in"': ""}
    for old, new in changes.items():
        assert old in text, old
        text = text.replace(old, new)
    path.write_text(text, "utf-8")
    return path


def planned(path: Path) -> tuple[files.PlanFile, Plan]:
    """Return a day that was written and a plan of it that was hardly searched for."""
    plan_file = files.read_plan(path)
    plan = planner.plan_day(plan_file.day, Iterations(5))
    assert isinstance(plan, Plan)
    return plan_file, plan


def stand(home: Path, path: Path, hot: int, least: int = 0) -> int:
    """Put a real run of a day into the book in which so many trays cool; return how many marks.

    Everything is marked at its first seconds, so that every countdown still has long to go.
    ``least``: so many marks at least are made; with none to cool, trays are packed too.
    """
    plan_file, plan = planned(path)
    start = datetime.now(UTC).replace(microsecond=0)
    day = plan_file.day.begun_at(start)
    answer, day_text, plan_text = begun(plan_file, day, day, plan, {}, lambda: False)
    assert isinstance(answer, Plan)
    book = BenchBook.open(home)
    run = book.start_run(day.name, path, day.start, day_text, plan_text)
    marks: tuple[Mark, ...] = ()
    shown = answer
    while True:
        now = max(0, int((datetime.now(UTC) - day.start).total_seconds()))
        if len(live.state(day, shown, marks, now).hot) >= hot and len(marks) >= least:
            break
        may = [each for each in live.possible(day, shown, marks) if each.what != "pack" or not hot]
        order = ("pack", "transfer", "unload", "load", "set", "preheat", "change_scent", "fill")
        action = min(may, key=lambda each: (order.index(each.what), each.trays))
        marks += (book.add_mark(run, Mark("done", now, now, action)),)
        shown = planner.replan(day, shown, marks, now)
    book.close()
    return len(marks)

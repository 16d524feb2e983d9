"""The Book screen: runs that were, and what they say of how long work takes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, tzinfo

from benchplan import clock
from benchplan.keys import USUAL, Renamed, key_of
from benchplan.live import Learned
from benchplan.model import Day, Run
from benchplan.model.words import count_words
from benchplan.views.jars import date_words
from benchplan.views.rows import BLANK, Column, Piece, Row, listed, row, table, wrap_rows

RUN_COLUMNS = (
    Column("Date", 6),
    Column("Day", 8, spare=True),
    Column("Planned", right=True),
    Column("Finished", right=True),
    Column("Outcome", 8, spare=True),
)
LEARNED_COLUMNS = (
    Column("Step", 8),
    Column("Takes you", right=True),
    Column("A", 3),
    Column("This plan", right=True),
    Column("From"),
)

UNFINISHED = {"stopped": "stopped before its end", "aborted": "aborted", "held": "held, not ended"}


@dataclass(frozen=True, slots=True)
class PastRun:
    """A run with the finish that it was planned to have, in seconds from its start."""

    run: Run
    planned_s: int | None


def page(
    day: Day | None,
    runs: Sequence[PastRun],
    learned: Sequence[Learned],
    today: date,
    zone: tzinfo | None,
    at: int,
    width: int,
    height: int,
    keys: Renamed = USUAL,
) -> list[Row]:
    """Return the whole screen, the newest run first; ``at`` is the cursor's line, from 0."""
    hours = day.display.clock if day is not None else 24
    words = _learned(day, learned, width)
    rows = [row(Piece("Runs", "head"), f"  {count_words(len(runs), 'run')} in the bench book")]
    if not runs:
        rows += wrap_rows(
            f"No run yet. Bench (key {key_of('bench', keys)}) starts one: {key_of('done', keys)} "
            "begins the day, and what is marked done there is kept here. "
            f"{key_of('rehearse', keys)} on that page rehearses it sixty times as fast.",
            width,
        )
        return [*rows, BLANK, *words][:height]
    lines = [_run(each, today, zone, hours) for each in newest_first(runs)]
    head, found = table(RUN_COLUMNS, lines, width - 2)
    room = min(len(found), max(3, height - 3 - len(words)))
    at = min(max(at, 0), len(found) - 1)
    rows += [row("  ", *head), *listed(found, at, width, room), BLANK]
    return [*rows, *words][:height]


def newest_first(runs: Sequence[PastRun]) -> list[PastRun]:
    """Return the runs in the order of the lines on the page."""
    return sorted(runs, key=lambda each: each.run.number, reverse=True)


def _run(each: PastRun, today: date, zone: tzinfo | None, hours: int) -> tuple[str, ...]:
    run = each.run
    start = run.start.astimezone(zone)

    def shown(seconds: int | None) -> str:
        return "-" if seconds is None else clock.show_time(clock.at(start, seconds), hours)

    return (
        date_words(start.date(), today),
        run.name,
        shown(each.planned_s),
        shown(run.finished_s if run.state == "complete" else None),
        outcome(each),
    )


def outcome(each: PastRun) -> str:
    """Say how a run went: "12 min later than planned", "stopped", "not ended"; and a rehearsal."""
    run = each.run
    if run.state != "complete":
        said = UNFINISHED.get(run.state, "not ended yet")
    elif run.finished_s is None or each.planned_s is None:
        said = "complete"
    else:
        late = run.finished_s - each.planned_s
        said = "as planned"
        if abs(late) >= 60:
            said = f"{clock.show_minutes(abs(late))} {'later' if late > 0 else 'earlier'}"
    return f"REHEARSAL, {said}" if run.rehearsal else said


def _learned(day: Day | None, learned: Sequence[Learned], width: int) -> list[Row]:
    title = row(Piece("Learned times", "head"), "  the middle one of what was marked in real runs")
    if not learned:
        return [
            title,
            *wrap_rows(
                "None yet. They come from real runs that were brought to their end; rehearsals do "
                "not count.",
                width,
            ),
        ]
    lines = [
        (
            each.step,
            clock.show_span(each.seconds),
            each.per,
            "-" if day is None else _planned(day, each.step),
            count_words(each.samples, "mark"),
        )
        for each in learned
    ]
    head, found = table(LEARNED_COLUMNS, lines, width)
    return [title, head, *found]


def _planned(day: Day, step: str) -> str:
    """Return the time for a step that the open day's plan uses."""
    times = day.times
    used = {
        "fill": times.fill_s,
        "set": times.set_s,
        "load": times.load_s,
        "unload": times.unload_s,
        "transfer": times.transfer_s,
        "pack": times.pack_s,
        "clear": times.clear_s,
    }
    return clock.show_span(used[step]) if step in used else "-"

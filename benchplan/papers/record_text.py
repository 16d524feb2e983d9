"""The record of a run as text: the batch record that a maker keeps."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import tzinfo

from benchplan import clock
from benchplan.errors import printable
from benchplan.model import Run
from benchplan.model.cells import wrap
from benchplan.model.ids import MarkKind
from benchplan.model.plan import Span
from benchplan.model.record import Entry, Record, Stage, TrayRecord
from benchplan.model.words import count_words, list_words
from benchplan.papers.page import paragraph, table
from benchplan.papers.record_words import (
    STATES,
    correction_words,
    end_words,
    entry_words,
    late_words,
    left_words,
    packed_words,
    totals_words,
    when,
    who,
)

OTHERWISE = frozenset(MarkKind) - {
    MarkKind.DONE, MarkKind.TICK, MarkKind.TAKE_BACK, MarkKind.FILLED, MarkKind.CHECKED
}  # fmt: skip

Section = tuple[str, list[str]]


def record_text(record: Record, width: int | None = 80) -> str:
    """Return the whole record as lines of at most ``width`` cells; without it no column is cut."""
    wide, width = width, width or 80
    return "\n\n".join("\n".join([*title, *lines]) for title, lines in (
        (wrap(title, width), lines) for title, lines in sections(record, width, wide)
    )) + "\n"  # fmt: skip


def sections(record: Record, width: int, wide: int | None) -> list[Section]:
    """Return the parts of a record, each with its title; parts that say nothing are left out."""
    found = [
        (printable(f"RUN {record.run}: {record.name}"), _head(record, width)),
        ("OVENS ON", _preheats(record, wide)),
        *((_tray_title(record, tray), _tray(record, tray, width, wide)) for tray in record.trays),
        ("WHAT WENT OTHERWISE, AND READINGS", _otherwise(record, width)),
        ("EVERY MARK, IN ORDER", _marks(record, record.entries, width)),
        ("NAMES, GIVEN LATER", _names(record, width)),
    ]
    return [(title, lines) for title, lines in found if lines]


def _head(record: Record, width: int) -> list[str]:
    start = record.start
    lines = [
        f"{start:%A} {start.day} {start:%B %Y}, begun at {when(record, 0, exact=False)}; "
        f"{end_words(record)}.",
        f"{totals_words(record)}.",
    ]
    if late := [tray for tray in record.trays if tray.over_baked_s]:
        lines.append(late_words(late))
    if record.people:
        lines.append(f"By {list_words([who(record, each) for each in record.people])}.")
    if record.file:
        lines.append(f"Plan file: {record.file}")
    if record.rehearsal:
        lines.append("A rehearsal: nothing of this was baked.")
    return [line for each in lines for line in paragraph(each, width)]


def _preheats(record: Record, width: int | None) -> list[str]:
    rows = [("oven", "planned", "really", "by")]
    rows += [
        (each.place, _moment(record, each.planned), _moment(record, each.real), _by(record, each))
        for each in record.preheats
    ]
    return table(rows, width) if record.preheats else []


def _tray_title(record: Record, tray: TrayRecord) -> str:
    names = Counter(tray.scents)
    scents = ", ".join(f"{count} {name}" for name, count in names.items())
    left = left_words(record) if tray.outcome == "left over" else tray.outcome
    said = [f"{tray.packed} {packed_words(record)}" if tray.outcome == "packed" else left]
    if tray.scrapped:
        said.append(f"{tray.scrapped} scrapped")
    return f"TRAY {tray.number}: {scents}, {tray.recipe}, on {tray.pan}: {', '.join(said)}"


def _tray(record: Record, tray: TrayRecord, width: int, wide: int | None) -> list[str]:
    if all(each.real is None for each in tray.stages):
        return paragraph("Nothing of it was done.", width)
    rows = [("", "planned", "really", "took", "by")]
    for each in tray.stages:
        took = clock.show_span(each.real[1] - each.real[0]) if each.real else ""
        if each.step == "bake" and tray.baked_s is not None:
            took = clock.show_span(tray.baked_s)
        planned, real = _span(record, each.planned), _span(record, each.real)
        rows.append((each.step, planned, real, took, _by(record, each)))
    lines = table(rows, wide)
    if tray.baked_s is not None:
        planned = clock.show_span(tray.bake_for_s)
        count = len(tray.bakes)
        several = f" in {count_words(count, 'stretch', 'stretches')}" if count > 1 else ""
        took = f"{clock.show_span(tray.baked_s)}{several}"
        lines += paragraph(f"In the oven {took}; its recipe says {planned}.", width)
    return lines


def _by(record: Record, stage: Stage) -> str:
    if stage.marked and stage.person is not None:
        return who(record, stage.person)
    return "not marked" if stage.real and stage.step not in ("bake", "rest", "cool") else ""


def _moment(record: Record, span: Span | None) -> str:
    return when(record, span[0], exact=False) if span else "-"


def _span(record: Record, span: Span | None) -> str:
    if span is None:
        return "-"
    begin, end = (clock.at(record.start, each) for each in span)
    until = when(record, span[1], exact=False)
    if begin.date() == end.date():
        until = clock.show_time(end, record.clock)
    return f"{when(record, span[0], exact=False)} to {until}"


def _otherwise(record: Record, width: int) -> list[str]:
    found = (
        each
        for each in record.counting(*MarkKind)
        if each.mark.what in OTHERWISE or (each.mark.what == MarkKind.DONE and each.mark.reason)
    )
    return _marks(record, tuple(found), width)


def _names(record: Record, width: int) -> list[str]:
    return [
        line
        for each in record.corrections
        if not each.mark
        for line in paragraph(correction_words(record, each), width)
    ]


def _marks(record: Record, entries: Sequence[Entry], width: int) -> list[str]:
    """Return marks by their numbers, each with when and by whom, and what was corrected of it."""
    lines = []
    wide = max((len(str(each.mark.number)) for each in entries), default=1)
    for each in entries:
        mark = each.mark
        lead = f"  {mark.number:>{wide}}  {when(record, mark.happened_s)}  "
        by = f" ({who(record, mark.person)})" if len(record.people) > 1 else ""
        lines += paragraph(f"{entry_words(record, each)}{by}", width, lead)
        for correction in each.corrections:
            words = f"* corrected {correction_words(record, correction, each.first or mark)}"
            lines += paragraph(words, width, " " * (wide + 4))
    return lines


def runs_text(runs: Sequence[Run], zone: tzinfo, width: int | None = 80) -> str:
    """Return the list of runs in the bench book, the newest first, by the clocks of a zone."""
    if not runs:
        return "The bench book has no run yet. `benchplan open FILE` begins one on the Bench.\n"
    rows = [("run", "begun", "name", "how it ended")]
    for run in runs:
        start = run.start.astimezone(zone)
        begun = f"{start:%Y-%m-%d} {clock.show_time(start)}"
        ended = ("rehearsal, " if run.rehearsal else "") + STATES.get(run.state, run.state)
        rows.append((str(run.number), begun, run.name, ended))
    count = count_words(len(runs), "run")
    tail = f"{count}. `benchplan record {runs[0].number}` reads run {runs[0].number} back."
    return "\n".join([*table(rows, width, 1), "", tail]) + "\n"

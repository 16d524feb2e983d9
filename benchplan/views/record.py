"""The record of a run as rows: the same words as on paper."""

from __future__ import annotations

from benchplan.model.record import Record
from benchplan.papers.record_text import sections
from benchplan.views.rows import BLANK, Piece, Row, row, wrap

ASIDE = ("[taken back", "[does not count")  # an entry that is shown and does not count


def title(record: Record) -> str:
    """Return what stands above the rows."""
    return f"Record of run {record.run}"


def rows(record: Record, width: int) -> list[Row]:
    """Return the whole record; whoever shows it turns the pages."""
    found: list[Row] = []
    for head, lines in sections(record, width, width):
        found += [row(Piece(line, "head")) for line in wrap(head, width)]
        found += [row(Piece(line, _tone(line))) for line in lines]
        found.append(BLANK)
    return found[:-1]


def _tone(line: str) -> str:
    if any(words in line for words in ASIDE):
        return "quiet"
    return "warn" if line.lstrip().startswith("* corrected") else ""

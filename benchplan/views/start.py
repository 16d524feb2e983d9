"""The start page: what may be opened, with the cursor on one line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from benchplan.views.rows import BLANK, Piece, Row, cut, row, wrap, wrap_rows

ABOUT = (
    "Turns an order and a kit into a day that works, then stands at the bench and says what to do "
    "now, counting down everything that is hot."
)


@dataclass(frozen=True, slots=True)
class Entry:
    """A line that can be chosen; ``group`` is the heading that it stands under."""

    group: str
    name: str
    detail: str = ""


def start_rows(entries: Sequence[Entry], at: int, width: int, height: int) -> list[Row]:
    """Return the page; the line that the cursor is on is always among the rows."""
    head = [BLANK, *wrap_rows(ABOUT, width)]
    lines: list[Row] = []
    here = 0
    group = ""
    for number, entry in enumerate(entries):
        if entry.group != group:
            group = entry.group
            lines += [BLANK, row(Piece(group, "head"))]
        if number == at:
            here = len(lines)
        lines += _lines(entry, number == at, width)
    room = max(1, height - len(head))
    first = max(0, min(here - room // 2, len(lines) - room))
    shown, below = lines[first : first + room], len(lines) - first - room
    if first and here > first:
        shown[0] = row(Piece(f"  ▲ {first + 1} more lines above", "quiet"))
    if below > 0 and here + 2 < first + room:
        shown[-1] = row(Piece(f"  ▼ {below + 1} more lines below", "quiet"))
    return [*head, *shown]


def _lines(entry: Entry, chosen: bool, width: int) -> list[Row]:
    """Return an entry's name, and under it what there is to say about it."""
    name = cut(("→ " if chosen else "  ") + entry.name + " ", width)
    rows = [row(Piece(name, "pick" if chosen else "strong"))]
    return rows + [row("  ", Piece(line, "quiet")) for line in wrap(entry.detail, width - 2)]

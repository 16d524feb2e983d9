"""Rows of pieces: what every view returns. A piece is text with a tone; screens add the colour.

A row reads the same without its tones, so plain mode, tests and a terminal without colour lose
nothing. Widths are terminal cells.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from benchplan.model.cells import cell, cells, cut, left, right, wrap

TONES = (
    "",  # ordinary text
    "head",  # a heading
    "strong",  # what the eye should find first
    "quiet",  # rules, axes, hints
    "good",
    "warn",
    "late",
    "tell",
    "hot",  # oven and whatever has just left it
    "cool",  # standing or lying to cool
    "hands",  # hand work
    "away",  # a break
    "pick",  # what the cursor is on
)


@dataclass(frozen=True, slots=True)
class Piece:
    """Text in one tone, one of ``TONES``."""

    text: str
    tone: str = ""


Row = tuple[Piece, ...]
BLANK: Row = ()

__all__ = [
    "BLANK", "TONES", "Column", "Piece", "Row", "beside", "cells", "clip", "cut", "joined", "left",
    "listed", "plain", "right", "row", "runs", "table", "text_of", "wrap", "wrap_rows",
]  # fmt: skip


def row(*parts: str | Piece) -> Row:
    """Return a row of strings (ordinary text) and pieces."""
    return tuple(Piece(part) if isinstance(part, str) else part for part in parts if part)


def text_of(line: Row) -> str:
    """Return a row as plain text."""
    return "".join(piece.text for piece in line)


def plain(rows: Iterable[Row]) -> str:
    """Return rows as plain text, one a line, nothing at the ends of lines."""
    return "\n".join(text_of(line).rstrip() for line in rows)


def wrap_rows(text: str, width: int, tone: str = "", indent: str = "") -> list[Row]:
    """Return a text as rows in one tone."""
    return [row(Piece(line, tone)) for line in wrap(text, width, indent)]


def clip(line: Row, width: int) -> Row:
    """Return a row cut to ``width`` cells, without a mark of the cut."""
    kept: list[Piece] = []
    left_over = width
    for piece in line:
        if left_over <= 0:
            break
        size = cells(piece.text)
        if size <= left_over:
            kept.append(piece)
            left_over -= size
            continue
        text, used = "", 0
        for char in piece.text:
            if used + cell(char) > left_over:
                break
            text, used = text + char, used + cell(char)
        kept.append(Piece(text, piece.tone))
        break
    return tuple(kept)


def joined(line: Row) -> Row:
    """Return a row with neighbours of one tone made into one piece."""
    found: list[Piece] = []
    for piece in line:
        if found and found[-1].tone == piece.tone:
            found[-1] = Piece(found[-1].text + piece.text, piece.tone)
        else:
            found.append(piece)
    return tuple(found)


def beside(
    first: Sequence[Row], second: Sequence[Row], width: int, between: str = "  "
) -> list[Row]:
    """Return two blocks of rows side by side, the first ``width`` cells wide."""
    rows: list[Row] = []
    for number in range(max(len(first), len(second))):
        one = clip(first[number], width) if number < len(first) else BLANK
        two = second[number] if number < len(second) else BLANK
        used = sum(cells(piece.text) for piece in one)
        rows.append((*one, Piece(" " * (width - used) + between), *two) if two else one)
    return rows


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table: ``least`` cells at least, ``right`` for numbers, ``spare`` may be cut.

    A column with ``spare`` gives way first when the table is wider than the screen; one with
    ``drop`` above 0 is left out altogether when that is not enough, the highest first.
    """

    title: str
    least: int = 1
    right: bool = False
    spare: bool = False
    drop: int = 0


def table(
    columns: Sequence[Column],
    lines: Sequence[Sequence[str | Piece]],
    width: int,
    between: int = 2,
) -> tuple[Row, list[Row]]:
    """Return the heading row and one row a line, never wider than ``width`` cells.

    Columns are as wide as their longest entry. When that is too much, those marked ``spare``
    shrink, the widest first, to their ``least``; then those marked ``drop`` go, the highest
    number first.
    """
    kept = list(range(len(columns)))
    while True:
        wide = {
            at: max(
                [cells(columns[at].title), columns[at].least]
                + [cells(_text(line[at])) for line in lines]
            )
            for at in kept
        }
        over = sum(wide.values()) + between * (len(kept) - 1) - width
        spare = [at for at in kept if columns[at].spare]
        while over > 0 and (wider := [at for at in spare if wide[at] > columns[at].least]):
            wide[max(wider, key=lambda at: wide[at])] -= 1
            over -= 1
        going = [at for at in kept if columns[at].drop]
        if over <= 0 or not going:
            break
        kept.remove(max(going, key=lambda at: columns[at].drop))
    gap = " " * between

    def laid(line: Sequence[str | Piece], tone: str) -> Row:
        pieces: list[Piece] = []
        for at in kept:
            entry = line[at]
            align = right if columns[at].right else left
            own = entry.tone if isinstance(entry, Piece) else tone
            pieces += [Piece(gap)] if pieces else []
            pieces.append(Piece(align(_text(entry), wide[at]), own))
        return clip(tuple(pieces), width)

    titles = [column.title for column in columns]
    return laid(titles, "head"), [laid(line, "") for line in lines]


def _text(entry: str | Piece) -> str:
    return entry.text if isinstance(entry, Piece) else entry


def runs(numbers: Sequence[int]) -> str:
    """Return rising numbers with runs of them drawn together: "1-3, 7"."""
    found: list[list[int]] = []
    for number in numbers:
        if found and number == found[-1][-1] + 1:
            found[-1].append(number)
        else:
            found.append([number])
    return ", ".join(f"{run[0]}-{run[-1]}" if len(run) > 1 else str(run[0]) for run in found)


def listed(
    lines: Sequence[Row], cursor: int | None, width: int, height: int, marked: bool = True
) -> list[Row]:
    """Return the part of a list that has room, with the cursor's line in it and marked ``>``.

    ``cursor`` counts from 0; None marks nothing and shows the beginning. What is not shown is
    counted in the first or last row. Every line gets two cells in front for the mark, which is
    left out where ``marked`` is not (another list has the cursor).
    """
    if height <= 0 or width <= 2:
        return []
    count = len(lines)
    top, room = 0, height
    if count > height:
        top = min(max(0, (cursor or 0) - height // 2), count - height)
    above, below = top, max(0, count - top - room)
    rows: list[Row] = []
    for at in range(top, min(count, top + room)):
        line = clip(lines[at], width - 2)
        if above and at == top and at != cursor:
            rows.append(row(Piece(f"  ▲ {above + 1} more above", "quiet")))
        elif below and at == top + room - 1 and at != cursor:
            rows.append(row(Piece(f"  ▼ {below + 1} more below", "quiet")))
        elif at == cursor and marked:
            rows.append(row(Piece(left("> " + text_of(line), width), "pick")))
        else:
            rows.append((Piece("  "), *line))
    return rows

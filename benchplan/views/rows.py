"""Rows of pieces: what every view returns. A piece is text with a tone; colour is the screens' business.

A row reads the same without its tones, so plain mode, tests and a terminal without colour lose
nothing. Widths are terminal cells.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

TONES = (
    "",  # ordinary text
    "head",  # a heading
    "strong",  # what the eye should find first
    "quiet",  # rules, axes, hints
    "good",
    "warn",
    "late",
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


def row(*parts: str | Piece) -> Row:
    """Return a row of strings (ordinary text) and pieces."""
    return tuple(Piece(part) if isinstance(part, str) else part for part in parts if part)


def text_of(line: Row) -> str:
    """Return a row as plain text."""
    return "".join(piece.text for piece in line)


def plain(rows: Iterable[Row]) -> str:
    """Return rows as plain text, one a line, nothing at the ends of lines."""
    return "\n".join(text_of(line).rstrip() for line in rows)


def cells(text: str) -> int:
    """Return how many terminal cells a text takes: wide characters two, combining ones none."""
    if text.isascii():
        return len(text)
    return sum(_cells(char) for char in text)


def _cells(char: str) -> int:
    if unicodedata.combining(char):
        return 0
    return 2 if unicodedata.east_asian_width(char) in "WF" else 1


def cut(text: str, width: int) -> str:
    """Return a text of at most ``width`` cells; what is cut off shows as ``..``."""
    if cells(text) <= width:
        return text
    if width <= 2:
        return "." * max(width, 0)
    taken, used = "", 0
    for char in text:
        if used + _cells(char) > width - 2:
            break
        taken, used = taken + char, used + _cells(char)
    return taken.rstrip() + ".."


def left(text: str, width: int) -> str:
    """Return a text in exactly ``width`` cells, at the left."""
    text = cut(text, width)
    return text + " " * (width - cells(text))


def right(text: str, width: int) -> str:
    """Return a text in exactly ``width`` cells, at the right."""
    text = cut(text, width)
    return " " * (width - cells(text)) + text


def middle(text: str, width: int) -> str:
    """Return a text in exactly ``width`` cells, in the middle."""
    text = cut(text, width)
    spare = width - cells(text)
    return " " * (spare // 2) + text + " " * (spare - spare // 2)


def wrap(text: str, width: int, indent: str = "") -> list[str]:
    """Return a text as lines of at most ``width`` cells; ``indent`` begins all but the first."""
    lines: list[str] = []
    current = ""
    for word in text.split():
        lead = indent if lines else ""
        trial = f"{current} {word}" if current else lead + word
        if cells(trial) <= width or not current:
            current = trial
        else:
            lines.append(current)
            current = indent + word
    return [cut(line, width) for line in (*lines, current) if line.strip()]


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
            if used + _cells(char) > left_over:
                break
            text, used = text + char, used + _cells(char)
        kept.append(Piece(text, piece.tone))
        break
    return tuple(kept)


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
    shrink to their ``least``, then those marked ``drop`` go, the highest number first.
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
        for at in sorted((at for at in kept if columns[at].spare), key=lambda at: -wide[at]):
            given = max(0, min(over, wide[at] - columns[at].least))
            wide[at] -= given
            over -= given
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

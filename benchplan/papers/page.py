"""The pieces that every sheet is made of: paragraphs, tables, the head of a day."""

from __future__ import annotations

import re
from collections.abc import Sequence

from benchplan.errors import printable
from benchplan.model import Day
from benchplan.model.cells import cells, left, right, wrap
from benchplan.model.words import count_words

_NUMBER_AND_UNIT = re.compile(
    r"(?<=\d) (?=(?:h|min|s|mm|g|kg|ml|in|oz|°C|°F|am|pm)\b)"
    r"|(?<=\d min) (?=\d+ s\b)|(?<=\d h) (?=\d+ min\b)"
)


def date_words(day: Day) -> str:
    """Return the date: "Saturday 5 December 2026"."""
    return f"{day.start:%A} {day.start.day} {day.start:%B %Y}"


def day_words(day: Day) -> str:
    """Return who and what is there: "1 person, 2 scales, 1 oven, 3 pans"."""
    pans = sum(pan.count for pan in day.pans.values())
    return ", ".join(
        (
            count_words(day.people, "person", "people"),
            count_words(day.scales, "scale"),
            count_words(len(day.ovens), "oven"),
            count_words(pans, "pan"),
        )
    )


def paragraph(text: str, width: int, lead: str = "  ") -> list[str]:
    """Return a text wrapped under a lead such as "  " or "  - "; "30 s" stays together."""
    joined = re.sub(_NUMBER_AND_UNIT, "\u00a0", printable(text))
    lines = [line.replace("\u00a0", " ") for line in wrap(joined, width - cells(lead))]
    return [(lead if not number else " " * cells(lead)) + line for number, line in enumerate(lines)]


def table(rows: Sequence[tuple[str, ...]], width: int | None, numbers: int = 0) -> list[str]:
    """Return rows in columns, the first ``numbers`` of them right-aligned.

    Where the columns do not fit, the widest ones give way first; without a width nothing is cut.
    """
    rows = [tuple(printable(text, kept="") for text in row) for row in rows]
    widths = [max(cells(row[column]) for row in rows) for column in range(len(rows[0]))]
    room = sum(widths) if width is None else width - 2 * len(widths)
    while sum(widths) > room and max(widths) > 6:
        widths[widths.index(max(widths))] -= 1
    lines = []
    for row in rows:
        parts = [
            (right if column < numbers else left)(text, widths[column])
            for column, text in enumerate(row)
        ]
        lines.append(("  " + "  ".join(parts)).rstrip())
    return lines

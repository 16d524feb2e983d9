"""Text in terminal cells: how wide it is, and how it is cut, padded and wrapped."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache


def cells(text: str) -> int:
    """Return how many terminal cells a text takes: wide characters two, combining ones none."""
    if text.isascii():
        return len(text)
    return sum(map(cell, text))


@lru_cache(maxsize=4096)
def cell(char: str) -> int:
    """Return how many terminal cells one character takes."""
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
        if used + cell(char) > width - 2:
            break
        taken, used = taken + char, used + cell(char)
    return taken.rstrip() + ".."


def left(text: str, width: int) -> str:
    """Return a text in exactly ``width`` cells, at the left."""
    text = cut(text, width)
    return text + " " * (width - cells(text))


def right(text: str, width: int) -> str:
    """Return a text in exactly ``width`` cells, at the right."""
    text = cut(text, width)
    return " " * (width - cells(text)) + text


def wrap(text: str, width: int, indent: str = "") -> list[str]:
    """Return a text as lines of at most ``width`` cells; ``indent`` begins all but the first.

    A word that is wider than a line is broken rather than cut, so that nothing is lost. What a
    no-break space joins stays on one line.
    """
    lines: list[str] = []
    current = ""
    for word in re.split(r"[ \t\r\n]+", text.strip()):
        trial = f"{current} {word}" if current.strip() else current + word
        if cells(trial) <= width:
            current = trial
            continue
        if current.strip():
            lines.append(current)
            current = indent
        for char in word:
            if cells(current) + cell(char) > width and current.strip():
                lines.append(current)
                current = indent
            current += char
    return [*lines, current] if current.strip() else lines

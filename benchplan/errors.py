"""The one base error: what is wrong, where, what was found, and what would do."""

from __future__ import annotations

from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is wrong with what a person gave.

    ``what`` is a whole sentence that names the thing and what was found; ``cure`` is a sentence
    (or nothing) that says what would do. ``file``, ``line`` (from 1) and ``key`` (a dotted path
    such as ``recipes.standard.fill`` or ``orders[2].tins``, counted from 1) say where, as far
    as it is known.
    """

    what: str
    cure: str = ""
    key: str = ""
    file: str = ""
    line: int = 0

    def at(self, file: str, line: int) -> Problem:
        """Return the same problem with its place in a file filled in."""
        return replace(self, file=file, line=line)

    def __str__(self) -> str:
        place = self.file + (f":{self.line}" if self.line else "")
        head = ": ".join(part for part in (place, self.key) if part)
        body = self.what + (f" {self.cure}" if self.cure else "")
        return f"{head}: {body}" if head else body


class BenchplanError(Exception):
    """What a person gave cannot be used; ``problems`` holds all of it, never just the first."""

    def __init__(self, *problems: Problem) -> None:
        super().__init__("\n".join(str(problem) for problem in problems))
        self.problems = problems


def printable(text: str, kept: str = "\n\u00a0\u202f") -> str:
    """Return a text that a terminal shows and never obeys: ``?`` for what it cannot show.

    Whatever is printed goes through this at the edge: a note, a scent or a file's name may hold
    commands of a terminal. Ends of lines and no-break spaces are ``kept``, tabs are spaces.
    """
    if text.isprintable():
        return text
    if "\n" in kept and "\n" in text:  # line by line: nearly all of them are printable, and quick
        return "\n".join(printable(line, kept) for line in text.split("\n"))
    text = text.replace("\t", " ")
    return "".join(each if each.isprintable() or each in kept else "?" for each in text)

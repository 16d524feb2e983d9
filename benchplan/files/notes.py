"""Problems are gathered, never raised one by one: a person mends a file in one go."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from benchplan.errors import BenchplanError, Problem
from benchplan.files.lines import Path
from benchplan.files.source import Source

Note = Callable[[Path, str, str], None]


@dataclass(slots=True)
class Notes:
    """What is wrong in a plan file and its kit."""

    problems: list[Problem] = field(default_factory=list)

    def within(self, source: Source) -> Note:
        """Return a function that notes a problem with a key of ``source``."""

        def note(path: Path, what: str, cure: str) -> None:
            self.problems.append(source.problem(path, what, cure))

        return note

    def raise_if_any(self, files: list[str]) -> None:
        """Raise all problems as one error, in the order of ``files`` and their lines."""
        if self.problems:
            found = sorted(
                dict.fromkeys(self.problems),
                key=lambda each: (files.index(each.file) if each.file in files else -1, each.line),
            )
            raise BenchplanError(*found)

"""What the verbs share: exit codes, and reading what was given."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from benchplan.errors import BenchplanError
from benchplan.shell import complain, say

if TYPE_CHECKING:
    from benchplan.book import BenchBook
    from benchplan.files import PlanFile
    from benchplan.model import Day

DONE, CANNOT, BAD_INPUT, STOPPED = 0, 1, 2, 130


def read(given: argparse.Namespace) -> PlanFile:
    """Return the plan file that was named; raises ``BenchplanError`` with all its problems."""
    from benchplan.files import read_plan

    return read_plan(Path(given.file))


@contextmanager
def placing(plan_file: PlanFile) -> Iterator[Day]:
    """Give the day of a file, and give what the planner refuses in it its file and line."""
    try:
        yield plan_file.day
    except BenchplanError as error:
        raise BenchplanError(
            *(
                problem.at(*plan_file.place(problem.key)) if problem.key else problem
                for problem in error.problems
            )
        ) from None


@contextmanager
def opened_book() -> Iterator[BenchBook]:
    """Give the open bench book, after what opening it had to say."""
    from benchplan.book import BenchBook

    book = BenchBook.open()
    book.tell = complain
    try:
        if book.notice:
            complain(book.notice)
        yield book
    finally:
        book.close()


def teller(given: argparse.Namespace) -> Callable[[str], None]:
    """Return what tells the path of a drawing: beside JSON that is no output."""
    return complain if given.json else lambda line: say(f"{line}\n")


def refuse(reasons: Sequence[str]) -> int:
    """Say why a day cannot be done, and return the exit code for it."""
    complain("This day cannot be done:")
    for reason in reasons:
        complain(f"  - {reason}")
    return CANNOT

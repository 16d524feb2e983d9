"""What the tests of the screens share: the small day made by hand for the views."""

from __future__ import annotations

import sys
from dataclasses import replace
from itertools import count
from pathlib import Path

import pytest

from benchplan.book import BenchBook
from benchplan.model import Mark, Run

sys.path.insert(0, str(Path(__file__).parents[1] / "views"))


@pytest.fixture
def any_mark(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the book take marks of every kind, and number them; none of them is on the disk."""
    numbers = count(1)

    def add_mark(self: BenchBook, run: Run | int, mark: Mark, *_: object) -> Mark:
        return replace(mark, number=next(numbers))

    monkeypatch.setattr(BenchBook, "add_mark", add_mark)

"""Killing the program at random moments of a rehearsal loses no mark that it has committed."""

from __future__ import annotations

import os
import random
import re
import sqlite3
from pathlib import Path

import pyte
import pytest
from real_terminal import Terminal

from benchplan import clock
from benchplan.book import BenchBook
from benchplan.files.samples import sample_paths
from benchplan.model import Mark
from benchplan.screens.app import HELD_S
from benchplan.screens.bench import SHOWN_FOR_S

DOWN = "\x1b[B"
KILLS = 20
SAMPLE = next(path for path in sample_paths() if path.stem == "winter_fair")

CLOCK = r"\d\d:\d\d:\d\d"


class Seen(Terminal):
    """A terminal whose screen can be read."""

    def __init__(self, home: Path, *arguments: str) -> None:
        super().__init__(home, *arguments)
        self.screen = pyte.Screen(80, 24)
        self._stream = pyte.ByteStream(self.screen)
        self._shown = 0
        self.typed = ""

    @property
    def text(self) -> str:
        self._stream.feed(self.said[self._shown :])
        self._shown = len(self.said)
        return "\n".join(self.screen.display)

    def until(self, pattern: str) -> str:
        """Read until the screen shows ``pattern`` and return what it matched."""
        while (found := re.search(pattern, self.text)) is None:
            self.read_more()
        return found.group()

    def type(self, keys: str) -> None:
        self.typed = keys
        os.write(self.side, keys.encode())

    def until_heard(self, shown: tuple[int, int | None]) -> None:
        """Read until keys have changed what was ``shown`` or opened a question, or the clock has
        gone on three times."""
        seconds = set(re.findall(CLOCK, self.text))
        while self.marked() == shown and seconds and len(seconds) <= 3:
            self.read_more()
            seen = re.findall(CLOCK, self.text)
            seconds = seconds | set(seen) if seen else set()

    def marked(self) -> tuple[int, int | None]:
        """Return how many items the card shows as ticked, and how many actions are done."""
        return self.text.count("[x]"), self.done()

    def done(self) -> int | None:
        """Return how many actions the Bench says are done, or None where it is not on show."""
        found = re.search(r"(\d+) of \d+ done", self.text)
        return int(found.group(1)) if found else None


def marks_in(home: Path) -> tuple[Mark, ...]:
    """Return the marks of the one run in the book; the database itself must be whole."""
    database = next(home.glob("*.sqlite"))
    with sqlite3.connect(database) as raw:
        assert raw.execute("pragma integrity_check").fetchone() == ("ok",)
    book = BenchBook.open(home)
    try:
        (run,) = book.runs()
        assert run.rehearsal
        return book.marks(run)
    finally:
        book.close()


def begin(seen: Seen, first: bool) -> None:
    """Open the Bench and begin the rehearsal, or go on with it."""
    seen.until("Finish|ends")
    seen.type("4")
    if first:
        seen.until("Enter starts the rehearsal")
        entered = clock.monotonic()
        seen.type("\r")
        seen.until("Before the first run on this kit")
        while (below := seen.until(r"The end|\d+ more lines")) != "The end":
            seen.type(DOWN)  # Enter as fast as this is a key held down, and turns no page
            while seen.until(r"The end|\d+ more lines") == below:
                seen.read_more()
        while clock.monotonic() - entered < 2 * HELD_S:  # else it is the first one, held down
            seen.read_more(0.05)
        seen.type("\r")
    else:
        seen.until("Enter resumes it")
        seen.type("\r")
    seen.until(r"\d+ of \d+ done")


@pytest.mark.parametrize("seed", [1])
def test_twenty_kills_lose_no_mark(tmp_path: Path, seed: int) -> None:
    chance = random.Random(seed)
    before: tuple[Mark, ...] = ()
    shown = 0
    for kill in range(KILLS):
        seen = Seen(tmp_path, "open", str(SAMPLE), "--speed", "60")
        try:
            begin(seen, first=kill == 0)
            taken_up = seen.done()
            assert taken_up is not None
            assert taken_up >= shown, "the screen had shown more done than it goes on with"
            shown_at = clock.monotonic()  # a key counts once its card has been on show for a while
            while clock.monotonic() - shown_at < 1.2 * SHOWN_FOR_S:
                seen.read_more()
            marked = seen.marked()
            seen.type(chance.choice(["  \r", " \r ", "\r", "\rU", " \r  \r"]))
            if kill % 2:  # a busy machine may take long to hear a key at all
                seen.until_heard(marked)
            for _ in range(chance.randrange(30)):
                seen.read_more(0.05)
            # A take-back may be in the book and not yet on the screen.
            shown = (seen.done() or taken_up) - ("U" in seen.typed)
            seen.process.kill()
            seen.process.wait()
        finally:
            seen.close()
        after = marks_in(tmp_path)
        assert after[: len(before)] == before, "a committed mark is gone or changed"
        assert [mark.number for mark in after] == list(range(1, len(after) + 1))
        before = after
    assert len(before) > KILLS // 4, "too few marks to have tried anything"

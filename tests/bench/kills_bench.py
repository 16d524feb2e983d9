"""A rehearsal that is killed (kill -9) again and again: what was said is in the book; by hand.

    python tests/bench/kills_bench.py 1000 1

A real process carries a small day in the plain telling, with the real clock and a real bench book,
and is killed at a random moment; the next one goes on with the run. After every kill: is each mark
that was said in the book, once, in order; are the numbers 1 to n; and on return, is all that is hot
told as it follows from what was said before? It stops at the first fault. The day's tins a pan are
stated and its plan is hardly searched for, so that a start is short.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from queue import Queue
from random import Random
from threading import Thread
from typing import IO

from live_days import write_day

from benchplan import live, planner
from benchplan.book import BenchBook
from benchplan.carrying.work import taken_up
from benchplan.model import Mark, Run, standing
from benchplan.plain.words import hot_lines
from benchplan.views.bench import action_said
from benchplan.views.marks import back_words, mark_words

TRAYS, SPEED, PATIENCE_S = 4, 5.0, 60.0
AT_START = 0.08  # share of the kills that do not wait for the first line
CHILD = """
import sys
from pathlib import Path
from live_days import planned
from benchplan.plain import tell_run
from benchplan.shell import say
tell_run(*planned(Path(sys.argv[1])), float(sys.argv[2]), lambda line: say(line + "\\n"), None)
"""
WORDS = {  # what is typed, and how often; a "1" answers how a tray is baked
    "tick all\ndone\n1": 24, "other 1\n1": 14, "other 2\n1": 4, "done\n1": 6, "tick": 3,
    "back": 3, "back 2": 1, "hold\non": 2, "hold": 1, "on": 8, "longer": 1, "filled 3": 1,
    "skip telephone": 1, "scrap 1 of 2 dropped": 1, "under": 1, "done 1\n1": 1,
}  # fmt: skip
MADE = (
    "Marked done", "Ticked: ", "Passed over: ", "Taken back: ", "Held. ", "Going on.", "Scrapped: ",
    "Back in for ",
)  # fmt: skip
MADE_TOO = (" more before: ", " filled so far.")
OFF = (-2, -1, 0, 1)  # seconds that a moment heard of may be off: one, and whole seconds


class Child:
    """One process of the program; its lines come with the moment at which they were read."""

    def __init__(self, home: Path, path: Path) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "-c", CHILD, str(path), str(SPEED)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            env=dict(os.environ, BENCHPLAN_HOME=str(home), PYTHONUTF8="1"),
            cwd=Path(__file__).parent,
        )
        assert self._process.stdin
        self._in: IO[bytes] = self._process.stdin
        self._lines: Queue[tuple[float, str] | None] = Queue()
        self._reader = Thread(target=self._read, daemon=True)
        self._reader.start()

    def _read(self) -> None:
        for line in self._process.stdout or ():
            if line.endswith(b"\n"):  # one cut by the blow says nothing
                self._lines.put((time.perf_counter(), line.decode().rstrip("\n")))
        self._lines.put(None)

    def type(self, text: str) -> None:
        self._in.write(f"{text}\n".encode())
        self._in.flush()

    def until(self, true: Callable[[str], bool]) -> list[tuple[float, str]]:
        """Return the lines up to the one of which something is true."""
        found = []
        while (line := self._lines.get(timeout=PATIENCE_S)) is not None:
            found.append(line)
            if true(line[1]):
                return found
        raise SystemExit(f"FAULT: it ended by itself after {found[-9:]}")

    def kill(self) -> list[tuple[float, str]]:
        """Kill it, and return what it had still said; it must not have complained."""
        self._process.kill()
        self._process.wait()
        self._reader.join()
        with suppress(BrokenPipeError):
            self._in.close()
        left = list(iter(self._lines.get, None))
        for _, line in left:
            check("fault" not in line and "Traceback" not in line, line)
        return left


class Bench:
    """The bench beside the process: it goes by what was said, and looks into the book after."""

    def __init__(self, folder: Path, seed: int) -> None:
        self.chance, self.home, self.path = Random(seed), folder, folder / "day.toml"
        write_day(self.path, TRAYS)
        self.said: tuple[Mark, ...] = ()  # each at the second at which it was heard of
        self.run: Run | None = None
        self.over = self.last_s = 0
        self.figures: Counter[str] = Counter()
        self.off_s = 0.0

    def kill_once(self) -> None:
        """Go on with the run, mark, kill, and look into the book."""
        child, begin_s, chance = Child(self.home, self.path), self.last_s, self.chance
        self.figures["kills"] += 1
        if chance.random() < AT_START:
            child.type("on\ntick\ndone")
            time.sleep(chance.uniform(0, 1.2))
            child.kill()
            self.figures["kills at the start"] += 1
            return self._look([], 0.0, 2)
        child.until(lambda line: line.endswith("help lists the words."))
        child.type(f"{'on' if self.run else 'start'}\nzzz0\nhot\nzzz1")
        answers = child.until(lambda line: "zzz0" in line)
        begun, said = answers[0]  # a day that its last mark completed says what is left over
        check(
            said.startswith(("Going on.", "The run is on.", "Still to make: ")),
            f"on return: {said}",
        )
        hot = child.until(lambda line: "zzz1" in line)
        if self.run is not None:
            self._returned([line for _, line in hot[:-1]], begin_s + (hot[0][0] - begun) * SPEED)
        groups = chance.choices(list(WORDS), list(WORDS.values()), k=chance.randint(3, 12))
        child.type("\n".join(f"{words}\nzzz{at}" for at, words in enumerate(groups, 2)))
        wanted = chance.randrange(len(groups) + 1)  # the blow falls anywhere after this answer
        heard = child.until(lambda line: f'"zzz{wanted + 1}"' in line) if wanted else []
        time.sleep(chance.choice((0.0, chance.uniform(0, 0.004), chance.uniform(0, 0.06))))
        heard += child.kill()
        answered = sum("zzz" in line for _, line in heard)
        self.figures["kills after the last answer"] += answered == len(groups)
        return self._look(heard, begin_s - begun * SPEED, 9 if answered < len(groups) else 0)

    def _look(self, heard: list[tuple[float, str]], origin: float, most: int) -> None:
        """Compare the book with what was said; ``most`` marks may not have been said yet."""
        book = BenchBook.open(self.home)
        run = next(iter(book.runs(1)), None)
        marks = book.marks(run) if run else ()
        check(not book.notice, f"the book says {book.notice}")
        book.close()
        if run is None or run.number == self.over:
            return check(not heard, "a run was said, and none is in the book")
        if self.run is None:
            self.figures["runs"] += 1
            self.day, self.base = taken_up(run, lambda: False)
        self.run, numbers = run, [mark.number for mark in marks]
        check(numbers == list(range(1, len(marks) + 1)), f"the numbers are {numbers}")
        known, left = len(self.said), list(marks[len(self.said) :])
        check(timeless(marks[:known]) == timeless(self.said), "a mark is gone or changed")
        for at, line in heard:
            if line.startswith(MADE) or any(end in line for end in MADE_TOO):
                self._claim(line, left, origin + at * SPEED)
        self.figures["marks in the book, killed before they were said"] += len(left)
        check(len(left) <= most, f"more marks than were made: {left} after {heard[-4:]}")
        self.said += tuple(left)
        self.last_s = max((mark.entered_s for mark in marks), default=0)
        if run.state in ("complete", "stopped", "aborted"):
            self.run, self.said, self.over, self.last_s = None, (), run.number, 0
            self.figures[f"runs {run.state}"] += 1
        return None

    def _claim(self, line: str, left: list[Mark], heard_s: float) -> None:
        """Find the marks that a line says first among those not said yet."""
        count = self._count(line, left)
        check(count, f"said and not in the book: {line}; there is {left[:3]}")
        for mark in left[:count]:
            self.off_s = max(self.off_s, abs(heard_s - mark.entered_s - 0.5))
            happened = max(0, int(heard_s) - (mark.entered_s - mark.happened_s))
            self.said += (replace(mark, entered_s=int(heard_s), happened_s=happened),)
            self.figures["marks that were said, each found once"] += 1
        del left[:count]

    def _count(self, line: str, left: list[Mark]) -> int:
        for count in range(1, len(left) + 1):
            some, first = left[:count], left[0]
            if len({mark.what for mark in some}) > 1:
                break
            if first.what == "tick":
                said = f"Ticked: {'; '.join(mark.item for mark in some)}."
            elif first.what == "take back":
                marks = {mark.number: mark for mark in (*self.said, *left)}
                taken = [back_words(self.day, self.base, marks[one.takes_back]) for one in some]
                said = f"Taken back: {'; '.join(taken)}."
            elif first.what == "done":
                said = action_said(self.base, first.action)
                if line.startswith("Marked done") and line.endswith(f": {said}."):
                    return 1
                continue
            else:
                said = {"hold": "Held. "}.get(first.what, mark_words(self.day, self.base, first))
            if line.startswith(said):
                return count
        return 0

    def _returned(self, told: list[str], now: float) -> None:
        """Check what is hot, and for how long, against the marks as they were heard of."""
        assert self.run is not None
        plan = planner.follow(self.day, self.base, standing(self.said))
        moments = [live.state(self.day, plan, self.said, int(now) + each) for each in OFF]
        lines = [hot_lines(self.day, state) for state in moments]
        may = {line for each in lines for line in each}
        check(set(told) <= may, f"told {told}; by what was said it is {lines[len(OFF) // 2]}")
        check(len(told) in {len(each) for each in lines}, f"not all that is hot is told: {told}")
        self.figures["countdowns compared"] += sum(line != "Nothing is hot." for line in told)


def timeless(marks: Iterable[Mark]) -> list[Mark]:
    return [replace(mark, happened_s=0, entered_s=0) for mark in marks]


def check(true: object, words: str) -> None:
    if not true:
        raise SystemExit(f"FAULT: {words}")


def main() -> None:
    wanted, seed = map(int, [*sys.argv[1:], *("1000", "1")[len(sys.argv) - 1 :]])
    with tempfile.TemporaryDirectory() as folder:
        bench = Bench(Path(folder), seed)
        try:
            for _ in range(wanted):
                bench.kill_once()
        finally:
            for what, count in sorted(bench.figures.items()):
                print(f"{what}: {count}")
            print(f"a mark was heard of at most {bench.off_s:.1f} s off its second, of the run's")


if __name__ == "__main__":
    main()

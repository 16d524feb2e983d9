"""A rehearsal that is killed at any moment loses no mark that the book has acknowledged."""

from __future__ import annotations

import os
import random
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

from benchplan.book import BenchBook
from benchplan.model import Action, Mark, Run
from benchplan.model.ids import Item

TIMES = 20
START = datetime(2026, 12, 5, 9, tzinfo=UTC)

WRITER = """
import sys
from pathlib import Path
from benchplan.book import BenchBook
from benchplan.model import Action, Item, Mark

book = BenchBook.open(Path(sys.argv[1]))
run = book.run(int(sys.argv[2]))
at = len(book.marks(run))
while True:
    at += 1
    # what a rehearsal writes: ticks, things done, now and then a mark taken back
    if at % 7 == 0:
        mark = Mark("take back", at, at, takes_back=at - 1)
    elif at % 3 == 0:
        mark = Mark("tick", at, at, Action("fill", (at,)), Item(own="Mitts on"))
    else:
        mark = Mark("done", at, at, Action("fill", (at,)))
    kept = book.add_mark(run, mark)
    sys.stdout.write(f"{kept.number}\\n")
    sys.stdout.flush()
"""


def expected(number: int) -> Mark:
    if number % 7 == 0:
        return Mark("take back", number, number, takes_back=number - 1, number=number)
    fill = Action("fill", (number,))
    if number % 3 == 0:
        return Mark("tick", number, number, fill, Item(own="Mitts on"), number=number)
    return Mark("done", number, number, fill, number=number)


def test_killed_at_random_moments_every_acknowledged_mark_is_there(tmp_path: Path) -> None:
    chance = random.Random(20261125)
    book = BenchBook.open(tmp_path)
    run = book.start_run("Rehearsal", "fair.toml", START, "", "", rehearsal=True, speed=60.0)
    book.close()
    kept = 0
    for _ in range(TIMES):
        acknowledged = _write_until_killed(tmp_path, run, chance)
        assert acknowledged, "the writer was killed before it wrote anything"
        assert acknowledged == list(range(kept + 1, kept + 1 + len(acknowledged)))
        again = BenchBook.open(tmp_path)
        assert again.notice == ""
        marks = again.marks(run)
        again.close()
        # the last commit may have been on its way to us when the writer died
        assert acknowledged[-1] <= len(marks) <= acknowledged[-1] + 1
        assert marks == tuple(expected(number) for number in range(1, len(marks) + 1))
        kept = len(marks)


def _write_until_killed(folder: Path, run: Run, chance: random.Random) -> list[int]:
    """Let a process write marks, kill it somewhere in between, return what it acknowledged."""
    with subprocess.Popen(
        [sys.executable, "-c", WRITER, str(folder), str(run.number)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    ) as writer:
        assert writer.stdout is not None
        heard = bytearray()
        wanted = chance.randint(1, 25)
        while heard.count(b"\n") < wanted:
            more = os.read(writer.stdout.fileno(), 64)
            if not more:
                break
            heard += more
        # a few thousand turns of an empty loop move the blow to anywhere within a write
        for _ in range(chance.randrange(20_000)):
            pass
        writer.kill()
        heard += writer.stdout.read()
        _, complaints = writer.communicate()
        assert writer.returncode != 0
        assert not complaints, complaints.decode()
    # a line without its end was cut by the blow and acknowledges nothing
    return [int(line) for line in bytes(heard).split(b"\n")[:-1]]

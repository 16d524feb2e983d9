"""What the live run costs: time from a mark to the screen, idle work, memory; run by hand.

    python tests/bench/live_bench.py marks      a mark committed and its state known; the replan
    python tests/bench/live_bench.py keys       from a key to the changed card, in a real terminal
    python tests/bench/live_bench.py idle 120   processor time with 20 and 60 countdowns on show
    python tests/bench/live_bench.py memory     a day of eight hours in a minute

Figures of one machine at one moment: what they are compared with is measured in the same run, and
the load of the machine stands beside them.
"""

from __future__ import annotations

import os
import re
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, nullcontext
from pathlib import Path
from statistics import median
from typing import Any

from live_days import planned, stand, write_day
from live_terminal import Shown

from benchplan.carrying.carrier import Carrier
from benchplan.carrying.session import Session
from benchplan.clock import ManualClock
from benchplan.model import Action, Item, ItemId

TRAYS = 60
BUSY_PERCENT = 20  # of a core: far above what counting down takes
EMPTY = "from textual.app import App; App().run()"
REHEARSED = """
import sys
from pathlib import Path
from benchplan.screens.app import run_app
run_app(Path(sys.argv[1]), float(sys.argv[2]), first="bench", seed=3)
"""
IDLE = "Nothing for now|Nothing more to do|Free to help"
RUNNING = r"\d+ of \d+ done"


class Times:
    """How long something took, time after time: by the clock, and of the processor alone."""

    def __init__(self) -> None:
        self.wall: list[float] = []
        self.worked: list[float] = []

    @contextmanager
    def one(self) -> Iterator[None]:
        """Measure what is done inside."""
        begin, worked = time.perf_counter(), time.process_time()
        yield
        self.wall.append(time.perf_counter() - begin)
        self.worked.append(time.process_time() - worked)

    def tell(self, what: str, most_ms: float | None = None) -> None:
        """Print both, and whether the 99th percentile by the clock keeps a limit."""
        parts = [f"{what}, {len(self.wall)} times:"]
        for name, seconds in (("by the clock", self.wall), ("processor", self.worked)):
            found = [1000 * each for each in sorted(seconds)]
            p99 = found[min(len(found) - 1, round(0.99 * len(found)))]
            parts.append(
                f"{name} median {median(found):.1f}, p99 {p99:.1f}, longest {found[-1]:.1f} ms"
            )
            if most_ms is not None:
                parts[-1] += f" ({'within' if p99 <= most_ms else 'OVER'} {most_ms:.0f})"
        print("\n    ".join(parts), flush=True)


def bare_commits(folder: Path) -> Times:
    """Return how long SQLite takes here to commit one small row as durably as the book does."""
    bare = sqlite3.connect(folder / "bare.sqlite", isolation_level=None)
    bare.execute("PRAGMA journal_mode = WAL")
    bare.execute("PRAGMA synchronous = FULL")
    bare.execute("CREATE TABLE row (text TEXT)")
    found = Times()
    for _ in range(300):
        with found.one():
            bare.execute("INSERT INTO row VALUES (?)", ("x" * 100,))
    bare.close()
    return found


def marks(folder: Path) -> None:
    """Mark a whole day of 60 trays; the plan after each mark is timed by itself."""
    os.environ["BENCHPLAN_HOME"] = str(folder)
    plan_file, plan = planned(write_day(folder / "day.toml", TRAYS))
    clock = ManualClock(plan_file.day.start, 60.0)
    session = Session(clock, 60.0, lambda _start, _speed: clock)
    waiting: list[Callable[[], None]] = []
    replans, took = Times(), Times()

    def later(group: str, work: Callable[..., Any], take: Callable[[Any], None]) -> None:
        def act() -> None:
            with replans.one() if group == "replan" else nullcontext():
                answer = work(lambda: False)
            take(answer)

        waiting.append(act)

    def settle() -> None:
        while waiting:
            waiting.pop(0)()

    carrier = Carrier(session, later)
    session.open_file(plan_file)
    assert session.day is not None
    session.planned(session.day, plan)
    carrier.begin()
    settle()
    assert session.run is not None, session.message
    for order in session.day.orders:  # or nothing may go into an oven
        assert carrier.tick(Action("fill", (1,)), 1, Item(ItemId.BEADS_DRY, order.scent))
    while (state := session.state()) is not None and not state.complete:
        cards = [card for card in state.cards if card.action]
        if not cards:
            clock.move(30)
            continue
        card = min(cards, key=lambda each: each.end_s)
        clock.move(max(0, card.end_s - state.now_s))
        assert card.action is not None
        with took.one():
            assert carrier.done(card.action, card.person)
            session.state()
        settle()
    carrier.close()
    took.tell(f"a mark committed and its state known, {TRAYS} trays", 50)
    bare_commits(folder).tell("a row committed by SQLite alone")
    replans.tell(f"replan after a mark, {TRAYS} trays", 100)


def keys(folder: Path, wanted: int) -> None:
    """Press Space and Enter in the middle of a day of 60 trays; the screen is read as drawn.

    What reads the terminal's bytes (pyte) is part of the time; the processor's is this side's.
    """
    path = write_day(folder / "day.toml", TRAYS)
    made = stand(folder, path, 0, least=180)
    going_on, space, enter = Times(), Times(), Times()
    with Shown(folder, "-m", "benchplan", "open", str(path)) as seen:
        seen.until("Enter resumes it")
        with going_on.one():
            seen.type("\r")
            seen.until(RUNNING)
        going_on.tell(f"going on with a run of {made} marks, {TRAYS} trays")
        while len(space.wall) + len(enter.wall) < wanted:
            seen.rest(1.3)  # Enter counts once its action has been on show for a second
            ticks, done = seen.text.count("[x]"), seen.found(RUNNING)
            if "[ ]" in seen.text or "[!]" in seen.text:
                with space.one():
                    seen.type(" ")
                    seen.wait(lambda was=ticks: seen.text.count("[x]") > was)
            elif done and not seen.found(IDLE):
                with enter.one():
                    seen.type("\r")
                    seen.wait(lambda was=done: seen.found(RUNNING) != was)
            elif not done:
                seen.type("\r")  # a question stands over the Bench
            else:
                break  # nothing to mark until something has cooled
    for key, found in (("Space", space), ("Enter", enter)):
        found.tell(f"from {key} to the changed card, in a terminal", 50)


def idle(folder: Path, seconds: float) -> None:
    """Weigh three processes one after the other: an empty app, 20 countdowns, 60 countdowns."""
    shares = {"an empty app": 0.0}
    with Shown(folder, "-c", EMPTY, size=(120, 40)) as seen:
        seen.rest(3)
        shares["an empty app"] = share(seen, seconds)
    for count in (20, 60):
        home = folder / str(count)
        home.mkdir()
        path = write_day(home / "day.toml", count + 2, all_at_once=True)
        stand(home, path, count)
        size = (120, count + 20)  # all of them are on show
        with Shown(home, "-m", "benchplan", "open", str(path), size=size) as seen:
            seen.until("Enter resumes it")
            seen.type("\r")
            seen.until(RUNNING)
            while share(seen, 5) > BUSY_PERCENT:
                pass  # the plan that follows the marks is on its way
            shown = len(re.findall(r"\d:\d\d *$", seen.text, re.MULTILINE))
            shares[f"{count} countdowns"] = share(seen, seconds)
            print(f"{count}: {seen.text.count('cooling')} cooling on show, {shown}", flush=True)
    for what, found in shares.items():
        print(f"{what}: {found:.2f} % of one core, over {seconds:.0f} s", flush=True)


def share(seen: Shown, seconds: float) -> float:
    """Return the percentage of one core that a process takes over a time."""
    before, begin = seen.cpu_s(), time.perf_counter()
    seen.rest(seconds, drawn=False)
    return 100 * (seen.cpu_s() - before) / (time.perf_counter() - begin)


def memory(folder: Path, speed: float) -> None:
    """Rehearse eight hours of a day of 60 trays with a clumsy maker; MB at each hour."""
    path = write_day(folder / "day.toml", TRAYS)
    with Shown(folder, "-c", REHEARSED, str(path), str(speed)) as seen:
        seen.until("Enter starts the rehearsal")
        seen.type("\r")
        while not seen.found(RUNNING):
            seen.rest(0.8)
            seen.type("\x1b[B" if "more lines" in seen.text else "\r")
        found = [seen.rss_mb()]
        for hour in range(1, 9):
            seen.rest(3600 / speed)
            found.append(seen.rss_mb())
            print(f"hour {hour}: {found[-1]:.1f} MB, {seen.found(RUNNING)}", flush=True)
    grown = max(found[2:]) - found[1]
    print(f"growth after the first hour: {grown:.1f} MB (at most 5), at {speed:g} times")


def main() -> None:
    part, *more = sys.argv[1:] or ["marks"]
    print(f"{part}; load {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores", flush=True)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        if part == "marks":
            marks(folder)
        elif part == "keys":
            keys(folder, int(more[0]) if more else 120)
        elif part == "idle":
            idle(folder, float(more[0]) if more else 120.0)
        elif part == "memory":
            memory(folder, float(more[0]) if more else 480.0)
    print(f"load at the end {os.getloadavg()[0]:.1f}")


if __name__ == "__main__":
    main()

"""How fast things start, as ratios; run by hand, with no other load on the machine.

``check``, and ``plan`` of the two-tray sample with known fits, against a Python that imports pint
and tomllib and builds the unit registry; the first painted frame of the sample day against an empty
Textual app's. Medians of five, after one to warm the caches.
"""

from __future__ import annotations

import fcntl
import os
import pty
import select
import struct
import subprocess
import sys
import tempfile
import termios
import time
from pathlib import Path
from statistics import median

ROOT = Path(__file__).parents[2]
SAMPLE = str(ROOT / "sample_runs" / "first_tray.toml")
TIMES = 5
REGISTRY = "import pint, tomllib; pint.UnitRegistry()"
EMPTY_APP = "from textual.app import App; App().run()"
FIRST_CELL = b"\x1b[1;1H"  # a frame begins by moving to the first cell


def seconds_to_run(home: str, *arguments: str) -> float:
    """Return how long a Python process takes from start to end."""
    environment = {**os.environ, "BENCHPLAN_HOME": home}
    begin = time.perf_counter()
    subprocess.run([sys.executable, *arguments], check=True, capture_output=True, env=environment)
    return time.perf_counter() - begin


def seconds_to_frame(home: str, *arguments: str) -> float:
    """Return how long a Python process in a terminal takes from start to its first frame."""
    ours, theirs = pty.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
    environment = {
        **os.environ,
        "TERM": "xterm-256color",
        "BENCHPLAN_HOME": home,
    }
    begin = time.perf_counter()
    process = subprocess.Popen(
        [sys.executable, *arguments],
        stdin=theirs,
        stdout=theirs,
        stderr=theirs,
        env=environment,
        start_new_session=True,
    )
    os.close(theirs)
    said = b""
    try:
        while FIRST_CELL not in said:
            if not select.select([ours], [], [], 20)[0]:
                raise TimeoutError(f"no frame from {arguments}")
            said += os.read(ours, 65536)
        return time.perf_counter() - begin
    finally:
        process.kill()
        process.wait()
        os.close(ours)


def compare(name: str, most: float, one: list[float], other: list[float]) -> None:
    """Print the ratio of two medians and what it should be."""
    ratio = median(one) / median(other)
    print(
        f"{name}: {median(one) * 1000:.0f} ms against {median(other) * 1000:.0f} ms, "
        f"ratio {ratio:.2f} (at most {most})"
    )


def main() -> None:
    check, plan, registry, day, empty = [], [], [], [], []
    with tempfile.TemporaryDirectory() as home:
        for turn in range(TIMES + 1):
            timed = (
                seconds_to_run(home, "-m", "benchplan", "check", SAMPLE),
                seconds_to_run(home, "-m", "benchplan", "plan", SAMPLE),
                seconds_to_run(home, "-c", REGISTRY),
                seconds_to_frame(home, "-m", "benchplan", "open", SAMPLE),
                seconds_to_frame(home, "-c", EMPTY_APP),
            )
            if turn:
                for found, value in zip((check, plan, registry, day, empty), timed, strict=True):
                    found.append(value)
    compare("check, against pint and its registry", 1.3, check, registry)
    compare("plan of two trays, against pint and its registry", 1.4, plan, registry)
    compare("first frame of the sample day, against an empty app", 1.35, day, empty)


if __name__ == "__main__":
    main()

"""A process in a terminal of its own whose screen can be read and whose work can be weighed."""

from __future__ import annotations

import fcntl
import os
import pty
import re
import select
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Callable
from pathlib import Path
from typing import Self

import pyte

PATIENCE_S = 240.0
TICK_S = os.sysconf("SC_CLK_TCK")
PAGE = os.sysconf("SC_PAGE_SIZE")


class Shown:
    """Python with arguments, in a terminal of a size; what it writes is drawn on ``screen``."""

    def __init__(self, home: Path, *arguments: str, size: tuple[int, int] = (80, 24)) -> None:
        self.side, theirs = pty.openpty()
        fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", size[1], size[0], 0, 0))
        self.process = subprocess.Popen(
            [sys.executable, *arguments],
            stdin=theirs,
            stdout=theirs,
            stderr=theirs,
            env=dict(os.environ, TERM="xterm-256color", BENCHPLAN_HOME=str(home), PYTHONUTF8="1"),
            start_new_session=True,
        )
        os.close(theirs)
        self._screen = pyte.Screen(*size)
        self._stream = pyte.ByteStream(self._screen)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.process.kill()
        self.process.wait()
        os.close(self.side)

    @property
    def text(self) -> str:
        return "\n".join(self._screen.display)

    def found(self, pattern: str) -> str:
        """Return what on the screen matches; an empty text where nothing does."""
        match = re.search(pattern, self.text)
        return match.group() if match else ""

    def type(self, keys: str) -> None:
        os.write(self.side, keys.encode())

    def read(self, wait_s: float, drawn: bool = True) -> None:
        """Read once what it writes within a time."""
        if select.select([self.side], [], [], wait_s)[0]:
            said = os.read(self.side, 65536)
            if drawn:
                self._stream.feed(said)

    def wait(self, true: Callable[[], object]) -> None:
        """Read on until something is true of the screen."""
        end = time.perf_counter() + PATIENCE_S
        while not true():
            if time.perf_counter() > end or self.process.poll() is not None:
                raise SystemExit(f"It never came about. The screen:\n{self.text}")
            self.read(1.0)

    def until(self, pattern: str) -> None:
        self.wait(lambda: self.found(pattern))

    def rest(self, seconds: float, drawn: bool = True) -> None:
        """Read on for a time."""
        end = time.perf_counter() + seconds
        while (left := end - time.perf_counter()) > 0:
            self.read(left, drawn)

    def cpu_s(self) -> float:
        """Return the processor time that the process has taken, user and system."""
        after_name = Path(f"/proc/{self.process.pid}/stat").read_text().rpartition(")")[2].split()
        return (int(after_name[11]) + int(after_name[12])) / TICK_S

    def rss_mb(self) -> float:
        """Return the memory of the process that is resident, in MB of a million bytes."""
        pages = int(Path(f"/proc/{self.process.pid}/statm").read_text().split()[1])
        return pages * PAGE / 1e6

"""benchplan in a terminal of its own, for tests that need the whole program."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import struct
import subprocess
import sys
import termios
from pathlib import Path

from benchplan import clock

PATIENCE_S = 30.0
LEFT = b"\x1b[?1049l"  # the terminal's own screen is back


class Terminal:
    """benchplan in a terminal of its own; what it writes is kept."""

    def __init__(self, home: Path, *arguments: str, term: str = "xterm-256color") -> None:
        self.side, theirs = pty.openpty()
        fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        self.before = termios.tcgetattr(theirs)
        environment = dict(os.environ, TERM=term, BENCHPLAN_HOME=str(home), PYTHONUTF8="1")
        self.process = subprocess.Popen(
            [sys.executable, "-m", "benchplan", *arguments],
            stdin=theirs,
            stdout=theirs,
            stderr=theirs,
            env=environment,
            start_new_session=True,
        )
        self.theirs = theirs
        self.said = b""

    def read_until(self, words: bytes) -> None:
        """Read until ``words`` were written; the test fails when they never are."""
        end = clock.monotonic() + PATIENCE_S
        while words not in self.said:
            assert clock.monotonic() < end, f"{words!r} was not written: {self.said[-2000:]!r}"
            self._read(0.2)

    def read_more(self, wait: float = PATIENCE_S) -> None:
        """Read once; with the whole patience, the test fails when nothing comes."""
        before = len(self.said)
        self._read(wait)
        assert wait < PATIENCE_S or len(self.said) > before, (
            f"nothing more was written: {self.said[-3000:]!r}"
        )

    def _read(self, wait: float) -> None:
        if select.select([self.side], [], [], wait)[0]:
            self.said += os.read(self.side, 65536)

    def end(self) -> int:
        """Read on until the process has ended and return its exit code."""
        end = clock.monotonic() + PATIENCE_S
        while self.process.poll() is None:
            assert clock.monotonic() < end, "it did not end"
            self._read(0.05)
        while select.select([self.side], [], [], 0)[0]:
            self.said += os.read(self.side, 65536)
        return self.process.returncode

    def close(self) -> None:
        """End the process if it still runs, and close the terminal."""
        if self.process.poll() is None:
            self.process.kill()
            self.process.wait()
        os.close(self.theirs)
        os.close(self.side)

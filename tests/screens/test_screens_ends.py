"""How the app ends in a real terminal: signals, exit codes, and what is left on the screen."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import signal
import struct
import subprocess
import sys
import termios
from collections.abc import Iterator
from pathlib import Path

import pytest

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


@pytest.fixture
def start_page(tmp_path: Path) -> Iterator[Terminal]:
    terminal = Terminal(tmp_path)
    terminal.read_until(b"Quit")
    yield terminal
    terminal.close()


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_a_signal_ends_it_with_the_terminal_restored(
    start_page: Terminal, number: signal.Signals
) -> None:
    start_page.process.send_signal(number)
    assert start_page.end() == 128 + number
    assert LEFT in start_page.said
    assert termios.tcgetattr(start_page.theirs) == start_page.before


def test_quit_ends_it_with_nothing_wrong(start_page: Terminal) -> None:
    os.write(start_page.side, b"q")
    assert start_page.end() == 0
    assert LEFT in start_page.said


def test_a_file_that_cannot_be_read_is_said_after_the_screen_is_left(tmp_path: Path) -> None:
    wrong = tmp_path / "wrong.toml"
    wrong.write_text("format = 1\nname = 3\n")
    terminal = Terminal(tmp_path, "open", str(wrong))
    try:
        assert terminal.end() == 2
        after = terminal.said.split(LEFT)[-1].decode()
        assert "wrong.toml" in after
        assert "Traceback" not in after
    finally:
        terminal.close()


@pytest.mark.parametrize("term", ["linux", "xterm", "tmux-256color"])
def test_no_mouse_is_asked_for_and_the_console_sees_only_glyphs_that_it_has(
    tmp_path: Path, term: str
) -> None:
    terminal = Terminal(tmp_path, term=term)
    try:
        terminal.read_until(b"Quit")
        os.write(terminal.side, b"q")
        assert terminal.end() == 0
    finally:
        terminal.close()
    assert b"\x1b[?1000h" not in terminal.said
    assert b"\x1b[?1003h" not in terminal.said
    beyond = {char for char in terminal.said.decode() if ord(char) > 126}
    assert beyond <= set("─│┌┐└┘├┤┬┴┼═║█░▒■•·°½¼▲▼→←≈≤≥±"), beyond

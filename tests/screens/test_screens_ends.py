"""How the app ends in a real terminal: signals, exit codes, and what is left on the screen."""

from __future__ import annotations

import os
import signal
import termios
from collections.abc import Iterator
from pathlib import Path

import pytest
from real_terminal import LEFT, Terminal


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


def test_a_terminal_that_goes_without_a_signal_ends_it(start_page: Terminal) -> None:
    os.close(start_page.theirs)
    os.close(start_page.side)
    assert start_page.process.wait(timeout=30) != 0
    start_page.theirs, start_page.side = os.pipe()

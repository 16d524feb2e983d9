"""The maker's own command at an alarm: what it is given, and that its failures stop nothing."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from benchplan import clock
from benchplan.carrying.alarm_command import MOST_S, AlarmCommand

PATIENCE_S = 30.0


@pytest.fixture
def command() -> Iterator[AlarmCommand]:
    found = AlarmCommand()
    yield found
    found.close()


def python(code: str) -> tuple[str, ...]:
    return (sys.executable, "-c", f"import os, sys, time; {code}")


def until(true: Callable[[], object], what: str) -> None:
    end = clock.monotonic() + PATIENCE_S
    while not true():
        assert clock.monotonic() < end, f"never {what}"


def ended(command: AlarmCommand) -> bool:
    command.look(0.0)
    return command._process is None


def test_it_is_given_the_words_as_one_argument_and_the_stage(
    tmp_path: Path, command: AlarmCommand
) -> None:
    out = tmp_path / "said"
    code = f"open({str(out)!r}, 'w').write(os.environ['BENCHPLAN_STAGE'] + '|' + sys.argv[-1])"
    words = "Take tray 1 out of oven; $(no shell) now"
    assert command.start(python(code), words, "now", 0.0)
    until(lambda: ended(command), "ended")
    assert out.read_text() == f"now|{words}"
    assert command.take_fault() == ""


def test_only_one_runs_at_a_time(command: AlarmCommand) -> None:
    assert command.start(python("time.sleep(600)"), "x", "soon", 0.0)
    assert not command.start(python("pass"), "x", "now", 1.0)
    assert command.take_fault() == ""


def test_one_that_takes_too_long_is_ended_with_what_it_started(
    tmp_path: Path, command: AlarmCommand
) -> None:
    child = tmp_path / "child"
    started = tmp_path / "started"
    code = (
        "import subprocess; "
        f"p = subprocess.Popen([sys.executable, '-c', 'import time; time.sleep(600)']); "
        f"open({str(started)!r}, 'w').write(str(p.pid)); os.rename({str(started)!r}, "
        f"{str(child)!r}); p.wait()"
    )
    command.start(python(code), "x", "now", 100.0)
    until(child.exists, "begun")
    command.look(100.0 + MOST_S - 0.1)
    assert command.take_fault() == ""
    command.look(100.0 + MOST_S)
    assert "still ran after 8 s and was ended" in command.take_fault()
    pid = int(child.read_text())

    def gone() -> bool:
        try:
            os.kill(pid, 0)
        except ProcessLookupError:
            return True
        state = Path(f"/proc/{pid}/stat")  # ended, and nobody has asked how
        return state.exists() and state.read_text().rpartition(")")[2].split()[0] == "Z"

    until(gone, "ended")
    assert command.start(python("pass"), "x", "overdue", 200.0)


@pytest.mark.parametrize(
    ("wanted", "says"),
    [
        (("/no/such/program", "a"), "could not be started: No such file"),
        ((os.sep,), "could not be started: Permission denied"),
        (("a\0b",), "could not be started: embedded null byte"),
        (python("sys.exit(3)"), "failed with exit code 3"),
        (python(f"os.kill(os.getpid(), {int(signal.SIGTERM)})"), "was ended by signal 15"),
    ],
)
def test_a_failure_is_one_sentence_and_said_once(
    command: AlarmCommand, wanted: tuple[str, ...], says: str
) -> None:
    for at in range(3):
        command.start(wanted, "words", "now", float(at))
        until(lambda: ended(command), "ended")
        said = command.take_fault()
        assert (says in said) is (at == 0), said
        if said:
            assert "the count goes on" in said


def test_no_command_is_no_failure(command: AlarmCommand) -> None:
    assert not command.start((), "x", "now", 0.0)
    assert command.take_fault() == ""

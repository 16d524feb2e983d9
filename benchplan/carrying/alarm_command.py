"""The maker's own command at an alarm: run without a shell, one at a time, and never for long."""

from __future__ import annotations

import contextlib
import os
import signal
import subprocess

from benchplan.views.frame import command_words

STAGE = "BENCHPLAN_STAGE"  # the variable that tells the command how far the alarm is
MOST_S = 8.0  # real seconds; a sound is over by then


class AlarmCommand:
    """Starts the command and looks after it. It has nothing to wait for: time is an argument.

    ``fault`` is a sentence about the first failure of all that were told of by ``take_fault``.
    """

    def __init__(self) -> None:
        self._process: subprocess.Popen[bytes] | None = None
        self._command: tuple[str, ...] = ()
        self._started = 0.0
        self._fault = ""
        self._told: set[str] = set()

    def start(self, command: tuple[str, ...], words: str, stage: str, monotonic: float) -> bool:
        """Start ``command`` with ``words`` as its last argument; say whether it was started.

        It is not while the one before still runs.
        """
        self.look(monotonic)
        if not command or self._process is not None:
            return False
        self._command, self._started = command, monotonic
        try:
            self._process = subprocess.Popen(
                [*command, words],
                stdin=subprocess.DEVNULL,
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
                env={**os.environ, STAGE: stage},
                start_new_session=True,
            )
        except (OSError, ValueError) as error:
            said = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
            self._fail(f"could not be started: {said}")
            return False
        return True

    def look(self, monotonic: float) -> None:
        """See whether the command has ended, and end it when it takes too long."""
        process = self._process
        if process is None:
            return
        code = process.poll()
        if code is None and monotonic - self._started < MOST_S:
            return
        self._process = None
        if code is None:
            _end(process)
            self._fail(f"still ran after {MOST_S:.0f} s and was ended")
        elif code < 0:
            self._fail(f"was ended by signal {-code}")
        elif code:
            self._fail(f"failed with exit code {code}")

    def take_fault(self) -> str:
        """Return what has gone wrong since it was asked last; the same thing is said once."""
        said, self._fault = self._fault, ""
        if said in self._told:
            return ""
        self._told.add(said)
        return said

    def close(self) -> None:
        """End what still runs."""
        if self._process is not None:
            _end(self._process)
            self._process = None

    def _fail(self, how: str) -> None:
        self._fault = (
            f"alarm_command {command_words(self._command)} {how}. The bell rings and the count "
            "goes on; mend the command in settings.toml (benchplan settings says where)."
        )


def _end(process: subprocess.Popen[bytes]) -> None:
    """End a command and what it has started."""
    with contextlib.suppress(OSError):
        if hasattr(os, "killpg"):
            os.killpg(process.pid, signal.SIGKILL)
        else:
            process.kill()
    with contextlib.suppress(subprocess.TimeoutExpired):
        process.wait(1)

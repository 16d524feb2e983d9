"""Stop rules: a search asks one after every step whether to end. Tests bound it by iterations."""

from __future__ import annotations

from collections.abc import Callable

from benchplan import clock

Stop = Callable[[], bool]


class Stopped(Exception):  # noqa: N818
    """Work was called off; what it would have returned is of no use to anybody."""


def go_on(stop: Stop) -> None:
    """Raise ``Stopped`` where a stop rule says so."""
    if stop():
        raise Stopped


def never() -> bool:
    """Return False: the stop rule of work that nobody calls off."""
    return False


class Iterations:
    """Stop after ``most`` steps; the same number gives the same answer on every machine."""

    def __init__(self, most: int) -> None:
        self.most = most
        self._left = most

    def __call__(self) -> bool:
        self._left -= 1
        return self._left < 0

    @property
    def done(self) -> int:
        """How many steps were allowed until now."""
        return self.most - max(self._left, 0)


class Seconds:
    """Stop after ``most`` real seconds, or at once when ``cancel`` was called; for screens only."""

    def __init__(self, most: float) -> None:
        self._end = clock.monotonic() + most

    def __call__(self) -> bool:
        return clock.monotonic() >= self._end

    def cancel(self) -> None:
        """Make the next question the last one."""
        self._end = 0.0

"""A window's sign of life: a lock beside the book that the system lets go of when the program ends.

A run's holder is a token in the book, which a crash leaves behind. Whether its window is still open
says this lock: it is let go of however a program ends, with no message at intervals. It is SQLite's
own lock on an empty file (sqlite.org/lockingv3.html, from memory), as every platform has it. Where
locks do not work (some network drives) every other window counts as closed, and the token in the
book alone decides who may mark.
"""

from __future__ import annotations

import re
import sqlite3
from contextlib import suppress
from pathlib import Path

TOKEN = re.compile(r"[0-9a-zA-Z-]{1,64}")


class Window:
    """The lock of one token in the book's folder; nobody has it before ``show``."""

    def __init__(self, folder: Path, token: str) -> None:
        if not TOKEN.fullmatch(token):
            raise ValueError(f"{token!r} is no token: letters and digits only")
        self._path = folder / f"window-{token}.lock"
        self._lock: sqlite3.Connection | None = None

    def show(self) -> None:
        """Show that this window is open; where that cannot be, it counts as closed."""
        if self._lock is None:
            with suppress(sqlite3.Error):
                self._lock = _locked(self._path)

    def is_open(self) -> bool:
        """Whether a program that is alive shows this window."""
        if self._lock is not None:
            return True
        if not self._path.exists():
            return False
        try:
            _locked(self._path).close()
        except sqlite3.Error as error:
            return getattr(error, "sqlite_errorcode", 0) & 0xFF == sqlite3.SQLITE_BUSY
        return False

    def close(self) -> None:
        """Take the sign away, or what a crash left of it."""
        if self._lock is not None:
            self._lock.close()
            self._lock = None
        with suppress(OSError):
            self._path.unlink()


def _locked(path: Path) -> sqlite3.Connection:
    """Return a connection that holds the lock; raises ``sqlite3.Error`` where it cannot."""
    lock = sqlite3.connect(path, timeout=0, isolation_level=None, check_same_thread=False)
    try:
        lock.execute("PRAGMA journal_mode = MEMORY")  # no file but the one
        lock.execute("BEGIN EXCLUSIVE")
    except sqlite3.Error:
        lock.close()
        raise
    return lock

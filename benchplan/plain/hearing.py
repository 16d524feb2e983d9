"""Lines that a person types, waited for no longer than until something is to be said."""

from __future__ import annotations

import codecs
import os
from queue import Empty, Queue
from threading import Thread
from typing import Protocol


class Hear(Protocol):
    """Returns the next line, or None when none came in time; raises ``EOFError`` after the last."""

    def __call__(self, seconds: float) -> str | None: ...


class Hearing:
    """Reads lines from a file descriptor in a thread: a pipe, a file and a terminal alike.

    It reads the descriptor itself, as a thread that waits in a buffered reader cannot be left
    behind in peace.
    """

    def __init__(self, descriptor: int, encoding: str = "utf-8") -> None:
        self._lines: Queue[str | None] = Queue()
        Thread(target=self._read, args=(descriptor, encoding), daemon=True).start()

    def __call__(self, seconds: float) -> str | None:
        try:
            line = self._lines.get(timeout=max(0.0, seconds))
        except Empty:
            return None
        if line is None:
            raise EOFError
        return line

    def _read(self, descriptor: int, encoding: str) -> None:
        decode = codecs.getincrementaldecoder(encoding)("replace").decode
        rest = ""
        try:
            while piece := os.read(descriptor, 4096):
                *lines, rest = (rest + decode(piece)).split("\n")
                for line in lines:
                    self._lines.put(line)
        except OSError:
            pass  # a terminal that went away says so like this
        if rest:
            self._lines.put(rest)
        self._lines.put(None)

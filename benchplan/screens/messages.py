"""What workers tell the app: a worker touches no widget and no session, it posts one of these."""

from __future__ import annotations

from collections.abc import Callable

from textual.message import Message


class Finished(Message):
    """A job is done; ``take`` is called on the app's own thread with nothing left to compute."""

    def __init__(self, take: Callable[[], None]) -> None:
        super().__init__()
        self.take = take


class Failed(Message):
    """A job could not be done; ``words`` say why and what would do."""

    def __init__(self, words: str) -> None:
        super().__init__()
        self.words = words

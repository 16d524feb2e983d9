"""Two windows on one run: one carries it, the others follow and can take it over.

The book says who carries a run. Whoever's mark is refused, or who sees another holder there, shows
what the other window marks and marks nothing itself.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchplan.errors import BenchplanError
from benchplan.model.ids import MarkKind

if TYPE_CHECKING:
    from benchplan.book import BenchBook
    from benchplan.carrying.session import Session
    from benchplan.model import Mark, Run

FOLLOWS = "Another window controls this run. Take over here: {key}."
TAKEN = "Another window has taken over this run. Take it back: {key}."
CLOSED = "Nobody controls this run: its window has closed. Take over here: {key}."
ONLY_SHOWN = "The run is shown, but nothing can be marked here. Try again: {key}."
TAKES = "This window controls the run now."
ENDED = "The run was ended in another window."
END_THERE = "Another window controls this run. End it there, or resume it here first."
BEGUN = "This day was started in another window already. Nothing was started here."


@dataclass(frozen=True, slots=True)
class Seen:
    """What the book holds of a run: the run, the marks that are new, and whose token is on it."""

    run: Run
    new: tuple[Mark, ...]
    holder: str


def see(book: BenchBook, run: Run, marks: tuple[Mark, ...]) -> Seen:
    """Read from the book what a window with these marks does not know yet."""
    last = marks[-1].number if marks else 0
    return Seen(book.run(run.number), book.marks_since(run, last), book.holder(run))


def offered(book: BenchBook, run: Run) -> tuple[Run, tuple[Mark, ...]]:
    """Return a run to resume with its marks; without them where they cannot be read now."""
    try:
        return run, book.marks(run)
    except BenchplanError:
        return run, ()


def said(seen: Seen, token: str, following: bool) -> str:
    """Say what a window has to say of who carries its run; nothing where that is as it was."""
    return TAKEN if seen.holder not in ("", token) and not following else ""


def catch_up(session: Session, book: BenchBook, token: str) -> Seen | None:
    """Let a session hold what the book holds of its run, and follow it where another window carries
    it; return what was new, or None where no run is on show any more.
    """
    if session.run is None:
        return None
    seen = see(book, session.run, session.marks)
    words = said(seen, token, session.following)
    session.following = seen.holder != token
    if seen.new or seen.run != session.run:
        session.followed(seen.run, seen.new)
    if session.following and _put_away(session, seen):
        session.leave_run()
        session.tell(ENDED)
        return None
    if words:
        session.tell(words.format(key=session.key("take_over")))
    return seen


def _put_away(session: Session, seen: Seen) -> bool:
    """Whether a run was ended before its marks ended it: then nobody can go on with it.

    What a mark stopped or aborted can be taken back, and says that ovens are to be switched off.
    While that is taken back the book has the mark a moment before the state.
    """
    state = session.state()
    back = any(mark.what == MarkKind.TAKE_BACK for mark in seen.new)
    ended = seen.run.state in ("stopped", "aborted")
    return ended and not back and state is not None and not state.complete

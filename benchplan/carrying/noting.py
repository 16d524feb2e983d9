"""What is noted in the book beside the marks of a run: jars that dry on, and names of people.

The book is asked for when it is needed: opening it may fail, and then the band says so.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from benchplan.errors import BenchplanError
from benchplan.model.record import NAME, Correction, named

if TYPE_CHECKING:
    from benchplan.book import BenchBook
    from benchplan.carrying.session import Session
    from benchplan.model import Run


def dry_again(session: Session, book: Callable[[], BenchBook], scent: str) -> bool:
    """Note that a scent's jar goes back to drying; say whether it is in the book.

    A rehearsal has no jars.
    """
    if session.run is None or session.run.rehearsal:
        return False
    try:
        book().add_jar(scent, session.local_now().date(), "Failed the dry test")
    except BenchplanError as error:
        session.tell(f"The jar is not in the book: {error}")
        return False
    return True


def name(session: Session, book: Callable[[], BenchBook], person: int, name: str) -> None:
    """Give a person of the run a name that its record keeps; an empty one takes it away."""
    if session.run is None or session.names.get(person, "") == name:
        return
    session.given_names[person] = name
    session.tell(f"Person {person} is {name}." if name else f"Person {person} has no name now.")
    now = session.local_now()
    try:
        book().add_correction(session.run, Correction(0, NAME, str(person), name, "", now))
    except BenchplanError as error:
        session.tell(f"The name is not in the book: {error}")


def names_in(book: Callable[[], BenchBook], run: Run) -> dict[int, str]:
    """Return the names that people of a run were given; none where the book cannot say."""
    try:
        return named(book().corrections(run))
    except BenchplanError:
        return {}

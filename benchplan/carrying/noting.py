"""What is noted in the book beside the marks of a run: jars that dry on, and names of people.

The book is asked for when it is needed: opening it may fail, and then the band says so.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from benchplan.errors import BenchplanError
from benchplan.model.ids import MarkKind
from benchplan.model.record import NAME, Correction, named

if TYPE_CHECKING:
    from benchplan.book import BenchBook
    from benchplan.carrying.session import Session
    from benchplan.model import Mark, Run


def jar_of(session: Session, book: Callable[[], BenchBook], mark: Mark) -> str:
    """Let a jar dry on whose beads failed the dry test by a new mark, or no longer where that mark
    is taken back; say so. Nothing for any other mark, and in a rehearsal: it has no jars.
    """
    about = mark
    if mark.what == MarkKind.TAKE_BACK:
        about = next((each for each in session.marks if each.number == mark.takes_back), mark)
    if about.what != MarkKind.WET or session.run is None or session.run.rehearsal:
        return ""
    failed = session.run.number, about.number
    try:
        if about is mark:
            book().add_jar(mark.item.scent, session.local_now().date(), failed=failed)
            return "Its jar is under Jars, drying since today."
        noted = [jar for jar in book().jars() if jar.failed == failed]
        for jar in noted:
            book().remove_jar(jar.number)
    except BenchplanError as error:
        return f"The jars in the book stay as they are: {error}"
    return "Its jar is off the list again." if noted else ""


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

"""What a maker must have seen and agreed to: values past a limit, and what a file asks for."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from benchplan.carrying.kit import fingerprint
from benchplan.ceilings import value_warnings
from benchplan.errors import BenchplanError
from benchplan.files import settings as files
from benchplan.model.warning import ValueWarning, warning_words

if TYPE_CHECKING:
    from benchplan.carrying.session import Session

UNCONFIRMED = "Values of this day are past a limit: confirm them before you start."


def unconfirmed(session: Session) -> tuple[ValueWarning, ...]:
    """Return the values past a limit that must be confirmed before a real run begins."""
    day = session.day
    if day is None or session.rehearsal:
        return ()
    known = session.settings.confirmed if session.settings else {}
    return tuple(each for each in value_warnings(day) if fingerprint(day, each) not in known)


def confirm(session: Session, warnings: tuple[ValueWarning, ...]) -> None:
    """Keep that these values are meant; where that cannot be written, until the program ends."""
    day, settings = session.day, session.settings
    if day is None or settings is None or not warnings:
        return
    said = {fingerprint(day, each): warning_words(each, day.display) for each in warnings}
    session.use(replace(settings, confirmed={**settings.confirmed, **said}))
    try:
        files.confirm(said)
    except BenchplanError as error:
        session.tell(f"You will be asked again next time: {error}")


def take_over(session: Session) -> bool:
    """Take over the command and the keys that the open file asks for; say whether that went."""
    if session.asks is None:
        return False
    try:
        session.use(files.take_over(session.asks))
    except BenchplanError as error:
        session.tell(f"Not taken over: {error}")
        return False
    session.tell(f"Taken over into {files.settings_path()}.")
    return True

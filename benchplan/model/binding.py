"""Why each piece of a plan's work starts when it does, and the chain of waits to the finish."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from benchplan.model.causes import Cause, causes
from benchplan.model.day import Day
from benchplan.model.holds import Book, Doing
from benchplan.model.plan import Other, Plan, Step


@dataclass(frozen=True, slots=True)
class Wait:
    """What some work waited for last. Seconds from the day's start.

    ``step`` of ``tray`` (a step's name, "change_scent" before it, or "preheat" of ``place`` with no
    tray) begins, or with ``part`` above 0 goes on, at ``until_s``. It could start at ``could_s``
    and no sooner, all the rest staying put: ``because`` (a step of ``for_tray``, "change_scent",
    "preheat" or "break"; "" for the start of the day) lasts until ``from_s``. Between ``from_s``
    and ``could_s`` lies what no hand can hurry: a rest, a cool, a bake, the oven recovering. Where
    ``from_s`` is the later one, work starts so that it can end then.

    ``what`` says what was waited for, one of ``causes.KINDS``: "start" of the day, its "own" step
    before, another tray of its "load", "hands", hands at the "exit" of the oven, "scale", "pan",
    "stand", "mat", "oven", "preheat", a "break", "order" (the queue's, where it is kept) or "late"
    (a preheat is as late as possible). ``busy`` is the person whose hands were waited for, if any.
    """

    tray: int | None
    step: str
    until_s: int
    what: str
    for_tray: int | None
    because: str
    from_s: int
    could_s: int
    part: int = 0
    place: str = ""
    busy: int | None = None

    @property
    def binds(self) -> bool:
        """Whether the work could not start a second sooner; else nothing holds it up."""
        return self.could_s == self.until_s


def _wait(doing: Doing, cause: Cause) -> Wait:
    for_ = cause.doing
    return Wait(
        doing.tray or None,
        doing.what,
        doing.start_s,
        cause.kind,
        (for_.tray or None) if for_ else None,
        for_.what if for_ else "",
        cause.from_s,
        cause.could_s,
        doing.part,
        doing.place,
        for_.person if for_ and cause.kind in ("hands", "exit", "break") else None,
    )


def why(
    day: Day,
    plan: Plan,
    work: Step | Other,
    part: int = 0,
    now_s: int = 0,
    book: Book | None = None,
) -> Wait:
    """Return why a step (or a later part of it), a preheat or a change of scent starts then.

    ``day`` has its cooling times settled. During a run what is still to come starts no sooner than
    ``now_s``. ``book`` may be given where many are asked for.
    """
    book = Book(day, plan, now_s) if book is None else book
    if isinstance(work, Step):
        doing = book.doings[work.tray, work.step][part]
    else:
        start, end = work.parts[part]
        tray, person = work.before_tray or 0, work.person or 0
        doing = Doing(start, end, work.what, tray, 0, person, work.place or "")
    return _wait(doing, causes(book, doing)[0])


def chain(day: Day, plan: Plan, now_s: int = 0) -> tuple[Wait, ...]:
    """Return what sets the finish: from the last pack back to the start of the day, or to a break.

    Each wait names what the wait after it is about. Where one does not ``bind`` the plan has a hole
    there: nothing held that work up.
    """
    book = Book(day, plan, now_s)
    packs = [book.last(number, "pack") for number in book.blocks]
    last = [pack for pack in packs if pack.end_s == plan.finish_s]
    return tuple(_back(book, last[0])) if last else ()


def _back(book: Book, last: Doing) -> list[Wait]:
    """Return the waits from ``last`` back to a start or a break.

    What binds is followed first; where it leads back to work that is in the chain already, what
    would bind next is.
    """
    path: list[tuple[Doing, Iterator[Cause], Cause | None]] = []
    seen: set[Doing] = set()
    onto: Doing | None = last
    while True:
        if onto is not None:
            seen.add(onto)
            path.append((onto, iter(causes(book, onto, through=True)), None))
        if not path:
            return []
        doing, left, _ = path.pop()
        onto = None
        for cause in left:
            if cause.doing is None or cause.doing.what == "break":
                path.append((doing, left, cause))
                return [_wait(each, by) for each, _, by in path if by is not None]
            if cause.doing not in seen:
                path.append((doing, left, cause))
                onto = cause.doing
                break

"""Fits that a finished search found are kept in the bench book, so that none is searched twice."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress

from benchplan import fitting, packing
from benchplan.book import BenchBook
from benchplan.errors import BenchplanError
from benchplan.fitting import KnownFits, Places, Wanted
from benchplan.model import Day
from benchplan.model.stop import Stop


def kept_fits(book: BenchBook | None) -> dict[str, Places]:
    """Return what was ever found; nothing without a book. What the book has wrong is left out."""
    kept = () if book is None else book.known_fits()
    return {key: places for key, value in kept if (places := _places(value)) is not None}


def search_and_keep(
    day: Day,
    known: KnownFits,
    book: BenchBook | None,
    *,
    every: bool = False,
    stop: Stop = lambda: False,
    tell: Callable[[Wanted, int], None] | None = None,
) -> dict[str, Places]:
    """Search what nobody has searched yet, keep it, and return all that is known then.

    ``stop`` cancels: a search that it cuts short is not kept. ``tell`` hears each fit as its search
    begins, with the number known, and each better number.
    """
    found = dict(known)
    for wanted in fitting.unsearched(day, found, every):
        cut_short = False

        def stop_for(count: int) -> Stop:
            usual = packing.usual_stop(count)

            def over() -> bool:
                nonlocal cut_short
                cut_short = cut_short or stop()
                return cut_short or usual()

            return over

        def hear(count: int, wanted: Wanted = wanted) -> None:
            if tell is not None:
                tell(wanted, count)

        places = fitting.search(day, wanted, found, stop_for, tell=hear)
        if cut_short:
            break
        found[wanted.key] = places
        if book is not None:
            with suppress(BenchplanError):  # a fit that is not kept is searched again
                book.keep_fit(wanted.key, places)
    return found


def _places(value: object) -> Places | None:
    """Return places as they were kept; None for anything else."""
    if not isinstance(value, list):
        return None
    try:
        return tuple((float(x), float(y)) for x, y in value)
    except (TypeError, ValueError, OverflowError):
        return None

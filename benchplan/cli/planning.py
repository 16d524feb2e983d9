"""The verbs that plan: ``check``, ``fit`` and ``plan``."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from benchplan import clock
from benchplan.cli.given import DONE, placing, read, refuse, teller
from benchplan.errors import BenchplanError
from benchplan.shell import complain, is_terminal, say

if TYPE_CHECKING:
    from benchplan.files import PlanFile
    from benchplan.fitting import KnownFits, Wanted
    from benchplan.model import Cannot, Day, Fit, Plan
    from benchplan.model.stop import Iterations, Stop


def check(given: argparse.Namespace) -> int:
    """Say what a plan file says, what fits, and what cannot be done."""
    from benchplan.ceilings import value_warnings
    from benchplan.fitting import fit_day
    from benchplan.model.warning import warning_words
    from benchplan.papers.fit_text import check_text
    from benchplan.planner import check_asked, check_day

    plan_file = read(given)
    with placing(plan_file) as day:
        check_asked(day)
        # rows say all that a check needs, unless trays are asked for by their size
        fits = fit_day(day, _known_fits(day, search=bool(day.queue)))
        reasons = check_day(day, fits)
    warnings = [warning_words(each, day.display) for each in value_warnings(day)]
    _say_asked(plan_file)
    say(check_text(day, fits, possible=not reasons, warnings=warnings))
    return refuse(reasons) if reasons else DONE


def _say_asked(plan_file: PlanFile) -> None:
    """Say whole what a file asks of this machine, before all else: that stays in sight."""
    from benchplan.files.settings import read_settings
    from benchplan.papers.asked import asked_lines

    own, wrong = read_settings()
    for problem in wrong:
        complain(str(problem))
    asks = own.lacking(plan_file.asks)
    if asks.empty:
        return
    say("ASKED FOR BY THIS FILE, AND IGNORED\n")
    for line in asked_lines(asks):
        say(f"  {line}\n")
    say("  benchplan settings --take FILE asks whether to take this over.\n\n")


def fit(given: argparse.Namespace) -> int:
    """Print or draw what fits."""
    from benchplan.fitting import fit_day, margins_of
    from benchplan.papers import fit_text, plan_json

    with placing(read(given)) as day:
        fit_day(day)  # a number that cannot be is refused before any search
        fits = fit_day(day, _known_fits(day, search=not given.quick, every=True))
    if given.svg:
        _draw(day, fits, given.svg, teller(given))
    if given.json:
        say(plan_json.dumps(plan_json.fits_to_dict(fits)) + "\n")
    elif not given.svg:
        say(fit_text.fits_text(day, fits, [margins_of(day, fit) for fit in fits]))
    return DONE


def _known_fits(day: Day, search: bool, every: bool = False) -> KnownFits:
    """Return what is known to fit, after a search for what nobody has searched yet.

    A book that cannot be opened or written keeps nothing, and no verb fails for it. Where no search
    can find more than rows hold, it is not opened at all.
    """
    from benchplan.book import BenchBook
    from benchplan.fitting import unsearched
    from benchplan.keeping import kept_fits, search_and_keep

    if not unsearched(day, {}, every=True):
        return {}
    book = None
    try:
        book = BenchBook.open()
        if book.notice:
            complain(book.notice)
        known = kept_fits(book)
    except BenchplanError:
        known = {}
    try:
        tell = _say_search if is_terminal(sys.stderr) else None
        return search_and_keep(day, known, book, every=every, tell=tell) if search else known
    finally:
        if book is not None:
            book.close()


def _say_search(wanted: Wanted, count: int) -> None:
    complain(f"Looking for {count + 1} {wanted.tin} on pan {wanted.pan}: seconds, and only once.")


def _draw(day: Day, fits: Sequence[Fit], folder: Path, tell: Callable[[str], None]) -> None:
    """Write the drawings of ``fits`` and tell their paths."""
    from benchplan.files.folder import write_folder
    from benchplan.papers.fit_svg import HEAD, fit_svgs

    drawn, left_out = fit_svgs(day, fits)
    for path in write_folder(folder, drawn, HEAD):
        tell(str(path))
    for sentence in left_out:
        complain(sentence)


class _Told:
    """A stop rule that says on standard error how far the search is, after the first second.

    Each line comes when twice as much time has gone by. The time decides what is said and never
    when the search ends.
    """

    def __init__(self, stop: Iterations) -> None:
        self._stop = stop
        self._begin = clock.monotonic()
        self._next_s = 1.0

    def __call__(self) -> bool:
        passed = clock.monotonic() - self._begin
        if passed >= self._next_s:
            self._next_s = 2 * passed
            complain(f"Planning: {self._stop.done} of {self._stop.most} tries done.")
        return self._stop()


def planned(plan_file: PlanFile, search: bool) -> tuple[Day, KnownFits, Plan | Cannot]:
    """Return the day of a file with every cool_for a number, what is known to fit, and its plan."""
    from benchplan.planner import check_asked, default_stop, plan_day, resolved

    with placing(plan_file) as asked:
        check_asked(asked)
        day = resolved(asked)
        fits = _known_fits(day, search=search)
        enough = default_stop(day)
        stop: Stop = _Told(enough) if is_terminal(sys.stderr) else enough
        return day, fits, plan_day(day, stop, known_fits=fits)


def plan(given: argparse.Namespace) -> int:
    """Print or draw the whole day."""
    from benchplan.model import Cannot
    from benchplan.papers import plan_json, plan_text

    day, fits, plan = planned(read(given), search=not given.quick)
    if isinstance(plan, Cannot):
        if given.json:
            say(plan_json.dumps(plan_json.cannot_to_dict(day, plan)) + "\n")
        return refuse(plan.reasons)
    if given.more and (given.json or not given.svg):
        from benchplan.more import more

        plan = more(day, plan, fits)
    if given.svg:
        from benchplan.files.folder import write_file
        from benchplan.papers import plan_svg

        write_file(given.svg, plan_svg.plan_svg(day, plan), plan_svg.HEAD)
        teller(given)(str(given.svg))
    if given.json:
        say(plan_json.dumps(plan_json.plan_to_dict(day, plan)) + "\n")
    elif not given.svg:
        say(plan_text.plan_text(day, plan))
    return DONE

"""The verbs around the bench book: ``record`` reads a run back and corrects it, ``backup`` copies.

The machine's clock says when a correction was made and dates a copy; it is asked here.
"""

from __future__ import annotations

import argparse
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from benchplan.cli.given import DONE, opened_book
from benchplan.shell import page_width, say, unusable

if TYPE_CHECKING:
    from benchplan.book import BenchBook
    from benchplan.model.record import Record

LAST = "last"


def record(given: argparse.Namespace) -> int:
    """List the runs, read one back, or correct it."""
    if given.why and not given.correct:
        raise unusable("--why gives the reason of a correction.", "Say which one with --correct.")
    with opened_book() as book:
        if given.run is None:
            return _list(book, given)
        found = _found(book, given.run)
        if given.correct:
            return _correct(book, found, given.correct, given.why)
        if given.name:
            return _name(book, found, given.name)
    return _print(found, given.json)


def _list(book: BenchBook, given: argparse.Namespace) -> int:
    from benchplan.clock import machine_zone
    from benchplan.papers.record_text import runs_text

    if given.json or given.correct or given.name:
        raise unusable(
            "It is not said which run.", "`benchplan record` lists them; `last` is the newest."
        )
    say(runs_text(book.run_heads(), machine_zone(), page_width()))
    return DONE


def _found(book: BenchBook, run: int | str) -> Record:
    from benchplan.carrying.recorded import record_of

    if run != LAST:
        return record_of(book, int(run))
    newest = book.runs(1)
    if not newest:
        raise unusable(
            "The bench book has no run yet.", "`benchplan open FILE` begins one on the Bench."
        )
    return record_of(book, newest[0].number)


def _print(found: Record, as_json: bool) -> int:
    from benchplan.papers.plan_json import dumps
    from benchplan.papers.record_json import record_to_dict
    from benchplan.papers.record_text import record_text

    said = record_text(found, page_width())
    say(dumps(record_to_dict(found)) + "\n" if as_json else said)
    return DONE


def _correct(book: BenchBook, found: Record, typed: list[str], why: str) -> int:
    from benchplan.live.correcting import correction
    from benchplan.papers.record_words import correction_words

    mark, field, value = typed
    number = _number(mark, "mark", "The record has its number before each mark.")
    made = book.add_correction(found.run, correction(found, number, field, value, why, _now()))
    entry = next(each for each in found.entries if each.mark.number == number)
    words = correction_words(found, made, entry.first or entry.mark)
    say(f"Run {found.run}, mark {number}: {words}.\n")
    return DONE


def _name(book: BenchBook, found: Record, typed: list[str]) -> int:
    from benchplan.live.correcting import naming
    from benchplan.papers.record_words import correction_words

    person, name = typed
    number = _number(person, "person", "The one whose day it is is person 1.")
    made = book.add_correction(found.run, naming(found, number, name, _now()))
    say(f"Run {found.run}: {correction_words(found, made)}.\n")
    return DONE


def _number(text: str, what: str, cure: str) -> int:
    if not (text.isascii() and text.isdecimal() and len(text) < 10):
        raise unusable(f'"{text}" is no number of a {what}.', cure)
    return int(text)


def _now() -> datetime:
    from benchplan.clock import RealClock

    return RealClock().now()


def run_number(text: str) -> int | str:
    """Return the run that was typed: its number, or ``LAST``."""
    if text == LAST:
        return text
    if text.isascii() and text.isdecimal() and len(text) < 10:
        return int(text)
    raise argparse.ArgumentTypeError(
        f'"{text}" is no run: say its number, or {LAST}; `benchplan record` lists them'
    )


def backup(given: argparse.Namespace) -> int:
    """Copy the bench book, in use or not, into a file or under a dated name into a folder."""
    from benchplan.book import home
    from benchplan.book.connection import FILE

    if not (home() / FILE).is_file():
        raise unusable(
            f"There is no bench book in {home()} yet.", "The first run on the Bench begins it."
        )
    path: Path = given.path
    if path.is_dir():
        path = path / f"bench_book_{_now().astimezone():%Y-%m-%d_%H%M%S}.sqlite"
    with opened_book() as book:
        book.backup(path)
        say(f"{path}\nThe bench book {book.path} was copied there, and the copy was checked.\n")
    return DONE

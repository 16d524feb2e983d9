"""One reader a kind of field: what a TOML file says in, the value kept inside out.

A reader answers ``BAD`` after it has noted what is wrong, so that the rest of the file is read
too and nothing is reported as missing that was only written wrongly.
"""

from __future__ import annotations

import math
import shlex
from collections.abc import Callable
from datetime import date, datetime, time
from typing import Any, Final

from benchplan import clock, units
from benchplan.errors import BenchplanError
from benchplan.files.fields import FORMAT, Field
from benchplan.files.lines import LONGEST_TEXT, Path, key_text, shown
from benchplan.files.nearest import nearest
from benchplan.files.notes import Note
from benchplan.keys import keys_named

LONGEST_WORD = 1000  # of a command
MOST_WORDS = 200
YEARS = (2000, 2199)


class _Bad:
    def __repr__(self) -> str:
        return "BAD"


BAD: Final = _Bad()
Reader = Callable[[Field, Any, Path, Note], Any]


def found_words(raw: Any) -> str:
    """Say what stands in a file: ``"72 mm"``, 72, true, a list, a table, 09:00:00."""
    if isinstance(raw, bool):
        return "true" if raw else "false"
    if isinstance(raw, str):
        return f'"{shown(raw, LONGEST_TEXT)}"'
    if isinstance(raw, list):
        return "a list"
    if isinstance(raw, dict):
        return "a table"
    if isinstance(raw, date | time):
        return raw.isoformat()
    said = str(raw) if not isinstance(raw, int) or raw.bit_length() < 200 else "a huge number"
    return said if len(said) <= LONGEST_TEXT else "a huge number"


def wrong(field: Field, raw: Any, path: Path, note: Note, needed: str, like: str) -> _Bad:
    """Note a value of the wrong kind: what was found, what is needed, what would do."""
    note(path, f"{name_of(path)} is {found_words(raw)}; {needed} is needed.", like)
    return BAD


def name_of(path: Path) -> str:
    """Return the last key of a path, with the list it stands in: ``inside[2]``."""
    keys = [place for place, part in enumerate(path) if isinstance(part, str)]
    return key_text(path[keys[-1] :]) if keys else key_text(path)


def _write(field: Field) -> str:
    return f"Write it like {field.written()}."


def _text(field: Field, raw: Any, path: Path, note: Note) -> Any:
    if not isinstance(raw, str):
        return wrong(field, raw, path, note, "a text in quotes", _write(field))
    if fault := text_fault(raw):
        note(path, f"{name_of(path)} {fault}.", _write(field))
        return BAD
    return raw


def text_fault(text: str, longest: int = LONGEST_TEXT) -> str:
    """Return what keeps a text from being a name, or ""."""
    if not text.strip():
        return "is empty"
    if len(text) > longest:
        return f"is longer than {longest} characters"
    if not text.isprintable():
        return "holds a character that cannot be shown"
    return ""


def _count(field: Field, raw: Any, path: Path, note: Note) -> Any:
    if isinstance(raw, bool) or not isinstance(raw, int):
        like = _write(field)
        if isinstance(raw, str) and raw.strip().isascii() and raw.strip().isdigit():
            like = f"Write it without quotes: {field.key} = {raw.strip()[:20]}."
        return wrong(field, raw, path, note, "a whole number", like)
    if not field.low <= raw <= field.high:
        note(
            path,
            f"{name_of(path)} is {found_words(raw)}; it must be from {int(field.low)} to "
            f"{int(field.high)}.",
            _write(field),
        )
        return BAD
    return raw


def _format(field: Field, raw: Any, path: Path, note: Note) -> Any:
    if raw is True or raw != FORMAT:
        what = f"{name_of(path)} is {found_words(raw)}; this is format {FORMAT}."
        note(path, what, _write(field))
        return BAD
    return FORMAT


def _flag(field: Field, raw: Any, path: Path, note: Note) -> Any:
    if not isinstance(raw, bool):
        return wrong(field, raw, path, note, "true or false", f"Write {field.key} = true.")
    return raw


def _choice(field: Field, raw: Any, path: Path, note: Note) -> Any:
    if not isinstance(raw, bool) and raw in field.choices and type(raw) is type(field.choices[0]):
        return raw
    shown = [found_words(choice) for choice in field.choices]
    needed = ", ".join(shown[:-1]) + " or " + shown[-1]
    near = nearest(raw, map(str, field.choices)) if isinstance(raw, str) else ""
    cure = (
        f'Did you mean "{near}"?' if near in field.choices else f"Write {field.key} = {shown[0]}."
    )
    return wrong(field, raw, path, note, needed, cure)


def _date(field: Field, raw: Any, path: Path, note: Note) -> Any:
    if isinstance(raw, datetime) or not isinstance(raw, date):
        return wrong(field, raw, path, note, "a date alone", f"Write {field.key} = 2026-12-05.")
    if not YEARS[0] <= raw.year <= YEARS[1]:
        note(path, f"{name_of(path)} is {raw.isoformat()}, a year out of reach.", _write(field))
        return BAD
    return raw


def _moment(field: Field, raw: Any, path: Path, note: Note) -> Any:
    if isinstance(raw, datetime):
        return BAD if _date(field, raw.date(), path, note) is BAD else raw
    if not isinstance(raw, time):
        like = field.like
        if isinstance(raw, str) and (given := _as_time(raw)):
            like = given
        needed = "a time of day without quotes"
        return wrong(field, raw, path, note, needed, f"Write {field.key} = {like}.")
    return raw


def _as_time(text: str) -> str:
    try:
        return time.fromisoformat(text.strip().zfill(5)).replace(tzinfo=None).isoformat("seconds")
    except ValueError:
        return ""


def _zone(field: Field, raw: Any, path: Path, note: Note) -> Any:
    name = _text(field, raw, path, note)
    if name is BAD:
        return BAD
    try:
        return clock.zone_named(name)
    except BenchplanError as error:
        import zoneinfo

        near = nearest(name, zoneinfo.available_timezones())
        cure = f'Did you mean "{near}"?' if near else error.problems[0].cure
        note(path, error.problems[0].what, cure)
        return BAD


def _quantity(field: Field, raw: Any, path: Path, note: Note) -> Any:
    kind = "duration" if field.kind in ("exact_duration", "span") else field.kind
    kind = "length" if kind == "size" else kind
    if isinstance(raw, bool) or not isinstance(raw, int | float | str):
        return wrong(field, raw, path, note, f"a {kind} in quotes", _write(field))
    if not isinstance(raw, str):
        shown = found_words(raw)
        if isinstance(raw, int) or (math.isfinite(raw) and "e" not in shown):
            cure = f"Write it with its unit, in quotes: {units.offers(shown, kind)}."
        else:
            cure = _write(field)
        note(path, f"{name_of(path)} is {shown}, a bare number; a {kind} is needed.", cure)
        return BAD
    try:
        value = units.parse(raw, kind)
    except units.UnitProblem as problem:
        note(path, f"{name_of(path)}: {problem.what}", problem.cure)
        return BAD
    if kind == "duration" and field.kind != "exact_duration":
        value = math.floor(value + 0.5)
    if not field.low <= value <= field.high:
        note(
            path,
            f"{name_of(path)} is {found_words(raw)}; it must be from {_bound(kind, field.low)} to "
            f"{_bound(kind, field.high)}.",
            _write(field),
        )
        return BAD
    return value


def _bound(kind: str, value: float) -> str:
    """Return a bound with its unit, in the plain form that a file would hold."""
    if kind == "duration":
        return clock.show_span(value)
    shown = {
        "length": units.show_length,
        "mass": units.show_mass,
        "volume": units.show_volume,
        "temperature": units.show_temperature,
    }[kind]
    return f"{shown(value, 'metric')} ({shown(value, 'us')})"


def _pair(field: Field, raw: Any, path: Path, note: Note) -> Any:
    if not isinstance(raw, list) or len(raw) != 2:
        what = f"a list of {len(raw)}" if isinstance(raw, list) else found_words(raw)
        note(path, f"{name_of(path)} is {what}; a list of two is needed.", _write(field))
        return BAD
    both = tuple(_quantity(field, each, (*path, i), note) for i, each in enumerate(raw))
    return BAD if BAD in both else both


def _scents(field: Field, raw: Any, path: Path, note: Note) -> Any:
    if isinstance(raw, list):
        if not raw:
            note(path, f"{name_of(path)} is an empty list.", "Name a scent for each tin.")
            return BAD
        each = tuple(_text(field, name, (*path, i), note) for i, name in enumerate(raw))
        return BAD if BAD in each else each
    return _text(field, raw, path, note)


def _lines(field: Field, raw: Any, path: Path, note: Note) -> Any:
    if not isinstance(raw, list):
        return wrong(field, raw, path, note, "a list of texts", _write(field))
    each = tuple(_text(field, line, (*path, i), note) for i, line in enumerate(raw))
    if BAD in each:
        return BAD
    for i, line in enumerate(each):
        if line in each[:i]:
            note((*path, i), f'{name_of(path)} says "{line}" twice.', "Leave one out.")
            return BAD
    return each


def _counts(field: Field, raw: Any, path: Path, note: Note) -> Any:
    if not isinstance(raw, dict):
        return wrong(field, raw, path, note, "a table of numbers", _write(field))
    return {name: _count(field, count, (*path, name), note) for name, count in raw.items()}


def _command(field: Field, raw: Any, path: Path, note: Note) -> Any:
    """Read a program and its words: a list, or a text that is split where it has spaces."""
    if isinstance(raw, list):
        if not raw:
            note(path, f"{name_of(path)} is an empty list.", "Leave it out for no command.")
            return BAD
        if len(raw) > MOST_WORDS:
            what = f"{name_of(path)} has {len(raw)} words; the maximum is {MOST_WORDS}."
            note(path, what, "Put them into a script of your own, and name that.")
            return BAD
        each = tuple(_word(field, word, (*path, i), note) for i, word in enumerate(raw))
        return BAD if BAD in each else each
    if _word(field, raw, path, note) is BAD:
        return BAD
    try:
        return tuple(shlex.split(raw))
    except ValueError:
        what = f"{name_of(path)} is {found_words(raw)}; a quote in it is not closed."
        note(path, what, f"Close it, or write a list: {field.written()}.")
        return BAD


def _word(field: Field, raw: Any, path: Path, note: Note) -> Any:
    """Read a word of a command: a path may be longer than a name."""
    if not isinstance(raw, str):
        return wrong(field, raw, path, note, "a text in quotes", _write(field))
    if fault := text_fault(raw, LONGEST_WORD):
        note(path, f"{name_of(path)} {fault}.", _write(field))
        return BAD
    return raw


def _keys(field: Field, raw: Any, path: Path, note: Note) -> Any:
    """Read one key or a list of them as the screens call them."""
    if isinstance(raw, list) and not raw:
        note(path, f"{name_of(path)} is an empty list.", _write(field))
        return BAD
    found: list[str] = []
    for place, name in enumerate(raw) if isinstance(raw, list) else [(None, raw)]:
        at = path if place is None else (*path, place)
        if not isinstance(name, str):
            return wrong(field, name, at, note, "the name of a key", _write(field))
        keys = keys_named(name)
        if not keys:
            note(
                at,
                f"{name_of(at)} is {found_words(name)}; there is no such key.",
                'A key is a letter, a digit, a sign, "f1" to "f12", or a name such as "space", '
                '"enter", "tab", "pageup" or "ctrl+t"; ctrl+c and ctrl+q always leave.',
            )
            return BAD
        found += keys
    return tuple(dict.fromkeys(found))


READERS: dict[str, Reader] = {
    "text": _text,
    "count": _count,
    "format": _format,
    "flag": _flag,
    "choice": _choice,
    "date": _date,
    "moment": _moment,
    "zone": _zone,
    "length": _quantity,
    "mass": _quantity,
    "volume": _quantity,
    "temperature": _quantity,
    "duration": _quantity,
    "exact_duration": _quantity,
    "size": _pair,
    "span": _pair,
    "scents": _scents,
    "lines": _lines,
    "counts": _counts,
    "command": _command,
    "keys": _keys,
}

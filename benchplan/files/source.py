"""One TOML file as it stands on disk: its text, what it says, and the line of each key."""

from __future__ import annotations

import errno
import os
import re
import stat
import tomllib
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from benchplan.errors import BenchplanError, Problem
from benchplan.files import lines
from benchplan.files.nearest import nearest

LARGEST = 2_000_000  # bytes; a day of a thousand trays takes a tenth of it
MARK = "\ufeff"  # some editors begin a text with it


@dataclass(frozen=True, slots=True, eq=False)
class Source:
    """A file that was read. ``name`` is how messages call it, ``data`` what it says."""

    name: str
    text: str
    data: dict[str, Any]
    path: Path | None = None
    _lines: dict[lines.Path, int] = field(default_factory=dict)

    def line(self, path: lines.Path) -> int:
        """Return the line of a key path, or of the nearest thing that holds it; 0 for none."""
        if not self._lines:
            self._lines[()] = 0
            self._lines.update(lines.layout(self.text.removeprefix(MARK)).found)
        while path not in self._lines:
            path = path[:-1]
        return self._lines[path]

    def problem(self, path: lines.Path, what: str, cure: str) -> Problem:
        """Return a problem with one key of this file."""
        key = lines.shown(lines.key_text(path), lines.LONGEST_TEXT)
        return Problem(lines.shown(what), lines.shown(cure), key, self.name, self.line(path))


def read_source(path: Path, name: str) -> Source:
    """Read a file; ``name`` is how messages call it. Raises ``BenchplanError`` with a sentence."""
    return parse_source(read_text_of(path, name), name, path)


def read_text_of(path: Path, name: str) -> str:
    """Return the text of a file, its ends of line as they are."""
    try:
        mode = os.stat(path).st_mode
        if not (stat.S_ISREG(mode) or stat.S_ISDIR(mode)):  # reading a pipe may wait for ever
            raise BenchplanError(
                Problem(
                    f"This is {_kind(mode)}, not a file.",
                    "Save the text in a file and name that.",
                    file=name,
                )
            )
        with open(path, "rb") as file:
            raw = file.read(LARGEST + 1)
    except (OSError, ValueError) as error:
        raise BenchplanError(_unreadable(path, name, error)) from None
    if len(raw) > LARGEST:
        raise BenchplanError(
            Problem(
                f"This file is larger than {LARGEST // 1_000_000} MB.",
                "A plan file is a few pages of text.",
                file=name,
            )
        )
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise BenchplanError(
            Problem(
                "This file is not plain text in UTF-8.",
                "Save it as UTF-8 in your editor, or check that it is the right file.",
                file=name,
                line=line,
            )
        ) from None


def parse_source(text: str, name: str, path: Path | None = None) -> Source:
    """Read a TOML text. Raises ``BenchplanError`` with the line of the first slip."""
    try:
        data = tomllib.loads(text.removeprefix(MARK))
    except RecursionError:
        raise BenchplanError(
            Problem("Lists stand in lists too deeply here.", "A plan needs two levels.", file=name)
        ) from None
    except ValueError as error:
        raise BenchplanError(_not_toml(text.removeprefix(MARK), name, str(error))) from None
    return Source(name, text, data, path)


def _kind(mode: int) -> str:
    if stat.S_ISFIFO(mode):
        return "a pipe"
    return "a socket" if stat.S_ISSOCK(mode) else "a device"


def _closed_folder(path: Path) -> Path | None:
    """Return the first folder on the way to a file that may not be entered."""
    return next((each for each in reversed(path.parents) if not os.access(each, os.X_OK)), None)


def _unreadable(path: Path, name: str, error: OSError | ValueError) -> Problem:
    code = error.errno if isinstance(error, OSError) else errno.EINVAL
    if code == errno.ENOENT:
        near = nearest(path.name, _neighbours(path))
        cure = f'Did you mean "{near}"?' if near else "Check the name and the folder."
        return Problem("There is no such file.", cure, file=name)
    closed = _closed_folder(path) if code == errno.EACCES else None
    if closed is not None:
        cure = f"Change who may read the folder {lines.shown(str(closed))}."
        return Problem("Permission denied.", cure, file=name)
    if code == errno.EISDIR or (code == errno.EACCES and path.is_dir()):
        return Problem("This is a folder.", "Name a plan file in it.", file=name)
    if code == errno.EACCES:
        return Problem("Permission denied.", "Change who may read this file.", file=name)
    if code == errno.ELOOP:
        return Problem("Circular symbolic link.", "Name the file itself.", file=name)
    said = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
    return Problem(f"This file cannot be read: {said}.", "Check the name.", file=name)


def _neighbours(path: Path) -> list[str]:
    try:
        return [each for each in os.listdir(path.parent) if each.endswith(".toml")]
    except (OSError, ValueError):
        return []


def _not_toml(text: str, name: str, said: str) -> Problem:
    """Turn the reader's words about a slip into a problem with its line and a likely cure."""
    place = re.search(r"\s*\(at (?:line (\d+), column \d+|end of document)\)", said)
    line = int(place[1]) if place and place[1] else text.count("\n") + 1 if place else 0
    said = said[: place.start()] if place else said
    rows = text.split("\n")
    row = rows[line - 1].strip() if 0 < line <= len(rows) else ""
    what = f"This is not TOML: {lines.shown(said, lines.LONGEST_TEXT)}."
    return Problem(what, lines.shown(_likely_cure(row)), file=name, line=line)


def _likely_cure(row: str) -> str:
    key, equals, value = row.partition("=")
    key, value = (
        lines.shown(part.strip(), lines.LONGEST_TEXT) for part in (key, value.partition("#")[0])
    )
    if not equals or not value:
        return 'A line is a key = value, a [table] or a # remark; texts stand in "quotes".'
    if re.fullmatch(r"\d{1,2}:\d\d", value):
        return f"Times of day have seconds: {key} = {value.zfill(5)}:00."
    if re.match(r"\d{1,2}:\d\d", value):
        return f"Times of day are written like {key} = 15:30:00."
    if re.fullmatch(r"\d{1,4}[-./]\d{1,2}[-./]\d{1,4}", value):
        return f"Dates are year, month, day: {key} = 2026-12-05."
    if re.fullmatch(r"[^\"'\[\]{}]+", value):
        return f'Quantities and names stand in "straight quotes": {key} = "{value.strip("“”„‘’")}".'
    return "Check the quotes, commas and brackets of this line and the one before."

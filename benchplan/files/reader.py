"""Reading a plan file, with its kit, into a day: all problems at once, or none."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import benchplan
from benchplan.errors import BenchplanError, Problem
from benchplan.files.build import build_day, build_settings
from benchplan.files.fields import FORMAT
from benchplan.files.lines import LONGEST_TEXT
from benchplan.files.lines import Path as KeyPath
from benchplan.files.machine import machine_display
from benchplan.files.moments import read_moments
from benchplan.files.notes import Notes
from benchplan.files.overlay import Overlay, lay_over
from benchplan.files.rules import check
from benchplan.files.source import Source, parse_source, read_source
from benchplan.model import Day, Display, Settings


@dataclass(frozen=True, slots=True, eq=False)
class PlanFile:
    """A plan file that was read: its day, what it says with its kit, and its own text.

    ``path`` is None for a text that is no file. ``document`` holds what kit and plan say together,
    as TOML values; ``text`` is the plan's own text, to the letter; ``machine`` is the display that
    stands in for one that is not said; ``asks`` is a command and keys that nobody uses unless the
    maker takes them over into their own settings.
    """

    day: Day
    document: dict[str, Any]
    text: str
    path: Path | None
    overlay: Overlay
    machine: Display
    asks: Settings

    @property
    def kit(self) -> Path | None:
        """The file of the kit that the plan names, if it names one."""
        return self.overlay.kit.path if self.overlay.kit else None

    def place(self, key: str) -> tuple[str, int]:
        """Return the file and the line on which a key path such as ``orders[2].tins`` stands.

        Of a key that is written nowhere it is the line of what would hold it, or 0.
        """
        return self.overlay.place(key)


def read_plan(path: str | os.PathLike[str], display: Display | None = None) -> PlanFile:
    """Read a plan file and its kit.

    ``display`` stands in for the machine's own units and clock. Raises ``BenchplanError`` with
    every problem of the file and its kit, each with file, line and key.
    """
    return read_source_plan(read_source(Path(path), os.fspath(path)), Path(path), display)


def read_source_plan(
    source: Source, path: Path, display: Display | None = None, kit: Source | None = None
) -> PlanFile:
    """Read a plan that is, or is about to be, the file at ``path``; ``kit`` is one read before."""
    return _read(source, path.parent, _day_name(path.stem), display, kit)


def read_text(
    text: str,
    name: str,
    where: str | os.PathLike[str] = "",
    display: Display | None = None,
    kept: bool = False,
) -> PlanFile:
    """Read a plan from a text; ``name`` is for messages, ``where`` the folder of its kit.

    ``kept`` texts are days of runs in the bench book.
    """
    day_name = _day_name(Path(name).stem)
    return _read(parse_source(text, name), Path(where), day_name, display, kept=kept)


def _day_name(stem: str) -> str:
    """Return a file's name as the name of a day: shown whole, and never empty."""
    shown = "".join(each if each.isprintable() else "_" for each in stem)[:LONGEST_TEXT]
    return shown if shown.strip() else "day"


def _read(
    source: Source,
    folder: Path,
    name: str,
    display: Display | None,
    kit: Source | None = None,
    kept: bool = False,
) -> PlanFile:
    _refuse_newer(source)
    notes = Notes()
    overlay = lay_over(source, folder, notes, kit)

    def note(path: KeyPath, what: str, cure: str) -> None:
        notes.within(overlay.source(path))(path, what, cure)

    check(overlay.values, note, overlay.whole, kept)
    day = overlay.values.get("day")
    moments = read_moments(day, note) if isinstance(day, dict) else None
    notes.raise_if_any([source.name, overlay.kit.name if overlay.kit else ""])
    assert moments is not None  # a day without them has been noted
    machine = display or machine_display()
    built = build_day(overlay.values, moments, name, machine)
    asks = build_settings(overlay.values)
    return PlanFile(built, overlay.document, source.text, source.path, overlay, machine, asks)


def _refuse_newer(source: Source) -> None:
    """Refuse a file of a later format before its unknown keys are all called wrong."""
    found = source.data.get("format")
    if isinstance(found, int) and not isinstance(found, bool) and found > FORMAT:
        shown = str(found) if found < 1000 else "a far later one"
        raise BenchplanError(
            Problem(
                f"This file has format {shown}; benchplan {benchplan.__version__} reads format "
                f"{FORMAT}.",
                f"A benchplan of a later version, one that writes format {shown}, reads it.",
                "format",
                source.name,
                source.line(("format",)),
            )
        )

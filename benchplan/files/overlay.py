"""A plan laid over its kit, and which of the two files each key came from."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from benchplan.errors import BenchplanError
from benchplan.files import lines
from benchplan.files.notes import Notes
from benchplan.files.source import Source, read_source
from benchplan.files.tables import read_file

EITHER = ("mat", "mat_tins")  # of cooling: a plan's own one replaces either of the kit's


@dataclass(frozen=True, slots=True, eq=False)
class Overlay:
    """Plan over kit: ``values`` as they are kept inside, ``document`` as the files say them.

    ``whole`` is False when the kit could not be read: then nothing can be said to be missing.
    """

    plan: Source
    kit: Source | None
    values: dict[str, Any]
    document: dict[str, Any]
    whole: bool

    def source(self, path: lines.Path) -> Source:
        """Return the file to look in for a key: the one that says it, or else the plan."""
        if self.kit is None or not path:
            return self.plan
        for depth in (2, 1):
            if _says(self.plan, path[:depth]) or (depth == 1 and path[0] == "day"):
                return self.plan
            if _says(self.kit, path[:depth]):
                return self.kit
        return self.plan

    def place(self, key: str) -> tuple[str, int]:
        """Return the file and line of a key path such as ``orders[2].tins``."""
        path = lines.key_path(key)
        source = self.source(path)
        return source.name, source.line(path)


def lay_over(plan: Source, folder: Path, notes: Notes, kit: Source | None = None) -> Overlay:
    """Lay the plan over the kit that it names: ``kit``, or else what ``folder`` holds."""
    values = read_file(plan.data, notes.within(plan), in_kit=False)
    _both(values, plan, notes)
    named = values.get("kit")
    if not isinstance(named, str):
        return Overlay(plan, None, values, dict(plan.data), named is None)
    kit = kit or _read_kit(plan, folder / named, _kit_name(plan, named), notes)
    if kit is None:
        return Overlay(plan, None, values, dict(plan.data), False)
    under = read_file(kit.data, notes.within(kit), in_kit=True)
    _both(under, kit, notes)
    return Overlay(plan, kit, _merge(under, values), _merge(kit.data, plan.data), True)


def _kit_name(plan: Source, named: str) -> str:
    return os.path.join(os.path.dirname(plan.name), named)


def _read_kit(plan: Source, path: Path, name: str, notes: Notes) -> Source | None:
    note = notes.within(plan)
    try:
        if plan.path is not None and path.exists() and path.samefile(plan.path):
            note(("kit",), "This plan names itself as its kit.", "Name another file, or no kit.")
            return None
    except (OSError, ValueError):
        pass  # reading it says what is wrong with it
    try:
        return read_source(path, name)
    except BenchplanError as error:
        for problem in error.problems:
            if problem.line:
                notes.problems.append(problem)
            else:
                note(("kit",), f"The kit {name}: {problem.what}", problem.cure)
        return None


def _both(values: dict[str, Any], source: Source, notes: Notes) -> None:
    cooling = values.get("cooling")
    if isinstance(cooling, dict) and all(key in cooling for key in EITHER):
        notes.within(source)(
            ("cooling", "mat_tins"),
            "cooling has both mat and mat_tins.",
            "Keep the size of the mat or the number of tins, not both.",
        )


def _merge(kit: dict[str, Any], plan: dict[str, Any]) -> dict[str, Any]:
    """Lay one file's tables over another's: key by key, so that a named table is taken whole."""
    found = {**kit, **plan}
    for key, under in kit.items():
        over = plan.get(key)
        if isinstance(over, dict) and isinstance(under, dict):
            if key == "cooling" and any(each in over for each in EITHER):
                under = {name: each for name, each in under.items() if name not in EITHER}
            found[key] = {**under, **over}
    return found


def _says(source: Source, path: lines.Path) -> bool:
    held: Any = source.data
    for part in path:
        if not isinstance(held, dict) or part not in held:
            return False
        held = held[part]
    return True

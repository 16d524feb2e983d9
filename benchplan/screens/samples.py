"""The sample days as the start page lists them, and a new day made from one."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Sample:
    """A sample day: its file, its name, and the first line of what it says about itself."""

    path: Path
    name: str
    about: str


def is_sample(path: Path) -> bool:
    """Say whether a file is one of the samples, which are never written to."""
    from benchplan.files.samples import sample_paths

    return path.resolve() in {each.resolve() for each in sample_paths()}


def samples() -> list[Sample]:
    """Return the sample days, the simplest first."""
    from benchplan.files.samples import sample_paths

    found = []
    for path in sample_paths():
        text = path.read_text(encoding="utf-8")
        about = text.partition("\n")[0].lstrip("# ").rstrip()
        found.append(Sample(path, str(tomllib.loads(text).get("name", path.stem)), about))
    return found

"""Where the sample days are: inside the installed package, or beside it in a checkout."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path

import benchplan

FOLDER = "sample_runs"


@dataclass(frozen=True, slots=True)
class Sample:
    """A sample day: its file, its name, and the first line of what it says about itself."""

    path: Path
    name: str
    about: str


def folder() -> Path | None:
    """Return the folder of the sample days, or None where there is none."""
    package = Path(benchplan.__file__).resolve().parent
    for found in (package / FOLDER, package.parent / FOLDER):
        if found.is_dir():
            return found
    return None


def is_sample(path: Path) -> bool:
    """Say whether a file is one of the samples, which are never written to."""
    found = folder()
    return found is not None and found in path.resolve().parents


def samples() -> list[Sample]:
    """Return the sample days, by file name; a kit file is not one of them."""
    found = folder()
    if found is None:
        return []
    listed = []
    for path in sorted(found.glob("*.toml")):
        text = path.read_text(encoding="utf-8")
        document = tomllib.loads(text)
        if "orders" in document:
            about = text.partition("\n")[0].lstrip("# ").rstrip()
            listed.append(Sample(path, str(document.get("name", path.stem)), about))
    return listed

"""Writing drawings, one or a folder of them, where nothing that is not ours is written over."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

from benchplan.errors import BenchplanError, Problem
from benchplan.files.atomic import write_whole


def write_folder(folder: Path, texts: Mapping[str, str], head: str) -> tuple[Path, ...]:
    """Write each text into ``folder`` under its name, each whole, and return their paths.

    The folder is made where there is none. What is there already is replaced only if it begins
    with ``head``, as all that this program writes there does; otherwise nothing is written at all.
    Raises ``BenchplanError`` with a sentence.
    """
    if not texts:
        return ()
    _make(folder)
    paths = tuple(folder / name for name in texts)
    _refuse_foreign(paths, head, "name another folder")
    for path, text in zip(paths, texts.values(), strict=True):
        write_whole(path, text, str(path))
    return paths


def write_file(path: Path, text: str, head: str) -> None:
    """Write one text, whole, as ``write_folder`` does its files; its folder must be there."""
    _refuse_foreign((path,), head, "name another file")
    write_whole(path, text, str(path))


def _refuse_foreign(paths: tuple[Path, ...], head: str, instead: str) -> None:
    foreign = [path for path in paths if not _free(path, head)]
    if foreign:
        raise BenchplanError(
            *(
                Problem(
                    "This is there already, and not as benchplan writes it.",
                    f"Move it away, or {instead}; nothing has been written.",
                    file=str(path),
                )
                for path in foreign
            )
        )


def _make(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except (FileExistsError, NotADirectoryError):
        what, cure = "This is no folder, or leads through a file.", "Name a folder, old or new."
        raise BenchplanError(Problem(what, cure, file=str(folder))) from None
    except (OSError, ValueError) as error:
        said = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        what, cure = f"This folder cannot be made: {said}.", "Name another one."
        raise BenchplanError(Problem(what, cure, file=str(folder))) from None


def _free(path: Path, head: str) -> bool:
    """Return whether there is nothing at ``path``, or what this program wrote."""
    begin = head.encode("utf-8")
    try:
        if path.is_symlink() or (path.exists() and not path.is_file()):
            return False
        with path.open("rb") as file:
            return file.read(len(begin)) == begin
    except FileNotFoundError:
        return True
    except PermissionError:
        return not os.path.lexists(path)  # in a closed folder: writing says so
    except (OSError, ValueError):
        return False

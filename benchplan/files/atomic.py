"""Writing a file so that a crash leaves the old one or the new one, whole."""

from __future__ import annotations

import contextlib
import os
import stat
from pathlib import Path

from benchplan.errors import BenchplanError, Problem


def write_whole(path: Path, text: str, name: str) -> None:
    """Replace the file at ``path`` by ``text``; links are followed, permissions kept.

    Raises ``BenchplanError`` with a sentence; the old file is then as it was.
    """
    real = path
    try:
        real = Path(os.path.realpath(path))
        mode = _mode_to_keep(real)
        spare = real.with_name(f".benchplan-{os.urandom(8).hex()}.tmp")
        try:
            _write(spare, text, mode)
            os.replace(spare, real)
        except BaseException:
            with contextlib.suppress(OSError):
                spare.unlink()
            raise
        _settle(real.parent)
    except (OSError, ValueError) as error:
        raise BenchplanError(_unwritable(real, name, error)) from None


def _mode_to_keep(real: Path) -> int | None:
    """Return the permissions of the old file, or None; refuse what its owner has locked."""
    try:
        found = real.stat()
    except FileNotFoundError:
        return None
    if stat.S_ISDIR(found.st_mode):
        raise IsADirectoryError(21, "Is a directory")
    if not os.access(real, os.W_OK):
        raise PermissionError(13, "Permission denied", str(real))
    return stat.S_IMODE(found.st_mode)


def _write(spare: Path, text: str, mode: int | None) -> None:
    handle = os.open(
        spare, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666
    )
    with open(handle, "wb") as file:
        file.write(text.encode("utf-8"))
        file.flush()
        os.fsync(file.fileno())
    if mode is not None:
        os.chmod(spare, mode)


def _settle(folder: Path) -> None:
    """Make the new name itself last; not every system lets a folder be synced."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _unwritable(real: Path, name: str, error: OSError | ValueError) -> Problem:
    cure = "Save it under another name or in another folder; the old file is as it was."
    if isinstance(error, IsADirectoryError):
        return Problem("This is a folder.", "Name a file in it.", file=name)
    if isinstance(error, FileNotFoundError | NotADirectoryError):
        return Problem(f'There is no folder "{real.parent}".', "Make it, or choose one.", file=name)
    if isinstance(error, PermissionError):
        place = "this file" if error.filename == str(real) else "in the folder of this file"
        return Problem(f"You may not write {place}.", cure, file=name)
    said = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
    return Problem(f"This file cannot be written: {said}.", cure, file=name)

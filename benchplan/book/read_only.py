"""A book that can be read and not written: a folder of somebody else's, or a disk that is full."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path
from tempfile import TemporaryDirectory

from benchplan.book.soundness import is_damaged


def read_into_memory(path: Path) -> sqlite3.Connection:
    """Return all that a book holds, in memory; its files stay as they are.

    Its log needs shared memory beside it, which cannot be made there (sqlite.org/wal.html): so the
    book is opened as it is, then without shared memory (the same page, "Use of WAL Without
    Shared-Memory"), then as a copy elsewhere. Raises ``sqlite3.Error`` or ``OSError``.
    """
    memory = sqlite3.connect(":memory:", isolation_level=None, check_same_thread=False)
    found: Exception | None = None
    for read in (_as_it_is, _without_shared_memory, _from_a_copy):
        try:
            read(path, memory)
            return memory
        except (sqlite3.Error, OSError, UnicodeDecodeError) as error:
            found = found or error
            if is_damaged(error):
                break
    memory.close()
    assert found is not None
    raise found


def _as_it_is(path: Path, memory: sqlite3.Connection) -> None:
    with closing(sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True)) as book:
        book.backup(memory)


def _without_shared_memory(path: Path, memory: sqlite3.Connection) -> None:
    with closing(sqlite3.connect(path, isolation_level=None)) as book:
        book.execute("PRAGMA locking_mode = EXCLUSIVE")
        book.backup(memory)


def _from_a_copy(path: Path, memory: sqlite3.Connection) -> None:
    with TemporaryDirectory() as folder:
        for tail in ("", "-wal"):
            part = Path(f"{path}{tail}")
            if part.exists():
                shutil.copyfile(part, Path(folder) / part.name)
        with closing(sqlite3.connect(Path(folder) / path.name)) as book:
            book.backup(memory)

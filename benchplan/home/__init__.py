"""The folder in which the program keeps what it writes for itself: bench book, settings, log."""

from __future__ import annotations

import os
from pathlib import Path

from benchplan.errors import BenchplanError, Problem


def home() -> Path:
    """Return the data folder: BENCHPLAN_HOME, else the platform's own place for data.

    Raises ``BenchplanError`` for a ``~name`` that is nobody's.
    """
    named = os.environ.get("BENCHPLAN_HOME", "").strip()
    if named:
        try:
            return Path(named).expanduser()
        except RuntimeError:
            raise BenchplanError(
                Problem(
                    f"BENCHPLAN_HOME is {named!r}, and this machine has no such user.",
                    "Set it to the path of a folder, or unset it.",
                )
            ) from None
    from platformdirs import user_data_dir

    return Path(user_data_dir("benchplan", appauthor=False))

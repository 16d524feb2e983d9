"""The log: faults of the program are written to a file beside the bench book."""

from __future__ import annotations

import logging
from pathlib import Path

from benchplan.errors import BenchplanError
from benchplan.home import home

MOST_BYTES = 1_000_000
SEE_LOG = "benchplan.log, beside the bench book, says more."
LOG = logging.getLogger("benchplan")


def log_path() -> Path:
    """Return the file that faults are written to."""
    return home() / "benchplan.log"


class LogFile(logging.Handler):
    """Opens the file at the first fault only; a file that grew too long is begun anew."""

    def emit(self, record: logging.LogRecord) -> None:
        try:
            path = log_path()
            path.parent.mkdir(parents=True, exist_ok=True)
            mode = "a" if path.exists() and path.stat().st_size < MOST_BYTES else "w"
            with path.open(mode, encoding="utf-8") as file:
                file.write(self.format(record) + "\n")
        except (OSError, BenchplanError):
            return  # a fault that cannot be written down must not become a second one


def log_to_file() -> None:
    """Send what the program logs about itself to the file, once."""
    if not any(isinstance(handler, LogFile) for handler in LOG.handlers):
        handler = LogFile()
        handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(message)s"))
        LOG.addHandler(handler)
        LOG.propagate = False

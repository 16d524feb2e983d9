"""Compare text with a kept file. BENCHPLAN_WRITE_GOLDEN=1 writes the files anew: read the diff."""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path

from benchplan.views.rows import Row, cells, plain, text_of

FOLDER = Path(__file__).parent / "golden"


def check(name: str, rows: Iterable[Row], width: int, height: int) -> None:
    """Fail unless rows stay within their window and read as the kept file does."""
    rows = list(rows)
    assert len(rows) <= height
    assert max((cells(text_of(line)) for line in rows), default=0) <= width
    text, file = plain(rows) + "\n", FOLDER / f"{name}.txt"
    if os.environ.get("BENCHPLAN_WRITE_GOLDEN"):
        file.write_text(text, encoding="utf-8")
    assert text == file.read_text(encoding="utf-8")

"""The help page: every key, grouped by where it works."""

from __future__ import annotations

from collections.abc import Sequence

from benchplan.views.rows import BLANK, Piece, Row, left, row, wrap

KEY_WIDTH = 13


def help_rows(groups: Sequence[tuple[str, Sequence[tuple[str, str]]]], width: int) -> list[Row]:
    """Return groups of (heading, [(keys, what they do)]) as rows."""
    rows: list[Row] = []
    for heading, keys in groups:
        rows += [BLANK] if rows else []
        rows.append(row(Piece(heading, "head")))
        for name, what in keys:
            for at, line in enumerate(wrap(what, max(10, width - KEY_WIDTH))):
                shown = left(name, KEY_WIDTH - 1) + " " if at == 0 else " " * KEY_WIDTH
                rows.append(row(Piece(shown, "strong"), line))
    return rows

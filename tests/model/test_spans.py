"""Spans as a person reads them."""

from __future__ import annotations

import pytest

from benchplan import clock


@pytest.mark.parametrize(
    ("seconds", "in_full", "to_the_minute"),
    [
        (0, "0 s", "0 s"),
        (59, "59 s", "59 s"),
        (60, "1 min", "1 min"),
        (119, "1 min 59 s", "1 min"),
        (3599, "59 min 59 s", "59 min"),
        (3600, "1 h 00 min", "1 h 00 min"),
        (7499, "2 h 04 min", "2 h 04 min"),
    ],
)
def test_spans(seconds: int, in_full: str, to_the_minute: str) -> None:
    assert clock.show_span(seconds) == in_full
    assert clock.show_minutes(seconds) == to_the_minute

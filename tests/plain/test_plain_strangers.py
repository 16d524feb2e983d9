"""Whatever is typed, nothing wet goes into an oven, and nothing that may be hot is forgotten."""

from __future__ import annotations

from pathlib import Path

import pytest
from strangers import KINDS, faults, let_in, lines

SEEDS = 12


@pytest.mark.parametrize("kind", KINDS)
def test_whatever_a_stranger_types_the_run_stays_safe(
    kind: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for seed in range(SEEDS):
        home = tmp_path / str(seed)  # each with a book of their own
        home.mkdir()
        monkeypatch.setenv("BENCHPLAN_HOME", str(home))
        session, state, heard = let_in(kind, lines(seed))
        assert faults(session, state) == [], (seed, heard)


@pytest.mark.parametrize("kind", KINDS)
def test_a_second_tray_that_is_filled_set_and_loaded_first_asks_for_the_dry_test(kind: str) -> None:
    typed = [(0.0, "start"), *[(1.0, word) for _ in range(9) for word in ("tick all", "other 2")]]
    session, state, _ = let_in(kind, typed)
    assert not [mark for mark in session.marks if mark.action and mark.action.what == "load"]
    assert faults(session, state) == []

"""Whole runs played by a clumsy maker: each comes to its end, and the same seed plays it again."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchplan import live
from benchplan.carrying.rehearsal import Rehearsal, rehearse
from benchplan.files import read_plan
from benchplan.model import Mark, standing

SAMPLES = Path(__file__).parents[2] / "sample_runs"


@pytest.mark.parametrize(
    ("sample", "seeds"),
    [("first_tray", range(20)), ("winter_fair", range(2)), ("two_ovens", range(1))],
)
def test_a_clumsy_run_comes_to_its_end(sample: str, seeds: range) -> None:
    for seed in seeds:
        rehearsal = Rehearsal(read_plan(SAMPLES / f"{sample}.toml"), seed)
        rehearsal.begin()
        session, book = rehearsal.session, rehearsal.carrier.book
        day, base, run = session.day, session.good_plan(), session.run
        assert day is not None
        assert base is not None
        assert run is not None
        before = live.state(day, base, (), 0)

        played = rehearsal.play()

        assert (played.complete, played.why) == (True, ""), f"seed {seed}"
        assert book.marks(run) == played.marks
        assert book.run(run.number).state == "complete"

        kept = len(standing(played.marks))
        assert rehearsal.carrier.take_back(kept) == kept
        assert standing(session.marks) == ()
        assert live.state(day, base, session.marks, 0) == before
        assert book.run(run.number).state == "running"
        rehearsal.carrier.close()


def test_a_seed_plays_the_same_run_again_and_another_seed_another_one() -> None:
    path = SAMPLES / "first_tray.toml"
    first = rehearse(path, 7).marks
    assert rehearse(path, 7).marks == first
    assert rehearse(path, 8).marks != first


def test_clumsy_makers_do_all_that_the_script_has_for_them() -> None:
    seen: set[str] = set()
    late: list[Mark] = []
    for seed in range(20):
        marks = rehearse(SAMPLES / "first_tray.toml", seed).marks
        seen |= {mark.what for mark in marks}
        late += [mark for mark in marks if mark.entered_s > mark.happened_s]
    assert seen >= {"done", "tick", "take back"}
    assert late

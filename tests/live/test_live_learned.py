"""How long work really takes, from what past runs marked."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

from live_days import CEDAR, FENNEL, Bench, make_day, make_plan, one, paused_day

from benchplan.live import Learned, learned_times
from benchplan.model import Day, Mark, Plan, Run

RUN = Run(1, "Fair", "fair.toml", datetime(2026, 12, 5, 9, tzinfo=UTC), "", "", state="complete")


def followed(**changes: object) -> tuple[Run, Day, Plan, tuple[Mark, ...]]:
    day = make_day(**changes)
    bench = Bench(day, make_plan(day, [FENNEL, FENNEL, CEDAR]))
    bench.follow()
    return RUN, day, bench.plan, bench.marks


def test_a_run_that_went_as_planned_teaches_the_planned_times() -> None:
    found = {
        each.step: (each.seconds, each.per, each.samples) for each in learned_times([followed()])
    }
    assert found["set"] == (3, "tin", 3)
    assert found["load"] == (15, "pan", 3)
    assert found["unload"] == (15, "pan", 3)
    assert found["transfer"] == (6, "tin", 3)
    assert found["fill"] == (20, "tin", 3)
    assert found["pack"] == (17, "tin", 3)


def test_the_middle_one_of_several_counts() -> None:
    day = make_day()
    plan = make_plan(day, [FENNEL, FENNEL, FENNEL])
    ends = [(one("fill", 1), 80), (one("fill", 2), 80 + 240), (one("fill", 3), 320 + 800)]
    marks = tuple(
        Mark("done", end, end, action, number=number)
        for number, (action, end) in enumerate(ends, start=1)
    )
    assert learned_times([(RUN, day, plan, marks)]) == (Learned("fill", 30.0, "tin", 3),)


def test_rehearsals_and_runs_that_go_on_teach_nothing() -> None:
    _, day, plan, marks = followed()
    unended = (replace(RUN, state="running"), replace(RUN, state="held"))
    for run in (replace(RUN, rehearsal=True, speed=60.0), *unended):
        assert learned_times([(run, day, plan, marks)]) == ()
    assert learned_times([(replace(RUN, state="stopped"), day, plan, marks)])


def test_an_aborted_run_teaches_nothing() -> None:
    _, day, plan, marks = followed()
    aborted = (replace(RUN, number=2, state="aborted"), day, plan, marks)
    assert learned_times([aborted]) == ()
    assert learned_times([followed(), aborted]) == learned_times([followed()])


def test_clearing_into_a_box_is_not_packing() -> None:
    steps = {each.step for each in learned_times([followed(pack="later")])}
    assert "clear" in steps
    assert "pack" not in steps


def test_work_that_was_put_down_or_held_up_by_a_break_is_left_out() -> None:
    bench = Bench(*paused_day())
    bench.follow()
    found = {
        each.step: each.samples
        for each in learned_times([(RUN, bench.day, bench.plan, bench.marks)])
    }
    assert found == {"fill": 1, "set": 2, "load": 2, "unload": 2, "transfer": 2, "pack": 1}


def test_marks_entered_all_at_once_are_left_out() -> None:
    day = make_day()
    marks = tuple(
        Mark("done", 900, 900, one(what), number=number)
        for number, what in enumerate(("fill", "set", "load"), start=1)
    )
    found = learned_times([(RUN, day, make_plan(day, [FENNEL]), marks)])
    assert [each.step for each in found] == ["fill"]

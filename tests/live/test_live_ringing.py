"""When an alarm rings: at each new stage, spaced from then on, and never for jitter."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from live_days import Bench, make_day, make_plan

from benchplan.live import Ringing, State
from benchplan.live.alarms import Alarm
from benchplan.live.ringing import GAPS_S
from benchplan.live.state import Hot

DAY = make_day()
EMPTY = Bench(DAY, make_plan(DAY, [["Sea fennel"] * 8])).state
DUE, LATE = 1000, 30


def hot(due: int = DUE, oven: str = "counter", trays: tuple[int, ...] = (1,)) -> Hot:
    return Hot("oven", oven, trays, due, "baking", due - 60, due + LATE)


def at(now_s: int, *hots: Hot) -> State:
    return replace(EMPTY, now_s=now_s, hot=hots)


def rung(ringing: Ringing, moments: range, *hots: Hot) -> list[tuple[int, str]]:
    found = ((now_s, ringing.rings(at(now_s, *hots), float(now_s))) for now_s in moments)
    return [(now_s, alarm.stage) for now_s, alarm in found if alarm]


def test_each_stage_rings_and_repeats_grow_apart() -> None:
    found = rung(Ringing(), range(900, 1400), hot())
    assert found[:4] == [(940, "soon"), (1000, "now"), (1020, "now"), (1031, "overdue")]
    gaps = [later - sooner for (sooner, _), (later, _) in pairwise(found[3:])]
    assert gaps[: len(GAPS_S)] == list(GAPS_S)
    assert set(gaps[len(GAPS_S) :]) == {GAPS_S[-1]}


def test_repeats_are_spaced_in_real_seconds_in_a_rehearsal_too() -> None:
    ringing = Ringing()
    found = [now_s for now_s in range(940, 2200, 60) if ringing.rings(at(now_s, hot()), now_s / 60)]
    assert found == [940, 1000, 1060]  # sixty times as fast, 2200 is but 19 real seconds later


def test_a_load_that_is_out_is_forgotten_and_the_next_one_rings_anew() -> None:
    ringing = Ringing()
    assert rung(ringing, range(930, 1010), hot()) == [(940, "soon"), (1000, "now")]
    assert rung(ringing, range(1010, 1100)) == []
    assert rung(ringing, range(1100, 1510), hot(1500, trays=(2,))) == [
        (1440, "soon"), (1500, "now"),
    ]  # fmt: skip


def test_a_bake_made_one_minute_longer_rings_when_that_is_over() -> None:
    ringing = Ringing()
    rung(ringing, range(930, 1005), hot())
    assert rung(ringing, range(1005, 1062), hot(DUE + 60)) == [(1060, "now")]
    assert rung(ringing, range(1062, 1121), hot(DUE + 120)) == [(1120, "now")]


def test_a_bake_made_much_longer_is_announced_again() -> None:
    ringing = Ringing()
    rung(ringing, range(930, 1005), hot())
    found = rung(ringing, range(1005, 1301), hot(DUE + 300))
    assert found == [(1240, "soon"), (1300, "now")]


def test_two_ovens_at_one_moment_ring_once_and_each_has_its_own_stages() -> None:
    ringing = Ringing()
    other = hot(DUE, "big", (2,))
    assert rung(ringing, range(930, 1005), hot(), other) == [(940, "soon"), (1000, "now")]
    later = hot(DUE + 100, "big", (3,))
    assert (1040, "soon") in rung(ringing, range(1005, 1041), hot(), later)


def test_the_most_urgent_rings_for_all() -> None:
    alarm = Ringing().rings(at(1001, hot(1040, "big", (2,)), hot()), 0.0)
    assert alarm is not None
    assert (alarm.oven, alarm.stage) == ("counter", "now")


def test_a_tray_that_leaves_a_load_is_no_new_alarm() -> None:
    ringing = Ringing()
    rung(ringing, range(930, 1005), hot(trays=(1, 2)))
    assert rung(ringing, range(1005, 1010), hot(trays=(2,))) == []


@pytest.mark.parametrize("start", [930, 990, 1025])
@given(jitter=st.lists(st.integers(-9, 9), min_size=60, max_size=60))
def test_nothing_chatters_when_times_jitter(start: int, jitter: list[int]) -> None:
    """Whatever trembles by less than a bake could be made longer rings no more than a still one."""
    ringing, found = Ringing(), list[tuple[int, Alarm]]()
    for step, by in enumerate(jitter):
        alarm = ringing.rings(at(start + step, hot(DUE + by)), float(start + step))
        if alarm:
            found.append((start + step, alarm))
    stages = [alarm.stage for _, alarm in found]
    assert stages.count("soon") <= 1
    repeats = [
        later - sooner
        for (sooner, one), (later, other) in pairwise(found)
        if one.stage == other.stage
    ]
    assert all(gap >= GAPS_S[0] for gap in repeats)
    assert len(found) <= 3 + 60 / GAPS_S[0]


def test_a_clock_that_is_set_back_does_not_ring_the_stages_again() -> None:
    ringing = Ringing()
    rung(ringing, range(930, 1005), hot())
    back = [ringing.rings(at(1004 - step, hot()), 1004.0 + step) for step in range(15)]
    assert back == [None] * 15

"""Typed corrections: one value for another with a reason, or a sentence about what would do."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from live_days import FENNEL, ON, Bench, make_day, make_plan

from benchplan.errors import BenchplanError
from benchplan.live.correcting import correction, naming
from benchplan.live.record import record
from benchplan.model import Action, Display, Mark, Run
from benchplan.model.record import Correction, Record

DAY = make_day()
PLAN = make_plan(DAY, [FENNEL])
NOW = datetime(2026, 12, 7, 8, tzinfo=UTC)
PACK = Action("pack", (1,))


def over(state: str = "stopped", units: str = "metric") -> Record:
    day = replace(DAY, display=Display(units))
    bench = Bench(day, PLAN)
    bench.now = 600
    bench.mark(ON)
    bench.add(Mark("scrapped", 1000, 1000, PACK, amount=2, note="dropped"))
    bench.add(Mark("reading", 1200, 1200, ON, amount=156.5))
    bench.add(Mark("late", 1300, 1300, amount=300))
    run = Run(4, "Hand day", "", DAY.start, "", "", state=state, finished_s=7200)
    return record(run, day, PLAN, bench.marks)


def fix(mark: int, field: str, text: str, found: Record | None = None) -> Correction:
    return correction(found or over(), mark, field, text, "looked at the camera", NOW)


@pytest.mark.parametrize(
    ("mark", "field", "text", "old", "new"),
    [
        (1, "time", "9:12", "600", "720"),
        (1, "time", "09:12:30", "600", "750"),
        (1, "time", "9:12 am", "600", "720"),
        (2, "amount", "3", "2", "3"),
        (2, "note", "cracked in  the oven", "dropped", "cracked in the oven"),
        (2, "person", "2", "1", "2"),
        (2, "stands", "No", "yes", "no"),
        (3, "amount", "155", "156.5", "155"),
        (3, "amount", "311 F", "156.5", "155"),
        (4, "amount", "7", "300", "420"),
        (4, "amount", "90 s", "300", "90"),
    ],
)
def test_what_is_typed_becomes_both_values(mark, field, text, old, new) -> None:
    found = fix(mark, field, text)
    assert (found.mark, found.field, found.old, found.new) == (mark, field, old, new)
    assert (found.why, found.entered) == ("looked at the camera", NOW)


def test_a_bare_reading_is_in_the_degrees_that_are_shown() -> None:
    assert fix(3, "amount", "311", over(units="us")).new == "155"


@pytest.mark.parametrize(
    ("mark", "field", "text", "said"),
    [
        (9, "time", "9:12", "no mark 9. Its marks are 1 to 4"),
        (1, "colour", "red", "nothing that a mark has"),
        (1, "time", "8:59", "had not begun at 8:59. It began at 09:00"),
        (1, "time", "11:30", "was over by 11:30. It ended at 11:00:00"),
        (1, "time", "25:00", "no time of day"),
        (1, "time", "13:00 pm", "no time of day"),
        (1, "time", "soon", "no time of day"),
        (1, "amount", "3", "counts nothing"),
        (2, "amount", "9", "holds 8 tins"),
        (2, "amount", "0", "stands no"),
        (2, "amount", "2", "already"),
        (2, "note", " ", "needs its reason"),
        (2, "person", "Ines", "nobody in run 4"),
        (2, "stands", "maybe", "yes or no"),
        (3, "amount", "hot", '"hot"'),
        (4, "amount", "1 kg", '"1 kg"'),
    ],
)
def test_what_cannot_be_gets_a_sentence(mark, field, text, said) -> None:
    with pytest.raises(BenchplanError) as refused:
        fix(mark, field, text)
    assert said in str(refused.value)


def test_a_run_that_is_on_is_corrected_at_the_bench() -> None:
    for state in ("running", "held"):
        with pytest.raises(BenchplanError, match="Take the mark back at the bench"):
            fix(1, "time", "9:12", over(state))


def test_a_reason_is_needed() -> None:
    with pytest.raises(BenchplanError, match="--why"):
        correction(over(), 1, "time", "9:12", "  ", NOW)


def test_a_second_correction_starts_from_the_first() -> None:
    first = fix(2, "amount", "3")
    found = over()
    entries = tuple(
        replace(each, mark=replace(each.mark, amount=3.0)) if each.mark.number == 2 else each
        for each in found.entries
    )
    assert fix(2, "amount", "4", replace(found, entries=entries)).old == first.new


def test_the_time_meant_is_the_nearest_over_midnight_and_when_clocks_go_back() -> None:
    lisbon = ZoneInfo("Europe/Lisbon")
    night = replace(over(), start=datetime(2026, 12, 5, 23, 55, tzinfo=lisbon))
    assert fix(1, "time", "0:10", night).new == str(15 * 60)
    # 25 October 2026: 1:30 comes twice there, an hour apart; the rule is the zone's own
    back = replace(over(), start=datetime(2026, 10, 25, 0, 40, tzinfo=lisbon), finished_s=9000)
    first, second = 50 * 60, 110 * 60
    for old_s, meant in ((600, first), (7000, second)):
        entries = tuple(
            replace(each, mark=replace(each.mark, happened_s=old_s)) for each in back.entries
        )
        assert fix(1, "time", "1:30", replace(back, entries=entries)).new == str(meant)


def test_people_are_named_whether_or_not_the_run_is_on() -> None:
    found = naming(over("running"), 1, " Rui  Costa ", NOW + timedelta(hours=1))
    assert (found.mark, found.field, found.old, found.new) == (0, "name", "1", "Rui Costa")
    named = replace(over(), names={1: "Rui"})
    assert fix(2, "person", "2", named).new == "2"
    with pytest.raises(BenchplanError, match="already"):
        fix(2, "person", "rui", named)
    with pytest.raises(BenchplanError, match="Nobody in run 4 is person 3"):
        naming(over(), 3, "Ines", NOW)
    with pytest.raises(BenchplanError, match="at least one letter"):
        naming(over(), 1, " ", NOW)

"""A run read back: planned beside real, and nothing hidden that was taken back or corrected."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

from live_days import CEDAR, FENNEL, ON, Bench, make_day, make_plan

from benchplan.live.actions import actions
from benchplan.live.record import record
from benchplan.model import Action, Mark, Run
from benchplan.model.ids import Item
from benchplan.model.record import Correction, Record, Stage, TrayRecord

DAY = make_day()
PLAN = make_plan(DAY, [FENNEL, CEDAR])
RUN = Run(7, "Hand day", "fair.toml", DAY.start, "", "", state="complete", finished_s=PLAN.finish_s)
UNLOAD = Action("unload", (1,), "counter")
NOTED = datetime(2026, 12, 6, 8, tzinfo=UTC)


def as_planned(upto: int | None = None) -> Bench:
    """Mark everything done at the second that the plan has it done."""
    bench = Bench(DAY, PLAN)
    for each in actions(PLAN):
        if upto is None or each.end_s <= upto:
            bench.now = each.end_s
            bench.mark(each.action, person=each.person)
    return bench


def read(bench: Bench, run: Run = RUN, corrections: tuple[Correction, ...] = ()) -> Record:
    return record(run, DAY, PLAN, bench.marks, corrections)


def stage(tray: TrayRecord, step: str) -> Stage:
    return next(each for each in tray.stages if each.step == step)


def end_of(tray: int, step: str) -> int:
    found = PLAN.step(tray, step)
    assert found is not None
    return found.end_s


def test_a_day_that_went_as_planned_reads_as_planned() -> None:
    found = read(as_planned())
    assert (found.totals.planned, found.totals.packed) == (16, 16)
    assert (found.totals.scrapped, found.totals.left_over) == (0, 0)
    for tray in found.trays:
        assert tray.outcome == "packed"
        assert tray.baked_s == 420
        assert {each.step for each in tray.stages} == {
            "fill", "set", "load", "bake", "unload", "rest", "transfer", "cool", "pack",
        }  # fmt: skip
        for each in tray.stages:
            assert each.real == each.planned, (tray.number, each.step)
    (preheat,) = found.preheats
    assert preheat.real is not None
    assert preheat.planned is not None
    assert preheat.real[0] == preheat.planned[0]
    assert all(entry.counts for entry in found.entries)


def test_a_late_unload_is_a_longer_bake_not_a_longer_unload() -> None:
    bench = as_planned(end_of(1, "load"))
    bench.now = end_of(1, "unload") + 180
    bench.mark(UNLOAD)
    tray = read(bench, replace(RUN, state="running", finished_s=None)).trays[0]
    assert tray.baked_s == 420 + 180
    assert stage(tray, "unload").real == (bench.now - DAY.times.unload_s, bench.now)
    assert stage(tray, "rest").real is None
    assert tray.outcome == "left over"
    assert tray.packed == 0


def test_back_in_the_oven_adds_to_the_bake() -> None:
    bench = as_planned(end_of(1, "unload"))
    out = bench.now
    bench.now = out + 60
    bench.add(Mark("back in", bench.now, bench.now, UNLOAD, amount=120))
    running = replace(RUN, state="running", finished_s=None)
    assert read(bench, running).trays[0].bakes[1] == (out + 60, out + 180)
    bench.now = out + 60 + 150 + DAY.times.unload_s
    bench.mark(UNLOAD)
    tray = read(bench, running).trays[0]
    assert tray.baked_s == 420 + 150
    assert stage(tray, "unload").real == (out + 210, bench.now)
    bench.now += 200
    bench.mark(Action("transfer", (1,)))
    moved = stage(read(bench, running).trays[0], "transfer").real
    assert moved is not None
    assert moved[0] >= out + 210 + DAY.times.unload_s


def test_scrapped_left_passed_over_and_read_are_all_there() -> None:
    bench = as_planned(end_of(1, "pack"))
    bench.add(Mark("scrapped", 4000, 4000, Action("pack", (1,)), amount=2, note="dropped"))
    bench.add(Mark("leaves", 4100, 4100, Action("fill", (2,)), note="beads still damp"))
    bench.add(Mark("pass over", 4200, 4200, ON, Item(own="Vents open"), note="none on this oven"))
    bench.add(Mark("reading", 4300, 4300, ON, amount=166.5, person=2))
    found = read(bench, replace(RUN, state="stopped", finished_s=4400))
    one, two = found.trays
    assert (one.packed, one.scrapped) == (6, 2)
    assert (two.outcome, two.packed) == ("left the day", 0)
    assert found.totals.left_over == 8
    assert [each.mark.note for each in found.counting("scrapped", "leaves", "pass over")] == [
        "dropped", "beads still damp", "none on this oven",
    ]  # fmt: skip
    assert [each.mark.amount for each in found.counting("reading")] == [166.5]
    assert found.people == (1, 2)


def test_what_was_taken_back_is_shown_and_does_not_count() -> None:
    bench = as_planned(end_of(1, "fill"))
    bench.add(Mark("scrapped", 200, 200, Action("fill", (1,)), amount=3, note="wrong tray"))
    bench.take_back(len(bench.marks))
    found = read(bench, replace(RUN, state="running", finished_s=None))
    back = found.entries[-1].mark
    assert found.entries[-2].taken_back == back.number
    assert not found.entries[-2].counts
    assert found.trays[0].scrapped == 0


def test_a_held_run_says_so_until_it_goes_on() -> None:
    bench = as_planned(end_of(1, "fill"))
    running = replace(RUN, state="running", finished_s=None)
    bench.add(Mark("hold", 200, 200))
    assert read(bench, running).state == "held"
    bench.add(Mark("go on", 260, 260))
    assert read(bench, running).state == "running"


def test_a_correction_stands_beside_what_it_corrects() -> None:
    bench = as_planned()
    number = next(mark.number for mark in bench.marks if mark.action == UNLOAD)
    old = next(mark for mark in bench.marks if mark.number == number)
    later = Correction(
        number, "time", str(old.happened_s), str(old.happened_s + 60), "clock on the wall", NOTED, 1
    )
    found = read(bench, corrections=(later,))
    entry = found.entries[number - 1]
    assert entry.first == old
    assert entry.mark.happened_s == old.happened_s + 60
    assert entry.corrections == (later,)
    assert found.trays[0].baked_s == 480


def test_a_mark_can_be_struck_and_a_take_back_with_it() -> None:
    bench = as_planned()
    bench.add(Mark("scrapped", 4000, 4000, Action("pack", (1,)), amount=2, note="dropped"))
    scrapped = len(bench.marks)
    no = Correction(scrapped, "stands", "yes", "no", "they were sound", NOTED, 1)
    assert read(bench, corrections=(no,)).totals.packed == 16
    yes = replace(no, old="no", new="yes", number=2)
    assert read(bench, corrections=(no, yes)).totals.packed == 14
    bench.take_back(scrapped)
    assert read(bench).totals.packed == 16
    undone = replace(no, mark=scrapped + 1)
    assert read(bench, corrections=(undone,)).totals.packed == 14


def test_names_come_with_who_comes_and_by_correction() -> None:
    bench = as_planned(end_of(1, "fill"))
    bench.add(Mark("person comes", 300, 300, note="Ines"))
    name = Correction(0, "name", "1", "Rui", "", NOTED, 1)
    found = read(bench, corrections=(name,))
    assert dict(found.names) == {1: "Rui", 2: "Ines"}


def test_a_run_without_any_mark_and_marks_of_trays_nobody_knows() -> None:
    bench = Bench(DAY, PLAN)
    running = replace(RUN, state="running", finished_s=None)
    assert read(bench, running).totals.left_over == 16
    bench.add(Mark("done", 10, 10, Action("pack", (99,))))
    bench.add(Mark("scrapped", 10, 10, Action("pack", (99,)), amount=2, note="?"))
    found = read(bench, running)
    assert found.totals.left_over == 16
    assert len(found.entries) == 2


def test_a_tray_that_came_out_too_late_is_over_baked_and_a_longer_bake_is_not() -> None:
    allowed_s = DAY.recipes["standard"].bake_late_s

    def over(late_s: int, *before: Mark) -> int:
        bench = as_planned(end_of(1, "load"))
        for mark in before:
            bench.add(mark)
        bench.now = end_of(1, "unload") + late_s
        bench.mark(UNLOAD)
        return read(bench, replace(RUN, state="running", finished_s=None)).trays[0].over_baked_s

    assert over(0) == over(allowed_s) == 0
    assert over(allowed_s + 1) == allowed_s + 1
    longer = Mark("longer", 0, 0, UNLOAD, amount=allowed_s)
    assert over(2 * allowed_s, longer) == 0
    assert over(2 * allowed_s + 5, longer) == allowed_s + 5

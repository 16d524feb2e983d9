"""Lanes hold every step once, and every key of Flow leads to a look that shows its bar."""

from __future__ import annotations

from dataclasses import replace

import example_day
import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchplan.model.plan import HAND_STEPS
from benchplan.model.words import at_clock
from benchplan.views import flow, lanes
from benchplan.views import look as looks
from benchplan.views.look import Look
from benchplan.views.rows import text_of

DAY, PLAN = example_day.day(), example_day.plan()
LANES, LEVELS = lanes.lanes(DAY, PLAN), lanes.levels(DAY, PLAN)
CELLS = 65


def lane(name: str) -> lanes.Lane:
    return next(each for each in LANES if each.name == name)


def test_there_is_a_lane_for_each_person_scale_oven_stand_place_and_the_mat() -> None:
    assert [each.name for each in LANES] == [
        "hands", "scale", "countertop", "stand 1", "stand 2", "mat",
    ]  # fmt: skip


def test_hands_hold_every_hand_step_that_takes_time_and_the_change_of_scent() -> None:
    wanted = [step for step in PLAN.steps if step.step in HAND_STEPS and step.end_s > step.start_s]
    assert len(lane("hands").bars) == len(wanted) + 1
    assert sum(bar.kind == "change_scent" for bar in lane("hands").bars) == 1


def test_an_oven_holds_preheat_and_one_bake_a_load() -> None:
    kinds = [bar.kind for bar in lane("countertop").bars]
    assert kinds == ["preheat"] + ["load", "bake", "unload"] * 3


def test_a_pan_is_on_its_stand_from_unload_to_the_end_of_transfer() -> None:
    assert [(bar.start_s, bar.end_s, bar.trays) for bar in lane("stand 1").bars] == [
        (1095, 1266, (1,)),
        (3835, 3996, (3,)),
    ]


def test_the_mat_fills_from_transfer_to_the_end_of_pack() -> None:
    assert [(level.start_s, level.tins, round(level.share, 3)) for level in LEVELS] == [
        (0, 0, 0.0),
        (1230, 6, 0.5),
        (1854, 12, 1.0),
        (3348, 6, 0.5),
        (3972, 4, 0.333),
        (6044, 0, 0.0),
    ]


def test_the_fullest_between_two_moments_counts_what_began_before() -> None:
    assert lanes.most_level(LEVELS, 1000, 1100).tins == 0
    assert lanes.most_level(LEVELS, 1300, 1400).tins == 6
    assert lanes.most_level(LEVELS, 1300, 4000).tins == 12


def test_a_bar_says_step_tray_scent_and_clock_times() -> None:
    bars = lane("hands").bars
    assert bars[0].words == "Fill tray 2 (Sea fennel, 6 tins): 09:01 to 09:03 (2 min)"
    assert bars[1].words == "Change of scent before tray 3: 09:03 to 09:07 (4 min)"
    assert lane("countertop").bars[2].words == (
        "Bake tray 1 (Sea fennel, 6 tins) at 158 °C in countertop: 09:11 to 09:18 (7 min)"
    )


@pytest.mark.parametrize(
    ("length", "text"),
    [(1, "b"), (2, "b3"), (3, "│b3"), (5, "│b3▒▒"), (8, "│bake 3▒"), (10, "│bake 3▒▒▒")],
)
def test_a_bar_says_as_much_as_it_has_room_for(length: int, text: str) -> None:
    bar = lanes.Bar(0, 100, "bake", (3,), "")
    assert flow.bar_text(bar, length) == text


@given(st.integers(1, 40), st.integers(1, 60), st.sampled_from(sorted(lanes.KINDS)))
def test_a_bars_text_has_exactly_its_length(length: int, tray: int, kind: str) -> None:
    assert len(flow.bar_text(lanes.Bar(0, 1, kind, (tray, tray + 1), ""), length)) == length


def test_a_cell_belongs_to_the_bar_with_most_of_its_time() -> None:
    bars = (lanes.Bar(0, 70, "fill", (1,), ""), lanes.Bar(70, 100, "set", (1,), ""))
    assert [bar and bar.kind for bar in flow.owners(bars, 0, 60, 3)] == ["fill", "set", None]


def test_the_axis_has_round_clock_times_where_they_belong() -> None:
    labels, ticks = flow.axis(DAY, Look(), None, 60, 60, None, 2)
    text = text_of(labels)
    assert text.index("09:10") == 2 + 10
    assert text_of(ticks)[2 + 10] == "┴"
    assert text_of(flow.axis(DAY, Look(from_s=90), None, 10, 60, 120, 0)[1])[3] == "▼"


def shows_its_bar(look: Look, cells: int) -> bool:
    scale = looks.seconds_a_cell(PLAN, look, cells)
    bar = looks.bar_at(LANES, look)
    return bar is None or look.from_s <= bar.start_s < look.from_s + scale * cells


KEYS = ("left", "right", "up", "down", "nearer", "farther", "back", "on", "first", "last")


def press(key: str, look: Look, cells: int) -> Look:
    look = looks.kept_within(PLAN, LANES, look, cells)
    if key in ("left", "right", "first", "last"):
        by = {"left": -1, "right": 1, "first": -(10**6), "last": 10**6}[key]
        return looks.moved(PLAN, LANES, look, by, cells)
    if key in ("up", "down"):
        return looks.other_lane(PLAN, LANES, look, -1 if key == "up" else 1, cells)
    if key in ("nearer", "farther"):
        return looks.zoomed(PLAN, LANES, look, 1 if key == "nearer" else -1, cells)
    return looks.scrolled(PLAN, LANES, look, 0.5 if key == "on" else -0.5, cells)


@given(st.lists(st.sampled_from(KEYS), max_size=25), st.integers(20, 110))
def test_whatever_is_pressed_the_cursor_stays_on_a_bar_that_is_shown(
    keys: list[str], cells: int
) -> None:
    look = Look()
    for key in keys:
        look = press(key, look, cells)
        shown = looks.kept_within(PLAN, LANES, look, cells)
        assert 0 <= shown.lane < len(LANES)
        assert shows_its_bar(shown, cells)
        width = cells + looks.name_width(LANES)
        rows = flow.page(DAY, PLAN, LANES, LEVELS, shown, None, width, 21)
        assert len(rows) <= 21
        assert all(len(text_of(line)) <= width for line in rows)


def test_nearer_and_farther_undo_each_other_down_to_the_whole_day() -> None:
    look = press("nearer", Look(lane=2, bar=2), CELLS)
    assert looks.seconds_a_cell(PLAN, look, CELLS) < looks.seconds_a_cell(PLAN, Look(), CELLS)
    assert press("farther", look, CELLS) == Look(lane=2, bar=2)
    for _ in range(40):
        look = press("nearer", look, CELLS)
    assert looks.seconds_a_cell(PLAN, look, CELLS) == looks.ZOOMS[0]


def test_the_whole_day_is_in_sight_at_first() -> None:
    for cells in (20, 65, 105):
        assert looks.seconds_a_cell(PLAN, Look(), cells) * cells >= PLAN.finish_s


def test_another_lane_keeps_the_time() -> None:
    start = press("right", Look(lane=0, bar=7), CELLS)
    look = press("down", press("down", start, CELLS), CELLS)  # over the scale, long idle by then
    here, there = looks.bar_at(LANES, start), looks.bar_at(LANES, look)
    assert here is not None
    assert there is not None
    assert (there.kind, there.trays) == ("load", (2,))
    assert (here.kind, here.trays) == ("load", (2,))


def test_lanes_that_have_no_room_are_counted_and_the_cursors_lane_is_there() -> None:
    day = replace(DAY, people=4, scales=3, cooling=replace(DAY.cooling, stand=9))
    plan = replace(PLAN, warnings=("The mat is full at 10:06.",) * 3)
    found = lanes.lanes(day, plan)
    for number, each in enumerate(found):
        rows = flow.page(day, plan, found, LEVELS, Look(lane=number), None, 78, 21)
        text = "\n".join(text_of(line) for line in rows)
        assert f"> {each.name}" in text
        assert "more above" in text or "more below" in text
        assert "Finish 10:40" in text
        assert "! Orders has warnings" in text or text.count("! The mat is full") == 3


def words_at(look: Look, size: tuple[int, int] = (118, 37), now_s: int | None = None) -> list[str]:
    rows = flow.page(DAY, PLAN, LANES, LEVELS, look, now_s, *size)
    lines = [text_of(line).rstrip() for line in rows]
    return lines[lines.index("") + 1 :]


@pytest.mark.parametrize(
    ("look", "why"),
    [
        (Look(lane=0, bar=0), "Tray 2 is filled"),
        (Look(lane=2, bar=2), "Tray 1 goes into countertop at 09:11, when the oven is hot."),
        (Look(lane=2, bar=8), "Tray 3 goes into countertop at 09:56"),
        (Look(lane=3, bar=0), "Tray 1 is moved to the mat at 09:20, once it has rested 2 min."),
        (Look(lane=5, bar=0), "Tray 1 is moved to the mat at 09:20"),
    ],
)
def test_below_what_a_bar_is_stands_why_it_starts_when_it_does(look: Look, why: str) -> None:
    bar = looks.bar_at(LANES, look)
    assert bar is not None
    words = words_at(look)
    assert words[0] == bar.words + "."
    assert words[1].startswith(why)
    assert words[2].startswith("Finish 10:40")


def test_a_lane_with_nothing_in_it_needs_no_reason() -> None:
    empty = (*LANES[:1], replace(LANES[1], bars=()), *LANES[2:])
    rows = flow.page(DAY, PLAN, empty, LEVELS, Look(lane=1), None, 118, 37)
    lines = [text_of(line).rstrip() for line in rows]
    at = lines.index("Nothing happens in this lane.")
    assert lines[at + 1].startswith("Finish 10:40")


def test_in_a_run_nothing_starts_sooner_than_its_plan_was_made() -> None:
    def why(planned_s: int) -> str:
        look = Look(lane=0, bar=0)  # tray 2 is filled from 60 on
        rows = flow.page(DAY, PLAN, LANES, LEVELS, look, 90, 118, 37, planned_s=planned_s)
        return "\n".join(text_of(line) for line in rows)

    assert "it could start at 09:00" in why(0)
    assert "Tray 2 is filled from 09:01 on, now." in why(60)


def test_a_bar_within_one_minute_says_one_clock_time() -> None:
    for bar in lane("hands").bars:
        begins, ends = (at_clock(DAY, moment) for moment in (bar.start_s, bar.end_s))
        assert f"{begins} to {begins}" not in bar.words
        assert (f"{begins} to {ends} (" in bar.words) == (begins != ends)
        assert f"{begins} " in bar.words
    assert any(bar.end_s - bar.start_s < 60 for bar in lane("hands").bars)

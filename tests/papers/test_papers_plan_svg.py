"""The picture of a day: every bar where the clock over it says, words that have room, one page."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations, pairwise
from pathlib import Path

import pytest
from day_pictures import (
    SVG,
    Box,
    box_of,
    box_of_text,
    everywhere,
    inside,
    on_page,
    overlap,
    parsed,
    repeated,
    rows_of,
    said,
    share_at,
    spans_by_lane,
    texts_of,
    trays_on_mat,
)

from benchplan.files import read_plan
from benchplan.model import Break, Day, Other, Plan, Step
from benchplan.model.words import bound_words, finish_words
from benchplan.papers.plan_svg import plan_svg
from benchplan.planner import plan_day, resolved

SAMPLES = Path(__file__).parents[2] / "sample_runs"
MARGIN = 6.0  # mm; common practice, no source: few printers reach nearer to the edge of the paper
# ISO 216 and ANSI Y14.1, in mm, from memory: what two sheets both have room for.
A4_AND_LETTER_SIDEWAYS = (279.4, 210.0)
A3_AND_TABLOID = (279.4, 420.0)
HOSTILE = "<&\"'>]]>\x01\udc80 冬 &amp;"


@pytest.fixture(scope="module")
def two_ovens() -> tuple[Day, Plan]:
    day = resolved(read_plan(SAMPLES / "two_ovens.toml").day)
    plan = plan_day(day)
    assert isinstance(plan, Plan)
    return day, plan


@pytest.fixture(
    params=["two trays", "odd start", "twenty", "sixty", "pair on pans", "long pair", "two ovens"]
)
def both(
    request: pytest.FixtureRequest,
    small_day: Day,
    small_plan: Plan,
    pair_day: Day,
    pair_plan: Plan,
    two_ovens: tuple[Day, Plan],
) -> tuple[Day, Plan]:
    """A day and its plan: small and large, both clocks, one person and two, breaks, on pans."""
    again = tuple(
        replace(each, at_s=each.at_s + at * pair_plan.finish_s)
        for at in range(7)
        for each in pair_day.breaks
    )
    odd = replace(small_day, start=small_day.start.replace(minute=15, second=50))
    found: dict[str, tuple[Day, Plan]] = {
        "two trays": (small_day, small_plan),
        "odd start": (odd, repeated(small_plan, 2)),
        "twenty": (small_day, repeated(small_plan, 10)),
        "sixty": (small_day, repeated(small_plan, 30)),
        "pair on pans": (pair_day, pair_plan),
        "long pair": (replace(pair_day, breaks=again), repeated(pair_plan, 7)),
        "two ovens": two_ovens,
    }
    return found[request.param]


# --- every bar in its place -----------------------------------------------------------------------


def test_every_step_is_drawn_once_where_the_clock_says(both: tuple[Day, Plan]) -> None:
    day, plan = both
    rows = rows_of(day, plan)
    assert rows[0].begin == pytest.approx(0, abs=1)
    assert rows[-1].end == pytest.approx(plan.finish_s, abs=1)
    for before, after in pairwise(rows):
        assert after.begin == pytest.approx(before.end, abs=1)
        assert after.mm == pytest.approx(before.mm, rel=1e-3)
    expected = spans_by_lane(day, plan)
    drawn_lanes = [lane.name for lane in rows[0].lanes]
    assert set(drawn_lanes) - {"mat"} >= set(expected)
    assert ("mat" in drawn_lanes) != day.on_pan
    for row in rows:
        assert [lane.name for lane in row.lanes] == drawn_lanes
        for lane in row.lanes:
            if lane.name == "mat":
                continue
            here = [
                ((max(begin, row.begin) - row.begin) * row.mm,
                 (min(end, row.end) - row.begin) * row.mm)
                for begin, end in expected.get(lane.name, [])
                if begin < row.end - 1 and end > row.begin + 1
            ]  # fmt: skip
            drawn = sorted((box[0], box[2]) for box in lane.bars)
            assert len(drawn) == len(here)
            for (x, x_end), (begin, end) in zip(drawn, sorted(here), strict=True):
                assert (x, x_end) == pytest.approx((begin, end), abs=0.1)


def test_the_mat_is_as_full_as_it_is(both: tuple[Day, Plan]) -> None:
    day, plan = both
    if day.on_pan:
        return
    for row in rows_of(day, plan):
        dashed, level = row.lanes[-1].paths
        full = float(dashed.split()[1].split("H")[0])
        base = float(level.split()[1].split("V")[0])
        at = 0.0
        shown = []
        for high, x in re.findall(r"V(\S+?)H(\S+?)(?=V)", level):
            shown.append((at, float(x), (base - float(high)) / (base - full)))
            at = float(x)
        assert at == pytest.approx((row.end - row.begin) * row.mm, abs=0.1)
        for x, x_end, share in shown:
            for part in (0.02, 0.5, 0.98):
                moment = row.begin + (x + part * (x_end - x)) / row.mm
                if x_end - x > 0.2:
                    assert share == pytest.approx(share_at(day, plan, moment), abs=0.01)


def test_the_mat_says_how_many_tins_and_of_which_trays(both: tuple[Day, Plan]) -> None:
    day, plan = both
    if day.on_pan:
        return
    listed = 0
    for row in rows_of(day, plan):
        (full, _), *words = row.lanes[-1].texts
        assert full == "full"
        for said_there, box in words:
            trays = trays_on_mat(plan, row.begin + (box[0] + box[2]) / 2 / row.mm)
            found = re.fullmatch(r"(\d+)( tins)?(?:: ([\d+]+))?", said_there)
            assert found
            assert int(found[1]) == sum(tray.tins for tray in trays)
            if found[3]:
                listed += 1
                assert found[3] == "+".join(str(tray.number) for tray in trays)
    assert listed


def test_a_bar_says_what_it_is_and_of_which_tray(both: tuple[Day, Plan]) -> None:
    day, plan = both
    known = (
        {
            (name, step.tray)
            for step in plan.steps
            for name in (step.step, step.step[0])
            if step.step not in ("rest", "cool")
        }
        | {("tray", tray.number) for tray in plan.trays}
        | {("", tray.number) for tray in plan.trays}
    )
    known |= {
        (name, each.before_tray)
        for each in plan.other
        for name in ("x", "change")
        if each.before_tray
    }
    counted: Counter[str] = Counter()
    for row in rows_of(day, plan):
        for lane in row.lanes:
            for words, _ in lane.texts:
                if lane.name == "mat":
                    continue
                for each in re.findall(r"([a-zB]*) ?(\d+(?:[+-]\d+)*)", words):
                    for tray in re.split("[+-]", each[1]):
                        assert (each[0], int(tray)) in known
                counted.update(re.findall(r"[a-zB]+", words))
    assert counted["bake"] + counted["b"] >= len(plan.loads)
    assert counted["preheat"] + counted["h"] > 0


def test_breaks_stand_with_their_person_and_nobody_there_is_grey_all_the_way_down(
    pair_day: Day, pair_plan: Plan
) -> None:
    (row,) = rows_of(pair_day, pair_plan)
    hands = {
        lane.name: [row.span(bar) for bar in lane.bars]
        for lane in row.lanes
        if any(words == "break" for words, _ in lane.texts)
    }
    assert list(hands) == ["hands 1", "hands 2"]
    assert pytest.approx((3000, 3600), abs=1) in hands["hands 1"]
    assert pytest.approx((600, 900), abs=1) in hands["hands 2"]
    assert pytest.approx((3000, 3600), abs=1) in hands["hands 2"]
    assert row.shaded == [pytest.approx((3000, 3600), abs=1)]


def test_a_day_with_somebody_always_there_has_no_grey(small_day: Day, small_plan: Plan) -> None:
    assert [row.shaded for row in rows_of(small_day, small_plan)] == [[]]
    assert "nobody" not in said(small_day, small_plan)


# --- words ----------------------------------------------------------------------------------------


def assert_apart(texts: Sequence[tuple[str, Box]]) -> None:
    for (words, box), (others, other) in combinations(texts, 2):
        assert not overlap(box, other), (words, others)


def test_no_two_texts_overlap(both: tuple[Day, Plan]) -> None:
    assert_apart(texts_of(parsed(plan_svg(*both))))


def test_a_text_is_in_one_bar_or_beside_all_of_them(both: tuple[Day, Plan]) -> None:
    for row in rows_of(*both):
        for lane in row.lanes:
            for words, box in lane.texts:
                for bar in lane.bars:
                    assert inside(box, bar) or not overlap(box, bar), (lane.name, words)


def test_everything_is_on_the_page(both: tuple[Day, Plan]) -> None:
    root = parsed(plan_svg(*both))
    left, top, wide, deep = (float(each) for each in root.attrib["viewBox"].split())
    assert (left, top) == (0.0, 0.0)
    assert (root.attrib["width"], root.attrib["height"]) == (f"{wide:g}mm", f"{deep:g}mm")
    room = (MARGIN, MARGIN, wide - MARGIN, deep - MARGIN)
    page, *_ = root.findall(f"{SVG}rect")
    for each, x, y in everywhere(root):
        if each.tag == f"{SVG}text":
            assert inside(on_page(box_of_text(each), x, y), room), each.text
        elif each.tag == f"{SVG}rect" and each is not page:
            assert inside(on_page(box_of(each), x, y), room)
        elif each.tag == f"{SVG}path":
            ends = re.findall(r"[MH](-?[\d.]+)", each.attrib["d"])
            assert all(MARGIN <= float(end) + x <= wide - MARGIN for end in ends)


def test_the_head_says_the_day_and_how_good_it_is(both: tuple[Day, Plan]) -> None:
    day, plan = both
    words = said(day, plan)
    for each in (
        day.name,
        f"{day.start:%A}",
        str(day.start.year),
        f"{finish_words(day, plan)}. {bound_words(day, plan)}",
        *plan.warnings,
        "Read the cautions at the end of the printed plan",
        "check before you touch",
    ):
        assert each in words


def test_the_key_has_the_letters_that_are_used_and_no_others(
    small_day: Day, small_plan: Plan, pair_day: Day, pair_plan: Plan
) -> None:
    def key(day: Day, plan: Plan) -> set[str]:
        (group,) = (each for each in parsed(plan_svg(day, plan)) if each.get("id") == "key")
        return {each.text or "" for each in group.findall(f"{SVG}text")}

    assert key(small_day, small_plan) >= set("fslbutphx") | {"transfer", "pack", "preheat"}
    assert "B" not in key(small_day, small_plan)
    on_pans = key(pair_day, pair_plan)
    assert "B" in on_pans
    assert "t" not in on_pans
    assert not any("Mat" in words for words in on_pans)


@pytest.mark.parametrize(("hours", "first"), [(12, "9:05 am"), (24, "09:05")])
def test_clock_times_are_told_as_the_day_tells_them(
    small_day: Day, small_plan: Plan, hours: int, first: str
) -> None:
    day = replace(small_day, display=replace(small_day.display, clock=hours))
    words = said(day, small_plan)
    assert first in words
    assert ("am" in words.split()) == (hours == 12)


def test_a_day_past_midnight_says_which_day_a_row_is_on(small_day: Day, small_plan: Plan) -> None:
    night = replace(small_day, start=small_day.start.replace(hour=20), finish_by_s=None)
    words = said(night, repeated(small_plan, 10))
    assert "Saturday 5 December 2026" in words
    assert "Sun 6 Dec" in words


def test_names_are_names_whatever_they_hold(small_day: Day, small_plan: Plan) -> None:
    def other(each: Step | Other) -> Step | Other:
        return replace(each, place=HOSTILE) if each.place == "countertop" else each

    oven = replace(small_day.ovens["countertop"], name=HOSTILE)
    scents = {tray.scents[0]: HOSTILE for tray in small_plan.trays}
    day = replace(small_day, name=HOSTILE * 9, ovens={HOSTILE: oven})
    plan = replace(
        small_plan,
        trays=tuple(
            replace(tray, scents=tuple(scents[each] for each in tray.scents))
            for tray in small_plan.trays
        ),
        loads=tuple(replace(each, oven=HOSTILE) for each in small_plan.loads),
        steps=tuple(map(other, small_plan.steps)),
        other=tuple(map(other, small_plan.other)),
    )
    root = parsed(plan_svg(day, plan))
    spelled = HOSTILE.replace("\x01", "?").replace("\udc80", "?")
    titles = [each.text or "" for each in root.iter(f"{SVG}title")]
    assert titles[0].startswith(spelled * 9)
    assert any(f"Load tray 1 into {spelled}" in title for title in titles)
    assert_apart(texts_of(root))


def test_a_day_without_work_for_a_scale_or_breaks_after_its_end_is_drawn(
    small_day: Day, small_plan: Plan
) -> None:
    filled = replace(
        small_plan,
        steps=tuple(
            replace(each, parts=((each.start_s, each.start_s),), person=None)
            if each.step == "fill"
            else each
            for each in small_plan.steps
        ),
        other=(small_plan.other[0], Other("break", ((9000, 9600),), None, 1)),
    )
    day = replace(small_day, breaks=(Break(9000, 600),))
    (row,) = rows_of(day, filled)
    bars = {lane.name: len(lane.bars) for lane in row.lanes}
    assert bars["scale"] == 0
    assert row.shaded == []


# --- paper ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("times", "rows", "paper", "words"),
    [
        (1, 1, A4_AND_LETTER_SIDEWAYS, "fits on A4 and Letter, landscape"),
        (6, 3, A4_AND_LETTER_SIDEWAYS, "fits on A4 and Letter, landscape"),
        (12, 8, A3_AND_TABLOID, "fits on A3 and Tabloid, upright"),
        (40, 16, (279.4, 3000.0), "larger than A3 and Tabloid"),
    ],
)
def test_a_longer_day_takes_more_rows_and_then_larger_paper(
    small_day: Day,
    small_plan: Plan,
    times: int,
    rows: int,
    paper: tuple[float, float],
    words: str,
) -> None:
    day, plan = replace(small_day, finish_by_s=None), repeated(small_plan, times)
    found = rows_of(day, plan)
    root = parsed(plan_svg(day, plan))
    wide, deep = (float(each) for each in root.attrib["viewBox"].split()[2:])
    assert wide <= paper[0]
    assert deep <= paper[1]
    assert words in said(day, plan)
    assert found[0].mm * 60 >= 1.35  # mm a minute: a bar of two minutes has room for two letters
    assert len(found) == rows

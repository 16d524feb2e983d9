"""What is said of waits on small days worked by hand, each with and without what it names."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "planning"))

from small import OVEN, day, order, planned

from benchplan.files import read_plan
from benchplan.files.samples import sample_paths
from benchplan.model import Break, Day, Display, Other, Plan, QueuedTray
from benchplan.model.lanes import lanes
from benchplan.model.waits import Wait, chain_words, why, why_bar, words
from benchplan.planner import plan_day, resolved

A, B = QueuedTray(("A",) * 4, "standard"), QueuedTray(("B",) * 4, "standard")
TWO = {"orders": order(4, 4), "queue": (A, A)}
THREE = {"orders": order(4, 4, 4), "queue": (A, A, A)}
SLOW = {"fill_s": 200}
SCENTS = {
    "orders": order(4, 4, scents="AB"),
    "queue": (A, B),
    "people": 2,
    "change_scent_s": 1200,
    "keep_order": True,
}
OVENS = {
    "ovens": {"countertop": OVEN, "second": replace(OVEN, name="second")},
    "people": 2,
    "scales": 2,
    "stand": 2,
    "orders": order(4, 1, scents="AB"),
    "queue": (A, QueuedTray(("B",), "standard")),
    "keep_order": True,
    **SLOW,
}


def wait_of(day_: Day, plan: Plan, tray: int, step: str, part: int = 0) -> Wait:
    each = plan.step(tray, step) or next(other for other in plan.other if other.what == step)
    return why(resolved(day_), plan, each, part)


def told(changes: dict[str, object], tray: int, step: str, part: int = 0) -> tuple[Wait, str]:
    day_ = day(**changes)
    plan = planned(day_)
    wait = wait_of(day_, plan, tray, step, part)
    return wait, words(resolved(day_), plan, wait)


# With what is named → the first start; without it → the second. Tray 2 of two can be set at 172,
# loaded at 1200 and moved at 1770; see the small day for the rest.
@pytest.mark.parametrize(
    ("changes", "without", "tray", "step", "starts", "what", "sentence"),
    [
        (
            {**TWO, "stand": 2, "mat_tins": 4}, {"mat_tins": 8}, 2, "transfer", (3122, 1770), "mat",
            "Tray 2 waits for room on the mat until 09:52, because tray 1 cools there until 09:50 "
            "and is packed by 09:52.",
        ),
        (
            {**TWO, "count": 1}, {"count": 2}, 2, "set", (1254, 172), "pan",
            "Tray 2 waits for pan small until 09:20: tray 1 is off it at 09:20.",
        ),
        (
            {**TWO, "count": 1, "pan_for_s": 300}, {"pan_for_s": 0}, 2, "set", (1554, 1254), "pan",
            "Tray 2 waits for pan small until 09:25: tray 1 is off it at 09:20, and it stays taken "
            "for 5 min more.",
        ),
        (
            {**TWO, "rest_for_s": 900}, {"stand": 2}, 2, "load", (1599, 1200), "stand",
            "Tray 2 goes into countertop at 09:26 to come out at 09:33, when the stand is free: "
            "tray 1 is there until 09:33.",
        ),
        (
            {**TWO, "stand": 2}, {"recover_s": 0}, 2, "load", (1200, 1110), "oven",
            "Tray 2 goes into countertop at 09:20: tray 1 is out at 09:18, and the oven takes "
            "1 min 30 s to recover.",
        ),
        (
            {}, {"preheat_s": 0}, 1, "load", (660, 92), "preheat",
            "Tray 1 goes into countertop at 09:11, when the oven is hot.",
        ),
        (
            SLOW, {"set_s": 0}, 1, "load", (812, 800), "own",
            "Tray 1 goes into countertop at 09:13, as soon as it is on its pan.",
        ),
        (
            {**TWO, **SLOW, "people": 2}, {"scales": 2}, 2, "fill", (800, 0), "scale",
            "Tray 2 is filled from 09:13 on: until then tray 1 is on the scale.",
        ),
        (
            {**TWO, **SLOW, "scales": 2}, {"people": 2}, 2, "fill", (827, 0), "hands",
            "Tray 2 is filled from 09:13 on: until then you are loading tray 1.",
        ),
        (
            {**THREE, **SLOW, "people": 2, "scales": 3}, {"people": 3}, 3, "fill",
            (812, 0), "hands",
            "Tray 3 is filled from 09:13 on: until then person 2 is setting tray 2 on its pan, and "
            "nobody else can do it sooner.",
        ),
        (
            SCENTS, {"change_scent_s": 600}, 2, "fill", (1280, 680), "scale",
            "Tray 2 is filled from 09:21 on, as soon as scoop and scale are clean.",
        ),
        (
            {"breaks": (Break(3000, 600),)}, {"breaks": ()}, 1, "pack", (3600, 3054), "break",
            "Tray 1 is packed at 10:00, when your break is over.",
        ),
        (
            OVENS, {"keep_order": False, "queue": ()}, 2, "load", (812, 812), "order",
            "Tray 2 goes into second at 09:13, not before tray 1: the order of the queue is kept.",
        ),
        (
            {}, {"rest_for_s": 0}, 1, "transfer", (1230, 1110), "own",
            "Tray 1 is moved to the mat at 09:20, once it has rested 2 min.",
        ),
        (
            {"pack": "later"}, {"cool_for_s": 60}, 1, "pack", (3054, 1314), "own",
            "Tray 1 is cleared at 09:50, once it has cooled 30 min.",
        ),
        (
            {}, {"bake_for_s": 60}, 1, "unload", (1095, 735), "own",
            "Tray 1 comes out of countertop at 09:18, when its bake of 7 min ends.",
        ),
    ],
)  # fmt: skip
def test_work_starts_sooner_without_what_it_waits_for(
    changes, without, tray: int, step: str, starts: tuple[int, int], what: str, sentence: str
) -> None:
    wait, said = told(changes, tray, step)
    assert (wait.what, wait.until_s, said) == (what, starts[0], sentence)
    assert wait.binds
    again, _ = told(changes | without, tray, step)
    assert again.until_s == starts[1]


def test_a_queue_that_need_not_be_kept_lets_the_small_tray_in_first() -> None:
    free, _ = told({**OVENS, "keep_order": False, "queue": ()}, 1, "load")
    assert (free.until_s, free.what) == (660, "preheat")


def test_trays_that_the_queue_leaves_out_or_that_are_alike_have_no_order() -> None:
    day_ = day(**OVENS)
    plan = planned(day_)
    assert wait_of(day_, plan, 2, "load").what == "order"
    left_out = wait_of(replace(day_, queue=()), plan, 2, "load")
    assert (left_out.what, left_out.binds) == ("start", False)
    first, second = plan.trays
    alike = replace(plan, trays=(replace(first, scents=second.scents), second))
    assert not wait_of(day_, alike, 2, "load").binds


def test_a_preheat_is_as_late_as_it_can_be() -> None:
    late, said = told(SLOW, 0, "preheat")
    assert (late.what, late.until_s, late.for_tray) == ("late", 152, 1)
    assert said == (
        "The preheat of countertop starts at 09:02, as late as possible: tray 1 goes in at 09:13."
    )
    assert told({}, 0, "preheat")[1] == (
        "The preheat of countertop starts at 09:00, when the day begins."
    )
    assert told({"breaks": (Break(600, 600),)}, 0, "preheat")[1] == (
        "The preheat of countertop starts at 09:20, when the break is over."
    )


def test_work_that_paused_says_for_what() -> None:
    wait, said = told({**TWO, **SLOW, "transfer_s": 0}, 2, "fill", part=1)
    assert (wait.what, wait.for_tray, wait.because) == ("hands", 1, "unload")
    assert said == "The fill of tray 2 goes on at 09:21: until then you are taking tray 1 out."


def test_trays_of_one_load_wait_for_each_other() -> None:
    wide = {**TWO, "shelf_mm": (700, 300), "stand": 2, "fill_s": 100}
    assert told(wide, 2, "load")[1].endswith(", right after tray 1 of the same load.")
    assert told(wide, 2, "unload")[1].endswith(", right after tray 1 of the same load.")
    assert told(wide, 1, "load")[1].endswith(": until then you are setting tray 2 on its pan.")


def idle(by: int) -> tuple[Day, Plan]:
    """Return the small day with its pack ``by`` seconds later than it need be."""
    day_ = day()
    plan = planned(day_)
    later = {"cool": ((1254, 3054 + by),), "pack": ((3054 + by, 3122 + by),)}
    steps = [replace(each, parts=later.get(each.step, each.parts)) for each in plan.steps]
    return resolved(day_), replace(plan, steps=tuple(steps), finish_s=3122 + by)


def test_a_hole_is_said() -> None:
    day_, plan = idle(600)
    wait = wait_of(day_, plan, 1, "pack")
    assert (wait.binds, wait.could_s, wait.until_s) == (False, 3054, 3654)
    assert words(day_, plan, wait) == (
        "Tray 1 is packed at 10:00. Nothing holds it up: it could start at 09:50."
    )
    assert any("Nothing holds it up" in sentence for sentence in chain_words(day_, plan))
    day_, plan = idle(5)
    assert words(day_, plan, wait_of(day_, plan, 1, "pack")) == (
        "Tray 1 is packed at 09:50:59. Nothing holds it up: it could start at 09:50:54."
    )


def test_work_is_not_in_its_own_way() -> None:
    # The scale is cleaned 80 to 83, then two seconds pass; the set, 85 to 97, could begin at 83.
    day_ = day()
    plan = planned(day_)
    clean = Other("change_scent", ((80, 83),), "scale 1", 1, 1)
    moved = [
        replace(each, parts=((85, 97),)) if each.step == "set" else each for each in plan.steps
    ]
    wait = wait_of(day_, replace(plan, steps=tuple(moved), other=(*plan.other, clean)), 1, "set")
    assert (wait.what, wait.because, wait.could_s) == ("hands", "change_scent", 83)


def test_what_is_to_come_starts_no_sooner_than_now() -> None:
    day_, plan = idle(600)
    wait = why(day_, plan, plan.step(1, "pack"), now_s=3654)
    assert (wait.what, wait.binds, wait.could_s) == ("start", True, 3654)
    assert words(day_, plan, wait) == "Tray 1 is packed at 10:00, now."
    assert why(day_, plan, plan.step(1, "pack"), now_s=3655).could_s == 3054
    begun = why(day_, plan, plan.step(1, "fill"), now_s=10)
    assert (begun.what, begun.could_s) == ("start", 0)


def test_clock_times_are_the_makers_own() -> None:
    assert "9:11 am" in told({"display": Display(clock=12)}, 1, "load")[1]


def test_the_finish_of_a_small_day_in_a_few_sentences() -> None:
    day_ = day(**THREE, stand=2)
    assert chain_words(resolved(day_), planned(day_)) == [
        "The preheat of countertop starts at 09:00, when the day begins; it is hot at 09:11, and "
        "tray 1 goes in.",
        "Trays 1 to 3 follow each other in countertop, each as soon as the one before is out and "
        "the oven has recovered; tray 3 goes in at 09:29.",
        "Then tray 3 bakes for 7 min, rests for 2 min, is moved to the mat, cools for 30 min and "
        "is packed by 10:10: that is the finish.",
    ]


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        (
            {"stand": 2, "mat_tins": 4},
            "Trays 1 to 3 follow each other on the mat, each when one before has cooled and is "
            "packed; tray 3 is moved at 10:23.",
        ),
        (
            {"count": 1},
            "Trays 1 to 3 follow each other on pan small, each when one before is off it; tray 3 "
            "is set at 09:31.",
        ),
        (
            {"rest_for_s": 900},
            "Trays 1 to 3 follow each other on the stand, each coming out when one before has left "
            "it; tray 3 comes out at 09:49.",
        ),
        (
            {"fill_s": 400, "people": 2, "stand": 2},
            "Trays 1 to 3 are filled one after another; the last is begun at 09:53.",
        ),
    ],
    ids=str,
)
def test_trays_that_follow_each_other_are_one_sentence(changes, sentence: str) -> None:
    day_ = day(**THREE, **changes)
    assert sentence in chain_words(resolved(day_), planned(day_))


def test_hands_that_are_never_idle_are_one_sentence() -> None:
    day_ = day(orders=order(4, 4, 4), stand=2, pack_s=400, mat_tins=40)
    said = chain_words(resolved(day_), planned(day_))
    assert any("your hands go from one thing to the next without a pause" in each for each in said)


def test_hands_that_wait_for_a_tray_to_cool_are_not_said_to_go_on_without_a_pause() -> None:
    six = order(4, 4, 4, 4, 4, 4)
    day_ = day(orders=six, where="pan", stand=2, ready_s=30, count=4, pack_s=40)
    said = chain_words(resolved(day_), planned(day_))
    assert sum("when hands are free" in each for each in said) == 2
    assert not any("without a pause" in each for each in said)


def test_many_kinds_of_wait_still_make_few_sentences() -> None:
    own = ["AAAA", "AA", "BBBB", "AAAA", "B", "AAA", "AAAA"]
    queue = tuple(QueuedTray(tuple(tins), "standard") for tins in own)
    day_ = day(orders=order(17, 5, scents="AB"), queue=queue, keep_order=True, mat_tins=8)
    plan, day_ = planned(day_), resolved(day_)
    every = chain_words(day_, plan, most=99)
    assert len(every) > 4
    for most in range(3, len(every)):
        assert len(chain_words(day_, plan, most)) == most
    assert "wait in turn for" in chain_words(day_, plan, 3)[1]


@pytest.mark.parametrize("path", sample_paths(), ids=lambda path: path.stem)
def test_every_bar_but_a_break_says_why_it_starts(path: Path) -> None:
    day_ = resolved(read_plan(path).day)
    plan = plan_day(day_)
    assert isinstance(plan, Plan)
    for lane in lanes(day_, plan):
        for bar in lane.bars:
            said = why_bar(day_, plan, bar, lane.kind)
            if bar.kind == "break":
                assert said == ""
                continue
            assert said.endswith(".")
            assert not set("{}_") & set(said)
            named = [f"ray {tray} " in said for tray in bar.trays]
            assert any(named) or bar.kind in ("bake", "preheat")


def test_a_bar_of_a_lane_says_what_its_work_says() -> None:
    day_ = day(**TWO, stand=2, breaks=(Break(9000, 60),))
    plan, day_ = planned(day_), resolved(day_)
    by_kind = {
        (lane.kind, bar.kind, bar.trays): why_bar(day_, plan, bar, lane.kind)
        for lane in lanes(day_, plan)
        for bar in lane.bars
    }

    def of(tray: int, step: str) -> str:
        return words(day_, plan, wait_of(day_, plan, tray, step))

    assert by_kind["oven", "bake", (2,)] == of(2, "load")
    assert by_kind["hands", "break", ()] == ""
    assert by_kind["oven", "preheat", ()] == of(0, "preheat")
    assert by_kind["stand", "stand", (2,)] == of(2, "transfer")
    assert by_kind["mat", "cool", (2,)] == f"{of(2, 'transfer')} {of(2, 'pack')}"
    assert by_kind["hands", "pack", (1,)] == of(1, "pack")
    assert by_kind["scale", "fill", (2,)] == of(2, "fill")


def test_a_bar_of_work_that_paused_says_why_it_goes_on() -> None:
    day_ = day(**TWO, **SLOW, transfer_s=0)
    plan, day_ = planned(day_), resolved(day_)
    hands = next(lane for lane in lanes(day_, plan) if lane.kind == "hands")
    later = [bar for bar in hands.bars if (bar.kind, bar.trays) == ("fill", (2,))][1]
    assert why_bar(day_, plan, later, "hands").startswith("The fill of tray 2 goes on at 09:21")

"""Rules of fits, trays, queues and whole days: each pair of days differs in one rule."""

from __future__ import annotations

from dataclasses import replace

import pytest
from small import BASE, OVEN, PAN, RECIPE, cannot, day, finish, order, other, planned, step, steps

from benchplan.errors import BenchplanError
from benchplan.model import Break, Order, QueuedTray, Scent
from benchplan.planner import fit_day, plan_day

ONE, TWO = 3122, 3662


def tray(scents: str, pan: str | None = None, recipe: str = "standard") -> QueuedTray:
    return QueuedTray(tuple(scents), recipe, pan)


def count(what: str, day_) -> int:
    (found,) = [fit for fit in fit_day(day_) if fit.what == what]
    return found.count


def sizes(day_) -> list[int]:
    return sorted(tray.tins for tray in planned(day_).trays)


# -- fit ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("changes", "fit"),
    [
        # Two tins of 72 mm in a row: 72 + 6 + 72 and 2 mm at either end are 154 mm.
        ({"inside_mm": (154.0, 76.0)}, 2),
        ({"inside_mm": (153.9, 76.0)}, 1),
        ({"inside_mm": (154.0, 76.0), "gap_mm": 6.1}, 1),
        ({"inside_mm": (153.9, 76.0), "gap_mm": 5.9}, 2),
        ({"inside_mm": (154.0, 77.0), "edge_mm": 2.1}, 1),
        ({"inside_mm": (76.0, 154.0)}, 2),
        ({"inside_mm": (154.0, 75.9)}, 0),
    ],
    ids=str,
)
def test_tins_stand_a_gap_apart_and_an_edge_from_the_rim(changes, fit: int) -> None:
    pans = {"small": replace(PAN, tins={}, **changes)}
    assert count("tins on pan", day(pans=pans)) == fit


def test_a_maker_s_own_number_wins_and_is_marked_so() -> None:
    (fit,) = [each for each in fit_day(BASE) if each.what == "tins on pan"]
    assert (fit.count, fit.by) == (4, "maker")
    (fit,) = [
        each
        for each in fit_day(day(pans={"small": replace(PAN, tins={})}))
        if each.what == "tins on pan"
    ]
    assert fit.count > 4
    assert fit.by != "maker"


def test_a_maker_s_number_above_the_bound_is_refused_with_a_gap_that_allows_it() -> None:
    floor = {"inside_mm": (154.0, 76.0), "gap_mm": 8.0}
    assert count("tins on pan", day(pans={"small": replace(PAN, tins={}, **floor)})) == 1
    with pytest.raises(BenchplanError, match=r"small.* 6 mm"):
        fit_day(day(pans={"small": replace(PAN, tins={"low 72": 2}, **floor)}))


@pytest.mark.parametrize(
    ("shelf", "fit"),
    [
        # The pan is 297 x 221 mm outside and stands 25 mm from the walls and from the next.
        ((347.0, 271.0), 1),
        ((271.0, 347.0), 1),
        ((346.9, 271.0), 0),
        ((347.0, 517.0), 2),
        ((347.0, 516.9), 1),
    ],
    ids=str,
)
def test_pans_stand_either_way_round_with_air_about_them(shelf, fit: int) -> None:
    assert count("pans on shelf", day(shelf_mm=shelf)) == fit


def test_tins_stand_in_rows_on_the_mat() -> None:
    # 5 x 72 and 4 x 10 mm are 400 mm; no edge.
    rows = {"mat_tins": None, "mat_mm": (400.0, 72.0)}
    assert count("tins on mat", day(**rows)) == 5
    assert count("tins on mat", day(**{**rows, "mat_mm": (399.9, 72.0)})) == 4
    cooling = replace(BASE.cooling, mat_tins=None, mat_mm=(400.0, 72.0), gap_mm=11.0)
    assert count("tins on mat", day(cooling=cooling)) == 4
    assert count("tins on mat", BASE) == 24


# -- trays ----------------------------------------------------------------------------------------


def test_a_tray_holds_at_most_as_many_as_fit_and_every_tin_is_on_one() -> None:
    assert sizes(day(orders=order(4))) == [4]
    assert sizes(day(orders=order(5))) in ([1, 4], [2, 3])
    assert sum(sizes(day(orders=order(5, 6, scents="AB")))) == 11


def test_a_tray_holds_one_recipe() -> None:
    two = {"standard": RECIPE, "other": replace(RECIPE, name="other")}
    both = (Order("A", "standard", 2), Order("A", "other", 2))
    assert sizes(day(recipes=two, orders=both)) == [2, 2]
    assert sizes(day(recipes=two, orders=both, mix_scents=True)) == [2, 2]


def test_the_recipe_may_ask_for_its_pan() -> None:
    pans = {"small": replace(PAN, count=1), "big": replace(PAN, name="big", count=1)}
    eight = {"orders": order(8), "pans": pans}
    assert {each.pan for each in planned(day(**eight)).trays} == {"small", "big"}
    only = {"standard": replace(RECIPE, pan="big")}
    assert {each.pan for each in planned(day(**eight, recipes=only)).trays} == {"big"}


def test_queued_trays_are_taken_as_given() -> None:
    # Two trays of two: the second is packed 3582 to 3616.
    assert finish(queue=()) == ONE
    plan = planned(day(queue=(tray("AA"), tray("AA"))))
    assert [each.tins for each in plan.trays] == [2, 2]
    assert plan.finish_s == 3616
    # The planner adds what the queue leaves out.
    assert sizes(day(queue=(tray("A"),))) == [1, 3]
    big = {"small": PAN, "big": replace(PAN, name="big")}
    plan = planned(day(queue=(tray("AAAA", "big"),), pans=big))
    assert [each.pan for each in plan.trays] == ["big"]


def test_a_queued_mixed_tray_keeps_its_places() -> None:
    mixed = {"orders": order(2, 2, scents="AB"), "mix_scents": True}
    for scents in ("ABAB", "ABBA", "BBAA"):
        plan = planned(day(**mixed, queue=(tray(scents),)))
        assert plan.trays[0].scents == tuple(scents)


def test_a_queued_tray_of_more_than_fits_is_an_error_by_name() -> None:
    with pytest.raises(BenchplanError, match=r"trays\[1\].*5 tins of A.*At most 4 tins"):
        plan_day(day(orders=order(5), queue=(tray("AAAAA"),)))


@pytest.mark.parametrize("scents", ["AAAA", "B", "ABB"])
def test_a_queue_for_more_than_the_orders_ask_for_is_an_error_by_name(scents: str) -> None:
    mixed = {"orders": order(3, 1, scents="AB"), "mix_scents": True}
    assert sizes(day(**mixed, queue=(tray("AAA"), tray("B")))) == [1, 3]
    few = {**mixed, "orders": order(3)} if scents == "B" else mixed
    with pytest.raises(BenchplanError, match=r"\[\[trays\]\] ask for"):
        plan_day(day(**few, queue=(tray(scents),)))


def test_fills_and_loads_follow_the_queue_where_its_order_is_kept() -> None:
    # Four tins first, two last: 3616. Two first: tray 2 has four, TWO.
    queue = (tray("AA"), tray("AAAA"))
    free = planned(day(orders=order(6), queue=queue))
    assert [each.tins for each in free.trays] == [4, 2]
    assert free.finish_s == 3616
    kept = planned(day(orders=order(6), queue=queue, keep_order=True))
    assert [each.tins for each in kept.trays] == [2, 4]
    assert kept.finish_s == TWO


def test_a_load_in_another_oven_waits_for_the_last_queued_tray_of_the_load_before_it() -> None:
    """Trays 1 and 2 go into one oven at 6 and 21; the one that the queue leaves out could go into
    the other at 16."""
    plan = planned(
        day(
            orders=(replace(order(7)[0], filled=6),),
            queue=(tray("AA"), tray("AA")),
            keep_order=True,
            ovens={
                "one": replace(OVEN, name="one", preheat_s=0, shelves=3, most_tins=4),
                "two": replace(OVEN, name="two", preheat_s=0),
            },
            where="pan", people=3, stand=3, count=3, fill_s=7, ready_s=0, unload_s=0,
        )
    )  # fmt: skip
    loads = [(each.tray, each.start_s) for each in steps(plan, "load")]
    assert loads == [(1, 6), (2, 21), (3, 21)]


def test_trays_are_numbered_by_first_load() -> None:
    plan = planned(day(orders=order(4, 3, 2)))
    assert [each.tray for each in steps(plan, "load")] == [1, 2, 3]


# -- what is best ---------------------------------------------------------------------------------


def test_among_equal_finishes_the_ovens_are_hot_for_the_least_time() -> None:
    # Tray 2 cannot be moved before tray 1 is packed, at 3122, so a second oven buys nothing: one
    # oven is on from 0 to 1650.
    mat = {"orders": order(8), "mat_tins": 4, "queue": (tray("AAAA"), tray("AAAA")), "stand": 2}
    ovens = {"countertop": OVEN, "second": replace(OVEN, name="second")}
    assert finish(**mat) == finish(**mat, ovens=ovens) == 5014
    plan = planned(day(**mat, ovens=ovens))
    assert len({load.oven for load in plan.loads}) == 1
    assert other(plan, "preheat") == [(0, 660)]


def test_light_scents_are_filled_first_where_it_costs_nothing() -> None:
    scents = {"A": Scent("A", strength=5), "B": Scent("B", strength=1)}
    for names in ("AB", "BA"):
        plan = planned(day(orders=order(4, 4, scents=names), scents=scents))
        assert plan.finish_s == TWO
        assert plan.trays[0].scents[0] == "B"


def test_the_fewest_trays_where_it_costs_nothing() -> None:
    assert len(planned(day(orders=order(4))).trays) == 1
    assert len(planned(day(orders=order(8))).trays) == 2


def test_one_tray_is_proven_best_for_its_trays_and_no_bound_passes_a_finish() -> None:
    plan = planned(BASE)
    assert plan.bound_s == plan.finish_s == ONE
    assert plan.bound_any_s <= ONE


def test_a_bound_knows_that_the_queue_s_pan_wins_over_the_recipe_s() -> None:
    # The recipe's pan takes one tin; the queue puts all four on the other.
    pans = {"small": PAN, "one": replace(PAN, name="one", tins={"low 72": 1})}
    recipe = {"standard": replace(RECIPE, pan="one")}
    plan = planned(day(pans=pans, recipes=recipe, queue=(tray("AAAA", "small"),)))
    assert plan.finish_s == ONE


def test_a_bound_knows_that_a_stand_place_may_be_free_at_once() -> None:
    # No rest, no time for tongs, one place: two trays of a load still come out one after the
    # other, 1110 to 1125 and to 1140, and are packed 2925 to 2993 and 2993 to 3061.
    plan = planned(day(orders=order(8), shelves=2, rest_for_s=0, transfer_s=0))
    assert plan.bound_s <= 3061


def test_a_day_that_ends_after_finish_by_is_planned_and_warned_of() -> None:
    assert planned(day(finish_by_s=ONE)).warnings == ()
    late = planned(day(finish_by_s=ONE - 60))
    assert late.finish_s == ONE
    assert "1 min" in " ".join(late.warnings)


# -- what limits the day --------------------------------------------------------------------------

# One tray of four: hands 80 + 12 + 15 + 15 + 24 + 68; scale 80; oven 15 + 420 + 15 and 90 to
# recover; a pan 12 + 15 + 420 + 15 + 120 + 24, of which there are two; a stand place 15 + 120 + 24;
# the mat 24 + 1800 + 68 for four of 24 tins.
PACES = {"hands": 214, "scale": 80, "oven": 540, "pans": 303, "stand": 159, "mat": 1892 * 4 / 24}


def paces(day_) -> dict[str, float]:
    return {each.what: each.s_per_tray for each in planned(day_).limits.resources}


def test_the_pace_that_each_thing_alone_would_allow() -> None:
    assert paces(BASE) == pytest.approx(PACES, rel=1e-3)
    plan = planned(BASE)
    assert plan.limits.limiting == "oven"
    for each in plan.limits.resources:
        assert each.tins_per_hour == pytest.approx(4 * 3600 / PACES[each.what], rel=2e-3)
    (hands,) = [each for each in plan.limits.resources if each.what == "hands"]
    assert hands.busy == pytest.approx(214 / ONE, rel=2e-3)


@pytest.mark.parametrize(
    ("changes", "what", "pace"),
    [
        ({"people": 2}, "hands", 107),
        ({"scales": 2}, "scale", 40),
        ({"count": 1}, "pans", 606),
        ({"count": 1, "pan_for_s": 240}, "pans", 846),
        ({"stand": 2}, "stand", 79.5),
        ({"mat_tins": 4}, "mat", 1892),
        ({"recover_s": 0}, "oven", 450),
        ({"orders": order(8), "shelves": 2, "stand": 2}, "oven", (30 + 420 + 30 + 90) / 2),
    ],
    ids=str,
)
def test_one_more_of_a_thing_lets_it_go_faster(changes, what: str, pace: float) -> None:
    assert paces(day(**changes))[what] == pytest.approx(pace, rel=1e-3)


def test_the_slowest_thing_limits_the_day() -> None:
    assert planned(day(mat_tins=4)).limits.limiting == "mat"
    assert planned(day(fill_s=200)).limits.limiting in ("hands", "scale")
    assert "mat" in planned(day(mat_tins=4)).limits.why


# -- days that cannot be done ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("changes", "names"),
    [
        ({"headroom_mm": 18.9}, ("small", "countertop", "headroom")),
        ({"tins": {"low 72": replace(BASE.tins["low 72"], height_mm=81.0)}}, ("low 72",)),
        ({"pans": {"small": replace(PAN, height_mm=81.0)}}, ("small", "81 mm", "headroom")),
        ({"pans": {"small": replace(PAN, inside_mm=(75.9, 75.9), tins={})}}, ("low 72", "small")),
        ({"shelf_mm": (300.0, 270.0)}, ("small", "countertop", "air")),
        ({"mat_tins": None, "mat_mm": (71.9, 71.9)}, ("low 72", "mat")),
        ({"ready_s": 421}, ("ready", "standard")),
    ],
    ids=str,
)
def test_what_cannot_be_done_is_said_by_name(changes, names: tuple[str, ...]) -> None:
    assert finish() == ONE
    why = cannot(day(**changes))
    for name in names:
        assert name in why


def test_ready_longer_than_the_bake_needs_somebody_else_to_load() -> None:
    assert finish(ready_s=420) == ONE
    assert finish(ready_s=421, people=2) == ONE
    # Nobody loads in 0 s: at 660, out 1080 to 1095, 1215, 1239, 3039, 3107.
    assert finish(ready_s=421, load_s=0) == 3107


def test_no_break_makes_a_day_impossible() -> None:
    # Every half hour somebody calls everyone away for ten minutes, until noon: the oven never has
    # 660 + 450 s in a row before, and the day is planned after.
    calls = tuple(Break(at, 600) for at in range(600, 10800, 1500))
    plan = planned(day(breaks=calls))
    last = max(each.end_s for each in calls)
    assert step(plan, 1, "load").start_s == last + 660


def test_a_maker_s_own_number_always_has_a_place_for_every_tin() -> None:
    # Rows place 11 on this floor at no gap at all, and 12 are not ruled out: the maker knows best.
    own = replace(PAN, inside_mm=(310.5, 205.8), gap_mm=3.0, tins={"low 72": 12})
    plan = planned(day(orders=order(12), pans={"small": own}, most_tins=12))
    assert [(each.tins, len(set(each.at_mm))) for each in plan.trays] == [(12, 12)]

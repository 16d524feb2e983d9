"""Everything in a plan stands where there is room, by the checker that shares no code with packing.

A maker's own number wins over the gap: there tins may stand closer, but each has a place of its
own on the floor.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from days import days
from hypothesis import given, settings
from hypothesis import strategies as st
from small import BASE, PAN, day, order, planned

from benchplan.errors import BenchplanError
from benchplan.files import read_plan
from benchplan.model import Day, Fit, Plan
from benchplan.model.stop import Iterations
from benchplan.packing.check import check_mat, check_pans, check_tins
from benchplan.planner import fit_day, plan_day

SAMPLES = Path(__file__).parents[2] / "sample_runs"
FEW = settings(max_examples=100)

Places = tuple[tuple[float, ...], ...]


def tins_misplaced(day: Day, tin: str, fit: Fit, at_mm: Places, tins: int) -> list[str]:
    """Return what is wrong with tins on a pan of the fit's kind."""
    pan = day.pans[fit.pan or ""]
    gap = 0.0 if fit.by == "maker" else pan.gap_mm
    return check_tins(pan.inside_mm, day.tins[tin].diameter_mm, gap, pan.edge_mm, at_mm, tins)


def fit_misplaced(day: Day, fit: Fit) -> list[str]:
    """Return what is wrong with one fit: its places, and its count against its bound."""
    found = []
    if fit.most_possible is not None and fit.count > fit.most_possible:
        found.append(f"{fit.count} are said to fit, and no more than {fit.most_possible} can.")
    if fit.what == "tins on pan":
        return found + tins_misplaced(day, fit.tin or "", fit, fit.at_mm, fit.count)
    if fit.what == "pans on shelf":
        pan, oven = day.pans[fit.pan or ""], day.ovens[fit.oven or ""]
        return found + check_pans(oven.shelf_mm, pan.outside_mm, oven.air_mm, fit.at_mm, fit.count)
    if day.cooling.mat_mm is None:  # the maker counted; nothing is drawn
        return found if fit.by == "maker" and not fit.at_mm else [*found, "Places of what mat?"]
    size, gap = day.tins[fit.tin or ""].diameter_mm, day.cooling.gap_mm
    return found + check_mat(day.cooling.mat_mm, size, gap, fit.at_mm, fit.count)


def missing(day: Day, fits: tuple[Fit, ...], tins: set[str]) -> set[tuple[str | None, ...]]:
    """Return the fits that there should be, and those that there are, where they differ."""
    wanted: set[tuple[str | None, ...]] = {
        ("tins on pan", t, p, None) for t in tins for p in day.pans
    }
    wanted |= {("pans on shelf", None, p, oven) for p in day.pans for oven in day.ovens}
    if not day.on_pan:
        wanted |= {("tins on mat", tin, None, None) for tin in tins}
    return wanted ^ {(fit.what, fit.tin, fit.pan, fit.oven) for fit in fits}


def misplaced(day: Day, plan: Plan) -> list[str]:
    """Return what is wrong with where tins stand on pans and mat, and pans on shelves."""
    used = {day.recipes[order.recipe].tin for order in day.orders}
    unlike = missing(day, plan.fits, used)
    if unlike:
        return [f"There should be one fit, and no other, of each: {unlike}"]
    found = []
    for fit in plan.fits:
        found += fit_misplaced(day, fit)
    on_pan = {(fit.tin, fit.pan): fit for fit in plan.fits if fit.what == "tins on pan"}
    for tray in plan.trays:
        tin = day.recipes[tray.recipe].tin
        fit = on_pan[tin, tray.pan]
        found += tins_misplaced(day, tin, fit, tray.at_mm, tray.tins)
        if not set(tray.at_mm) <= set(fit.at_mm):
            found.append(f"Tray {tray.number} has places that the fit does not show.")
    return found


def answer(day: Day) -> Plan | None:
    """Return the plan, or None where there is none (why is asked elsewhere)."""
    try:
        found = plan_day(day, Iterations(1))
    except BenchplanError:
        return None
    return found if isinstance(found, Plan) else None


@pytest.mark.parametrize("name", ["first_tray", "winter_fair", "two_ovens"])
def test_everything_in_a_sample_stands_where_there_is_room(name: str) -> None:
    day = read_plan(SAMPLES / f"{name}.toml").day
    plan = answer(day)
    assert plan is not None
    assert misplaced(day, plan) == []
    every = fit_day(day)
    assert missing(day, every, set(day.tins)) == set()
    assert [fault for fit in every for fault in fit_misplaced(day, fit)] == []


@FEW
@given(days())
def test_everything_in_a_random_day_stands_where_there_is_room(day: Day) -> None:
    plan = answer(day)
    if plan is not None:
        assert misplaced(day, plan) == []


@FEW
@given(days(), st.data())
def test_any_number_that_a_maker_may_give_has_its_places(day: Day, data: st.DataObject) -> None:
    bare = replace(day, pans={name: replace(pan, tins={}) for name, pan in day.pans.items()})
    free = {(f.tin, f.pan): f for f in fit_day(bare) if f.what == "tins on pan"}
    own = {
        key: data.draw(st.integers(0, fit.most_possible or 0), label=str(key))
        for key, fit in free.items()
    }
    pans = {
        name: replace(pan, tins={tin: own[tin, name] for tin in bare.tins})
        for name, pan in bare.pans.items()
    }
    for fit in fit_day(replace(bare, pans=pans)):
        if fit.what != "tins on pan":
            continue
        pan, size = pans[fit.pan or ""], bare.tins[fit.tin or ""].diameter_mm
        assert (fit.count, fit.by) == (own[fit.tin, fit.pan], "maker")
        assert len(set(fit.at_mm)) == len(fit.at_mm) == fit.count
        # What rows take anyway keeps the gap; what only smaller tins would leave room for is drawn
        # on the floor all the same.
        if fit.count <= free[fit.tin, fit.pan].count:
            faults = check_tins(pan.inside_mm, size, pan.gap_mm, pan.edge_mm, fit.at_mm, fit.count)
            assert faults == []
        assert check_tins(pan.inside_mm, 0.001, 0.0, pan.edge_mm, fit.at_mm, fit.count) == []


def test_a_tin_more_than_the_gap_allows_stands_closer_and_touches_no_other() -> None:
    floor = {"inside_mm": (251.0, 196.0), "gap_mm": 6.0}
    bare = day(pans={"small": replace(PAN, tins={}, **floor)}, orders=order(8))
    assert [tray.tins for tray in planned(bare).trays] != [8]
    own = replace(bare, pans={"small": replace(PAN, tins={"low 72": 8}, **floor)})
    plan = planned(own)
    assert misplaced(own, plan) == []
    (tray,) = plan.trays
    assert check_tins((251.0, 196.0), 72.0, 0.0, 2.0, tray.at_mm, 8) == []
    assert check_tins((251.0, 196.0), 72.0, 6.0, 2.0, tray.at_mm, 8)


def test_what_stands_wrong_in_a_plan_is_seen() -> None:
    kit = {"small": replace(PAN, tins={})}
    base = day(replace(BASE, pans=kit), mat_tins=None, mat_mm=(750.0, 430.0), orders=order(8))
    plan = planned(base)
    assert misplaced(base, plan) == []
    first, *others = plan.trays
    (x, y), *rest = first.at_mm
    for place in ((-0.01, y), rest[0], (x + 1.0, y + 1.0)):
        moved = replace(first, at_mm=(place, *rest))
        assert misplaced(base, replace(plan, trays=(moved, *others)))
    for index, fit in enumerate(plan.fits):
        fits = list(plan.fits)
        for wrong in (
            replace(fit, count=fit.count + 1),
            replace(fit, at_mm=fit.at_mm[:-1]),
            replace(fit, most_possible=fit.count - 1),
            replace(fit, at_mm=(*fit.at_mm[:-1], (-1.0, *fit.at_mm[-1][1:]))),
        ):
            fits[index] = wrong
            assert misplaced(base, replace(plan, fits=tuple(fits)))
        assert misplaced(base, replace(plan, fits=(*plan.fits[:index], *plan.fits[index + 1 :])))

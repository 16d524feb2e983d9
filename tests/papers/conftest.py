"""Two days with plans made by hand: one person with a mat, and two people with a mixed tray."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from benchplan.model import (
    Break,
    Cooling,
    Day,
    Display,
    Fit,
    Limits,
    Load,
    OneMore,
    Order,
    Other,
    Oven,
    Pan,
    Plan,
    Recipe,
    Resource,
    Scent,
    Step,
    Times,
    Tin,
    Tray,
)

PAN_FIT = Fit("tins on pan", 4, 6, "search", "low 72", "small", None, ((1.5, 2.0), (3.0, 4.0)))
SHELF_FIT = Fit("pans on shelf", 1, 1, "rows", None, "small", "countertop", ((25.0, 25.0, False),))
MAT_FIT = Fit("tins on mat", 12, None, "rows", "low 72", None, None, ((36.0, 36.0),))


@pytest.fixture
def small_day() -> Day:
    """Two trays of two tins, the second of another scent, one person, US units."""
    return Day(
        name="Two by two",
        start=datetime(2026, 12, 5, 9, 0, tzinfo=ZoneInfo("America/Chicago")),
        orders=(Order("Night garden", "standard", 2), Order("Sea fennel", "standard", 2)),
        recipes={
            "standard": Recipe("standard", "low 72", 37.0, 165.55555555555554, 330, 30, 120, 2070)
        },
        tins={"low 72": Tin("low 72", 72.0, 17.0, 65.0, 16.0)},
        pans={"small": Pan("small", (282.0, 206.0), (297.0, 221.0), count=1)},
        ovens={"countertop": Oven("countertop", (362.0, 292.0))},
        cooling=Cooling("mat", 1, (300.0, 220.0)),
        times=Times(fill_s=20, ready_s=30, change_scent_s=60),
        scents={"Night garden": Scent("Night garden", 80.0)},
        finish_by_s=7200,
        display=Display("us", 12),
        defaults=("day.people", "cooling.gap", "times.set", "ovens.countertop.recover"),
    )


@pytest.fixture
def small_plan() -> Plan:
    """The plan of ``small_day``: the second tray's fill is put down while the first comes out."""
    trays = (
        Tray(1, ("Night garden",) * 2, "standard", "small", 1, ((38.0, 38.0), (116.0, 38.0)),
             (("Night garden", 2),)),
        Tray(2, ("Sea fennel",) * 2, "standard", "small", 1, ((38.0, 38.0), (116.0, 38.0)),
             (("Sea fennel", 2),)),
    )  # fmt: skip
    steps = (
        Step(1, "fill", ((0, 40),), 1, "scale 1"),
        Step(1, "set", ((40, 46),), 1),
        Step(1, "load", ((660, 675),), 1, "countertop"),
        Step(1, "bake", ((675, 1005),), None, "countertop"),
        Step(1, "unload", ((1005, 1020),), 1, "countertop"),
        Step(1, "rest", ((1020, 1140),), None, "stand 1"),
        Step(1, "transfer", ((1140, 1152),), 1, "stand 1"),
        Step(1, "cool", ((1152, 3222),), None, "mat"),
        Step(1, "pack", ((3222, 3239), (3245, 3262)), 1, "mat"),
        Step(2, "fill", ((950, 970), (1030, 1050)), 1, "scale 1"),
        Step(2, "set", ((1152, 1158),), 1),
        Step(2, "load", ((1158, 1173),), 1, "countertop"),
        Step(2, "bake", ((1173, 1503),), None, "countertop"),
        Step(2, "unload", ((1503, 1518),), 1, "countertop"),
        Step(2, "rest", ((1518, 1638),), None, "stand 1"),
        Step(2, "transfer", ((1638, 1650),), 1, "stand 1"),
        Step(2, "cool", ((1650, 3720),), None, "mat"),
        Step(2, "pack", ((3720, 3754),), 1, "mat"),
    )
    return Plan(
        trays=trays,
        loads=(Load("countertop", 1, (1,)), Load("countertop", 2, (2,))),
        steps=steps,
        other=(
            Other("preheat", ((0, 660),), "countertop"),
            Other("change_scent", ((700, 760),), "scale 1", 1, 2),
        ),
        fits=(PAN_FIT, SHELF_FIT, MAT_FIT),
        finish_s=3754,
        bound_s=3754,
        bound_any_s=3600,
        limits=Limits(
            "pans",
            "Pans limit the day: one pan goes round in 8 min 18 s.",
            (Resource("pans", 0.8, 498.0, 14.5), Resource("scale", 0.0, 0.0, 0.0)),
        ),
        one_more=(OneMore("pan", "small", 3454), OneMore("person", None, 3754)),
        warnings=("The mat is nearly full.",),
    )


@pytest.fixture
def pair_day(small_day: Day) -> Day:
    """Two people, two scales, tins that cool on their pan, lids another day, a break in turns."""
    from dataclasses import replace

    return replace(
        small_day,
        name="Pair",
        orders=(Order("Night garden", "standard", 3, 1), Order("Sea fennel", "standard", 1)),
        people=2,
        scales=2,
        mix_scents=True,
        pack="later",
        cooling=Cooling("pan", 2),
        breaks=(Break(600, 300, 1), Break(3000, 600)),
        finish_by_s=2400,
        display=Display("metric", 24),
    )


@pytest.fixture
def pair_plan() -> Plan:
    """The plan of ``pair_day``: one mixed tray of four tins, of which one was filled before."""
    tray = Tray(
        1,
        ("Night garden", "Night garden", "Night garden", "Sea fennel"),
        "standard",
        "small",
        1,
        (),
        (("Night garden", 2), ("Sea fennel", 1)),
    )
    return Plan(
        trays=(tray,),
        loads=(Load("countertop", 1, (1,)),),
        steps=(
            Step(1, "fill", ((0, 40), (100, 120)), 1, "scale 2"),
            Step(1, "set", ((120, 132),), 2),
            Step(1, "load", ((900, 915),), 1, "countertop"),
            Step(1, "bake", ((915, 1245),), None, "countertop"),
            Step(1, "unload", ((1245, 1260),), 2, "countertop"),
            Step(1, "cool", ((1260, 3600),), None, "stand 2"),
            Step(1, "pack", ((3600, 3612),), 1, "stand 2"),
        ),
        other=(
            Other("preheat", ((240, 900),), "countertop"),
            Other("change_scent", ((40, 100),), "scale 2", 2, 1),
            Other("break", ((600, 900),), None, 2),
            Other("break", ((3000, 3600),), None, 1),
            Other("break", ((3000, 3600),), None, 2),
        ),
        fits=(PAN_FIT,),
        finish_s=3612,
        bound_s=3500,
        bound_any_s=3400,
        limits=Limits("oven", "The oven limits the day.", ()),
    )

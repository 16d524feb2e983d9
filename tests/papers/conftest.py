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

PAN_FIT = Fit("tins on pan", 4, 6, "search", "round 60", "small", None, ((1.5, 2.0), (3.0, 4.0)))
SHELF_FIT = Fit("pans on shelf", 1, 1, "rows", None, "small", "countertop", ((25.0, 25.0, False),))
MAT_FIT = Fit("tins on mat", 12, None, "rows", "round 60", None, None, ((33.0, 33.0),))


@pytest.fixture
def small_day() -> Day:
    """Two trays of two tins, the second of another scent, one person, US units."""
    return Day(
        name="Two by two",
        start=datetime(2026, 12, 5, 9, 0, tzinfo=ZoneInfo("America/Chicago")),
        orders=(Order("Porch lemon", "standard", 2), Order("Sea fennel", "standard", 2)),
        recipes={
            "standard": Recipe("standard", "round 60", 34.0, 176.66666666666669, 300, 30, 120, 2100)
        },
        tins={"round 60": Tin("round 60", 66.0, 19.0, 60.0, 14.0)},
        pans={"small": Pan("small", (260.0, 190.0), (275.0, 205.0), count=1)},
        ovens={"countertop": Oven("countertop", (340.0, 270.0))},
        cooling=Cooling("mat", 1, (300.0, 220.0)),
        times=Times(fill_s=20, ready_s=30, change_scent_s=60),
        scents={"Porch lemon": Scent("Porch lemon", 80.0)},
        finish_by_s=7200,
        display=Display("us", 12),
        defaults=("day.people", "cooling.gap", "times.set", "ovens.countertop.recover"),
    )


@pytest.fixture
def small_plan() -> Plan:
    """The plan of ``small_day``: the second tray's fill is put down while the first comes out."""
    trays = (
        Tray(1, ("Porch lemon",) * 2, "standard", "small", 1, ((35.0, 35.0), (107.0, 35.0)),
             (("Porch lemon", 2),)),
        Tray(2, ("Sea fennel",) * 2, "standard", "small", 1, ((35.0, 35.0), (107.0, 35.0)),
             (("Sea fennel", 2),)),
    )  # fmt: skip
    steps = (
        Step(1, "fill", ((0, 40),), 1, "scale 1"),
        Step(1, "set", ((40, 46),), 1),
        Step(1, "load", ((660, 675),), 1, "countertop"),
        Step(1, "bake", ((675, 975),), None, "countertop"),
        Step(1, "unload", ((975, 990),), 1, "countertop"),
        Step(1, "rest", ((990, 1110),), None, "stand 1"),
        Step(1, "transfer", ((1110, 1122),), 1, "stand 1"),
        Step(1, "cool", ((1122, 3222),), None, "mat"),
        Step(1, "pack", ((3222, 3239), (3245, 3262)), 1, "mat"),
        Step(2, "fill", ((920, 940), (1000, 1020)), 1, "scale 1"),
        Step(2, "set", ((1122, 1128),), 1),
        Step(2, "load", ((1128, 1143),), 1, "countertop"),
        Step(2, "bake", ((1143, 1443),), None, "countertop"),
        Step(2, "unload", ((1443, 1458),), 1, "countertop"),
        Step(2, "rest", ((1458, 1578),), None, "stand 1"),
        Step(2, "transfer", ((1578, 1590),), 1, "stand 1"),
        Step(2, "cool", ((1590, 3690),), None, "mat"),
        Step(2, "pack", ((3690, 3724),), 1, "mat"),
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
        finish_s=3724,
        bound_s=3724,
        bound_any_s=3600,
        limits=Limits(
            "pans",
            "Pans limit the day: one pan goes round in 7 min 48 s.",
            (Resource("pans", 0.8, 468.0, 15.4), Resource("scale", 0.0, 0.0, 0.0)),
        ),
        one_more=(OneMore("pan", "small", 3424), OneMore("person", None, 3724)),
        warnings=("The mat is nearly full.",),
    )


@pytest.fixture
def pair_day(small_day: Day) -> Day:
    """Two people, two scales, tins that cool on their pan, lids another day, a break in turns."""
    from dataclasses import replace

    return replace(
        small_day,
        name="Pair",
        orders=(Order("Porch lemon", "standard", 3, 1), Order("Sea fennel", "standard", 1)),
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
        ("Porch lemon", "Porch lemon", "Porch lemon", "Sea fennel"),
        "standard",
        "small",
        1,
        (),
        (("Porch lemon", 2), ("Sea fennel", 1)),
    )
    return Plan(
        trays=(tray,),
        loads=(Load("countertop", 1, (1,)),),
        steps=(
            Step(1, "fill", ((0, 40), (100, 120)), 1, "scale 2"),
            Step(1, "set", ((120, 132),), 2),
            Step(1, "load", ((900, 915),), 1, "countertop"),
            Step(1, "bake", ((915, 1215),), None, "countertop"),
            Step(1, "unload", ((1215, 1230),), 2, "countertop"),
            Step(1, "cool", ((1230, 3600),), None, "stand 2"),
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

"""A small day and a plan of it, made by hand: three trays, one person, one oven, one scale."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone

from benchplan.model import (
    Cooling,
    Day,
    Display,
    Fit,
    Limits,
    Load,
    Order,
    Other,
    Oven,
    Pan,
    Plan,
    Recipe,
    Resource,
    Scent,
    Step,
    Tin,
    Tray,
)

START = datetime(2026, 12, 5, 9, 0, tzinfo=timezone(timedelta(0)))
CENTRES = tuple((38.0 + 78 * x, 38.0 + 78 * y) for y in range(2) for x in range(3))
MAT = tuple((36.0 + 82 * x, 36.0 + 82 * y) for y in range(2) for x in range(6))


def day(units: str = "metric", clock: int = 24) -> Day:
    """Return the day: 16 tins in two scents, six on a pan, twelve on the mat."""
    return Day(
        name="Harbour fair",
        start=START,
        orders=(Order("Sea fennel", "standard", 12, filled=6), Order("Fig and ash", "standard", 4)),
        recipes={"standard": Recipe("standard", "low 72", 31.0, 158.0, 420, cool_for_s=1980)},
        tins={"low 72": Tin("low 72", 72.0, 17.0)},
        pans={"small": Pan("small", (248.0, 172.0), (263.0, 187.0), count=2)},
        ovens={"countertop": Oven("countertop", (362.0, 292.0))},
        cooling=Cooling(stand=2, mat_mm=(496.0, 158.0)),
        scents={"Sea fennel": Scent("Sea fennel", 93.0, 2)},
        finish_by_s=2 * 3600,
        display=Display(units, clock),
    )


FITS = (
    Fit("tins on pan", 6, 6, "rows", tin="low 72", pan="small", at_mm=CENTRES),
    Fit(
        "pans on shelf", 1, 1, "rows", pan="small", oven="countertop", at_mm=((47.5, 47.5, False),)
    ),
    Fit("tins on mat", 12, None, "rows", tin="low 72", at_mm=MAT),
)

_SPANS: dict[int, tuple[tuple[str, int, int, int | None, str | None], ...]] = {
    1: (
        ("fill", 0, 0, None, "scale 1"),
        ("set", 642, 660, 1, None),
        ("load", 660, 675, 1, "countertop"),
        ("bake", 675, 1095, None, "countertop"),
        ("unload", 1095, 1110, 1, "countertop"),
        ("rest", 1110, 1230, None, "stand 1"),
        ("transfer", 1230, 1266, 1, "stand 1"),
        ("cool", 1266, 3246, None, "mat"),
        ("pack", 3246, 3348, 1, "mat"),
    ),
    2: (
        ("fill", 60, 180, 1, "scale 1"),
        ("set", 1266, 1284, 1, None),
        ("load", 1284, 1299, 1, "countertop"),
        ("bake", 1299, 1719, None, "countertop"),
        ("unload", 1719, 1734, 1, "countertop"),
        ("rest", 1734, 1854, None, "stand 2"),
        ("transfer", 1854, 1890, 1, "stand 2"),
        ("cool", 1890, 3870, None, "mat"),
        ("pack", 3870, 3972, 1, "mat"),
    ),
    3: (
        ("fill", 500, 580, 1, "scale 1"),
        ("set", 1890, 1902, 1, None),
        ("load", 3400, 3415, 1, "countertop"),
        ("bake", 3415, 3835, None, "countertop"),
        ("unload", 3835, 3850, 1, "countertop"),
        ("rest", 3850, 3972, None, "stand 1"),
        ("transfer", 3972, 3996, 1, "stand 1"),
        ("cool", 3996, 5976, None, "mat"),
        ("pack", 5976, 6044, 1, "mat"),
    ),
}


def plan(warnings: tuple[str, ...] = ()) -> Plan:
    """Return a plan of the day, finishing at 10:40:44."""
    sea, fig = "Sea fennel", "Fig and ash"
    trays = (
        Tray(1, (sea,) * 6, "standard", "small", 1, CENTRES, ()),
        Tray(2, (sea,) * 6, "standard", "small", 2, CENTRES, ((sea, 6),)),
        Tray(3, (fig,) * 4, "standard", "small", 1, CENTRES[:4], ((fig, 4),)),
    )
    steps = tuple(
        Step(tray, step, ((begin, end),), person, place)
        for tray, spans in _SPANS.items()
        for step, begin, end, person, place in spans
    )
    return Plan(
        trays=trays,
        loads=tuple(Load("countertop", number, (number,)) for number in (1, 2, 3)),
        steps=steps,
        other=(
            Other("preheat", ((0, 660),), "countertop"),
            Other("change_scent", ((220, 460),), "scale 1", 1, 3),
        ),
        fits=FITS,
        finish_s=6044,
        bound_s=5400,
        bound_any_s=4800,
        limits=Limits(
            "oven",
            "The oven sets the pace: a tray every 10 min, 36 tins an hour.",
            (
                Resource("hands", 0.31, 300, 72),
                Resource("oven", 0.52, 600, 36),
                Resource("mat", 0.74, 560, 39),
            ),
        ),
        warnings=warnings,
    )

"""Days and plans computed by hand, second by second, to try the checker on.

A plan is written as a table: one step a line, "tray step person place parts", with ``-`` for
nobody and nowhere. The comments show the arithmetic where it is not plain.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime

from benchplan.model import (
    Cooling,
    Day,
    Fit,
    Limits,
    Load,
    Order,
    Other,
    Oven,
    Pan,
    Plan,
    Recipe,
    Step,
    Times,
    Tin,
    Tray,
)

TIN = Tin("low 72", 72.0, 17.0)
PAN = Pan("small", (282.0, 206.0), (297.0, 221.0), count=2)
OVEN = Oven("countertop", (362.0, 292.0))
STANDARD = Recipe("standard", "low 72", 31.0, 158.0, 420, cool_for_s=1800)


def day(*orders: Order, **changes: object) -> Day:
    """Return a day with one oven, two small pans, one stand place and a mat for 24 tins."""
    known = Day(
        name="by hand",
        start=datetime(2026, 12, 5, 9, tzinfo=UTC),
        orders=orders,
        recipes={"standard": STANDARD},
        tins={"low 72": TIN},
        pans={"small": PAN},
        ovens={"countertop": OVEN},
        cooling=Cooling(mat_mm=(750.0, 430.0)),
        times=Times(),
    )
    return replace(known, **changes)  # type: ignore[arg-type]


def table(text: str) -> tuple[Step, ...]:
    """Read steps from lines "tray step person place parts"; "stand_1" stands for "stand 1"."""
    steps = []
    for line in text.strip().splitlines():
        tray, name, person, place, *parts = line.split("#")[0].split()
        spans = tuple((int(a), int(b)) for a, b in (part.split("-") for part in parts))
        steps.append(
            Step(
                tray=int(tray),
                step=name,
                parts=spans,
                person=None if person == "-" else int(person),
                place=None if place == "-" else place.replace("_", " "),
            )
        )
    return tuple(steps)


def tray(number: int, scents: str, pan_number: int = 1, **changes: object) -> Tray:
    """Return a tray on a small pan, one letter of ``scents`` a tin, all still to fill."""
    to_fill = tuple((scent, scents.count(scent)) for scent in dict.fromkeys(scents))
    known = Tray(number, tuple(scents), "standard", "small", pan_number, to_fill=to_fill)
    return replace(known, **changes)  # type: ignore[arg-type]


FITS = (
    Fit("tins on pan", 8, 10, "search", tin="low 72", pan="small"),
    Fit("pans on shelf", 1, 1, "rows", pan="small", oven="countertop"),
    Fit("tins on mat", 24, None, "rows", tin="low 72"),
)


def plan(
    trays: tuple[Tray, ...],
    loads: tuple[Load, ...],
    steps: str,
    *other: Other,
    fits: tuple[Fit, ...] = FITS,
) -> Plan:
    """Return a plan whose finish is its last pack's end and whose bounds claim nothing."""
    rows = table(steps)
    finish = max(step.end_s for step in rows)
    return Plan(trays, loads, rows, other, fits, finish, 0, 0, Limits("hands", "by hand", ()))


def preheat(start: int, end: int, oven: str = "countertop") -> Other:
    return Other("preheat", ((start, end),), place=oven)


def change(start: int, end: int, before: int, person: int = 1, scale: int = 1) -> Other:
    return Other("change_scent", ((start, end),), f"scale {scale}", person, before)


def away(person: int, start: int, end: int) -> Other:
    return Other("break", ((start, end),), person=person)


@dataclass(frozen=True, slots=True)
class Good:
    """A day and a plan of it that obeys every rule."""

    name: str
    day: Day
    plan: Plan

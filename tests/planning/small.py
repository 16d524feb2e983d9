"""The small day that rules are tried on, and what to ask of its plan.

Its kit: four tins of 72 mm a pan, one pan a shelf, room for 24 tins on the mat. Its times: fill
20, set 3, load 15, bake 420, unload 15, rest 120, transfer 6, cool 1800, pack 17 s; preheat 660 s,
recover 90 s. One tray of four is filled by 80, set by 92, loaded 660 to 675, out of the oven 1095
to 1110, moved 1230 to 1254 and packed 3054 to 3122.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, replace
from datetime import UTC, datetime
from typing import Any

from benchplan.model import (
    Cannot,
    Cooling,
    Day,
    Order,
    Oven,
    Pan,
    Plan,
    Recipe,
    Step,
    Times,
    Tin,
)
from benchplan.planner import plan_day, resolved
from benchplan.scheduling.check import check_plan

RECIPE = Recipe("standard", "low 72", 31.0, 158.0, 420, cool_for_s=1800)
PAN = Pan("small", (282.0, 206.0), (297.0, 221.0), count=2, tins={"low 72": 4})
OVEN = Oven("countertop", (362.0, 292.0))
TIN = Tin("low 72", 72.0, 17.0)
TIMES = Times()
COOLING = Cooling(mat_tins=24)
BASE = Day(
    name="a small day",
    start=datetime(2026, 12, 5, 9, tzinfo=UTC),
    orders=(Order("A", "standard", 4),),
    recipes={"standard": RECIPE},
    tins={"low 72": TIN},
    pans={"small": PAN},
    ovens={"countertop": OVEN},
    cooling=COOLING,
    times=TIMES,
)
ONE = {"recipes": "standard", "pans": "small", "ovens": "countertop", "tins": "low 72"}


def day(base: Day = BASE, **changes: Any) -> Day:
    """Return ``base`` with fields of any of its records changed, each by the field's own name.

    Fields of recipe, pan, oven, tin, cooling and times are found by name in the one record of the
    base that has them; "height_mm" and "name" are not unique, so give those records whole.
    """
    own = {field.name for field in fields(Day)}
    found = base
    for name, value in changes.items():
        if name in own:
            found = replace(found, **{name: value})
            continue
        for part in ("cooling", "times"):
            if name in {field.name for field in fields(getattr(found, part))}:
                found = replace(found, **{part: replace(getattr(found, part), **{name: value})})
                break
        else:
            found = _in_table(found, name, value)
    return found


def _in_table(base: Day, name: str, value: object) -> Day:
    for table, key in ONE.items():
        records: Mapping[str, Any] = getattr(base, table)
        if name in {field.name for field in fields(records[key])}:
            return replace(
                base, **{table: {**records, key: replace(records[key], **{name: value})}}
            )
    raise AssertionError(f"no record of a day has a field {name}")


def order(*tins: int, scents: str = "AAAAAAAA") -> tuple[Order, ...]:
    """Return orders of so many tins each; by default of one scent, so no scale needs cleaning."""
    return tuple(
        Order(scent, "standard", count) for scent, count in zip(scents, tins, strict=False)
    )


def planned(day_: Day) -> Plan:
    """Return the plan of a day, which obeys every rule."""
    plan = plan_day(day_)
    assert isinstance(plan, Plan), plan
    assert check_plan(resolved(day_), plan) == []
    return plan


def finish(base: Day = BASE, **changes: Any) -> int:
    """Return when the plan of the changed day ends."""
    return planned(day(base, **changes)).finish_s


def cannot(day_: Day) -> str:
    """Return why a day cannot be done."""
    found = plan_day(day_)
    assert isinstance(found, Cannot)
    assert found.reasons
    return " ".join(found.reasons)


def step(plan: Plan, tray: int, name: str) -> Step:
    found = plan.step(tray, name)
    assert found is not None
    return found


def steps(plan: Plan, name: str) -> list[Step]:
    """Return the steps of one name by their start."""
    return sorted((each for each in plan.steps if each.step == name), key=lambda a: a.parts)


def other(plan: Plan, what: str) -> list[tuple[int, int]]:
    return sorted((each.start_s, each.end_s) for each in plan.other if each.what == what)

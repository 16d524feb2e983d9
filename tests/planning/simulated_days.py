"""Days to carry out: the sample days, and the small day with lengths of work by name."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import small
from simulated_rules import named

from benchplan.chance.dispatch import Dispatch
from benchplan.chance.order import fixed_order
from benchplan.files import read_plan
from benchplan.model import Day, Plan
from benchplan.model.stop import Iterations
from benchplan.planner import plan_day, resolved

SAMPLES = sorted((Path(__file__).parents[2] / "sample_runs").glob("*_*.toml"))
STEPS = ("fill", "set", "load", "unload", "transfer", "pack", "clear", "change_scent")
EXACT = dict.fromkeys(STEPS, 0.0)


def carried_out(day: Day, plan: Plan | None = None, **lasts_s: float) -> Dispatch:
    """Return the small day carried out; fill_2=600 means that filling tray 2 takes 600 s."""
    order = fixed_order(resolved(day), plan or small.planned(day))
    left = dict(lasts_s)
    lasts = [left.pop(f"{each.step}_{each.tray}", each.planned_s) for each in order.pieces]
    assert not left
    return Dispatch(order, lasts)


def steps_of(day: Day, done: Dispatch) -> dict[tuple[int, str], tuple[float, float]]:
    return named(resolved(day), small.planned(day), done)


def sample_days() -> Iterator[tuple[Day, Plan]]:
    for path in SAMPLES:
        if path.stem == "workshop_kit":
            continue
        day = read_plan(path).day
        plan = plan_day(day, Iterations(20))
        assert isinstance(plan, Plan)
        yield day, plan

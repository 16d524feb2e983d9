"""The best plan for given trays, found by constraint programming and read back as a plan."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from oracle_model import Model, Work
from ortools.sat.python import cp_model

from benchplan.model import Day, Load, Other, Plan, Step


@dataclass(frozen=True)
class Answer:
    """The best plan found (None: none), whether it is proven, and the finish none can beat."""

    plan: Plan | None
    proven: bool
    bound_s: int


def best(day: Day, plan: Plan, effort: float = 5.0) -> tuple[Plan, bool]:
    """Return the best plan found with the trays of ``plan``, and whether none can be better.

    ``effort`` is in the solver's own deterministic units, so that an answer depends on no machine.
    """
    found = answer(day, plan, plan.finish_s, effort=effort)
    return found.plan or plan, found.proven


def answer(
    day: Day,
    plan: Plan,
    horizon: int,
    *,
    effort: float | None = None,
    limit_s: float | None = None,
    workers: int = 1,
) -> Answer:
    """Return the best plan by ``horizon`` with the trays of ``plan``, of which only they are used.

    ``limit_s`` is in seconds of this machine, which makes the answer depend on it.
    """
    model = Model(day, plan, horizon)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = workers
    solver.parameters.linearization_level = 2  # a single worker proves most with it
    if effort is not None:
        solver.parameters.max_deterministic_time = effort
    if limit_s is not None:
        solver.parameters.max_time_in_seconds = limit_s
    status = solver.solve(model.cp)
    assert status != cp_model.INFEASIBLE, "the model has no plan by the horizon"
    assert status != cp_model.MODEL_INVALID, model.cp.validate()
    bound_s = math.ceil(solver.best_objective_bound - 1e-6)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Answer(None, False, max(0, bound_s))
    return Answer(_read(model, solver), status == cp_model.OPTIMAL, bound_s)


def _read(model: Model, solver: cp_model.CpSolver) -> Plan:
    day, plan = model.day, model.plan
    steps: list[Step] = []
    value = solver.value

    def person(work: Work) -> int | None:
        return next((p for p, flag in enumerate(work.by, 1) if value(flag)), None)

    spans: dict[tuple[int, str], tuple[int, int]] = {}
    for (number, name), work in model.work.items():
        starts = [value(start) for start in work.pieces]
        parts: list[tuple[int, int]] = []
        for start in starts:
            if parts and parts[-1][1] == start and work.lasts:
                parts[-1] = (parts[-1][0], start + work.lasts)
            else:
                parts.append((start, start + work.lasts))
        spans[number, name] = (parts[0][0], parts[-1][1])
        steps.append(Step(number, name, tuple(parts), person(work)))
    loads, numbers = [], {}
    for (oven, slot), of in sorted(model.slots.items()):
        inside = tuple(
            tray.number for tray in plan.trays if value(model.inside[tray.number, oven, slot])
        )
        if inside:
            loads.append(Load(oven, slot + 1, inside))
            baked = value(of["baked"])
            for number in inside:
                start = max(spans[each, "load"][1] for each in inside)
                steps.append(Step(number, "bake", ((start, baked),), None, oven))
                numbers[number] = oven
    stand = colour({t.number: _stand_span(day, spans, t.number) for t in plan.trays})
    steps = [replace(step, place=_place(model, solver, step, numbers, stand)) for step in steps]
    for tray in plan.trays:
        n = tray.number
        place = f"stand {stand[n]}"
        if not day.on_pan:
            rest = (spans[n, "unload"][1], spans[n, "transfer"][0])
            steps.append(Step(n, "rest", (rest,), None, place))
        cool = (spans[n, "unload" if day.on_pan else "transfer"][1], spans[n, "pack"][0])
        steps.append(Step(n, "cool", (cool,), None, place if day.on_pan else "mat"))
    pans: dict[int, int] = {}
    for kind in day.pans:
        held = {
            t.number: (
                spans[t.number, "set"][0],
                spans[t.number, "pack" if day.on_pan else "transfer"][1] + day.cooling.pan_for_s,
            )
            for t in plan.trays
            if t.pan == kind
        }
        pans |= colour(held)
    order = sorted(plan.trays, key=lambda t: spans[t.number, "load"])
    new = {tray.number: index for index, tray in enumerate(order, 1)}
    finish = max(span[1] for (_, name), span in spans.items() if name == "pack")
    return replace(
        plan,
        trays=tuple(
            replace(tray, number=new[tray.number], pan_number=pans[tray.number]) for tray in order
        ),
        loads=tuple(replace(load, trays=tuple(new[n] for n in load.trays)) for load in loads),
        steps=tuple(replace(step, tray=new[step.tray]) for step in steps),
        other=tuple(_other(model, solver, spans, new, loads)),
        finish_s=finish,
        bound_s=0,
        bound_any_s=0,
        warnings=("made by the oracle",),
    )


def _stand_span(day: Day, spans: dict[tuple[int, str], tuple[int, int]], n: int) -> tuple[int, int]:
    return spans[n, "unload"][0], spans[n, "pack" if day.on_pan else "transfer"][1]


def colour(spans: dict[int, tuple[int, int]]) -> dict[int, int]:
    """Number things from 1 so that no two that overlap have the same number."""
    free_from: list[int] = []
    found = {}
    for name, (start, end) in sorted(spans.items(), key=lambda each: (each[1], each[0])):
        for index, free in enumerate(free_from):
            if free <= start:
                free_from[index] = end
                found[name] = index + 1
                break
        else:
            free_from.append(end)
            found[name] = len(free_from)
    return found


def _place(
    model: Model,
    solver: cp_model.CpSolver,
    step: Step,
    ovens: dict[int, str],
    stand: dict[int, int],
) -> str | None:
    on_pan = model.day.on_pan
    if step.step == "fill":
        return next(
            (
                f"scale {scale + 1}"
                for (tray, scale), flag in model.on_scale.items()
                if tray == step.tray and solver.value(flag)
            ),
            None,
        )
    if step.step in ("load", "bake", "unload"):
        return ovens[step.tray]
    if step.step == "transfer" or (step.step == "pack" and on_pan):
        return f"stand {stand[step.tray]}"
    return "mat" if step.step == "pack" else None


def _other(
    model: Model,
    solver: cp_model.CpSolver,
    spans: dict[tuple[int, str], tuple[int, int]],
    new: dict[int, int],
    loads: list[Load],
) -> list[Other]:
    day, found = model.day, []
    for absence, gone in zip(day.absences(), model.away, strict=True):
        for person, flag in enumerate(gone, 1):
            if solver.value(flag):
                span = (absence.at_s, absence.at_s + absence.for_s)
                found.append(Other("break", (span,), person=person))
    for work, tray, arcs in model.changes:
        if arcs and not any(solver.value(arc) for arc in arcs):
            continue
        start = solver.value(work.start)
        scale = next(
            s + 1
            for (n, s), flag in model.on_scale.items()
            if n == tray.number and solver.value(flag)
        )
        person = next(p for p, flag in enumerate(work.by, 1) if solver.value(flag))
        span = (start, start + work.lasts)
        found.append(Other("change_scent", (span,), f"scale {scale}", person, new[tray.number]))
    for name, oven in day.ovens.items():
        ended = None
        for load in sorted((each for each in loads if each.oven == name), key=lambda a: a.number):
            start = min(spans[n, "load"][0] for n in load.trays)
            off = ended is None or any(ended <= a and b <= start for a, b in day.nobody())
            if off and oven.preheat_s:
                found.append(Other("preheat", ((start - oven.preheat_s, start),), name))
            ended = max(spans[n, "unload"][1] for n in load.trays)
    return found

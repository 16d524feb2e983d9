"""From a building to the plan's own records: numbers by first load, steps, preheats, breaks."""

from __future__ import annotations

from dataclasses import dataclass

from benchplan.model import Load, Other, Step, Tray
from benchplan.model.plan import Span
from benchplan.scheduling.builder import Building
from benchplan.scheduling.state import OvenUse


@dataclass(frozen=True, slots=True)
class Schedule:
    """What the builder hands to the planner; the trays have no positions on their pans yet."""

    trays: tuple[Tray, ...]
    loads: tuple[Load, ...]
    steps: tuple[Step, ...]
    other: tuple[Other, ...]
    finish_s: int


def assembled(building: Building) -> Schedule:
    """Return the records of a finished building.

    Jobs that have no number yet get the free ones, by first load.
    """
    numbers = _numbers(building)
    trays = [
        Tray(
            number=numbers[index],
            scents=job.scents,
            recipe=job.recipe,
            pan=job.pan,
            pan_number=building.times[index].pan_number,
            to_fill=job.to_fill,
        )
        for index, job in enumerate(building.jobs)
    ]
    steps = [step for index in range(len(trays)) for step in _steps(building, index, numbers)]
    return Schedule(
        trays=tuple(sorted(trays, key=lambda tray: tray.number)),
        loads=_loads(building, numbers),
        steps=tuple(sorted(steps, key=lambda step: step.tray)),
        other=_other(building, numbers),
        finish_s=building.finish,
    )


def _numbers(building: Building) -> list[int]:
    """Number the trays by first load; a number that a job already has stays."""
    numbers = [job.number for job in building.jobs]
    order = sorted(
        (job for job, number in enumerate(numbers) if not number),
        key=lambda job: (building.times[job].load[0], building.way.load_of[job], job),
    )
    taken = set(numbers)
    free = iter(number for number in range(1, 2 * len(numbers) + 1) if number not in taken)
    for job in order:
        numbers[job] = next(free)
    return numbers


def _loads(building: Building, numbers: list[int]) -> tuple[Load, ...]:
    return tuple(
        Load(oven, count, tuple(numbers[job] for job in load))
        for oven, use in building.taken.ovens.items()
        for count, load in enumerate(_in_time(building, use), start=1)
    )


def _in_time(building: Building, use: OvenUse) -> list[tuple[int, ...]]:
    """Return an oven's loads in order; one of no length comes before one that begins with it."""
    last_out = {load: max(building.times[job].out for job in load) for _, load in use.loads}
    return [
        load for start, load in sorted(use.loads, key=lambda each: (each[0], last_out[each[1]]))
    ]


def _steps(building: Building, index: int, numbers: list[int]) -> list[Step]:
    times = building.times[index]
    on_pan = building.shop.day.on_pan
    stand, cooling = f"stand {times.stand}", "mat"
    if on_pan:
        cooling = stand
    scale = None if times.scale is None else f"scale {times.scale + 1}"
    if index not in building.way.load_of:  # it left the day: what was filled of it stays
        parts = ((times.fill, scale),) if times.fill else ()
        return [Step(numbers[index], "fill", own, _who(times.who.get("fill")), place)
                for own, place in parts]  # fmt: skip
    out = times.out if on_pan else times.transfer[-1][1]
    steps: list[tuple[str, tuple[Span, ...], str | None]] = [
        ("fill", times.fill, scale),
        ("set", times.set, None),
        ("load", times.load, times.oven),
        ("bake", times.bake, times.oven),
        ("unload", times.unload, times.oven),
    ]
    if not on_pan:
        steps.append(("rest", (_until(times.out, times.transfer),), stand))
        steps.append(("transfer", times.transfer, stand))
    steps.append(("cool", (_until(out, times.pack),), cooling))
    steps.append(("pack", times.pack, cooling))
    return [
        Step(numbers[index], step, parts, _who(times.who.get(step)), place)
        for step, parts, place in steps
    ]


def _until(begin: int, parts: tuple[Span, ...]) -> Span:
    """Return the wait before some work; marks may say that the work began before it could."""
    return begin, max(begin, parts[0][0])


def _who(person: int | None) -> int | None:
    return None if person is None else person + 1


def _other(building: Building, numbers: list[int]) -> tuple[Other, ...]:
    other = [
        Other("preheat", (part,), place=oven)
        for oven, use in building.taken.ovens.items()
        for part in use.preheats
    ]
    other += [
        Other(
            "change_scent",
            (change.part,),
            place=f"scale {change.scale + 1}",
            person=change.person + 1,
            before_tray=numbers[change.job],
        )
        for change in building.changes
    ]
    other += [Other("break", (part,), person=person + 1) for person, part in building.taken.away]
    return tuple(sorted(other, key=lambda each: (each.parts, each.what, each.person or 0)))

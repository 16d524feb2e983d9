"""Reads a plan that may be nonsense: what has a usable form is kept, the rest is reported."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from benchplan.model import Day, Fit, Load, Other, Plan, Step, Tray

RULES = (
    "form", "orders", "mixed", "fit", "queue", "keep_order", "numbers", "steps", "order", "length",
    "pause", "person", "place", "hands", "break", "ready", "scale", "change", "pan", "stand", "mat",
    "load", "late", "oven", "recover", "preheat", "nobody", "rest", "cool", "finish", "bound",
    "says",
)  # fmt: skip

HANDS = ("fill", "set", "load", "unload", "transfer", "pack")
ON_MAT = ("fill", "set", "load", "bake", "unload", "rest", "transfer", "cool", "pack")
ON_PAN = ("fill", "set", "load", "bake", "unload", "cool", "pack")
OTHERS = ("preheat", "change_scent", "break")


@dataclass(frozen=True, slots=True)
class Absence:
    """``away`` people are missing from ``start`` to ``end``."""

    start: int
    end: int
    away: int


@dataclass(frozen=True, slots=True)
class LoadTimes:
    """One load: it ``starts`` with its first load step and ``ends`` with its last unload."""

    load: Load
    trays: tuple[Tray, ...]
    loading: tuple[Step, ...]
    unloading: tuple[Step, ...]
    starts: int
    baked: int
    ends: int

    @property
    def name(self) -> str:
        return f"load {self.load.number} of {self.load.oven}"


@dataclass(frozen=True, slots=True)
class Book:
    """The usable part of a plan, looked up by tray and by step."""

    day: Day
    plan: Plan
    trays: Mapping[int, Tray]
    steps: Mapping[tuple[int, str], Step]
    loads: tuple[LoadTimes, ...]
    other: tuple[Other, ...]
    fits: Mapping[tuple[str, str, str], Fit]
    absences: tuple[Absence, ...]
    nobody: tuple[tuple[int, int], ...]

    def step(self, tray: Tray | int, name: str) -> Step | None:
        number = tray if isinstance(tray, int) else tray.number
        return self.steps.get((number, name))

    def others(self, what: str) -> list[Other]:
        return [each for each in self.other if each.what == what]

    def tins_on_pan(self, tin: str, pan: str) -> int | None:
        fit = self.fits.get(("tins on pan", tin, pan))
        return fit.count if fit else None

    def pans_on_shelf(self, pan: str, oven: str) -> int | None:
        fit = self.fits.get(("pans on shelf", pan, oven))
        return fit.count if fit else None

    def tins_on_mat(self, tin: str) -> int | None:
        fit = self.fits.get(("tins on mat", tin, ""))
        return fit.count if fit else None


def is_int(value: object) -> bool:
    """Whether a value is a whole number (True and False are not)."""
    return isinstance(value, int) and not isinstance(value, bool)


def overlaps(first: tuple[int, int], second: tuple[int, int]) -> bool:
    """Whether two spans share time, or one is a moment strictly inside the other."""
    return first[0] < second[1] and second[0] < first[1]


def clashes(spans: Iterable[tuple[int, int, str]]) -> Iterator[tuple[str, str]]:
    """Yield the names of every two spans that overlap."""
    ordered = sorted(spans)
    for index, (start, end, name) in enumerate(ordered):
        for later_start, later_end, later_name in ordered[index + 1 :]:
            if later_start >= end:
                break
            if overlaps((start, end), (later_start, later_end)):
                yield name, later_name


def read(day: Day, plan: Plan) -> tuple[Book, list[str]]:
    """Return what can be used of ``plan`` and a sentence for everything that cannot."""
    found: list[str] = []
    trays = _trays(day, plan, found)
    steps = _steps(day, plan, trays, found)
    absences = _absences(day)
    book = Book(
        day=day,
        plan=plan,
        trays=trays,
        steps=steps,
        loads=_loads(day, plan, trays, steps, found),
        other=_other(plan, found),
        fits=_fits(plan, found),
        absences=absences,
        nobody=_nobody(absences, day.people),
    )
    return book, found


def _items(values: object, what: str, kind: type, found: list[str]) -> list[object]:
    if not isinstance(values, tuple | list):
        found.append(f"form: the plan's {what} are not a list.")
        return []
    good = [each for each in values if isinstance(each, kind)]
    if len(good) < len(values):
        found.append(f"form: among the plan's {what} is something else.")
    return good


def _trays(day: Day, plan: Plan, found: list[str]) -> dict[int, Tray]:
    kept: dict[int, Tray] = {}
    for tray in _items(plan.trays, "trays", Tray, found):
        assert isinstance(tray, Tray)
        fault = _tray_fault(day, tray)
        if fault:
            found.append(f"form: tray {tray.number!r} {fault}.")
        elif tray.number in kept:
            found.append(f"numbers: there are two trays {tray.number}.")
        else:
            kept[tray.number] = tray
    return kept


def _tray_fault(day: Day, tray: Tray) -> str:
    if not is_int(tray.number) or tray.number < 1:
        return "has no whole number from 1"
    if not isinstance(tray.scents, tuple) or not tray.scents:
        return "holds no tins"
    if not all(isinstance(scent, str) for scent in tray.scents):
        return "has a tin whose scent is no name"
    if not isinstance(tray.recipe, str) or tray.recipe not in day.recipes:
        return f"has an unknown recipe {tray.recipe!r}"
    if not isinstance(tray.pan, str) or tray.pan not in day.pans:
        return f"stands on an unknown pan {tray.pan!r}"
    if not isinstance(tray.to_fill, tuple) or not all(
        isinstance(each, tuple) and len(each) == 2 and isinstance(each[0], str) and is_int(each[1])
        for each in tray.to_fill
    ):
        return "does not say which of its tins are to be filled"
    return ""


def _parts_fault(parts: object) -> str:
    if not isinstance(parts, tuple) or not parts:
        return "has no parts"
    before = 0
    for part in parts:
        if not isinstance(part, tuple) or len(part) != 2 or not all(map(is_int, part)):
            return "has a part that is not a pair of whole seconds"
        if part[0] < 0:
            return "begins before the day does"
        if part[1] < part[0]:
            return "has a part that ends before it begins"
        if part[0] < before:
            return "has parts that overlap or are out of order"
        before = part[1]
    return ""


def _steps(
    day: Day, plan: Plan, trays: Mapping[int, Tray], found: list[str]
) -> dict[tuple[int, str], Step]:
    kept: dict[tuple[int, str], Step] = {}
    names = ON_PAN if day.on_pan else ON_MAT
    for step in _items(plan.steps, "steps", Step, found):
        assert isinstance(step, Step)
        which = f"the {step.step} of tray {step.tray}"
        if not is_int(step.tray) or step.tray not in trays:
            found.append(f"steps: {which} belongs to no tray of the plan.")
        elif step.step not in names:
            found.append(f"steps: {which} is no step of this day.")
        elif (step.tray, step.step) in kept:
            found.append(f"steps: {which} is there twice.")
        elif fault := _parts_fault(step.parts):
            found.append(f"form: {which} {fault}.")
        else:
            kept[step.tray, step.step] = step
    return kept


def _other(plan: Plan, found: list[str]) -> tuple[Other, ...]:
    kept: list[Other] = []
    for other in _items(plan.other, "other entries", Other, found):
        assert isinstance(other, Other)
        if other.what not in OTHERS:
            found.append(f"form: {other.what!r} is nothing that a plan knows beside its steps.")
        elif fault := _parts_fault(other.parts):
            found.append(f"form: a {other.what} {fault}.")
        elif not isinstance(other.place, str | None) or not (
            other.before_tray is None or is_int(other.before_tray)
        ):
            found.append(f"form: the {other.what} from {other.start_s} s has an odd place or tray.")
        elif len(other.parts) > 1:
            found.append(f"pause: the {other.what} from {other.start_s} s is in several parts.")
        else:
            kept.append(other)
    return tuple(kept)


def _fits(plan: Plan, found: list[str]) -> dict[tuple[str, str, str], Fit]:
    kept: dict[tuple[str, str, str], Fit] = {}
    for fit in _items(plan.fits, "fits", Fit, found):
        assert isinstance(fit, Fit)
        names = {
            "tins on pan": (fit.tin, fit.pan),
            "pans on shelf": (fit.pan, fit.oven),
            "tins on mat": (fit.tin, ""),
        }.get(fit.what if isinstance(fit.what, str) else "", (None, None))
        first, second = names
        if not isinstance(first, str) or not isinstance(second, str):
            found.append(f"form: a fit {fit.what!r} does not name its things.")
        elif not is_int(fit.count) or fit.count < 0:
            found.append(f"form: the fit of {first} has no whole count.")
        elif (fit.what, first, second) in kept:
            found.append(f"fit: {fit.what} of {first} is given twice.")
        else:
            kept[fit.what, first, second] = fit
    return kept


def _loads(
    day: Day,
    plan: Plan,
    trays: Mapping[int, Tray],
    steps: Mapping[tuple[int, str], Step],
    found: list[str],
) -> tuple[LoadTimes, ...]:
    kept: list[LoadTimes] = []
    seen: set[int] = set()
    for load in _items(plan.loads, "loads", Load, found):
        assert isinstance(load, Load)
        if not isinstance(load.oven, str) or load.oven not in day.ovens:
            found.append(f"form: a load is in an unknown oven {load.oven!r}.")
            continue
        if not is_int(load.number) or not isinstance(load.trays, tuple) or not load.trays:
            found.append(f"form: a load of {load.oven} has no number or no trays.")
            continue
        members: list[Tray] = []
        for number in load.trays:
            if not is_int(number) or number not in trays:
                found.append(f"load: {load.oven} bakes a tray {number!r} that the plan lacks.")
            elif number in seen:
                found.append(f"load: tray {number} is loaded twice.")
            else:
                seen.add(number)
                members.append(trays[number])
        loading = _timed(members, "load", steps)
        unloading = _timed(members, "unload", steps)
        bakes = _timed(members, "bake", steps)
        if loading and unloading and bakes:
            baked = max(step.end_s for step in bakes)
            ends = max(step.end_s for step in unloading)
            times = (loading[0].start_s, baked, ends)
            kept.append(LoadTimes(load, tuple(members), loading, unloading, *times))
    found.extend(f"load: tray {number} is in no load." for number in trays if number not in seen)
    return tuple(sorted(kept, key=lambda each: (each.load.oven, each.starts, each.ends)))


def _timed(
    trays: Iterable[Tray], name: str, steps: Mapping[tuple[int, str], Step]
) -> tuple[Step, ...]:
    known = (steps.get((tray.number, name)) for tray in trays)
    return tuple(
        sorted((step for step in known if step), key=lambda each: (each.start_s, each.end_s))
    )


def _absences(day: Day) -> tuple[Absence, ...]:
    """Return who is missing when: a break without a number takes everyone whom the others leave."""
    numbered = [
        Absence(each.at_s, each.at_s + each.for_s, each.away)
        for each in day.breaks
        if each.away and each.for_s > 0
    ]
    found = list(numbered)
    free_from = 0
    for each in sorted((b for b in day.breaks if b.away is None), key=lambda b: (b.at_s, b.end_s)):
        start, end = max(each.at_s, free_from), each.at_s + each.for_s
        if start >= end:
            continue
        free_from = end
        moments = [start, *(other.start for other in numbered if start <= other.start < end)]
        gone = max(sum(o.away for o in numbered if o.start <= at < o.end) for at in moments)
        if gone < day.people:
            found.append(Absence(start, end, day.people - gone))
    return tuple(sorted(found, key=lambda each: (each.start, each.end)))


def _nobody(absences: tuple[Absence, ...], people: int) -> tuple[tuple[int, int], ...]:
    """Return the stretches, as long as they can be, in which everyone is away."""
    stretches: list[tuple[int, int]] = []
    edges = sorted({edge for each in absences for edge in (each.start, each.end)})
    for start, end in pairwise(edges):
        if sum(each.away for each in absences if each.start <= start < each.end) >= people:
            if stretches and stretches[-1][1] == start:
                stretches[-1] = (stretches[-1][0], end)
            else:
                stretches.append((start, end))
    return tuple(stretches)

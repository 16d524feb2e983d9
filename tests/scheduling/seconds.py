"""Plain second-by-second books of a good plan: who and what is taken when.

They decide, without the checker, whether a small move of one step leaves a good plan good.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from benchplan.model import Day, Plan, Step, Tray

HANDS = ("fill", "set", "load", "unload", "transfer", "pack")
Spans = Iterable[tuple[int, int]]


def seconds(spans: Spans) -> set[int]:
    return {second for start, end in spans for second in range(start, end)}


def get(plan: Plan, tray: int, name: str) -> Step:
    step = plan.step(tray, name)
    assert step is not None
    return step


def first_unload(plan: Plan, trays: tuple[int, ...]) -> Step:
    return min((get(plan, number, "unload") for number in trays), key=lambda each: each.start_s)


def taken_person(
    day: Day, plan: Plan, person: int, skip: object = None, *, breaks: bool = True
) -> set[int]:
    """Return the seconds of one person that something other than ``skip`` takes, ready included."""
    found: set[int] = set()
    for step in plan.steps:
        if step is not skip and step.step in HANDS and step.person == person:
            found |= seconds(step.parts)
    for other in plan.other:
        wanted = other.what == "change_scent" or (breaks and other.what == "break")
        if wanted and other is not skip and other.person == person:
            found |= seconds(other.parts)
    for load in plan.loads:
        unload = first_unload(plan, load.trays)
        if unload is not skip and unload.person == person and unload.end_s > unload.start_s:
            found |= set(range(unload.start_s - day.times.ready_s, unload.start_s))
    return found


def needs_person(day: Day, plan: Plan, step: Step) -> set[int]:
    """Return the seconds that ``step`` takes of whoever does it, ready included."""
    found = seconds(step.parts)
    if step.step == "unload" and step is first_unload(plan, plan.load_of(step.tray).trays):
        found |= set(range(step.start_s - day.times.ready_s, step.start_s))
    return found


def pan_hold(day: Day, plan: Plan, tray: Tray) -> set[int]:
    last = get(plan, tray.number, "pack" if day.on_pan else "transfer")
    start = get(plan, tray.number, "set").start_s
    return set(range(start, last.end_s + day.cooling.pan_for_s))


def stand_hold(day: Day, plan: Plan, tray: Tray) -> set[int]:
    last = get(plan, tray.number, "pack" if day.on_pan else "transfer")
    return set(range(get(plan, tray.number, "unload").start_s, last.end_s))


def stand_place(day: Day, plan: Plan, tray: Tray) -> str | None:
    return get(plan, tray.number, "cool" if day.on_pan else "rest").place


def mat_hold(plan: Plan, tray: Tray) -> set[int]:
    start = get(plan, tray.number, "transfer").start_s
    return set(range(start, get(plan, tray.number, "pack").end_s))


def mat_fit(day: Day, plan: Plan, tray: Tray) -> int:
    tin = day.recipes[tray.recipe].tin
    return next(fit.count for fit in plan.fits if fit.what == "tins on mat" and fit.tin == tin)


def mat_peak(day: Day, plan: Plan) -> Fraction:
    """Return the fullest that the mat is at any second, 1 being full."""
    used: dict[int, Fraction] = {}
    for tray in plan.trays:
        share = Fraction(tray.tins, mat_fit(day, plan, tray))
        for second in mat_hold(plan, tray):
            used[second] = used.get(second, Fraction(0)) + share
    return max(used.values(), default=Fraction(0))


def scale_taken(plan: Plan, step: Step) -> set[int]:
    """Return the seconds of a scale that other fills and changes take."""
    found: set[int] = set()
    for each in plan.steps:
        if each is not step and each.step == "fill" and each.place == step.place:
            found |= set(range(each.start_s, each.end_s))
    for other in plan.other:
        if other.what == "change_scent" and other.place == step.place:
            found |= seconds(other.parts)
    return found


def still_good(day: Day, plan: Plan, old: Step, new: Step) -> bool:
    """Whether a good ``plan`` stays good when ``old`` moves to the times of ``new``.

    For fill, set, and the inner and last parts of transfer and pack; the parts are whole tins and
    the finish of the day is not among what moves.
    """
    if new.start_s < 0 or any(a[1] > b[0] for a, b in zip(new.parts, new.parts[1:], strict=False)):
        return False
    work = seconds(new.parts)
    if new.person is not None and work & taken_person(day, plan, new.person, old):
        return False
    tray = plan.tray(old.tray)
    moved = tuple(new if each is old else each for each in plan.steps)
    after = Plan(
        plan.trays, plan.loads, moved, plan.other, plan.fits, 0, 0, 0, plan.limits
    )  # the claims of the plan do not matter here
    if old.step == "fill":
        if new.end_s > get(plan, old.tray, "set").start_s:
            return False
        own_border = any(
            other.what == "change_scent"
            and other.before_tray == old.tray
            and old.start_s <= other.start_s < old.end_s
            for other in plan.other
        )
        line = work if own_border else set(range(new.start_s, new.end_s))
        if new.end_s > new.start_s and line & scale_taken(plan, old):
            return False
        return not day.keep_order or _fills_in_order(after)
    if old.step == "set":
        if new.start_s < get(plan, old.tray, "fill").end_s:
            return False
        if new.end_s > get(plan, old.tray, "load").start_s:
            return False
    mine = pan_hold(day, after, tray)
    places = stand_hold(day, after, tray)
    for other in plan.trays:
        if other.number == tray.number:
            continue
        same_pan = (other.pan, other.pan_number) == (tray.pan, tray.pan_number)
        if same_pan and mine & pan_hold(day, plan, other):
            return False
        same_place = stand_place(day, plan, other) == stand_place(day, plan, tray)
        if same_place and places & stand_hold(day, plan, other):
            return False
    return day.on_pan or mat_peak(day, after) <= 1


def _fills_in_order(plan: Plan) -> bool:
    """Whether fills begin in the order of the trays' numbers (the queue covers every tray)."""
    fills = [get(plan, tray.number, "fill") for tray in plan.trays]
    starts = [fill.start_s for fill in fills if fill.end_s > fill.start_s]
    return starts == sorted(starts)

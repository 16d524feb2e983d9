"""A plan as lanes of bars over the day: hands, scales, ovens, stand places and the mat."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from benchplan import clock, units
from benchplan.model.day import Day
from benchplan.model.plan import Other, Plan, Step
from benchplan.model.words import at_clock, count_words, scent_words, tray_words

# What a bar is -> its letter and its short word.
NAMES = {
    "fill": ("f", "fill"),
    "set": ("s", "set"),
    "load": ("l", "load"),
    "bake": ("b", "bake"),
    "unload": ("u", "unload"),
    "transfer": ("t", "transfer"),
    "pack": ("p", "pack"),
    "stand": ("", "rest"),
    "cool": ("c", "cool"),
    "preheat": ("h", "preheat"),
    "change_scent": ("x", "change"),
    "break": ("B", "break"),
}

_TICK_MINUTES = (1, 2, 5, 10, 15, 20, 30, 60, 120, 180, 240, 360, 720)


@dataclass(frozen=True, slots=True)
class Bar:
    """One stretch of a lane: what it is, of which trays, and in words all there is to say of it."""

    start_s: int
    end_s: int
    kind: str
    trays: tuple[int, ...]
    words: str


@dataclass(frozen=True, slots=True)
class Lane:
    """A line of the day. On the mat bars overlap; in every other lane they follow each other."""

    name: str
    kind: str  # "hands", "scale", "oven", "stand", "mat"
    bars: tuple[Bar, ...]


@dataclass(frozen=True, slots=True)
class Level:
    """From ``start_s`` on, ``tins`` lie on the mat and take the ``share`` (0 to 1) of its room."""

    start_s: int
    tins: int
    share: float


def lanes(day: Day, plan: Plan) -> tuple[Lane, ...]:
    """Return every lane of a plan, the mat (where there is one) last."""
    found = [_hands(day, plan, person) for person in range(1, day.people + 1)]
    found += [_scale(day, plan, f"scale {number}") for number in range(1, day.scales + 1)]
    found += [_oven(day, plan, oven) for oven in day.ovens]
    found += [_stand(day, plan, f"stand {number}") for number in range(1, day.cooling.stand + 1)]
    if not day.on_pan:
        bars = [
            _bar(day, plan, (each.start_s, end), "cool", (each.tray,), "mat")
            for each, end in _on_mat(plan)
        ]
        found.append(Lane("mat", "mat", _sorted(bars)))
    return tuple(found)


def _hands(day: Day, plan: Plan, person: int) -> Lane:
    bars = []
    for step in plan.steps:
        if step.person == person:
            parts = [part for part in step.parts if part[1] > part[0]]
            for number, part in enumerate(parts, 1):
                more = f", part {number} of {len(parts)}" if len(parts) > 1 else ""
                place = _placed(step, day)
                bars.append(_bar(day, plan, part, step.step, (step.tray,), place, more=more))
    for other in plan.other:
        if other.person == person:
            bars += _others(day, plan, other)
    return Lane("hands" if day.people == 1 else f"hands {person}", "hands", _sorted(bars))


def _placed(step: Step, day: Day) -> str:
    place = step.place or ""
    return place if place.startswith("scale") and day.scales > 1 else ""


def _scale(day: Day, plan: Plan, name: str) -> Lane:
    """A scale is a tray's from its first tin to its last, but for changes of scent within it."""
    bars: list[Bar] = []
    for other in plan.other:
        if other.what == "change_scent" and other.place == name:
            bars += _others(day, plan, other)
    changes = [(bar.start_s, bar.end_s) for bar in _sorted(bars)]
    for step in plan.steps:
        if step.step == "fill" and step.place == name:
            inside = [each for each in changes if step.start_s <= each[0] and each[1] <= step.end_s]
            edges = [step.start_s, *(edge for each in inside for edge in each), step.end_s]
            bars += [
                _bar(day, plan, part, "fill", (step.tray,), name)
                for part in zip(edges[::2], edges[1::2], strict=True)
                if part[1] > part[0]
            ]
    return Lane(name if day.scales > 1 else "scale", "scale", _sorted(bars))


def _oven(day: Day, plan: Plan, name: str) -> Lane:
    own = {number for load in plan.loads if load.oven == name for number in load.trays}
    together: dict[tuple[int, int], list[int]] = {}
    bars = []
    for step in plan.steps:
        if step.tray not in own or step.end_s == step.start_s:
            continue
        if step.step == "bake":
            together.setdefault(step.parts[0], []).append(step.tray)
        elif step.step in ("load", "unload"):
            bars.append(_bar(day, plan, step.parts[0], step.step, (step.tray,)))
    for part, trays in together.items():
        bars.append(_bar(day, plan, part, "bake", tuple(sorted(trays))))
    for other in plan.other:
        if other.what == "preheat" and other.place == name:
            bars += _others(day, plan, other)
    return Lane(name, "oven", _sorted(bars))


def _stand(day: Day, plan: Plan, name: str) -> Lane:
    """A pan is on its stand place from the start of its unload until it is emptied."""
    here = {step.tray for step in plan.steps if step.place == name}
    begins = {step.tray: step.start_s for step in plan.steps if step.step == "unload"}
    last = "pack" if day.on_pan else "transfer"
    bars = [
        _bar(day, plan, (begins[step.tray], step.end_s), "stand", (step.tray,), name)
        for step in plan.steps
        if step.step == last and step.tray in here and step.tray in begins
    ]
    return Lane(name if day.cooling.stand > 1 else "stand", "stand", _sorted(bars))


def _on_mat(plan: Plan) -> list[tuple[Step, int]]:
    """Return each transfer with the end of its tray's pack: that long its tins lie on the mat."""
    ends = {step.tray: step.end_s for step in plan.steps if step.step == "pack"}
    return [
        (step, ends[step.tray])
        for step in plan.steps
        if step.step == "transfer" and step.tray in ends
    ]


def levels(day: Day, plan: Plan) -> tuple[Level, ...]:
    """Return how full the mat is from each change on, in time order, beginning empty."""
    room = {fit.tin: fit.count for fit in plan.fits if fit.what == "tins on mat"}
    changes: dict[int, list[tuple[int, float]]] = {}
    for step, end in _on_mat(plan):
        tray = plan.tray(step.tray)
        share = tray.tins / max(1, room.get(day.recipes[tray.recipe].tin, 0) or tray.tins)
        changes.setdefault(step.start_s, []).append((tray.tins, share))
        changes.setdefault(end, []).append((-tray.tins, -share))
    tins, share = 0, 0.0
    found = [Level(0, 0, 0.0)]
    for at in sorted(changes):
        tins += sum(change[0] for change in changes[at])
        share = share + sum(change[1] for change in changes[at]) if tins else 0.0
        found.append(Level(at, tins, share))
    return tuple(found)


def most_level(found: tuple[Level, ...], start_s: float, end_s: float) -> Level:
    """Return the fullest that the mat is between two moments."""
    within = [level for level in found if start_s < level.start_s < end_s]
    before = [level for level in found if level.start_s <= start_s]
    return max(within + before[-1:], key=lambda level: level.share, default=Level(0, 0, 0.0))


def round_moments(day: Day, from_s: int, until_s: int, apart_s: float) -> range:
    """Return the moments from ``from_s`` up to ``until_s`` that are round by the clock.

    They are the nearest together that are at least ``apart_s`` apart, or twelve hours.
    """
    steps = (minutes * 60 for minutes in _TICK_MINUTES if minutes * 60 >= apart_s)
    step = next(steps, _TICK_MINUTES[-1] * 60)
    local = clock.at(day.start, from_s)
    into = (local.hour * 3600 + local.minute * 60 + local.second) % step
    return range(from_s + (step - into) % step, until_s, step)


def _others(day: Day, plan: Plan, other: Other) -> list[Bar]:
    trays = (other.before_tray,) if other.before_tray else ()
    place = other.place or ""
    return [_bar(day, plan, part, other.what, trays, place) for part in other.parts]


def _bar(
    day: Day,
    plan: Plan,
    part: tuple[int, int],
    kind: str,
    trays: tuple[int, ...],
    place: str = "",
    more: str = "",
) -> Bar:
    what = _what(day, plan, kind, trays, place)
    span = clock.show_span(part[1] - part[0])
    begins, ends = (at_clock(day, moment) for moment in part)
    when = begins if begins == ends else f"{begins} to {ends}"
    words = f"{what}: {when} ({span}){more}"
    return Bar(part[0], part[1], kind, trays, words)


def _what(day: Day, plan: Plan, kind: str, trays: tuple[int, ...], place: str) -> str:
    named = tray_words(trays) if trays else ""
    held = _held(plan, trays) if trays else ""
    oven = plan.load_of(trays[0]).oven if kind in ("load", "bake", "unload") else ""
    if kind == "bake":
        recipe = day.recipes[plan.tray(trays[0]).recipe]
        heat = units.show_temperature(recipe.bake_at_c, day.display.units)
        return f"Bake {named} ({held}) at {heat} in {oven}"
    return {
        "fill": f"Fill {named} ({held})" + (f" at {place}" if place else ""),
        "set": f"Set {named} on its pan ({held})",
        "load": f"Load {named} into {oven} ({held})",
        "unload": f"Take {named} out of {oven} ({held})",
        "transfer": f"Move {named} to the mat ({held})",
        "pack": f"{'Lid and pack' if day.pack == 'today' else 'Clear'} {named} ({held})",
        "stand": f"{named.capitalize()} on {place} ({held})",
        "cool": f"{named.capitalize()} on the mat ({held})",
        "preheat": f"Preheat {place}",
        "change_scent": f"Change of scent before {named}",
        "break": "Break",
    }[kind]


def _held(plan: Plan, trays: Iterable[int]) -> str:
    parts = []
    for number in trays:
        tray = plan.tray(number)
        parts.append(f"{scent_words(tray)}, {count_words(tray.tins, 'tin')}")
    return "; ".join(dict.fromkeys(parts))


def _sorted(bars: Iterable[Bar]) -> tuple[Bar, ...]:
    return tuple(sorted(bars, key=lambda bar: (bar.start_s, bar.end_s, bar.trays)))

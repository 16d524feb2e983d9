"""The day as a list of things to do, in the order in which hands do them."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from benchplan import clock, units
from benchplan.model import Action, Day, Load, Plan, Step, Tray
from benchplan.model.plan import STEPS
from benchplan.model.words import action_words, at_clock, count_words, list_words, tray_words

PAUSABLE = {"fill": "filling", "transfer": "moving", "pack": "packing"}


@dataclass(frozen=True, slots=True)
class Line:
    """One thing to do at ``start_s``, by ``people`` (none: nobody in particular)."""

    start_s: int
    words: str
    people: tuple[int, ...] = ()
    order: tuple[int, int] = (0, 0)


class _Look:
    """The plan's trays by number, and its steps by tray and name: a long day has thousands."""

    def __init__(self, plan: Plan) -> None:
        self.trays = {tray.number: tray for tray in plan.trays}
        self._steps = {(step.tray, step.step): step for step in plan.steps}

    def step(self, tray: int, name: str) -> Step | None:
        return self._steps.get((tray, name))


def timeline(day: Day, plan: Plan) -> list[Line]:
    """Return everything that hands do, by time; what comes first at one moment stands first."""
    look = _Look(plan)
    lines = _ovens(day, plan, look) + _changes(day, plan, look) + _breaks(day, plan)
    for load in plan.loads:
        lines += _load(day, look, load)
    for step in plan.steps:
        if step.step in ("fill", "set", "transfer", "pack"):
            lines += _hand_step(day, look.trays[step.tray], step)
    lines.sort(key=lambda line: (line.start_s, line.order, line.people))
    return lines


def _order(what: str, length: int) -> tuple[int, int]:
    """Rank what begins at one moment: what takes no time first, then as a tray goes."""
    return (min(length, 1), STEPS.index(what) if what in STEPS else -1)


def _who(*steps: Step | None) -> tuple[int, ...]:
    found = {step.person for step in steps if step is not None and step.person is not None}
    return tuple(sorted(found))


def _spell(seconds: int) -> str:
    return f" ({clock.show_span(seconds)})" if seconds else ""


def _hand_step(day: Day, tray: Tray, step: Step) -> list[Line]:
    """Return a line for each part of a step; a step without pauses is one line."""
    if step.step == "fill" and not tray.fill_count:
        return []
    lines = []
    before = 0
    for (begin, end), count in zip(step.parts, _tins_by_part(day, tray, step), strict=True):
        lead = _step_words(day, tray, step.step)
        if begin != step.start_s:
            lead = f"Go on {PAUSABLE[step.step]} {tray_words((tray.number,))}"
        words = f"{lead}: {_tins_words(day, tray, step, before, count)}{_spell(end - begin)}"
        if step.step == "transfer" and end == step.end_s:
            words += _cool_words(day, tray, step)
        lines.append(Line(begin, words, _who(step), _order(step.step, end - begin)))
        before += count or 0
    return lines


def _tins_by_part(day: Day, tray: Tray, step: Step) -> list[int | None]:
    """Return how many tins each part of a step takes, or None where the times do not tell."""
    each_s = {
        "fill": day.times.fill_s,
        "set": day.times.set_s,
        "transfer": day.times.transfer_s,
        "pack": day.pack_each_s,
    }[step.step]
    total = tray.fill_count if step.step == "fill" else tray.tins
    if len(step.parts) == 1:
        return [total]
    lengths = [end - begin for begin, end in step.parts]
    if not each_s or any(length % each_s for length in lengths) or sum(lengths) != total * each_s:
        return [None] * len(lengths)
    return [length // each_s for length in lengths]


def _tins_words(day: Day, tray: Tray, step: Step, before: int, count: int | None) -> str:
    """Say which tins a part of a step is about; ``before`` are done, ``count`` are in this part."""
    if count is None:
        return "part of it"
    if step.step == "fill":
        return _fill_words(day, tray, before, count)
    if count < tray.tins:
        last = before + count
        which = f"tin {last}" if count == 1 else f"tins {before + 1} to {last}"
        return f"{which} of {tray.tins}"
    ready = ", filled already" if step.step == "set" and not tray.fill_count else ""
    return count_words(tray.tins, "tin") + ready


def _fill_words(day: Day, tray: Tray, before: int, count: int) -> str:
    scents = [name for name, number in tray.to_fill for _ in range(number)]
    part = scents[before : before + count]
    said = [f"{count_words(part.count(name), 'tin')} of {name}" for name in dict.fromkeys(part)]
    each = units.show_mass(day.recipes[tray.recipe].fill_g, day.display.units)
    words = f"{list_words(said)}, {each} each"
    ready = tray.tins - tray.fill_count
    if ready and not before:
        words += f"; {ready} {'is' if ready == 1 else 'are'} filled already"
    return words


def _step_words(day: Day, tray: Tray, step: str) -> str:
    if step == "set":
        return f"Set {tray_words((tray.number,))} on pan {tray.pan} {tray.pan_number}"
    if step == "pack" and day.pack == "later":
        return f"Clear {tray_words((tray.number,))} into a box, lids another day"
    return action_words(Action(step, (tray.number,)))


def _cool_words(day: Day, tray: Tray, emptied: Step) -> str:
    """Say from when the tins of a tray may be packed, where the day tells."""
    cool_s = day.recipes[tray.recipe].cool_for_s
    if cool_s is None:
        return ""
    return f". They cool {clock.show_span(cool_s)}: {_ready_words(day, emptied.end_s + cool_s)}"


def _ready_words(day: Day, ready_s: int) -> str:
    what = "lids on" if day.pack == "today" else "into the box"
    return f"{what} from {at_clock(day, ready_s)}, once checked"


def _load(day: Day, look: _Look, load: Load) -> list[Line]:
    """Return the lines of one load: into the oven, mitts on, out of it."""
    ins = [step for number in load.trays if (step := look.step(number, "load"))]
    outs = [step for number in load.trays if (step := look.step(number, "unload"))]
    bakes = [step for number in load.trays if (step := look.step(number, "bake"))]
    if not (ins and outs and bakes):
        return []
    ins.sort(key=lambda step: step.parts)
    outs.sort(key=lambda step: step.parts)
    out_s = bakes[0].end_s
    recipe = day.recipes[look.trays[load.trays[0]].recipe]
    put_in = action_words(Action("load", tuple(step.tray for step in ins), load.oven))
    take_out = action_words(Action("unload", tuple(step.tray for step in outs), load.oven))
    stands = [step.place for step in (_stand(look, out.tray) for out in outs) if step is not None]
    lines = [
        Line(
            ins[0].start_s,
            f"{put_in}, shut the door{_spell(ins[-1].end_s - ins[0].start_s)}. Bake "
            f"{clock.show_span(recipe.bake_for_s)}: out at {at_clock(day, out_s)}",
            _who(*ins),
            _order("load", ins[-1].end_s - ins[0].start_s),
        ),
        Line(
            outs[0].start_s,
            take_out
            + (f", onto {list_words([name for name in stands if name])}" if any(stands) else "")
            + _spell(outs[-1].end_s - outs[0].start_s)
            + _after_oven(day, look, outs),
            _who(*outs),
            _order("unload", outs[-1].end_s - outs[0].start_s),
        ),
    ]
    if day.times.ready_s:
        lines.append(
            Line(
                out_s - day.times.ready_s,
                f"Mitts on, hands free: {tray_words(load.trays)} "
                f"{'comes' if len(load.trays) == 1 else 'come'} out at {at_clock(day, out_s)}",
                _who(outs[0]),
                (2, 0),
            )
        )
    return lines


def _stand(look: _Look, tray: int) -> Step | None:
    """Return the step of a tray that names its place on the stand."""
    return look.step(tray, "rest") or look.step(tray, "cool")


def _after_oven(day: Day, look: _Look, outs: list[Step]) -> str:
    recipes = {look.trays[step.tray].recipe for step in outs}
    if not day.on_pan:
        rest_s = max(day.recipes[name].rest_for_s for name in recipes)
        return f". Leave {clock.show_span(rest_s)} before the tongs" if rest_s else ""
    times = [day.recipes[name].cool_for_s for name in recipes]
    if any(cool_s is None for cool_s in times):
        return ". The tins stay on the pan to cool"
    ready_s = outs[-1].end_s + max(cool_s or 0 for cool_s in times)
    return f". The tins stay on the pan: {_ready_words(day, ready_s)}"


def _ovens(day: Day, plan: Plan, look: _Look) -> list[Line]:
    """Return when each oven is switched on, set to another temperature, and switched off."""
    lines = []
    for oven in dict.fromkeys(load.oven for load in plan.loads):
        loads = sorted(
            ((_span_of(look, load), load) for load in plan.loads if load.oven == oven),
            key=lambda pair: pair[0],
        )
        preheats = sorted(
            each.parts for each in plan.other if each.what == "preheat" and each.place == oven
        )
        for number, parts in enumerate(preheats):
            until = preheats[number + 1][0][0] if number + 1 < len(preheats) else None
            inside = [
                (span, load)
                for span, load in loads
                if span[0] >= parts[0][0] and (until is None or span[0] < until)
            ]
            if inside:
                lines += _stretch(day, look, oven, parts[0][0], parts[-1][1], inside)
    return lines


def _stretch(
    day: Day,
    look: _Look,
    oven: str,
    on_s: int,
    hot_s: int,
    loads: list[tuple[tuple[int, int], Load]],
) -> list[Line]:
    def bake_at(load: Load) -> float:
        return day.recipes[look.trays[load.trays[0]].recipe].bake_at_c

    def heat(load: Load) -> str:
        return units.show_temperature(bake_at(load), day.display.units)

    switch_on = action_words(Action("preheat", (), oven))
    lines = [
        Line(
            on_s,
            f"{switch_on}, set it to {heat(loads[0][1])}: hot at {at_clock(day, hot_s)} "
            "by a thermometer. Stay with it from now",
            order=(0, -1),
        )
    ]
    for (before, load), (_, after) in pairwise(loads):
        if bake_at(load) != bake_at(after):
            lines.append(
                Line(
                    before[1],
                    f"Set {oven} to {heat(after)} for {tray_words(after.trays)}",
                    order=(0, -1),
                )
            )
    lines.append(Line(loads[-1][0][1], f"Switch {oven} off, and watch it until it is cool"))
    return lines


def _span_of(look: _Look, load: Load) -> tuple[int, int]:
    """Return when a load's first pan goes in and its last one is out."""
    steps = [
        step
        for number in load.trays
        for name in ("load", "unload")
        if (step := look.step(number, name))
    ]
    return (min(step.start_s for step in steps), max(step.end_s for step in steps))


def _changes(day: Day, plan: Plan, look: _Look) -> list[Line]:
    lines = []
    for each in plan.other:
        if each.what != "change_scent":
            continue
        scent = ""
        if each.before_tray is not None:
            scent = _scent_from(look, each.before_tray, each.end_s)
        words = action_words(Action("change_scent"), scent)
        if day.scales > 1 and each.place:
            words = words.replace("scale", each.place, 1)
        people = (each.person,) if each.person is not None else ()
        length = each.end_s - each.start_s
        lines.append(Line(each.start_s, words + _spell(length), people, (min(length, 1), -1)))
    return lines


def _scent_from(look: _Look, number: int, at_s: int) -> str:
    """Return the scent of the first tin of a tray that is filled at or after ``at_s``."""
    tray, step = look.trays[number], look.step(number, "fill")
    if not tray.to_fill:
        return ""
    if step is None or len(tray.to_fill) == 1:
        return tray.to_fill[0][0]
    total = sum(end - begin for begin, end in step.parts)
    done = sum(end - begin for begin, end in step.parts if end <= at_s)
    filled = round(done / total * tray.fill_count) if total else 0
    for name, count in tray.to_fill:
        if filled < count:
            return name
        filled -= count
    return tray.to_fill[-1][0]


def _breaks(day: Day, plan: Plan) -> list[Line]:
    """Return the breaks; people who are away together share a line."""
    together: dict[tuple[int, int], list[int]] = {}
    for each in plan.other:
        if each.what == "break" and each.person is not None:
            together.setdefault((each.start_s, each.end_s), []).append(each.person)
    return [
        Line(begin, f"Break until {at_clock(day, end)}", tuple(sorted(people)))
        for (begin, end), people in together.items()
    ]

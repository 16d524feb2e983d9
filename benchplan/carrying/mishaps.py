"""What goes otherwise than planned: the mark that it makes now, or a sentence why it cannot be.

Screens and typed lines ask here, so both mean the same by the same words. Nothing is marked here:
who asks hands the mark to the carrier.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchplan import live, units
from benchplan.model import Action, Day, Item, Mark, MarkKind, Plan, Reason, standing
from benchplan.model.ids import NO_ITEM
from benchplan.model.kit import HOT_BAKE_C
from benchplan.model.words import action_words, count_words, either_words, tray_words
from benchplan.views.marks import mark_words

if TYPE_CHECKING:
    from benchplan.carrying.session import Session
    from benchplan.live.actions import Index
    from benchplan.live.progress import Progress
    from benchplan.live.state import Card, State

Found = Mark | str
LONGEST_S = 30 * 60
HOTTEST_C = 260.0  # a small oven goes no higher (from memory, no source)
FAR_K = 60.0  # no oven is so far from its set heat when somebody reads what it shows
LEAST_SHOWN_C, MOST_SHOWN_C = 10.0, 400.0  # anything else is a slip of the hand
SHOWN = {"C": "158 C", "F": "316 F"}
MOST_MINUTES = 24 * 60  # more of them at once is a slip of the hand
SAY_WHY = "Say why: the record keeps it."
GONE = "{what}: this is not to be done any more, so nothing was marked."


@dataclass(frozen=True, slots=True)
class Bench:
    """What a mark is about: the run at a moment, and whose card is meant."""

    day: Day
    plan: Plan
    state: State
    marks: tuple[Mark, ...]
    card: Card | None
    person: int
    meant: Action | None = None  # on the card when a question was opened; another may be there now

    @property
    def action(self) -> Action | None:
        """The action on the card that is meant."""
        return self.meant or (self.card.action if self.card else None)

    def looked_up(self) -> tuple[Index, Progress]:
        """Return every lookup into the run, and how far it has come."""
        found = live.as_marked(self.day, self.plan, self.marks)
        return found, live.progress(found, self.marks, self.state.now_s)


def bench_of(
    session: Session, person: int | None = None, meant: Action | None = None
) -> Bench | None:
    """Return the bench as it is now, by default with the card due first; None without a run
    that goes on, or that ended at once with something hot. ``meant`` is the action that a question
    was about when it was opened."""
    day, plan, state = session.day, session.good_plan(), session.state()
    if day is None or plan is None or state is None:
        return None
    if state.complete and not any(hot.trays for hot in state.hot):
        return None
    who = state.focus if person is None else person
    card = next((each for each in state.cards if each.person == who and each.action), None)
    if meant is not None:
        card = next((each for each in state.cards if each.action == meant), None)
    return Bench(day, plan, state, session.marks, card, who, meant)


def is_open(state: State, action: Action) -> bool:
    """Whether an action is still to be done."""
    return action in {each.action for each in state.cards} | {each.action for each in state.coming}


def named(names: Iterable[str], typed: str) -> str:
    """Return the one of some names that was typed, whatever its case where that leaves no doubt."""
    known = list(names)
    same = [each for each in known if each.strip() == typed.strip()]
    like = same or [each for each in known if each.strip().lower() == typed.strip().lower()]
    return like[0] if len(like) == 1 else ""


def mark_of(
    bench: Bench,
    what: MarkKind,
    action: Action | None = None,
    amount: float = 0.0,
    why: Reason | str = "",
    item: Item = NO_ITEM,
) -> Mark:
    """Return a mark of this moment by the person whose card is meant.

    ``why`` is a reason that was picked, or somebody's own words.
    """
    now, reason = bench.state.now_s, why if isinstance(why, Reason) else None
    note = "" if reason else why
    return Mark(what, now, now, action, item, bench.person, amount=amount, note=note, reason=reason)


# --- the fill and the bake ----------------------------------------------------------------------


def filled(bench: Bench, count: int | None) -> Found:
    """So many tins of the tray on the card are filled so far; None: no whole number was typed."""
    action = bench.action
    if action is None or action.what != "fill":
        return "No tray is being filled."
    if not is_open(bench.state, action):
        return GONE.format(what=action_words(action))
    most = bench.plan.tray(action.trays[0]).tins - 1
    if count is None or count > most:
        return f"Of this tray 0 to {most} tins can be filled so far."
    return mark_of(bench, MarkKind.FILLED, action, count)


def longer(bench: Bench, seconds: int = 60) -> Found:
    """The bake that the card ends, or else the one that ends next, lasts so many seconds more: more
    than until now, where it is overdue."""
    action = _next_out(bench)
    if action is None:
        return "No bake is on that could be made longer."
    if seconds > LONGEST_S:
        return "A bake is made at most 30 min longer at a time."
    due = [
        hot.until_s
        for hot in bench.state.hot
        if hot.kind == "oven" and set(action.trays) & set(hot.trays)
    ]
    late = max(0, bench.state.now_s - min(due, default=bench.state.now_s))
    return mark_of(bench, MarkKind.LONGER, action, late + seconds)


def _next_out(bench: Bench) -> Action | None:
    """Return the unload on the card, or the one that ends the bake which is over first."""
    baking = [hot for hot in bench.state.hot if hot.kind == "oven"]
    action = bench.action
    if not baking:
        return None
    if action is not None and action.what == "unload":
        return action
    hot = min(baking, key=lambda each: (each.until_s, each.place))
    for load in bench.plan.loads:
        if load.oven == hot.place and set(load.trays) == set(hot.trays):
            return Action("unload", load.trays, load.oven)
    return Action("unload", hot.trays, hot.place)


def came_out(bench: Bench) -> tuple[Action, ...]:
    """Return the unloads whose trays are all still on the stand, the last first."""
    resting = {tray for hot in bench.state.hot if hot.kind == "stand" for tray in hot.trays}
    found = [
        mark.action
        for mark in reversed(standing(bench.marks))
        if mark.what == MarkKind.DONE and mark.action and mark.action.what == "unload"
    ]
    return tuple(each for each in dict.fromkeys(found) if resting.issuperset(each.trays))


def back_in(
    bench: Bench, action: Action | None, seconds: int, reason: Reason | None = None
) -> Found:
    """The trays of an unload that is done go back into their oven for so many seconds.

    ``reason``: why before the oven is ready for them.
    """
    if action is None or action not in came_out(bench):
        return "No tray that came out of an oven is still on the stand."
    if bench.state.held_s is not None:
        return "The run is held. Resume it first."
    if seconds > LONGEST_S:
        return "A tray goes back in for at most 30 min at a time."
    if action.place in bench.looked_up()[0].news.closed:
        return f"{action.place} is not used any more today: nothing goes back into it."
    for hot in bench.state.hot:
        if hot.kind == "oven" and hot.place == action.place:
            return f"{action.place} holds {tray_words(hot.trays)} now: it must be empty first."
    return mark_of(bench, MarkKind.BACK_IN, action, seconds, reason or "")


# --- what is lost -------------------------------------------------------------------------------


def tins_left(bench: Bench, tray: int) -> int:
    """Return how many tins of a tray are not scrapped, or judged to be scrap."""
    return max(0, bench.plan.tray(tray).tins - bench.looked_up()[0].news.lost.get(tray, 0))


def scrapped(bench: Bench, tray: int | None, count: int | None, why: Reason | str) -> Found:
    """So many tins of a tray are scrapped for a reason; None: no number was typed."""
    if tray is None or tray not in {each.number for each in bench.plan.trays}:
        return "Say of which tray."
    left = tins_left(bench, tray)
    if not left:
        return f"All tins of tray {tray} are scrapped already."
    if count is None or not 1 <= count <= left:
        return f"Type 1 to {left}: tray {tray} holds {count_words(left, 'tin')}."
    if not why:
        return SAY_WHY
    action = bench.action
    what = action.what if action and action.trays == (tray,) else "pack"
    return mark_of(bench, MarkKind.SCRAPPED, Action(what, (tray,)), count, why)


# --- ovens and people ---------------------------------------------------------------------------


def reading(bench: Bench, text: str, action: Action | None = None) -> Found:
    """The thermometer of an oven shows a temperature, as typed; a bare number is in the day's unit.

    ``action`` says which oven; without one it is the card's, or the only one.
    """
    about = action or bench.action
    words = text.split(" ")
    for at in range(1, len(words)):  # "big oven" before "oven"
        if oven := named(bench.day.ovens, " ".join(words[at:])):
            about, text = Action("preheat", (), oven), " ".join(words[:at])
            break
    if about is None or not about.place:
        ovens = list(bench.day.ovens)
        if len(ovens) != 1:
            return f"Say of which oven, such as {SHOWN['C']} {ovens[0]}."
        about = Action("preheat", (), ovens[0])
    number = text.replace(",", ".")
    plain = number.replace(".", "", 1).isdecimal()
    here, there = ("F", "C") if bench.day.display.units == "us" else ("C", "F")
    try:
        degrees = units.parse(f"{number} {here}" if plain else text, "temperature")
    except units.UnitProblem:
        return f'"{text}" is not a temperature. Type it like {SHOWN[here]}.'
    if not LEAST_SHOWN_C <= degrees <= MOST_SHOWN_C:
        return f"No oven here shows {text}. Type it like {SHOWN[here]}."
    if plain and _meant_otherwise(bench, about.place, degrees, float(number), there):
        return f"{text} what? Type {text} {here} or {text} {there}."
    return mark_of(bench, MarkKind.READING, about, degrees)


def _meant_otherwise(bench: Bench, oven: str, degrees: float, number: float, unit: str) -> bool:
    """Whether a bare number is far from the oven's heat, but not in the other unit."""
    found, so_far = bench.looked_up()
    set_c = live.set_heat_c(found, so_far, oven, bench.state.now_s)
    other = units.parse(f"{number:g} {unit}", "temperature")
    if set_c is None:
        return degrees > HOT_BAKE_C
    far = abs(degrees - set_c) > FAR_K and abs(other - set_c) <= FAR_K
    return far or (degrees < set_c - live.MOST_OVER_K and set_c < other <= HOTTEST_C)


def bakes_at(bench: Bench, action: Action | None) -> str:
    """Return the temperature that an action's trays bake at, in words; nothing without trays."""
    if action is None or not action.trays:
        return ""
    recipe = bench.day.recipes[bench.plan.tray(action.trays[0]).recipe]
    return units.show_temperature(recipe.bake_at_c, bench.day.display.units)


def late(bench: Bench, seconds: int) -> Found:
    """The person is away for so many seconds from now."""
    return mark_of(bench, MarkKind.LATE, amount=seconds)


def comes(bench: Bench, name: str = "") -> Found:
    """One more person is here from now on."""
    return mark_of(bench, MarkKind.PERSON_COMES, why=name)


def goes(bench: Bench) -> Found:
    """The person leaves for the day; the last one who is here cannot, they hold or stop."""
    away = {each.person for each in bench.state.breaks}
    if not {card.person for card in bench.state.cards} - away - {bench.person}:
        if any(hot.kind in ("oven", "preheat") for hot in bench.state.hot):
            return (
                "Nobody else is here, and an oven is on. Empty it and switch it off, then stop for "
                "today."
            )
        return "Nobody else is here: say how long you are away, or stop for today."
    return mark_of(bench, MarkKind.PERSON_GOES)


def oven_out(bench: Bench, name: str) -> Found:
    """An oven is out of the day; the only one need not be named."""
    ovens = list(bench.day.ovens)
    oven = named(ovens, name) or (ovens[0] if len(ovens) == 1 else "")
    if not oven:
        return f"Say which oven: {either_words(ovens)}."
    return mark_of(bench, MarkKind.OVEN_OUT, Action("preheat", (), oven))


def said(bench: Bench, mark: Mark) -> str:
    """Say a mark that was made at a bench; of an oven that is out also where its trays go."""
    words = [mark_words(bench.day, bench.plan, mark)]
    if mark.what == MarkKind.OVEN_OUT:
        before = live.as_marked(bench.day, bench.plan, bench.marks).load_of
        after = live.as_marked(bench.day, bench.plan, (*bench.marks, mark)).load_of
        into: dict[str, list[int]] = {}
        for tray, load in after.items():
            if load.oven != before[tray].oven:
                into.setdefault(load.oven, []).append(tray)
        words += [f"Into {oven}: {tray_words(tuple(trays))}." for oven, trays in into.items()]
        if gone := tuple(tray for tray in before if tray not in after):
            words.append(f"Leaves the day: {tray_words(gone)}.")
    return " ".join(words)

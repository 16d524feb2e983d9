"""What goes otherwise than planned: the mark that it makes now, or a sentence why it cannot be.

Screens and typed lines ask here, so both mean the same by the same words. Nothing is marked here:
who asks hands the mark to the carrier.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchplan import live, units
from benchplan.model import Action, Day, Mark, Plan, standing
from benchplan.model.words import action_words, count_words, either_words, tray_words
from benchplan.views.marks import mark_words

if TYPE_CHECKING:
    from benchplan.carrying.session import Session
    from benchplan.live.state import Card, State

Found = Mark | str
OVER_BAKED = "over-baked"
MOST_MINUTES = 24 * 60  # more of them at once is a slip of the hand
NOT_DRY = " is not dry"
SAY_WHY = "Say why: it stands in the record."
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


def bench_of(
    session: Session, person: int | None = None, meant: Action | None = None
) -> Bench | None:
    """Return the bench as it is now, by default with the card due first; None without a run
    that goes on. ``meant`` is the action that a question was about when it was opened."""
    day, plan, state = session.day, session.good_plan(), session.state()
    if day is None or plan is None or state is None or state.complete:
        return None
    who = state.focus if person is None else person
    card = next((each for each in state.cards if each.person == who and each.action), None)
    if meant is not None:
        card = next((each for each in state.cards if each.action == meant), None)
    return Bench(day, plan, state, session.marks, card, who, meant)


def is_open(state: State, action: Action) -> bool:
    """Whether an action is still to be done."""
    return action in {each.action for each in state.cards} | {each.action for each in state.coming}


def bare(bench: Bench, what: str) -> Mark:
    """Return a mark that says nothing but its kind: go on, stop, abort, hold."""
    return _mark(bench, what)


def _mark(
    bench: Bench,
    what: str,
    action: Action | None = None,
    amount: float = 0.0,
    note: str = "",
    item: str = "",
) -> Mark:
    now = bench.state.now_s
    return Mark(what, now, now, action, item, bench.person, amount=amount, note=note)


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
    return _mark(bench, "filled", action, count)


def longer(bench: Bench, seconds: int = 60) -> Found:
    """The bake that the card ends, or else the one that ends next, lasts so many seconds more: more
    than until now, where it is overdue."""
    action = _next_out(bench)
    if action is None:
        return "Nothing is in an oven."
    due = [
        hot.until_s
        for hot in bench.state.hot
        if hot.kind == "oven" and set(action.trays) & set(hot.trays)
    ]
    late = max(0, bench.state.now_s - min(due, default=bench.state.now_s))
    return _mark(bench, "longer", action, late + seconds)


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
        if mark.what == "done" and mark.action and mark.action.what == "unload"
    ]
    return tuple(each for each in dict.fromkeys(found) if resting.issuperset(each.trays))


def back_in(bench: Bench, action: Action | None, seconds: int) -> Found:
    """The trays of an unload that is done go back into their oven for so many seconds."""
    if action is None or action not in came_out(bench):
        return "No tray that came out of an oven is still on the stand."
    for hot in bench.state.hot:
        if hot.kind == "oven" and hot.place == action.place:
            return f"{action.place} holds {tray_words(hot.trays)} now: it must be empty first."
    return _mark(bench, "back in", action, seconds)


# --- what is lost -------------------------------------------------------------------------------


def tins_left(bench: Bench, tray: int) -> int:
    """Return how many tins of a tray are not scrapped."""
    gone = sum(
        mark.amount
        for mark in standing(bench.marks)
        if mark.what == "scrapped" and mark.action and mark.action.trays == (tray,)
    )
    return max(0, round(bench.plan.tray(tray).tins - gone))


def scrapped(bench: Bench, tray: int | None, count: int | None, why: str) -> Found:
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
    return _mark(bench, "scrapped", Action(what, (tray,)), count, why)


def card_scents(bench: Bench) -> tuple[str, ...]:
    """Return the scents of the trays on the card."""
    trays = bench.action.trays if bench.action else ()
    return tuple(
        dict.fromkeys(name for each in trays for name in bench.plan.tray(each).scent_names)
    )


def not_dry(bench: Bench, scent: str = "") -> Found:
    """Every tray with a scent that failed the dry test leaves the day, unless it is past an oven.

    The scent of the card need not be named where it is the only one.
    """
    known = {name.lower(): name for tray in bench.plan.trays for name in tray.scent_names}
    on_card = card_scents(bench)
    scent = known.get(scent.lower()) or (on_card[0] if not scent and len(on_card) == 1 else "")
    if not scent:
        return f"Say which scent: {either_words(list(known.values()))}."
    past = {
        tray
        for mark in standing(bench.marks)
        if mark.what == "done" and mark.action
        if mark.action.what in ("load", "unload", "transfer", "pack")
        for tray in mark.action.trays
    }
    trays = tuple(
        each.number
        for each in bench.plan.trays
        if scent in each.scent_names and each.number not in past
    )
    if not trays:
        return f"Every tray of {scent} has been in an oven already."
    return _mark(bench, "leaves", Action("fill", trays), note=scent + NOT_DRY)


def wet_scent(mark: Mark) -> str:
    """Return the scent whose beads failed the dry test by a mark; empty for any other mark."""
    wet = mark.what == "leaves" and mark.note.endswith(NOT_DRY)
    return mark.note.removesuffix(NOT_DRY) if wet else ""


# --- the checklist ------------------------------------------------------------------------------


def unseen(bench: Bench, action: Action | None) -> tuple[str, ...]:
    """Return what must be ticked or passed over before an action, on a card or not, is done.

    Never anything at an oven's exit: it cannot wait, and is asked about once the tray is out.
    """
    if action is None or action.what == "unload":
        return ()
    must = live.required(action)
    if bench.action == action and bench.card is not None:
        return tuple(item for item, seen in bench.card.checklist if item in must and not seen)
    ticked = {
        mark.item
        for mark in standing(bench.marks)
        if mark.action == action and mark.what in ("tick", "pass over")
    }
    listed = live.checks(bench.day, bench.plan, action)
    return tuple(item for item in listed if item in must and item not in ticked)


def not_looked_at(bench: Bench, trays: Iterable[int]) -> Action | None:
    """Return the unload after which nobody has said yet how trays are baked; None: all is said.

    Tins scrapped as over-baked say it of their tray.
    """
    wanted, looked, said = set(trays), False, set[int]()
    out: Action | None = None
    for mark in standing(bench.marks):
        action = mark.action
        if action is None or not wanted & set(action.trays):
            continue
        if mark.what == "scrapped" and mark.note == OVER_BAKED:
            said |= set(action.trays)
        elif action.what != "unload":
            continue
        elif mark.what == "done":
            out = action
        elif mark.what == "back in":
            out, looked, said = None, False, set()
        elif mark.what in ("tick", "pass over") and mark.item == live.DONE_CHECK:
            looked = True
    return None if looked or wanted <= said else out


def passed_over(bench: Bench, action: Action | None, item: str, why: str) -> Found:
    """An item of an action's checklist is left out for a reason; the dry test never is."""
    if action is None or not item:
        return "Nothing is left to tick."
    if item == live.DRY_CHECK:
        return "The dry test cannot be passed over: test again, or the tray leaves the day."
    return _mark(bench, "pass over", action, note=why, item=item) if why else SAY_WHY


def to_pass_over(bench: Bench) -> str:
    """Return the item on the card that would be passed over next: what must be seen to comes first,
    and the dry test, which cannot be, last. Empty: all is seen to."""
    left = [item for item, seen in bench.card.checklist if not seen] if bench.card else []
    must = live.required(bench.action) if bench.action else ()
    return min(left, key=lambda item: (item == live.DRY_CHECK, item not in must), default="")


# --- ovens and people ---------------------------------------------------------------------------


def reading(bench: Bench, text: str, action: Action | None = None) -> Found:
    """The thermometer of an oven shows a temperature, as typed; a bare number is in the day's unit.

    ``action`` says which oven; without one it is the card's, or the only one.
    """
    about = action or bench.action
    if about is None or not about.place:
        ovens = list(bench.day.ovens)
        if len(ovens) != 1:
            return "No oven is on the card now."
        about = Action("preheat", (), ovens[0])
    number = text.replace(",", ".")
    plain = number.replace(".", "", 1).isdecimal()
    unit = " F" if bench.day.display.units == "us" else " C"
    try:
        degrees = units.parse(number + unit if plain else text, "temperature")
    except units.UnitProblem:
        return f'"{text}" is no temperature.'
    return _mark(bench, "reading", about, degrees)


def bakes_at(bench: Bench, action: Action | None) -> str:
    """Return the temperature that an action's trays bake at, in words; nothing without trays."""
    if action is None or not action.trays:
        return ""
    recipe = bench.day.recipes[bench.plan.tray(action.trays[0]).recipe]
    return units.show_temperature(recipe.bake_at_c, bench.day.display.units)


def late(bench: Bench, seconds: int) -> Found:
    """The person is away for so many seconds from now."""
    return _mark(bench, "late", amount=seconds)


def comes(bench: Bench, name: str = "") -> Found:
    """One more person is here from now on."""
    return _mark(bench, "person comes", note=name)


def goes(bench: Bench) -> Found:
    """The person leaves for the day; the last one cannot, they hold or stop."""
    if len(bench.state.cards) < 2:
        return "Nobody else is here: say how long you are away, or stop for today."
    return _mark(bench, "person goes")


def oven_out(bench: Bench, name: str) -> Found:
    """An oven is out of the day; the only one need not be named."""
    ovens = {each.lower(): each for each in bench.day.ovens}
    oven = ovens.get(name.lower()) or (next(iter(ovens.values())) if len(ovens) == 1 else "")
    if not oven:
        return f"Say which oven: {either_words(list(ovens.values()))}."
    return _mark(bench, "oven out", Action("preheat", (), oven))


def said(bench: Bench, mark: Mark) -> str:
    """Say a mark that was made at a bench; of an oven that is out also where its trays go."""
    words = [mark_words(bench.day, bench.plan, mark)]
    if mark.what == "oven out":
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

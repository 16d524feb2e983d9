"""A maker who does what people do: late marks, forgotten ticks, second thoughts, the telephone.

A script for rehearsals, to learn by and to test with. It asks no clock and no chance but the one
it is given, so a seed plays the same day again. What shares are usual here is made up.
"""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING

from benchplan.model import Action, ItemId, Mark, MarkKind, Plan, Reason, standing

if TYPE_CHECKING:
    from benchplan.carrying.carrier import Carrier
    from benchplan.carrying.session import Session
    from benchplan.live.state import Card, State

CALLS = 0.03  # the telephone rings
SECOND_THOUGHTS = 0.06  # something that was marked is taken back
SOMETHING_ELSE = 0.06  # done something else than what the card said
FORGOTTEN_TICK = 0.2
LATE_MARK = 0.12  # done in time, marked later
LONGER = 0.08  # the tins want another minute
DROPPED = 0.03
MOST_LONGER = 2  # of the same bake
AT_HAND = ("fill", "set", "change_scent", "preheat", "transfer")  # nobody does the rest by mistake
IN_HAND = ("set", "unload", "transfer", "pack")  # then a tin can be dropped


class Clumsy:
    """Carries a run as a clumsy maker would, whenever ``act`` is called."""

    def __init__(self, seed: int) -> None:
        self._chance = Random(seed)
        self._coming: list[Mark] = []
        self._thought_of = -1  # how many marks there were when the last one was thought over

    def due_s(self) -> int | None:
        """Return when the next mark will be entered; None while none is on its way."""
        return self._coming[0].entered_s if self._coming else None

    def act(self, session: Session, carrier: Carrier) -> list[Mark]:
        """Enter every mark that is due and return them; think of more when none is on its way."""
        entered: list[Mark] = []
        if session.run is None or session.done or not session.rehearsal:
            return entered
        now_s = session.now_s()
        while self._coming and self._coming[0].entered_s <= now_s:
            mark = self._coming.pop(0)
            said = carrier.take_back() if mark.what == MarkKind.TAKE_BACK else carrier.add(mark)
            if said:
                entered.append(mark)
        state, plan = session.state(), session.good_plan()
        if not self._coming and state is not None and plan is not None and not state.complete:
            # Asked at every tick, who only waits would sooner or later take everything back.
            fresh = len(session.marks) != self._thought_of
            self._thought_of = len(session.marks)
            self._coming = list(
                next_marks(state, plan, session.possible(), session.marks, fresh, self._chance)
            )
        return entered


def next_marks(
    state: State,
    plan: Plan,
    may: tuple[Action, ...],
    marks: tuple[Mark, ...],
    fresh: bool,
    chance: Random,
) -> tuple[Mark, ...]:
    """Return what is marked next, each mark with when it will be entered; () to wait and see.

    ``may`` are the actions that may be done now. A take-back stands for the last mark. Second
    thoughts and the telephone come once after each mark, where it is ``fresh``.
    """
    now = state.now_s
    kept = standing(marks)
    pauses = [mark for mark in kept if mark.what in (MarkKind.HOLD, MarkKind.GO_ON)]
    if pauses and pauses[-1].what == MarkKind.HOLD:
        return (_bare(MarkKind.GO_ON, now + chance.randint(30, 420)),)
    if fresh and kept and chance.random() < SECOND_THOUGHTS:
        at = now + chance.randint(3, 20)
        return tuple(
            _bare(MarkKind.TAKE_BACK, at + 4 * each) for each in range(chance.randint(1, 3))
        )
    if fresh and chance.random() < CALLS:
        at = now + chance.randint(1, 60)
        return _bare(MarkKind.HOLD, at), _bare(MarkKind.GO_ON, at + chance.randint(30, 420))
    cards = [card for card in state.cards if card.action is not None]
    if not cards:
        return tuple(
            Mark(MarkKind.CHECKED, now, now, Action("pack", hot.trays))
            for hot in state.hot
            if hot.kind == "aside" and hot.until_s <= now
        )
    card = min(cards, key=lambda each: (not each.hurry, each.end_s, each.person))
    end = _finished(state, card, chance)
    return () if end is None else _carried_out(plan, card, may, marks, now, end, chance)


def _finished(state: State, card: Card, chance: Random) -> int | None:
    """Return when a maker is done with a card; None when an oven's exit comes before that."""
    assert card.action is not None
    now = state.now_s
    if card.action.what == "unload":
        slow = chance.randint(60, 150) if chance.random() < 0.05 else chance.randint(0, 20)
        return max(now + 2, card.end_s + slow)
    span = max(0, card.end_s - max(now, card.begin_s))
    done = max(now + chance.randint(3, 15), card.end_s + round(span * chance.uniform(-0.2, 0.4)))
    exits = [each for hot in state.hot if hot.kind == "oven" for each in (hot.soon_s, hot.until_s)]
    return None if any(now < each < done for each in exits) else done


def _carried_out(
    plan: Plan,
    card: Card,
    may: tuple[Action, ...],
    marks: tuple[Mark, ...],
    now: int,
    at: int,
    chance: Random,
) -> tuple[Mark, ...]:
    """Return the marks of one card: its ticks, a mishap, and that it is done, if only later."""
    action, person = card.action, card.person
    assert action is not None
    longer = sum(mark.what == MarkKind.LONGER and mark.action == action for mark in marks)
    if action.what == "unload" and longer < MOST_LONGER and chance.random() < LONGER:
        return (Mark(MarkKind.LONGER, at, at, action, person=person, amount=60),)
    others = [each for each in may if each != action and each.what in AT_HAND]
    if action.what != "unload" and others and chance.random() < SOMETHING_ELSE:
        return (Mark(MarkKind.DONE, at, at, chance.choice(others), person=person),)
    found = []
    for check in card.checklist:
        dry = check.item.id is ItemId.BEADS_DRY
        if not check.seen and (dry or chance.random() >= FORGOTTEN_TICK):
            when = chance.randint(now, at)
            found.append(Mark(MarkKind.TICK, when, when, action, check.item, person))
    if action.what in IN_HAND and chance.random() < DROPPED:
        found += _dropped(plan, action, person, marks, chance.randint(now, at), chance)
    entered = at + (chance.randint(60, 360) if chance.random() < LATE_MARK else 0)
    found.append(Mark(MarkKind.DONE, at, entered, action, person=person))
    return tuple(sorted(found, key=lambda mark: mark.entered_s))


def _dropped(
    plan: Plan, action: Action, person: int, marks: tuple[Mark, ...], at: int, chance: Random
) -> list[Mark]:
    """Return that tins of one tray were dropped; never all of them."""
    tray = chance.choice(action.trays)
    gone = sum(
        mark.amount
        for mark in standing(marks)
        if mark.what == MarkKind.SCRAPPED and mark.action and mark.action.trays == (tray,)
    )
    left = round(plan.tray(tray).tins - gone)
    if left < 2:
        return []
    one = Action(action.what, (tray,), action.place)
    amount = chance.randint(1, min(2, left - 1))
    return [
        Mark(MarkKind.SCRAPPED, at, at, one, person=person, amount=amount, reason=Reason.DROPPED)
    ]


def _bare(what: MarkKind, at: int) -> Mark:
    return Mark(what, at, at)

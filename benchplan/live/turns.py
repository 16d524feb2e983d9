"""Whose turn it is to do what at an instant, and when each thing could have begun."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from benchplan.live.actions import Index, Piece, Planned
from benchplan.live.possible import can, options
from benchplan.live.progress import Progress
from benchplan.model import Action

SOON_S = 60
"""How long before a bake ends its exit is announced, unless the day's ready time is longer."""


@dataclass(frozen=True, slots=True)
class Turn:
    """What one person is to do. ``kind``: "do", "wait" (for time), "blocked" (by someone else's
    work), "away" (a break) or "over". ``planned`` is the action, or for a wait the one after it.
    """

    person: int
    kind: str
    planned: Planned | None
    begin_s: int
    end_s: int
    hurry: bool = False


def turns(index: Index, so_far: Progress, now_s: int) -> tuple[Turn, ...]:
    """Return everybody's turn, by person.

    Nobody is ever left with nothing to do because the day has left its order: when all wait for
    each other, each gets the first thing of theirs that can be done, or else anything that can.
    """
    if index.news.ending == "abort":
        return tuple(Turn(person, "over", None, now_s, now_s) for person in index.people)
    due = _due_exits(index, so_far, now_s)
    found = [_turn(index, so_far, person, now_s, due) for person in index.people]
    if any(turn.kind in ("do", "wait", "away") for turn in found):
        return tuple(found)
    found = [_unblock(index, so_far, turn, now_s) for turn in found]
    if all(turn.kind in ("over", "blocked") for turn in found):
        for action in options(index, so_far):
            first = index.people[0]
            spare = Planned(action, first, now_s, now_s, ((now_s, now_s),))
            planned = next((each for each in index.planned if each.action == action), spare)
            found[0] = _do(index, so_far, first, planned, now_s)
            break
    return tuple(found)


def exits(so_far: Progress) -> list[tuple[int, Planned]]:
    """Return each unload that has a bake behind it or before its end, by when that ends."""
    baking = {tray for trays in so_far.baking.values() for tray in trays}
    found = [
        (so_far.bake_end(each.action.trays), each)
        for each in so_far.open
        if each.action.what == "unload" and baking.issuperset(each.action.trays)
    ]
    return sorted(found, key=lambda each: (each[0], each[1].action))


def away_until(index: Index, person: int, now_s: int) -> int | None:
    """Return when a person is back who has a break now, or is away; None for who is here."""
    away = (*index.away, *index.news.absent)
    ends = [end for who, (begin, end) in away if who == person and begin <= now_s < end]
    return max(ends) if ends else None


def ready_s(so_far: Progress, action: Action, by: int | None = None) -> int | None:
    """Return when what an action needs was there; None while an oven is not switched on.

    ``by`` asks it of an action that was done at that moment.
    """
    at, index = so_far.at, so_far.index
    if action.what == "preheat":
        outs = so_far.out.get(action.place, ()) if action.turn > 1 else ()
        return max((end for end, _ in outs if by is None or end <= by), default=0)
    if action.what == "load":
        load = index.load_of.get(action.trays[0])
        heat = so_far.oven_ready(load, by) if load else 0
        sets = [at["set"][tray] for tray in action.trays if tray in at["set"]]
        return None if heat is None else max([heat, *sets])
    if action.what == "change_scent":
        return 0
    tray = action.trays[0]
    if action.what == "fill":
        return so_far.changed.get(tray, 0)
    ready = 0
    before = index.chain[index.chain.index(action.what) - 1]
    for each in action.trays:
        if each in at[before]:
            after = at[before][each] + index.wait_after_s(each, before)
            ready = max(ready, so_far.bake_end((each,)) if before == "load" else after)
    if action.what == "set":
        free = so_far.pans.get(index.trays[tray].pan) or [0]
        ready = max(ready, so_far.pan_ready.get(tray, 0) if by is not None else free[0])
    return ready


def _due_exits(index: Index, so_far: Progress, now_s: int) -> dict[int, tuple[int, Planned]]:
    """Return who is to take what out of an oven now, and since when it is due.

    Who is away keeps no hot tray while somebody is there; with nobody there, the next exit stays
    in sight however far it is.
    """
    here = [who for who in index.people if away_until(index, who, now_s) is None]
    found: dict[int, tuple[int, Planned]] = {}
    for end, planned in exits(so_far):
        if end - index.day.times.ready_s > now_s and here:
            continue
        free = [who for who in here if who not in found]
        person = planned.person
        if person not in here and free:
            person = free[0]
        found.setdefault(person, (end, planned))
    return found


def _turn(
    index: Index,
    so_far: Progress,
    person: int,
    now_s: int,
    due: Mapping[int, tuple[int, Planned]],
) -> Turn:
    if person in due:
        end, planned = due[person]
        lasts, hurry = planned.end_s - planned.begin_s, end - index.day.times.ready_s <= now_s
        return Turn(person, "do", planned, end, end + lasts, hurry)
    for planned in so_far.open:
        if planned.begin_s > now_s:
            break
        if planned.action.what == "preheat" and planned.person == person:
            ready = ready_s(so_far, planned.action) or 0
            if can(so_far, planned.action) and ready <= now_s:
                return Turn(person, "do", planned, planned.begin_s, planned.end_s)
    handed_on = {planned.action for _, planned in due.values()}
    live = [each for each in _live(so_far, person, now_s) if each.planned.action not in handed_on]
    until = away_until(index, person, now_s)
    if until is not None and not (live and live[0].last and live[0].end_s <= now_s):
        return Turn(person, "away", None, now_s, until)
    if not live:
        return Turn(person, "over", None, now_s, now_s)
    return _for(index, so_far, person, live[0].planned, now_s)


def _live(so_far: Progress, person: int, now_s: int) -> list[Piece]:
    """Return a person's stretches of work to come; one that is past counts only if it is last."""
    return [piece for piece in so_far.todo.get(person, ()) if piece.last or piece.end_s > now_s]


def paused(so_far: Progress, turn: Turn, now_s: int) -> list[Planned]:
    """Return what a person has begun and put down for now, beside what their turn is.

    These are the actions of stretches that are over by plan while the whole is not, and, when
    an oven's exit or a preheat came between, what it took the person from.
    """
    found: list[Planned] = []
    for piece in so_far.todo.get(turn.person, ()):
        if piece.begin_s > now_s:
            continue
        if (turn.planned is None or piece.planned != turn.planned) and piece.planned not in found:
            found.append(piece.planned)
        if piece.last or piece.end_s > now_s:
            break
    return found


def _for(index: Index, so_far: Progress, person: int, planned: Planned, now_s: int) -> Turn:
    """Return the turn in which a person does, or waits to do, one planned action."""
    ready = ready_s(so_far, planned.action)
    if not can(so_far, planned.action) or ready is None:
        return Turn(person, "blocked", planned, now_s, max(now_s, planned.begin_s))
    if planned.action.what in ("load", "preheat"):
        # sooner than planned, a bake would end when no hands or no stand place are free
        ready = max(ready, planned.begin_s)
    elif planned.action.what == "unload":
        # somebody with nothing else to do sees the exit coming
        ready -= max(index.day.times.ready_s, SOON_S)
    if ready > now_s:
        return Turn(person, "wait", planned, now_s, ready)
    return _do(index, so_far, person, planned, now_s)


def _do(index: Index, so_far: Progress, person: int, planned: Planned, now_s: int) -> Turn:
    if planned.action.what != "unload":
        return Turn(person, "do", planned, planned.begin_s, planned.end_s)
    end = so_far.bake_end(planned.action.trays)
    hurry = end - index.day.times.ready_s <= now_s
    return Turn(person, "do", planned, end, end + planned.end_s - planned.begin_s, hurry)


def _unblock(index: Index, so_far: Progress, turn: Turn, now_s: int) -> Turn:
    for piece in _live(so_far, turn.person, now_s):
        found = _for(index, so_far, turn.person, piece.planned, now_s)
        if found.kind != "blocked":
            return found
    return turn

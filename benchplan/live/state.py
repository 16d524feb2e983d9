"""The state of a run at an instant: everybody's one next thing, all that is hot, what follows."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from benchplan.live.actions import Index, Planned
from benchplan.live.checklist import Check, checklist
from benchplan.live.marked import as_marked
from benchplan.live.not_yet import cool_s, may_be_hot, too_hot
from benchplan.live.progress import Progress, progress
from benchplan.live.turns import SOON_S, Turn, away_until, turns
from benchplan.model import Action, Day, Mark, Plan
from benchplan.model.words import action_words, tray_words


@dataclass(frozen=True, slots=True)
class Card:
    """One person's next thing. ``action`` None: nothing for now, until ``end_s``.

    ``begin_s`` and ``end_s`` are when it should begin and be done. ``hurry``: an oven's exit is
    due or overdue. ``checklist`` is what to see to before it is done. ``lost`` tins of its trays
    are scrapped. ``heat_c`` is what an oven is to be set to, for a preheat and a load.
    """

    person: int
    action: Action | None
    words: str
    begin_s: int
    end_s: int
    hurry: bool = False
    checklist: tuple[Check, ...] = ()
    lost: int = 0
    heat_c: float | None = None


@dataclass(frozen=True, slots=True)
class Hot:
    """Something hot with its own countdown to ``until_s``.

    ``kind`` is "preheat", "oven", "idle" for an oven that no bake needs any more,
    "stand", "mat", "aside" for tins that the day is done with but nobody has checked, or "shut in"
    for trays whose oven must stay shut. ``state`` is a word: "heating", "at heat", "baking", "out
    now", "resting", "rested", "cooling", "shut in", "off?" or "check" (never "safe to touch").
    An oven also says from when its exit is announced and from when it hurts.
    """

    kind: str
    place: str
    trays: tuple[int, ...]
    until_s: int
    state: str
    soon_s: int = 0
    late_s: int = 0


@dataclass(frozen=True, slots=True)
class Coming:
    """An action that is on nobody's card yet; ``begin_s`` is when it begins, or is gone on with."""

    action: Action
    person: int
    begin_s: int


@dataclass(frozen=True, slots=True)
class Away:
    """Someone who is not at the bench now: a break of the day, or otherwise (``late``)."""

    person: int
    until_s: int
    late: bool = False


@dataclass(frozen=True, slots=True)
class State:
    """All that a bench shows at ``now_s``; seconds count from the run's start.

    ``slack_s`` is the time from ``finish_s`` to the day's finish_by (negative: late). ``done`` of
    ``total`` actions have happened. ``focus`` is the person whose card is due first. ``held_s``:
    since when all hands are stopped (None: they work). ``too_hot`` says of ovens what their
    thermometer shows where that is too much. ``ending`` is "stop" while only what is hot
    is finished, "abort" when everything ended at once.
    """

    now_s: int
    cards: tuple[Card, ...]
    hot: tuple[Hot, ...]
    coming: tuple[Coming, ...]
    finish_s: int
    slack_s: int | None
    done: int
    total: int
    complete: bool
    focus: int
    breaks: tuple[Away, ...]
    held_s: int | None = None
    ending: str = ""
    too_hot: Mapping[str, float] = field(default_factory=dict)


def state(day: Day, plan: Plan, marks: tuple[Mark, ...], now_s: int) -> State:
    """Return the state of a run at ``now_s``; never raises, whatever was marked.

    ``plan`` is the plan as it stands now. Where it has not followed the marks, an oven's exit goes
    by the mark of its load, and everything else keeps the order of the plan.
    """
    return state_of(as_marked(day, plan, marks), marks, now_s)


def lasting(found: Index, marks: tuple[Mark, ...]) -> Progress | None:
    """Return how far a day has come where that lasts until the next mark; None where time moves
    steps on by itself that the day gives no time to."""
    by_hand = all((tray, stage) in found.hand for tray in found.load_of for stage in found.chain)
    return progress(found, marks) if by_hand else None


def state_of(
    found: Index,
    marks: tuple[Mark, ...],
    now_s: int,
    so_far: Progress | None = None,
    expected: Mapping[Action, Planned] | None = None,
) -> State:
    """Return the state at ``now_s`` from what ``as_marked`` and ``lasting`` found, which time does
    not change.

    ``expected`` are actions as a newer plan has them: what comes is told by it.
    """
    day, plan = found.day, found.plan
    newer = expected or {}
    so_far = so_far or progress(found, marks, now_s)
    whose = turns(found, so_far, now_s)
    cards = tuple(_card(found, turn, so_far) for turn in whose)
    shown = {card.action for card in cards}
    hot = _hot(found, so_far, now_s)
    complete, said = not so_far.open, _last_look(hot)
    if complete and said:  # the day is not put away while tins may be hot that nobody looks after
        complete = False
        cards = tuple(replace(card, words=said) if not card.action else card for card in cards)
    ends = so_far.at["pack"].values() if complete else (plan.finish_s, now_s)
    finish = max(ends, default=now_s)
    if found.news.ending == "abort":
        complete, finish = True, found.news.ended_s
        hot = tuple(_at_an_end(hot, so_far, finish))
    return State(
        now_s=now_s,
        cards=cards,
        hot=hot,
        coming=tuple(
            sorted(
                (
                    Coming(each.action, each.person, _next_part(newer.get(action, each), now_s))
                    for each in so_far.open
                    if (action := each.action) not in shown
                ),
                key=lambda coming: coming.begin_s,
            )
        ),
        finish_s=finish,
        slack_s=None if day.finish_by_s is None else day.finish_by_s - finish,
        done=len(found.planned) - len(so_far.open),
        total=len(found.planned),
        complete=complete,
        focus=min(whose, key=_due).person,
        breaks=_away(found, now_s),
        held_s=found.news.held_s,
        ending=found.news.ending,
        too_hot=too_hot(found, so_far),
    )


def _at_an_end(hot: tuple[Hot, ...], so_far: Progress, end_s: int) -> Iterable[Hot]:
    """What was hot when all ended at once has nobody who counts: it is hot until it is checked."""
    for each in hot:
        if each.kind in ("oven", "preheat", "idle"):
            yield Hot("idle", each.place, (), end_s, "off?")
        if each.trays and not so_far.checked.issuperset(each.trays):
            yield replace(
                each, until_s=end_s, state="shut in" if each.kind == "shut in" else "check"
            )


def _last_look(hot: tuple[Hot, ...]) -> str:
    """Say of which trays somebody must still say how they are; an empty text where of none."""
    shut = tuple(sorted(tray for each in hot if each.kind == "shut in" for tray in each.trays))
    if shut:
        return f"Judge {tray_words(shut)} once the oven is cool and open"
    aside = tuple(sorted(tray for each in hot if each.kind == "aside" for tray in each.trays))
    return f"Check {tray_words(aside)}: say so once no tin is hot" if aside else ""


def _away(index: Index, now_s: int) -> tuple[Away, ...]:
    late = {who for who, (begin, end) in index.news.absent if begin <= now_s < end}
    return tuple(
        Away(person, until, person in late)
        for person in index.people
        if (until := away_until(index, person, now_s)) is not None
    )


def _next_part(planned: Planned, now_s: int) -> int:
    """Return when the stretch of an action begins that is on, or comes next, or is its last."""
    return next((begin for begin, end in planned.parts if end > now_s), planned.parts[-1][0])


def _due(turn: Turn) -> tuple[bool, int, int, int]:
    due = turn.begin_s if turn.hurry else turn.end_s
    return not turn.hurry, {"do": 0, "over": 2}.get(turn.kind, 1), due, turn.person


def _card(index: Index, turn: Turn, so_far: Progress) -> Card:
    planned, filled = turn.planned, so_far.filled
    if turn.kind == "do" and planned is not None:
        action = planned.action
        checks = checklist(index, so_far, action)
        said = _words(index, planned)
        if action in filled:
            tins = index.trays[action.trays[0]].fill_count
            said += f", {round(filled[action].amount)} of {tins} filled"
        lost = sum(index.news.lost.get(tray, 0) for tray in action.trays)
        when, heat_c = (turn.begin_s, turn.end_s, turn.hurry), _heat_c(index, action)
        return Card(turn.person, action, said, *when, checks, lost, heat_c)
    if turn.kind == "away":
        late = [who for who, (begin, end) in index.news.absent if begin <= turn.begin_s < end]
        said = "Away" if turn.person in late else "Break"
    elif planned is None:
        # what is left is somebody else's by plan, but whoever does it may mark it
        said = "Free to help with what is left" if so_far.open else "Nothing more to do"
    else:
        said = f"Nothing for now; next: {_words(index, planned)}"
    return Card(turn.person, None, said, turn.begin_s, turn.end_s)


def _heat_c(index: Index, action: Action) -> float | None:
    """Return what an oven is to be set to before a load, and when it is switched on for one."""
    trays = action.trays if action.what == "load" else ()
    if action.what == "preheat":
        mine = [load for load in index.loads if load.oven == action.place]
        trays = next((own.trays for own in mine if index.turn_of[own.trays[0]] == action.turn), ())
    return index.recipe(trays[0]).bake_at_c if trays else None


def _words(index: Index, planned: Planned) -> str:
    scent = ""
    if planned.action.what == "change_scent":
        to_fill = index.trays[planned.action.trays[0]].to_fill
        scent = to_fill[0][0] if to_fill else ""
    return action_words(planned.action, scent)


def _hot(index: Index, so_far: Progress, now_s: int) -> tuple[Hot, ...]:
    found = [*_ovens(index, so_far, now_s), *_trays(index, so_far, now_s)]
    return tuple(sorted(found, key=lambda hot: (hot.until_s, hot.place, hot.trays)))


def _ovens(index: Index, so_far: Progress, now_s: int) -> Iterable[Hot]:
    for oven, trays in so_far.baking.items():
        until = so_far.bake_end(trays)
        late = min(index.recipe(tray).bake_late_s for tray in trays)
        soon = until - max(SOON_S, index.day.times.ready_s)
        word = "baking" if now_s < until else "out now"
        yield Hot("oven", oven, trays, until, word, soon, until + late)
    loaded = so_far.at["load"]
    for oven in index.day.ovens:
        turn = max((turn for name, turn in so_far.heated if name == oven), default=0)
        if not turn or oven in so_far.baking:
            continue
        for load in index.loads:
            if load.oven != oven or all(tray in loaded for tray in load.trays):
                continue
            ready = so_far.oven_ready(load)
            if index.turn_of[load.trays[0]] == turn and ready is not None:
                yield Hot("preheat", oven, (), ready, "heating" if now_s < ready else "at heat")
            else:  # it is heated anew for that, and off until then
                yield Hot("idle", oven, (), so_far.heated[oven, turn], "off?")
            break
        else:
            yield Hot("idle", oven, (), so_far.heated[oven, turn], "off?")


def _trays(index: Index, so_far: Progress, now_s: int) -> Iterable[Hot]:
    at, taken = so_far.at, set[str]()
    shut: dict[str, list[int]] = {}
    for tray in index.news.shut_in:
        if tray not in index.news.judged:
            shut.setdefault(so_far.oven.get(tray, ""), []).append(tray)
    for oven, trays in shut.items():
        since = index.news.shut_in[trays[0]]
        yield Hot("shut in", oven, tuple(sorted(trays)), since, "shut in")
    for tray, out in sorted(at["unload"].items(), key=lambda each: (each[1], each[0])):
        if tray in at["pack"]:
            if tray not in index.news.shut_in and may_be_hot(index, so_far, tray):
                cool = cool_s(index, so_far, tray)
                yield Hot("aside", "aside", (tray,), cool, "cooling" if now_s < cool else "check")
            continue
        if tray in at.get("transfer", {}):
            cool = at["transfer"][tray] + index.wait_after_s(tray, "transfer")
            yield Hot("mat", "mat", (tray,), cool, "cooling" if now_s < cool else "check")
            continue
        place = _stand(index, tray, taken)
        taken.add(place)
        until = out + index.wait_after_s(tray, "unload")
        words = ("cooling", "check") if index.day.on_pan else ("resting", "rested")
        yield Hot("stand", place, (tray,), until, words[now_s >= until])


def _stand(index: Index, tray: int, taken: set[str]) -> str:
    """Return where a tray stands: as planned, unless one that was to be gone by now is there."""
    for name in ("rest", "transfer", "cool"):
        step = index.steps.get((tray, name))
        if step is not None and step.place and step.place not in ("mat", *taken):
            return step.place
    places = [f"stand {number}" for number in range(1, index.day.cooling.stand + 1)]
    return next((place for place in places if place not in taken), "stand")

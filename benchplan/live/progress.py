"""How far a day has come by what was marked: which stage each tray is past, and what that frees.

What a mark says, it says of everything before it too: a tray that was taken out of the oven has
been filled, set and loaded, whether or not that was marked.
"""

from __future__ import annotations

import math
from bisect import bisect_right, insort
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from fractions import Fraction

from benchplan.live.actions import Index, Piece, Planned
from benchplan.model import Action, Item, ItemId, Load, Mark, MarkKind, standing

Latest = dict[tuple[str, int], int]
"""(stage, tray): by when a stage that nobody marks must have happened."""


@dataclass(slots=True)
class Progress:
    """What is done, as seconds from the run's start; built by ``progress`` and then only read.

    ``at`` maps each stage to the trays that are past it. ``said`` are the marks that count, one
    for each action. ``oven`` says which oven a loaded tray went into, ``heated`` when a preheat
    was begun, ``changed`` when the scale was made ready for a tray. ``filled`` are the last words
    on fills that were interrupted; ``longer_s`` and ``back_until`` say of a tray how much longer it
    bakes, or until when it does after it was out already. ``seen`` are the items of actions'
    checklists that were seen to, and whether by passing over. ``dry`` has the latest dry test of
    each scent. ``shown`` is what each oven's thermometer showed last, and when. ``checked`` are
    trays of which somebody said that no tin is hot. ``open`` are the actions that are not
    done, in the plan's order, and ``todo`` their stretches by person.
    """

    index: Index
    at: dict[str, dict[int, int]]
    said: dict[Action, Mark] = field(default_factory=dict)
    oven: dict[int, str] = field(default_factory=dict)
    heated: dict[tuple[str, int], int] = field(default_factory=dict)
    changed: dict[int, int] = field(default_factory=dict)
    baking: dict[str, tuple[int, ...]] = field(default_factory=dict)
    out: dict[str, list[tuple[int, int]]] = field(default_factory=dict)
    pans: dict[str, list[int]] = field(default_factory=dict)
    pan_ready: dict[int, int] = field(default_factory=dict)
    mat_used: Fraction = Fraction(0)
    filled: dict[Action, Mark] = field(default_factory=dict)
    longer_s: dict[int, int] = field(default_factory=dict)
    back_until: dict[int, int] = field(default_factory=dict)
    scale_scent: dict[int, str] = field(default_factory=dict)
    seen: dict[tuple[Action, Item], bool] = field(default_factory=dict)
    dry: dict[str, bool] = field(default_factory=dict)
    shown: dict[str, tuple[float, int]] = field(default_factory=dict)
    checked: set[int] = field(default_factory=set)
    open: tuple[Planned, ...] = ()
    todo: dict[int, tuple[Piece, ...]] = field(default_factory=dict)

    def ended(self, action: Action) -> int | None:
        """Return when an action was done, or None while it is not."""
        if action.what == "preheat":
            return self.heated.get((action.place, action.turn))
        if action.what == "change_scent":
            return self.changed.get(action.trays[0]) if action.trays else None
        past = self.at.get(action.what, {})
        ends = [past.get(tray) for tray in action.trays]
        known = [end for end in ends if end is not None]
        return max(known) if known and len(known) == len(ends) else None

    def bake_end(self, trays: tuple[int, ...]) -> int:
        """Return when the bake of trays that were loaded ends, or when their oven failed."""
        return min(self._bake_end(tray) for tray in trays)

    def _bake_end(self, tray: int) -> int:
        loaded = self.at["load"][tray]
        end = loaded + self.index.recipe(tray).bake_for_s + self.longer_s.get(tray, 0)
        end = self.back_until.get(tray, end)
        failed = self.index.news.closed.get(self.oven.get(tray, ""))
        return end if failed is None else min(end, max(loaded, failed))

    def mat_share(self, tray: int) -> Fraction:
        """Return the share of the mat that a tray's tins take."""
        record = self.index.trays[tray]
        room = self.index.on_mat.get(self.index.recipe(tray).tin) or self.index.day.cooling.mat_tins
        return Fraction(record.tins, room) if room else Fraction(0)

    def oven_ready(self, load: Load, by: int | None = None) -> int | None:
        """Return when an oven is hot enough for a load; None while it is not switched on.

        ``by`` leaves out whatever came out of the oven after that moment.
        """
        oven = self.index.day.ovens.get(load.oven)
        if oven is None or not load.trays:
            return 0
        ready = 0
        turn = self.index.turn_of.get(load.trays[0], 0)
        if turn:
            on = self.heated.get((load.oven, turn))
            if on is None:
                return None
            ready = on + oven.preheat_s
        before = [each for each in self.out.get(load.oven, ()) if by is None or each[0] <= by]
        if before:
            end, tray = max(before)
            step = self.index.recipe(load.trays[0]).bake_at_c - self.index.recipe(tray).bake_at_c
            # a hair off, so that a product that is whole up to rounding error is not rounded up
            more = math.ceil(oven.per_kelvin_s * abs(step) - 1e-9)
            ready = max(ready, end + oven.recover_s + more)
        return ready


def progress(index: Index, marks: tuple[Mark, ...], now_s: int | None = None) -> Progress:
    """Return how far the day has come; without ``now_s`` time is taken to have passed enough."""
    found = Progress(index, {stage: {} for stage in index.chain})
    for mark in standing(marks):
        if mark.item.id is ItemId.BEADS_DRY and mark.what in (MarkKind.TICK, MarkKind.WET):
            found.dry[mark.item.scent] = mark.what == MarkKind.TICK
        if mark.action is not None and mark.what in HEARD:
            HEARD[mark.what](found, mark, mark.action)
    for tray, since in index.news.shut_in.items():
        if tray in found.at["load"]:
            found.at["unload"].setdefault(tray, since)  # the day does not wait for it
    latest: Latest = {}
    for tray in index.trays:
        _close(found, tray, latest)
    _close_preheats(found)
    for load in index.loads:
        _follow(found, load, latest, now_s)
    for tray, since in index.news.left.items():
        if tray in found.at["unload"]:
            for stage in index.chain[index.chain.index("unload") + 1 :]:
                found.at[stage].setdefault(tray, max(since, found.at["unload"][tray]))
    _ovens(found)
    _pans(found)
    _scales(found)
    moved, packed = found.at.get("transfer", {}), found.at["pack"]
    found.mat_used = sum(
        (found.mat_share(tray) for tray in moved if tray not in packed), Fraction(0)
    )
    found.open = tuple(each for each in index.planned if found.ended(each.action) is None)
    undone = {each.action for each in found.open}
    found.todo = {
        person: tuple(piece for piece in pieces if piece.planned.action in undone)
        for person, pieces in index.by_person.items()
    }
    return found


def _hear(found: Progress, mark: Mark, action: Action) -> None:
    """Take in one mark; one that names what the plan does not know is passed over.

    The first mark of an action counts, but a scale can be cleaned for a tray again.
    """
    if action in found.said and action.what != "change_scent":
        return
    if action.what == "preheat":
        if action.place in found.index.day.ovens:
            found.said[action] = mark
            found.heated.setdefault((action.place, action.turn), mark.happened_s)
        return
    trays = [tray for tray in action.trays if tray in found.index.trays]
    if len(trays) != len(action.trays) or not trays:
        return
    if action.what == "change_scent":
        found.said[action] = mark
        found.changed[trays[0]] = mark.happened_s
    elif action.what in found.at:
        found.said[action] = mark
        for tray, moment in _moments(found.index, action.what, trays, mark.happened_s):
            found.at[action.what].setdefault(tray, moment)
            if action.what == "load":
                load = found.index.load_of.get(tray)
                planned = load.oven if load else ""
                known = action.place in found.index.day.ovens
                found.oven.setdefault(tray, action.place if known else planned)


def _hear_filled(found: Progress, mark: Mark, action: Action) -> None:
    if action.what != "fill" or not found.index.trays.keys() >= set(action.trays):
        return
    found.filled[action] = mark
    for tray in action.trays:
        if (tray, "change_scent") in found.index.hand:  # or it could not have been filled
            found.changed.setdefault(tray, mark.happened_s)


def _hear_longer(found: Progress, mark: Mark, action: Action) -> None:
    more = round(mark.amount)
    for tray in action.trays:
        if tray in found.back_until:
            found.back_until[tray] += more
        else:
            found.longer_s[tray] = found.longer_s.get(tray, 0) + more


def _hear_back_in(found: Progress, mark: Mark, action: Action) -> None:
    """Trays that came out are in again, unless their tins are off the pan already."""
    index, unloaded = found.index, found.at["unload"]
    later = [found.at[stage] for stage in index.chain[index.chain.index("unload") + 1 :]]
    for tray in action.trays:
        if any(tray in past for past in later) or tray not in unloaded:
            continue
        unloaded.pop(tray, None)
        found.checked.discard(tray)
        found.back_until[tray] = mark.happened_s + round(mark.amount)
        if action.place in index.day.ovens:
            found.oven[tray] = action.place
        for item in [each for each in found.seen if each[0].what == "unload"]:
            if tray in item[0].trays:
                del found.seen[item]  # it comes out once more, and is looked at once more
        for said in [each for each in found.said if each.what == "unload" and tray in each.trays]:
            first = found.said.pop(said)  # it is over for the other trays of the load only
            rest = tuple(each for each in said.trays if each != tray)
            if rest:
                found.said[replace(said, trays=rest)] = first


def _hear_seen(found: Progress, mark: Mark, action: Action) -> None:
    off = all(oven != action.place for oven, _ in found.heated)
    if mark.item.id is ItemId.OVEN_AT_HEAT and mark.what == MarkKind.TICK and off:
        return  # an oven that is off shows no set temperature
    found.seen[action, mark.item] = mark.what == MarkKind.PASS_OVER


def _hear_checked(found: Progress, mark: Mark, action: Action) -> None:
    found.checked |= set(action.trays)


def _hear_reading(found: Progress, mark: Mark, action: Action) -> None:
    found.shown[action.place] = (mark.amount, mark.happened_s)


HEARD: dict[MarkKind, Callable[[Progress, Mark, Action], None]] = {
    MarkKind.DONE: _hear, MarkKind.FILLED: _hear_filled, MarkKind.LONGER: _hear_longer,
    MarkKind.BACK_IN: _hear_back_in, MarkKind.TICK: _hear_seen, MarkKind.PASS_OVER: _hear_seen,
    MarkKind.CHECKED: _hear_checked, MarkKind.READING: _hear_reading,
}  # fmt: skip


def _moments(index: Index, what: str, trays: list[int], end: int) -> list[tuple[int, int]]:
    """Return when each tray was done; the trays of a load come out one after the other."""
    if what != "unload":
        return [(tray, end) for tray in trays]
    steps = {tray: index.steps.get((tray, what)) for tray in trays}
    last_first = sorted(trays, key=lambda tray: -(step.start_s if (step := steps[tray]) else 0))
    each = index.day.times.unload_s
    return [(tray, max(0, end - place * each)) for place, tray in enumerate(last_first)]


def _close(found: Progress, tray: int, latest: Latest) -> None:
    """Let what is done imply what must have come before it.

    For a stage that nobody marks only its latest moment follows: ``latest`` keeps it.
    """
    later: int | None = None
    for stage in reversed(found.index.chain):
        done = found.at[stage].get(tray)
        if done is None and later is not None:
            done = max(0, later - found.index.wait_after_s(tray, stage))
            if (tray, stage) in found.index.hand:
                found.at[stage][tray] = done
            else:
                latest[stage, tray] = done
        if done is not None:
            later = done if later is None else min(later, done)
    load = found.index.load_of.get(tray)
    if load and (tray in found.at["load"] or ("load", tray) in latest):
        found.oven.setdefault(tray, load.oven)
    if tray in found.at["fill"] and (tray, "change_scent") in found.index.hand:
        found.changed.setdefault(tray, found.at["fill"][tray])


def _close_preheats(found: Progress) -> None:
    """A load that went in, or a later preheat, says that the oven had been switched on."""
    needed: dict[str, tuple[int, int]] = {}
    for tray, loaded in found.at["load"].items():
        turn, oven = found.index.turn_of.get(tray, 0), found.oven.get(tray, "")
        if turn and (oven, turn) not in found.heated and oven in found.index.day.ovens:
            begun = max(0, loaded - found.index.day.ovens[oven].preheat_s)
            needed[oven] = max(needed.get(oven, (0, 0)), (turn, begun))
    for oven, (turn, begun) in needed.items():
        found.heated[oven, turn] = begun
    for (oven, turn), begun in list(found.heated.items()):
        for earlier in range(1, min(turn, found.index.turns.get(oven, 0) + 1)):
            found.heated.setdefault((oven, earlier), begun)


def _follow(found: Progress, load: Load, latest: Latest, now_s: int | None) -> None:
    """Let steps that nobody marks happen when what is before them is done."""
    index, at = found.index, found.at

    def waits(stage: str, tray: int) -> bool:
        return (tray, stage) not in index.hand and tray not in at[stage]

    def happen(stage: str, tray: int, ready: int) -> None:
        step = index.steps.get((tray, stage))
        moment = max(ready, step.start_s) if step and stage != "fill" else ready
        if (stage, tray) in latest:
            at[stage][tray] = min(moment, latest[stage, tray])
        elif now_s is None or moment <= now_s or stage == "fill":
            at[stage][tray] = moment

    for tray in load.trays:
        if waits("fill", tray):
            happen("fill", tray, 0)
        if waits("set", tray) and tray in at["fill"]:
            happen("set", tray, at["fill"][tray])


def _ovens(found: Progress) -> None:
    """Say what is in each oven, and what came out of it when."""
    baking: dict[str, list[int]] = defaultdict(list)
    out: dict[str, list[tuple[int, int]]] = defaultdict(list)
    unloaded = found.at["unload"]
    for tray in found.at["load"]:
        oven = found.oven.get(tray, "")
        if tray in unloaded:
            out[oven].append((unloaded[tray], tray))
        else:
            baking[oven].append(tray)
    found.baking = {oven: tuple(sorted(trays)) for oven, trays in baking.items()}
    found.out = dict(out)


def _pans(found: Progress) -> None:
    """Say when each free pan of a kind may be handled, and when each tray's own pan could be."""
    index = found.index
    emptied = found.at["pack" if index.day.on_pan else "transfer"]
    events: list[tuple[int, int, int]] = []
    for tray in index.load_of:  # a tray that left gave its pan back
        # tins that are set in no time take their pan when it goes into the oven
        taken = found.at["set" if (tray, "set") in index.hand else "load"].get(tray)
        if taken is not None:
            events.append((taken, 1, tray))
        if tray in emptied:
            events.append((emptied[tray], 0 if taken is None or taken < emptied[tray] else 2, tray))
    pans = {name: [0] * pan.count for name, pan in index.day.pans.items()}
    for moment, taking, tray in sorted(events):
        free = pans.setdefault(index.trays[tray].pan, [])
        if taking == 1:
            found.pan_ready[tray] = free.pop(_last_in_time(index, tray, free)) if free else 0
        else:
            insort(free, moment + index.day.cooling.pan_for_s)
    found.pans = pans


def _last_in_time(index: Index, tray: int, free: list[int]) -> int:
    """Return which free pan a tray was set on: the last that the plan had free for it, so that the
    ones free earlier are left to whoever is at them already; else the first.
    """
    step = index.steps.get((tray, "set"))
    in_time = bisect_right(free, step.start_s) if step else 0
    return max(0, in_time - 1)


def _scales(found: Progress) -> None:
    """Say which scent is on each used scale; a change for a tray is void once another came on."""
    index = found.index

    def number(tray: int, *whats: str) -> int:
        """Return the number of a mark, by which two at the same moment are told apart."""
        marks = [found.said.get(Action(what, (tray,))) for what in whats]
        return next((mark.number for mark in marks if mark), 0)

    events = [
        (moment, number(tray, "change_scent", "fill"), 0, tray)
        for tray, moment in found.changed.items()
    ]
    events += [
        (moment, number(tray, "fill"), 1, tray)
        for tray, moment in found.at["fill"].items()
        if (tray, "fill") in index.hand
    ]
    waiting: dict[int, list[int]] = defaultdict(list)
    for _, _, filled, tray in sorted(events):
        to_fill, scale = index.trays[tray].to_fill, scale_of(index, tray)
        if not to_fill:
            continue
        scent = to_fill[-1][0] if filled else to_fill[0][0]
        for other in waiting[scale]:
            if index.trays[other].to_fill[0][0] != scent and other not in found.at["fill"]:
                found.changed.pop(other, None)
        waiting[scale] = [other for other in waiting[scale] if other in found.changed]
        if not filled:
            waiting[scale].append(tray)
        found.scale_scent[scale] = scent


def scale_of(index: Index, tray: int) -> int:
    """Return the number of the scale on which a tray is filled by the plan."""
    step = index.steps.get((tray, "fill"))
    digits = (step.place or "").rpartition(" ")[2] if step else ""
    return int(digits) if digits.isdigit() else 1

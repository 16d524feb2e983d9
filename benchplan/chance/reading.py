"""Reads a plan as operations and what each must wait for.

Everything that a plan hands on (a scale, a pan, a stand place, room on the mat, an oven) is handed
on in the plan's own order. No wait is longer than in the plan, so the plan itself is one of the
days that its order allows.
"""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise
from math import ceil, lcm

from benchplan.chance.records import (
    CLOSE,
    DO,
    EXIT,
    FLOW,
    LOAD,
    MORE,
    OPEN,
    WAIT,
    Bake,
    Draft,
    Piece,
    Unload,
)
from benchplan.model import Day, Load, Plan, Step
from benchplan.model.plan import Span

BREAK_WAITS_S = 300
"""How late a break begins at most (but half of it stays) so that a late bake comes out before it:
nobody lets the oven stand empty for an hour for a minute (common practice, no source)."""


class Reading:
    """A plan that has been read; ``day`` must have every cool_for resolved.

    ``ends`` says when each operation ends by the plan, ``first`` with which draft it begins, and
    ``exits`` has the drafts of the exits, in the order of ``bakes``.
    """

    def __init__(self, day: Day, plan: Plan) -> None:
        self.day, self.plan = day, plan
        self.steps = {(step.tray, step.step): step for step in plan.steps}
        self.trays = {tray.number: tray for tray in plan.trays}
        self.recipes = {tray.number: day.recipes[tray.recipe] for tray in plan.trays}
        self.pieces: list[Piece] = []
        self.drafts: list[Draft] = []
        self.ends: list[int] = []
        self.first: dict[int, Draft] = {}
        self.pieces_of: list[list[int]] = []
        self.op: dict[tuple[int, str], int] = {}
        self.bakes: list[Bake] = []
        self.exits: list[Draft] = []
        self._fills()
        for number in self.trays:
            for name in ("set", "transfer", "pack"):
                if (number, name) in self.steps:
                    self.op[number, name] = self._step(self.steps[number, name])
        self._ovens()
        self._trays()
        self._pans_and_places()
        if not day.on_pan:
            self._mat()

    def away(self, person: int) -> list[Span]:
        """Return a person's breaks, in order."""
        breaks = [each for each in self.plan.other if each.what == "break"]
        return sorted(part for each in breaks if each.person == person + 1 for part in each.parts)

    # -- operations -------------------------------------------------------------------------

    def _new(self, draft: Draft, ends: int, pieces: list[int]) -> int:
        """Add an operation that begins with ``draft`` and return its number."""
        self.first[draft.op] = draft
        self.ends.append(ends)
        self.pieces_of.append([piece for piece in pieces if piece >= 0])
        return draft.op

    def _piece(self, step: str, tray: int, planned_s: int) -> int:
        if planned_s <= 0:
            return -1
        self.pieces.append(Piece(step, tray, planned_s))
        return len(self.pieces) - 1

    def _after(self, earlier: int, later: int, wait_s: int = 0) -> None:
        """Let one operation begin after another has ended; never later than the plan has it."""
        begins = self.first[later]
        begins.before.append((earlier, min(wait_s, begins.starts - self.ends[earlier])))

    def _alone(self, kind: int, start: int, end: int, person: int = 0, piece: int = -1) -> int:
        """Add an operation of a single node; without a person it happens by itself."""
        draft = Draft(kind, len(self.ends), start, end, person - 1, piece)
        self.drafts.append(draft)
        return self._new(draft, end, [piece])

    def _step(self, step: Step) -> int:
        """Add a step of one tray."""
        lasts = _lasts(step.parts)
        if not lasts or step.person is None:
            return self._alone(WAIT, step.start_s, step.end_s)
        piece = self._piece(step.step, step.tray, lasts)
        if step.step == "set":
            return self._alone(DO, step.start_s, step.end_s, step.person, piece)
        return self._flow(step, step.parts, piece, self.trays[step.tray].tins)

    def _flow(self, step: Step, parts: tuple[Span, ...], piece: int, whole: int) -> int:
        """Add work that may be put down between tins, one node for each of its stretches."""
        op, who = len(self.ends), (step.person or 1) - 1
        each_s = _lasts(step.parts) / whole
        counts = [max(1, round((end - start) / each_s)) for start, end in parts]
        left = sum(counts)
        drafts = []
        for (start, end), count in zip(parts, counts, strict=True):
            left -= count
            drafts.append(Draft(MORE, op, start, end, who, piece, count, whole, left))
        drafts[0].kind, drafts[-1].kind = OPEN, CLOSE
        if len(drafts) == 1:
            drafts[0].kind = FLOW
        self.drafts += drafts
        return self._new(drafts[0], parts[-1][1], [piece])

    def _fills(self) -> None:
        """Add fills and changes of scent, and hand each scale on from one to the next."""
        lines: dict[str, list[tuple[int, int, int]]] = defaultdict(list)
        changed: dict[int, list[int]] = defaultdict(list)
        for other in self.plan.other:
            if other.what != "change_scent" or other.before_tray is None or other.person is None:
                continue
            piece = self._piece("change_scent", other.before_tray, _lasts(other.parts))
            op = self._alone(DO, other.start_s, other.end_s, other.person, piece)
            lines[other.place or ""].append((other.start_s, other.end_s, op))
            changed[other.before_tray].append(other.start_s)
        for number, tray in self.trays.items():
            step = self.steps[number, "fill"]
            if not _lasts(step.parts) or step.person is None:
                self.op[number, "fill"] = self._step(step)
                continue
            piece = self._piece("fill", number, _lasts(step.parts))
            runs: dict[int, list[Span]] = defaultdict(list)  # one for each scent of a mixed tray
            for part in step.parts:
                runs[sum(at < part[0] for at in changed[number])].append(part)
            for _, parts in sorted(runs.items()):
                op = self._flow(step, tuple(parts), piece, max(1, tray.fill_count))
                lines[step.place or ""].append((parts[0][0], parts[-1][1], op))
            self.op[number, "fill"] = op
        for line in lines.values():
            for (_, _, earlier), (_, _, later) in pairwise(sorted(line)):
                self._after(earlier, later)

    def _ovens(self) -> None:
        """Add each load with its exit, and hand each oven on."""
        lines: dict[str, list[tuple[int, int, Load]]] = defaultdict(list)
        for load in self.plan.loads:
            start = min(self.steps[tray, "load"].start_s for tray in load.trays)
            lines[load.oven].append((start, load.number, load))
        for oven, line in lines.items():
            kit, before = self.day.ovens[oven], None
            for _, _, load in sorted(line, key=lambda each: each[:2]):
                op = self._load(load)
                if before is not None:
                    heats = [self.recipes[each.trays[0]].bake_at_c for each in (before, load)]
                    change = ceil(round(kit.per_kelvin_s * abs(heats[1] - heats[0]), 9))
                    for tray in before.trays:
                        self._after(self.op[tray, "unload"], op, kit.recover_s + change)
                before = load

    def _load(self, load: Load) -> int:
        ins = sorted((self.steps[tray, "load"] for tray in load.trays), key=lambda s: s.parts)
        outs = sorted((self.steps[tray, "unload"] for tray in load.trays), key=lambda s: s.parts)
        start, loaded, out = ins[0].start_s, ins[-1].end_s, outs[-1].end_s
        bake_s = self.steps[load.trays[0], "bake"].end_s - loaded
        number, loader, unloader = len(self.bakes), ins[0].person or 0, outs[0].person or 0
        pieces = [self._piece("load", step.tray, _lasts(step.parts)) for step in ins]
        op = self._alone(LOAD, start, loaded, loader, number)
        self.pieces_of[op] = [piece for piece in pieces if piece >= 0]
        exit_ = Draft(EXIT, len(self.ends), outs[0].start_s, out, unloader - 1, number)
        exit_.before.append((op, bake_s))
        self.drafts.append(exit_)
        self.exits.append(exit_)
        unloads = []
        for step in outs:
            self.op[step.tray, "load"] = op
            piece = self._piece("unload", step.tray, _lasts(step.parts))
            draft = Draft(EXIT, len(self.ends), step.start_s, step.end_s)
            self.op[step.tray, "unload"] = self._new(draft, step.end_s, [piece])
            unloads.append(Unload(draft.op, piece, ()))
        hot = [
            other.end_s
            for other in self.plan.other
            if (other.what, other.place) == ("preheat", load.oven)
            if other.start_s < other.end_s <= start
        ]
        bake = Bake(
            op=op,
            loader=loader - 1,
            unloader=unloader - 1,
            loads=tuple(self.pieces_of[op]),
            loading_s=loaded - start,
            bake_s=bake_s,
            unloads=tuple(unloads),
            unloading_s=out - outs[0].start_s,
            hot=max(hot, default=0),
            planned=start,
            closed=(),
        )
        self.bakes.append(bake)
        return op

    def closed(self, bake: Bake, oven: str) -> tuple[Span, ...]:
        """Return between which starts a load would not go by the breaks, from and to excluded."""
        until = bake.loading_s + bake.bake_s
        out = until + bake.unloading_s
        ready, heat = self.day.times.ready_s, self.day.ovens[oven].preheat_s
        found = [(begin - bake.loading_s, end) for begin, end in self.away(bake.loader)]
        for begin, end in self.away(bake.unloader):
            found.append((_begins(begin, end, bake.planned + out) - out, end + ready - until))
        for begin, end in self.day.nobody():
            found.append((_begins(begin, end, bake.planned + out) - out, end + heat))
        merged: list[Span] = []
        for begin, end in sorted(span for span in found if span[0] < span[1]):
            if merged and begin < merged[-1][1]:
                begin, end = merged[-1][0], max(end, merged.pop()[1])
            merged.append((begin, end))
        return tuple(merged)

    # -- what comes after what --------------------------------------------------------------

    def _trays(self) -> None:
        """Let each tray go through its own steps."""
        for number, recipe in self.recipes.items():
            op = {name: found for (tray, name), found in self.op.items() if tray == number}
            self._after(op["fill"], op["set"])
            self._after(op["set"], op["load"])
            out = op["unload"]
            if "transfer" in op:
                self._after(out, op["transfer"], recipe.rest_for_s)
                out = op["transfer"]
            self._after(out, op["pack"], recipe.cool_for_s or 0)

    def _pans_and_places(self) -> None:
        """Hand on pans and stand places."""
        last, place = ("pack", "cool") if self.day.on_pan else ("transfer", "rest")
        pans: dict[tuple[str, int], list[tuple[int, int, int]]] = defaultdict(list)
        stand: dict[str | None, list[tuple[int, int, int]]] = defaultdict(list)
        for number, tray in self.trays.items():
            empty = self.steps[number, last].end_s
            taken = self.steps[number, "set"].start_s
            pans[tray.pan, tray.pan_number].append((taken, empty, number))
            out = self.steps[number, "unload"].start_s
            stand[self.steps[number, place].place].append((out, empty, number))
        for line in pans.values():
            for (_, _, earlier), (_, _, later) in pairwise(sorted(line)):
                wait = self.day.cooling.pan_for_s
                self._after(self.op[earlier, last], self.op[later, "set"], wait)
        for line in stand.values():
            for (_, _, earlier), (_, _, later) in pairwise(sorted(line)):
                self._after(self.op[earlier, last], self.op[later, "unload"])

    def _mat(self) -> None:
        """Let each tray be moved when as many as must be are packed, in the order of the plan."""
        holds = {fit.tin: fit.count for fit in self.plan.fits if fit.what == "tins on mat"}
        room = lcm(*(count for count in holds.values() if count > 0))
        moved = {number: self.steps[number, "transfer"].start_s for number in self.trays}
        packed = {number: self.steps[number, "pack"].end_s for number in self.trays}
        need = {
            number: tray.tins * (room // holds[self.recipes[number].tin])
            for number, tray in self.trays.items()
            if packed[number] > moved[number]
        }
        leaving = sorted(need, key=lambda number: (packed[number], moved[number], number))
        freed = [0]
        gates = [-1]  # by how many are packed: the operation that ends when that many are
        for number in leaving:
            gate = self._alone(WAIT, packed[number], packed[number])
            self._after(self.op[number, "pack"], gate)
            if gates[-1] >= 0:
                self._after(gates[-1], gate)
            gates.append(gate)
            freed.append(freed[-1] + need[number])
        taken = 0
        for number in sorted(need, key=lambda number: (moved[number], packed[number], number)):
            taken += need[number]
            count = 0
            while taken - freed[count] > room and packed[leaving[count]] <= moved[number]:
                count += 1
            if count:
                self._after(gates[count], self.op[number, "transfer"])


def _begins(begin: int, end: int, out: int) -> int:
    """Return when a break begins at the latest for a load that by the plan is out at ``out``."""
    return begin + min(BREAK_WAITS_S, (end - begin) // 2) if out <= begin else begin


def _lasts(parts: tuple[Span, ...]) -> int:
    return sum(end - start for start, end in parts)

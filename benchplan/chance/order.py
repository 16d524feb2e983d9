"""From a plan to a fixed order in which it can be carried out again and again."""

from __future__ import annotations

import heapq
from collections import defaultdict
from dataclasses import replace
from itertools import pairwise

from benchplan.chance.reading import Reading
from benchplan.chance.records import CLOSE, EXIT, MORE, OPEN, Bake, Before, Node, Order
from benchplan.model import Day, Plan


def fixed_order(day: Day, plan: Plan) -> Order:
    """Return the order of a plan; ``day`` must have every cool_for resolved.

    Each node comes after all that it waits for, and else where the plan has it.
    """
    read = Reading(day, plan)
    bakes = _with_places(read)
    lines = _lines(read)
    ending = _ending(read, bakes)
    found = _in_turn(read, lines, ending)
    position = {index: at for at, index in enumerate(found)}
    drafts = [read.drafts[index] for index in found]
    return Order(
        pieces=tuple(read.pieces),
        nodes=tuple(
            Node(each.kind, each.op, each.who, tuple(each.before), each.piece, each.tins,
                 each.whole, each.more)
            for each in drafts
        ),
        bakes=tuple(
            replace(bake, known=max(
                (position[ending[op]] for each in bake.unloads for op, _ in each.stands),
                default=-1,
            ))
            for bake in bakes
        ),
        breaks=tuple(tuple(read.away(person)) for person in range(_people(read))),
        pieces_of=tuple(tuple(pieces) for pieces in read.pieces_of),
        within=_within(read, lines),
        before=_before(read, bakes),
        work_s=_work(read, bakes),
        done_at=tuple(position[ending[op]] for op in range(len(read.ends))),
        last=tuple(read.op[number, "pack"] for number in read.trays),
        ready_s=day.times.ready_s,
    )  # fmt: skip


def _before(read: Reading, bakes: list[Bake]) -> tuple[Before, ...]:
    """Return what each operation waits for; an unload also for its bake."""
    found = [tuple(read.first[op].before) for op in range(len(read.ends))]
    for bake in bakes:
        for each in bake.unloads:
            found[each.op] += ((bake.op, bake.bake_s),)
    return tuple(found)


def _work(read: Reading, bakes: list[Bake]) -> tuple[int, ...]:
    """Return how long each operation is worked on by the plan."""
    found = [0] * len(read.ends)
    for draft in read.drafts:
        if draft.kind != EXIT:
            found[draft.op] += draft.ends - draft.starts
    for each in (unload for bake in bakes for unload in bake.unloads):
        found[each.op] = 0 if each.piece < 0 else read.pieces[each.piece].planned_s
    return tuple(found)


def _people(read: Reading) -> int:
    return max([read.day.people, *(draft.who + 1 for draft in read.drafts)])


def _with_places(read: Reading) -> list[Bake]:
    """Return the bakes with what their exits wait for; the exits come after all of it."""
    ovens = {read.op[load.trays[0], "load"]: load.oven for load in read.plan.loads}
    bakes = []
    for bake, draft in zip(read.bakes, read.exits, strict=True):
        unloads = []
        for each in bake.unloads:
            stands = tuple(read.first[each.op].before)
            unloads.append(each._replace(stands=stands))
            draft.before += stands
        closed = read.closed(bake, ovens[bake.op])
        bakes.append(replace(bake, unloads=tuple(unloads), closed=closed))
    return bakes


def _lines(read: Reading) -> list[list[int]]:
    """Return for each person the nodes of their work, in the plan's order."""
    lines: dict[int, list[int]] = defaultdict(list)
    for index, draft in enumerate(read.drafts):
        if draft.who >= 0:
            lines[draft.who].append(index)
    drafts = read.drafts
    return [
        sorted(line, key=lambda at: (drafts[at].starts, drafts[at].ends, at))
        for line in lines.values()
    ]


def _ending(read: Reading, bakes: list[Bake]) -> dict[int, int]:
    """Return the node with which each operation ends."""
    ending: dict[int, int] = {}
    for index, draft in enumerate(read.drafts):
        if draft.kind == EXIT:
            ending.update((each.op, index) for each in bakes[draft.piece].unloads)
        elif draft.kind not in (OPEN, MORE):
            ending[draft.op] = index
    return ending


def _in_turn(read: Reading, lines: list[list[int]], ending: dict[int, int]) -> list[int]:
    drafts = read.drafts
    after: list[list[int]] = [[] for _ in drafts]
    waits = [0] * len(drafts)
    pairs = [(ending[op], index) for index, each in enumerate(drafts) for op, _ in each.before]
    for earlier, later in [*pairs, *(pair for line in lines for pair in pairwise(line))]:
        after[earlier].append(later)
        waits[later] += 1
    keys = [(draft.starts, draft.ends, index) for index, draft in enumerate(drafts)]
    ready = [key for key in keys if not waits[key[2]]]
    heapq.heapify(ready)
    left = dict.fromkeys(sorted(keys))
    found = []
    while left:
        key = heapq.heappop(ready) if ready else next(iter(left))  # a real past may go in circles
        if key not in left:
            continue
        del left[key]
        found.append(key[2])
        for later in after[key[2]]:
            waits[later] -= 1
            if not waits[later]:
                heapq.heappush(ready, keys[later])
    return found


def _within(read: Reading, lines: list[list[int]]) -> tuple[tuple[int, ...], ...]:
    within: list[tuple[int, ...]] = [()] * len(read.ends)
    for line in lines:
        begun: dict[int, int] = {}
        for at, index in enumerate(line):
            draft = read.drafts[index]
            if draft.kind == OPEN:
                begun[draft.op] = at
            elif draft.kind == CLOSE:
                inside = [read.drafts[each].op for each in line[begun[draft.op] : at]]
                within[draft.op] = tuple(op for op in dict.fromkeys(inside) if op != draft.op)
    return tuple(within)

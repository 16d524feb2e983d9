"""What keeps a piece of a plan's work from starting any earlier, all the rest staying put."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from math import ceil

from benchplan.model.holds import Block, Book, Doing

# What work can wait for; where two things end at the same moment, the first of them is named.
KINDS = (
    "start", "oven", "preheat", "mat", "stand", "pan", "scale", "own", "load", "exit", "hands",
    "break", "order", "late",
)  # fmt: skip
_RANK = {kind: place for place, kind in enumerate(KINDS)}


@dataclass(frozen=True, slots=True)
class Cause:
    """Work may start at ``could_s`` and no sooner, because ``doing`` lasts until ``from_s``.

    ``doing`` is None for the start of the day. ``at_s``: for a cause that bears on a later moment
    of a load than its start, that moment (its unload), else -1.
    """

    kind: str
    could_s: int
    from_s: int
    doing: Doing | None = None
    at_s: int = -1


def causes(book: Book, doing: Doing, through: bool = False) -> list[Cause]:
    """Return what a start waited for, the last first; that binds whose ``could_s`` is the start.

    ``through``: an unload may name what its whole load waited for, instead of its bake.
    """
    if doing.what == "preheat":
        return [_preheat(book, doing)]
    if doing.what == "break":
        return [Cause("start", doing.start_s, doing.start_s)]
    if doing.what in ("load", "bake", "unload"):
        block = book.blocks[doing.tray]
        found = _in_block(book, block, doing, through)
    elif doing.part:
        found = _part(book, doing)
    else:
        found = [_start(book, doing.start_s), *_asked(book, doing)]
        found += _hands(book, doing, _latest(found, doing.start_s))
    found = [cause for cause in found if cause.could_s <= doing.start_s]
    found = [_named(cause) for cause in found] or [_start(book, doing.start_s)]
    return sorted(found, key=lambda cause: (-cause.could_s, _RANK[cause.kind]))


def _named(cause: Cause) -> Cause:
    """Waiting for somebody who is on a break is waiting for the break."""
    broken = cause.doing is not None and cause.doing.what == "break"
    return replace(cause, kind="break") if broken and cause.kind == "hands" else cause


def _start(book: Book, at: int) -> Cause:
    """Nothing starts before the day, nor what is still to come before now."""
    floor = book.now_s if at >= book.now_s else 0
    return Cause("start", floor, floor)


def _latest(found: list[Cause], at: int) -> int:
    return max(cause.could_s for cause in found if cause.could_s <= at)


def _after(kind: str, doing: Doing, lag: int = 0) -> Cause:
    return Cause(kind, doing.end_s + lag, doing.end_s, doing)


def _asked(book: Book, doing: Doing) -> list[Cause]:
    """Return all that the first part of some work waits for, but for hands."""
    if doing.what == "fill":
        return _fill(book, doing)
    if doing.what == "change_scent":
        return [_after("scale", before) for before in _on_scale(book, doing)]
    tray = book.trays[doing.tray]
    recipe = book.day.recipes[tray.recipe]
    if doing.what == "set":
        found = [_after("own", book.last(tray.number, "fill"))]
        pan_for = book.day.cooling.pan_for_s
        freed = book.pans[tray.pan].freed(doing.start_s, 1, found[0].could_s)
        if freed is not None:
            found.append(Cause("pan", freed[0], freed[0] - pan_for, freed[1].last))
        return found
    if doing.what in ("rest", "transfer"):
        rest = recipe.rest_for_s if doing.what == "transfer" else 0
        found = [_after("own", book.last(tray.number, "unload"), rest)]
        if doing.what == "transfer":
            units = book.mat_units(tray.number)
            freed = book.mat.freed(doing.start_s, units, found[0].could_s)
            if freed is not None:
                found.append(Cause("mat", freed[0], freed[0], freed[1].last))
        return found
    lag = (recipe.cool_for_s or 0) if doing.what == "pack" else 0
    return [_after("own", book.last(tray.number, "unload" if book.day.on_pan else "transfer"), lag)]


def _fill(book: Book, doing: Doing) -> list[Cause]:
    found = [_after("scale", before) for before in _on_scale(book, doing)]
    if book.day.keep_order and doing in book.fills:
        found += _order(book, doing, book.fills[: book.fills.index(doing)])
    return found


def _order(book: Book, doing: Doing, before: list[Doing]) -> list[Cause]:
    """Return the last one that the queue has before; which of two trays alike comes first is free.

    Trays are numbered by load, so those of a queue that is kept have the first numbers.
    """
    own, queued = book.trays[doing.tray], len(book.day.queue)
    for each in reversed(before):
        other = book.trays[each.tray]
        same = (own.scents, own.recipe, own.pan) == (other.scents, other.recipe, other.pan)
        if each.tray <= queued and not same:
            return [Cause("order", each.start_s, each.start_s, each)]
    return []


def _on_scale(book: Book, doing: Doing) -> list[Doing]:
    """Return what was on the scale just before; nothing for work that needs no scale."""
    line = book.scales.get(doing.place, [])
    return line[line.index(doing) - 1 : line.index(doing)] if doing in line else []


def _part(book: Book, doing: Doing) -> list[Cause]:
    """Return why work that paused goes on when it does."""
    before = book.doings[doing.tray, doing.what][doing.part - 1]
    found = [_after("own", before)]
    if (busy := _busy(book, doing.person, doing.start_s)) is not None:
        found.append(_after("hands", busy))
    return found


def _busy(book: Book, person: int, until: int) -> Doing | None:
    """Return what a person is at until a moment."""
    return book.lines[person].ending(until) if person in book.lines else None


def _hands(book: Book, doing: Doing, after: int) -> list[Cause]:
    """Return for whose hands work waited that could else start at ``after``."""
    if doing.end_s == doing.start_s or doing.person not in book.lines:
        return []
    if after < doing.start_s:
        pauses = doing.what in ("fill", "transfer", "pack")
        free = _flowing(book, doing, after) if pauses else _whole(book, doing, after)
        if free is not None:
            busy = _busy(book, free[1], free[0])
            return [_after("hands", busy)] if busy is not None and free[0] > after else []
    busy = _busy(book, doing.person, doing.start_s)
    return [] if busy is None else [_after("hands", busy)]


def _whole(book: Book, doing: Doing, after: int) -> tuple[int, int] | None:
    """Return when and by whom work in one piece could start sooner; None where it cannot."""
    lasts, before = doing.end_s - doing.start_s, doing.start_s
    at, who = min(
        (line.earliest(after, lasts, before, (doing,)), person)
        for person, line in book.lines.items()
    )
    return (at, who) if at < before else None


def _flowing(book: Book, doing: Doing, after: int) -> tuple[int, int] | None:
    """Return when and by whom work that may pause could start to end sooner; None if it cannot."""
    own = book.doings[doing.tray, doing.what]
    tray, times = book.trays[doing.tray], book.day.times
    count = tray.fill_count if doing.what == "fill" else tray.tins
    if doing.what == "fill" and len(tray.to_fill) > 1 and times.change_scent_s:
        return None
    each = {"fill": times.fill_s, "transfer": times.transfer_s, "pack": book.day.pack_each_s}
    end, at, who = min(
        (flow[1], flow[0], person)
        for person, line in book.lines.items()
        for flow in (line.flow(after, count, each[doing.what], own[-1].end_s, own),)
    )
    return (at, who) if end < own[-1].end_s else None


def _preheat(book: Book, doing: Doing) -> Cause:
    """A preheat starts when the oven may be on, or as late as its first load allows."""
    root = _root(book, doing.start_s)
    if root.could_s == doing.start_s:
        return root
    first = [block for block in book.in_turn if block.oven == doing.place]
    first = [block for block in first if block.start_s >= doing.end_s]
    if not first:
        return root
    load = first[0].loads[0]
    return Cause("late", doing.start_s, load.start_s, load)


def _root(book: Book, at: int) -> Cause:
    """Return since when somebody is there, so that an oven may be hot."""
    floor = _start(book, at)
    back = max((end for _, end in book.nobody if floor.could_s < end <= at), default=None)
    if back is None:
        return floor
    ended = [each for each in book.others if each.what == "break" and each.end_s == back]
    return Cause("break", back, back, ended[0] if ended else None)


# -- a load: it moves only as a whole -------------------------------------------------------


def _in_block(book: Book, block: Block, doing: Doing, through: bool) -> list[Cause]:
    if doing.what == "bake":
        return [_after("own", block.loads[-1])]
    line = block.loads if doing.what == "load" else block.unloads
    turn = line.index(doing)
    if doing.what == "load":
        return [_after("load", line[turn - 1])] if turn else _block(book, block)
    found = []
    if through:
        found = [
            replace(cause, could_s=cause.could_s + doing.start_s - block.start_s)
            for cause in _block(book, block)
            if cause.at_s == doing.start_s or (cause.at_s >= 0 and not turn)
        ]
    if turn:
        return [*found, _after("load", line[turn - 1])]
    bake = block.loads[-1]
    return [*found, _after("own", bake, doing.start_s - bake.end_s)]


def _block(book: Book, block: Block) -> list[Cause]:
    """Return what a load's start waits for."""
    found = [_start(book, block.start_s), *_sets(book, block), *_oven(book, block)]
    if book.day.keep_order:
        before = [each.loads[0] for each in book.in_turn[: book.in_turn.index(block)]]
        found += _order(book, block.loads[0], before)
    found += _stand(book, block, _latest(found, block.start_s))
    return found + _doors(book, block, _latest(found, block.start_s))


def _sets(book: Book, block: Block) -> list[Cause]:
    found = []
    for turn, load in enumerate(block.loads):
        own, ahead = book.last(load.tray, "set"), load.start_s - block.start_s
        found.append(_after("load" if turn else "own", own, -ahead))
    return found


def _oven(book: Book, block: Block) -> list[Cause]:
    """Return the load before with the time to recover, and the preheat."""
    kit, found = book.day.ovens[block.oven], []
    own = [each for each in book.in_turn if each.oven == block.oven]
    if turn := own.index(block):
        before = own[turn - 1]
        kelvin = abs(block.bake_at_c - before.bake_at_c)
        change = ceil(round(kit.per_kelvin_s * kelvin, 9)) if kelvin else 0
        found.append(_after("oven", before.unloads[-1], kit.recover_s + change))
    for preheat in book.others:
        heats = preheat.what == "preheat" and preheat.place == block.oven
        if heats and preheat.end_s == block.start_s:
            root = _root(book, preheat.start_s)
            if root.could_s == preheat.start_s:
                found.append(_after("preheat", preheat))
            else:
                found.append(replace(root, could_s=root.could_s + kit.preheat_s))
    return found


def _stand(book: Book, block: Block, since: int) -> list[Cause]:
    """Return which trays had to leave the stand so that each of the load's has a place."""
    found = []
    mates = [unload.start_s for unload in block.unloads]
    for turn, unload in enumerate(block.unloads):
        ahead = unload.start_s - block.start_s
        freed = book.stand.freed(unload.start_s, turn + 1, since + ahead, mates)
        if freed is not None:
            at, hold = freed
            found.append(Cause("stand", at - ahead, at, hold.last, unload.start_s))
    return found


def _doors(book: Book, block: Block, after: int) -> list[Cause]:
    """Return for whose hands a load waited, at the door when it goes in or when it comes out."""
    start = block.start_s
    if after == start:
        return []
    ahead = block.baked_s - start - _ready(book)
    ends = {end for line in book.lines.values() for end in line.ends(after, start)}
    exits = {
        end - ahead
        for line in book.lines.values()
        for end in line.ends(after + ahead, start + ahead)
    }
    for at in sorted({after} | ends | exits):
        if any(_hands_at(book, block, at)):
            kind, moment = ("hands", at) if at in ends else ("exit", at + ahead)
            busy = _anybody(book, moment)
            return [Cause(kind, at, moment, busy, moment)]
    found = []
    going_in, coming_out = block.loads[0], block.unloads[0]
    if (busy := _busy(book, coming_out.person, start + ahead)) is not None:
        found.append(Cause("exit", start, start + ahead, busy, coming_out.start_s))
    if (busy := _busy(book, going_in.person, start)) is not None:
        found.append(_after("hands", busy))
    can_load, can_unload = _who(book, block, start - 1)
    if can_load is not None and not can_load:
        found = [cause for cause in found if cause.kind == "hands"] or found
    elif can_unload is not None and not can_unload:
        found = [cause for cause in found if cause.kind == "exit"] or found
    return found


def _ready(book: Book) -> int:
    return book.day.times.ready_s if book.day.times.unload_s else 0


def _own(book: Book, block: Block) -> Collection[Doing]:
    return {*block.loads, *block.unloads, book.ready(block)}


def _who(book: Book, block: Block, start: int) -> tuple[list[int] | None, list[int] | None]:
    """Return who could load and who could unload a load that starts at a moment.

    None where that takes no time, so that nobody is needed.
    """
    own = _own(book, block)
    moved = start - block.start_s
    loaded = block.loads[-1].end_s + moved
    out, ready = block.baked_s + moved - _ready(book), block.out_s + moved
    lines = book.lines.items()
    can_load = [who for who, line in lines if line.free(start, loaded, own)]
    can_unload = [who for who, line in lines if line.free(out, ready, own)]
    return can_load if loaded > start else None, can_unload if ready > out else None


def _hands_at(book: Book, block: Block, start: int) -> list[bool]:
    """Return for each pair of people whether one could load and the other unload."""
    can_load, can_unload = _who(book, block, start)
    at_once = block.baked_s - _ready(book) < block.loads[-1].end_s
    if can_load is None or can_unload is None:
        return [can_load != [], can_unload != []] if can_load != [] and can_unload != [] else []
    return [loader != unloader or not at_once for loader in can_load for unloader in can_unload]


def _anybody(book: Book, at: int) -> Doing | None:
    """Return what somebody is at until a moment."""
    ending = [busy for line in book.lines.values() if (busy := line.ending(at)) is not None]
    return ending[0] if ending else None

"""Lower bounds that look at one thing alone: its work, and the shortest head before and tail after.

``by_one_thing`` takes the trays as they are; ``any_trays`` holds for every choice of trays.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from benchplan.scheduling.bounds.hours import Hours
from benchplan.scheduling.problem import Job, Shop, Work
from benchplan.scheduling.trays import pans_for, wanted


@dataclass(frozen=True, slots=True)
class Piece:
    """A tray, or for ``any_trays`` one tin (``trays`` then counts the least trays they make)."""

    work: Work
    pan: str | None
    load_s: int
    unload_s: int

    @property
    def out(self) -> int:
        """From the start of loading to the tray on the stand."""
        return self.load_s + self.work.bake + self.unload_s

    @property
    def after(self) -> int:
        """From the tray on the stand to the last box."""
        return self.work.rest + self.work.transfer + self.work.cool + self.work.pack


def by_one_thing(shop: Shop, jobs: tuple[Job, ...]) -> dict[str, int]:
    """Return lower bounds in seconds on the finish with these trays, by what sets them."""
    times = shop.day.times
    pieces = [Piece(shop.work(job), job.pan, times.load_s, times.unload_s) for job in jobs]
    kinds: dict[tuple[str, float, int], int] = {}
    for job, piece in zip(jobs, pieces, strict=True):
        kind = (job.pan, piece.work.bake_at, piece.work.bake)
        kinds[kind] = kinds.get(kind, 0) + 1
    bakes = [
        (ceil(Fraction(count, _most_together(shop, pan))), bake)
        for (pan, _, bake), count in kinds.items()
    ]
    return {
        "one tray": _single(shop, pieces),
        "oven": _oven(shop, pieces, bakes, len(jobs)),
        "hands": _hands(shop, pieces, len(jobs)),
        "scale": _scale(shop, pieces),
        "mat": _mat(shop, pieces),
        "stand": _stand(shop, pieces, len(jobs)),
        "pans": max(_pans(shop, pieces, pan) for pan in {job.pan for job in jobs}),
    }


def any_trays(shop: Shop) -> int:
    """Return a lower bound in seconds on the finish with any choice of trays."""
    times = shop.day.times
    pieces: list[Piece] = []
    tins: dict[str, list[int]] = {}  # by recipe, of each scent
    for each in wanted(shop):
        for tin in range(each.tins):
            to_fill = () if tin < each.filled else ((each.scent, 1),)
            work = shop.work(Job((each.scent,), to_fill, each.recipe, ""))
            pieces.append(Piece(work, None, times.load_s, times.unload_s))
        tins.setdefault(each.recipe, []).append(each.tins)
    trays = {}
    for name, of_scent in tins.items():
        # Mixed trays may hold tins of several orders.
        apart = [sum(of_scent)] if shop.day.mix_scents else of_scent
        limit = _most_on_a_tray(shop, name)
        trays[name] = sum(-(-count // limit) for count in apart)
    most = max(_most_together(shop, pan) for pan in shop.day.pans)
    alike: dict[tuple[float, int], int] = {}
    for name, count in trays.items():
        recipe = shop.day.recipes[name]
        bake = (recipe.bake_at_c, recipe.bake_for_s)
        alike[bake] = alike.get(bake, 0) + count
    loads = [(-(-count // most), bake) for (_, bake), count in alike.items()]
    total = sum(trays.values())
    return max(
        _single(shop, pieces),
        _oven(shop, pieces, loads, total),
        _own_ovens(shop, trays, most),
        _hands(shop, pieces, total),
        _scale(shop, pieces),
        _mat(shop, pieces),
        _stand(shop, pieces, total),
    )


def _own_ovens(shop: Shop, trays: dict[str, int], most: int) -> int:
    """Some ovens must bake what no other takes, load after load between breaks of everyone."""
    ovens = list(shop.day.ovens.items())
    doors = shop.day.times.load_s + shop.day.times.unload_s
    takes: dict[str, set[str]] = {}
    for name in trays:
        recipe = shop.day.recipes[name]
        takes[name] = {oven for pan in shop.day.pans for oven in shop.ovens_for(recipe.tin, pan)}
        if recipe.pan and not any(tray.recipe == name and tray.pan for tray in shop.day.queue):
            takes[name] = set(shop.ovens_for(recipe.tin, recipe.pan))
    least = 0
    for own in filter(None, takes.values()):
        mine = [shop.day.recipes[name] for name, each in takes.items() if each <= own]
        kits = [kit for name, kit in ovens if name in own]
        spare = min(kit.recover_s for kit in kits)
        bakes: dict[tuple[float, int], int] = {}
        for recipe in mine:
            bake = (recipe.bake_at_c, recipe.bake_for_s)
            bakes[bake] = bakes.get(bake, 0) + trays[recipe.name]
        work = sum(
            -(-count // most) * (spare + bake) + count * doors for (_, bake), count in bakes.items()
        )
        each = {bake for _, bake in bakes}
        whole = spare + min(each) + doors if len(each) == 1 and most == 1 else 1
        preheats = [kit.preheat_s for kit in kits]
        out = Hours(shop).worked_off(work, preheats, preheats, spare, whole)
        works = [shop.work(Job(("",), (), recipe.name, "")) for recipe in mine]
        tail = min(work.rest + work.transfer + work.cool + work.pack for work in works)
        least = max(least, out + tail)
    return least


def _most_together(shop: Shop, pan: str) -> int:
    """Return the most trays on this pan that any oven takes at once."""
    shelf = max(
        (
            shop.room.on_shelf.get((pan, name), 0) * oven.shelves
            for name, oven in shop.day.ovens.items()
        ),
        default=0,
    )
    most = min(shelf, shop.day.pans[pan].count)
    if not _frees_its_place_at_once(shop):
        most = min(most, shop.day.cooling.stand)
    return max(1, most)


def _frees_its_place_at_once(shop: Shop) -> bool:
    """Whether some tray leaves its stand place at the moment it is put there."""
    if shop.day.on_pan:
        return not shop.day.pack_each_s and any(
            not recipe.cool_for_s for recipe in shop.day.recipes.values()
        )
    return not shop.day.times.transfer_s and any(
        not recipe.rest_for_s for recipe in shop.day.recipes.values()
    )


def _most_on_a_tray(shop: Shop, recipe: str) -> int:
    """Return the most tins of a recipe on any pan that the planner or the maker may choose."""
    pans = {*pans_for(shop, recipe)}
    pans |= {tray.pan for tray in shop.day.queue if tray.pan and tray.recipe == recipe}
    return max(shop.tray_limit(recipe, pan) for pan in pans)


def _before_load(shop: Shop, piece: Piece) -> int:
    """Return the earliest start of loading: the oven hot, the tins filled and set."""
    preheat = min(oven.preheat_s for oven in shop.day.ovens.values())
    return max(preheat, piece.work.fill + piece.work.set)


def _single(shop: Shop, pieces: list[Piece]) -> int:
    return max(_before_load(shop, piece) + piece.out + piece.after for piece in pieces)


def _oven(shop: Shop, pieces: list[Piece], bakes: list[tuple[int, int]], trays: int) -> int:
    ovens = list(shop.day.ovens.values())
    doors = trays * (shop.day.times.load_s + shop.day.times.unload_s)
    busy = doors + sum(loads * bake for loads, bake in bakes)
    head = min(_before_load(shop, piece) for piece in pieces)
    tail = min(piece.after for piece in pieces)
    between = max(0, sum(loads for loads, _ in bakes) - len(ovens))
    recover = min(oven.recover_s for oven in ovens) * between
    plain = head + ceil(Fraction(busy + recover, len(ovens)))
    return max(plain, Hours(shop).attended(head, ceil(Fraction(busy, len(ovens))))) + tail


def _changes(shop: Shop) -> int:
    """Return the least seconds of change_scent that the day needs."""
    if not shop.day.times.fill_s:
        return 0
    scents = {each.scent for each in wanted(shop) if each.tins > each.filled}
    return max(0, len(scents) - shop.day.scales) * shop.day.times.change_scent_s


def _hands(shop: Shop, pieces: list[Piece], trays: int) -> int:
    """All hand work; and all of it but one matful of packs, then cooling and one more pack."""
    doors = trays * (shop.day.times.load_s + shop.day.times.unload_s)
    hands = [each.work.fill + each.work.set + each.work.transfer for each in pieces]
    packs = [each.work.pack for each in pieces]
    early = doors + sum(hands) + _changes(shop)
    if shop.day.on_pan:
        per_tray = max(packs)
        if pieces[0].pan is None:
            per_tray *= max(_most_on_a_tray(shop, each.recipe) for each in wanted(shop))
        late = per_tray * shop.day.cooling.stand
    else:
        late = max(ceil(Fraction(each.work.pack * shop.mat_room, each.work.mat)) for each in pieces)
    everything = early + sum(packs)
    tail = min(each.work.cool + each.work.pack for each in pieces)
    staffed = Hours(shop).staffed
    return max(staffed(everything), staffed(max(early, everything - late)) + tail)


def _scale(shop: Shop, pieces: list[Piece]) -> int:
    filling = [each for each in pieces if each.work.fill]
    if not filling:
        return 0
    total = sum(each.work.fill for each in filling) + _changes(shop)
    tail = min(each.work.set + each.out + each.after for each in filling)
    return ceil(Fraction(total, shop.day.scales)) + tail


def _mat(shop: Shop, pieces: list[Piece]) -> int:
    """By area, and by turns: each piece is there at one of any moments as far apart as it stays."""
    if shop.day.on_pan:
        return 0
    holds = [each.work.transfer + each.work.cool + each.work.pack for each in pieces]
    area = sum(each.work.mat * hold for each, hold in zip(pieces, holds, strict=True))
    turns = -(-sum(each.work.mat for each in pieces) // shop.mat_room)
    head = min(_before_load(shop, each) + each.out + each.work.rest for each in pieces)
    return head + max(-(-area // shop.mat_room), turns * min(holds))


def _stand(shop: Shop, pieces: list[Piece], trays: int) -> int:
    times = shop.day.times
    if shop.day.on_pan:
        held = trays * (times.unload_s + min(each.work.cool for each in pieces))
        held += sum(each.work.pack for each in pieces)
        tail = 0
    else:
        held = trays * (times.unload_s + min(each.work.rest for each in pieces))
        held += sum(each.work.transfer for each in pieces)
        tail = min(each.work.cool + each.work.pack for each in pieces)
    head = min(_before_load(shop, each) + each.load_s + each.work.bake for each in pieces)
    return head + ceil(Fraction(held, shop.day.cooling.stand)) + tail


def _pans(shop: Shop, pieces: list[Piece], pan: str) -> int:
    mine = [each for each in pieces if each.pan == pan]
    count = shop.day.pans[pan].count
    waits = shop.day.cooling.pan_for_s
    holds = []
    for each in mine:
        hold = each.work.set + each.out + each.work.rest + each.work.transfer
        if shop.day.on_pan:
            hold += each.work.cool + each.work.pack
        holds.append(hold)
    tail = 0 if shop.day.on_pan else min(each.work.cool + each.work.pack for each in mine)
    head = min(each.work.fill for each in mine)
    on_one = -(-len(mine) // count)
    one = sum(sorted(holds)[:on_one]) + (on_one - 1) * waits
    shared = ceil(Fraction(sum(holds) + max(0, len(mine) - count) * waits, count))
    return head + max(one, shared) + tail

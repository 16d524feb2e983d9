"""Realistic production days from a seed; each kind stresses one part of the day model.

``day_of(kind, seed, trays)`` gives the same day on every machine. Hand and oven times lie near the
program's defaults (common practice, no source). Every pan states its own counts of tins, so that
no search for a packing comes in between.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from random import Random
from typing import Any

from benchplan.model import (
    Break,
    Cooling,
    Day,
    Order,
    Oven,
    Pan,
    Recipe,
    Scent,
    Times,
    Tin,
)

ROUND, TALL = Tin("round", 66.0, 19.0), Tin("tall", 50.0, 45.0)
SMALL, LARGE = (260.0, 190.0), (360.0, 260.0)
ONE_PAN, TWO_PANS, LARGE_SHELF = (340.0, 270.0), (640.0, 280.0), (450.0, 340.0)
NAMES = ("cedar", "rose", "fig", "mint", "amber", "larch", "clove", "linen", "birch", "plum")


@dataclass
class Draft:
    """A day in the making: about ``trays`` full trays; the mat holds ``mat`` full ones."""

    random: Random
    trays: int
    pans: list[Pan]
    ovens: list[Oven]
    recipes: list[Recipe]
    times: Times
    scents: int
    mat: float
    stand: int
    more: dict[str, Any] = field(default_factory=dict)
    filled: float = 0.0
    pan_for_s: int = 0

    @property
    def tray_tins(self) -> int:
        """How many round tins a tray holds, averaged over the pans."""
        pans = sum(pan.count for pan in self.pans)
        return round(sum(pan.tins[ROUND.name] * pan.count for pan in self.pans) / pans)

    def pick(self, low: int, high: int, step: int = 1) -> int:
        return self.random.randrange(low, high + 1, step)


def _pan(draw: Random, name: str, inside: tuple[float, float], tins: int, count: int) -> Pan:
    outside = (inside[0] + 15.0, inside[1] + 15.0)
    tall = round(tins * draw.uniform(1.2, 1.5))
    return Pan(name, inside, outside, 20.0, count, tins={ROUND.name: tins, TALL.name: tall})


def _recipe(draw: Random, name: str, tin: Tin = ROUND) -> Recipe:
    return Recipe(
        name=name,
        tin=tin.name,
        fill_g=31.0,
        bake_at_c=158.0,
        bake_for_s=draw.randrange(300, 601, 30),
        bake_late_s=draw.choice((30, 45, 60)),
        rest_for_s=draw.choice((60, 90, 120, 120, 180)),
        cool_for_s=draw.randrange(1200, 2401, 60),
    )


def _oven(draw: Random, name: str) -> Oven:
    recover, preheat = draw.choice((60, 90, 120)), draw.randrange(480, 901, 60)
    return Oven(name, ONE_PAN, preheat_s=preheat, recover_s=recover)


def _plain(draw: Random, trays: int) -> Draft:
    return Draft(
        random=draw,
        trays=trays,
        pans=[_pan(draw, "small", SMALL, draw.randrange(5, 9), draw.choice((1, 2, 2)))],
        ovens=[_oven(draw, "countertop")],
        recipes=[_recipe(draw, "standard")],
        times=Times(
            fill_s=draw.randrange(12, 31),
            set_s=draw.randrange(2, 6),
            load_s=draw.randrange(10, 21),
            unload_s=draw.randrange(10, 16),
            transfer_s=draw.randrange(4, 10),
            pack_s=draw.randrange(10, 26),
            change_scent_s=draw.randrange(60, 241, 30),
        ),
        scents=draw.choice((1, 2)),
        mat=draw.uniform(1.3, 4.0),
        stand=draw.choice((1, 2)),
    )


def _mat(draft: Draft) -> None:
    draft.mat = draft.random.uniform(1.0, 1.6)


def _scents(draft: Draft) -> None:
    draft.scents = max(3, draft.trays * 2 // 3)
    draft.times = replace(draft.times, change_scent_s=draft.pick(60, 300, 15))


def _pans(draft: Draft) -> None:
    draw = draft.random
    draft.pans = [
        _pan(draw, "small", SMALL, draft.pick(4, 7), draft.pick(1, 2)),
        _pan(draw, "large", LARGE, draft.pick(8, 12), 1),
    ]
    draft.ovens = [replace(oven, shelf_mm=LARGE_SHELF) for oven in draft.ovens]


def _shelves(draft: Draft) -> None:
    draw, together = draft.random, draft.pick(2, 3)
    wide = draw.random() < 0.5 and together == 2 and len(draft.pans) == 1
    draft.ovens = [
        replace(oven, shelf_mm=TWO_PANS if wide else LARGE_SHELF, shelves=1 if wide else together)
        for oven in draft.ovens
    ]
    draft.pans = [replace(pan, count=max(pan.count, draft.pick(2, 4))) for pan in draft.pans]
    draft.stand = draft.pick(2, 3)
    draft.mat = max(draft.mat, draw.uniform(2.0, 5.0))


def _ovens(draft: Draft) -> None:
    other = replace(_oven(draft.random, "deep"), shelf_mm=draft.ovens[0].shelf_mm)
    draft.ovens = [*draft.ovens, other]
    draft.pans = [replace(pan, count=pan.count + 1) for pan in draft.pans]
    draft.more["people"] = draft.pick(1, 2)
    draft.stand = 2


def _people(draft: Draft) -> None:
    draft.more |= {"people": 2, "scales": draft.pick(1, 2)}
    draft.scents = max(draft.scents, 2)


def _breaks(draft: Draft) -> None:
    people = draft.random.choice((1, 1, 2))
    draft.more["people"] = max(people, draft.more.get("people", 1))
    first = Break(draft.pick(3600, 7200, 300), draft.pick(600, 2700, 300))
    second = Break(draft.pick(10800, 14400, 300), draft.pick(900, 3600, 300))
    if draft.more["people"] > 1:
        first = replace(first, away=1)
    draft.more["breaks"] = (first, second) if draft.random.random() < 0.5 else (first,)


def _heat(draft: Draft) -> None:
    draw = draft.random
    draft.recipes = [
        replace(_recipe(draw, name), bake_at_c=heat)
        for name, heat in (("cool", 133.0), ("standard", 158.0), ("hot", 173.0))
    ][: draft.pick(2, 3)]
    kelvin = draw.choice((3.0, 6.0, 8.0))
    draft.ovens = [replace(oven, per_kelvin_s=kelvin) for oven in draft.ovens]
    draft.scents = max(draft.scents, 2)


def _on_pan(draft: Draft) -> None:
    draft.pans = [replace(pan, count=draft.pick(3, 6)) for pan in draft.pans]
    draft.stand = draft.pick(3, 6)
    draft.more["on pan"] = True


def _ready(draft: Draft) -> None:
    draft.times = replace(draft.times, ready_s=draft.pick(30, 60, 5))
    draft.pan_for_s = draft.pick(60, 240, 30)
    # Small is what a load allows: its last tray waits for the unloads before it.
    late = 30 if draft.stand > 2 else draft.random.choice((0, 5, 15))
    draft.recipes = [replace(recipe, bake_late_s=late) for recipe in draft.recipes]


def _mixed(draft: Draft) -> None:
    draft.more["mix_scents"] = True
    draft.scents = draft.pick(3, 5)


def _filled(draft: Draft) -> None:
    draft.filled = draft.random.uniform(0.3, 0.9)
    draft.recipes = [*draft.recipes, _recipe(draft.random, "candle", TALL)]
    draft.scents = max(draft.scents, 2)


def _later(draft: Draft) -> None:
    draft.more["pack"] = "later"
    draft.times = replace(draft.times, clear_s=draft.pick(2, 5))


STRESSES: dict[str, Callable[[Draft], None]] = {
    "mat": _mat,
    "scents": _scents,
    "pans": _pans,
    "shelves": _shelves,
    "ovens": _ovens,
    "people": _people,
    "breaks": _breaks,
    "heat": _heat,
    "on pan": _on_pan,
    "ready": _ready,
    "mixed": _mixed,
    "filled": _filled,
    "later": _later,
}
KINDS: tuple[str, ...] = ("plain", *STRESSES, "all")


def day_of(kind: str, seed: int, trays: int) -> Day:
    """Return a day of a kind with about ``trays`` full trays; KeyError for an unknown kind."""
    draw = Random(f"{kind} {seed} {trays}")
    draft = _plain(draw, trays)
    if kind == "all":
        chosen = set(draw.sample(sorted(STRESSES), 4))
        stresses = [stress for name, stress in STRESSES.items() if name in chosen]
    else:
        stresses = [] if kind == "plain" else [STRESSES[kind]]
    for stress in stresses:
        stress(draft)
    return _day(f"{kind} {seed} {trays}", draft)


def _day(name: str, draft: Draft) -> Day:
    scents = NAMES[: min(draft.scents, draft.trays, len(NAMES))]
    more = dict(draft.more)
    on_pan = more.pop("on pan", False)
    return Day(
        name=name,
        start=datetime(2026, 12, 5, 9, tzinfo=UTC),
        orders=tuple(_orders(draft, scents)),
        recipes={recipe.name: recipe for recipe in draft.recipes},
        tins={ROUND.name: ROUND, TALL.name: TALL},
        pans={pan.name: pan for pan in draft.pans},
        ovens={oven.name: oven for oven in draft.ovens},
        cooling=_cooling(draft, on_pan),
        times=draft.times,
        scents={name: Scent(name, strength=draft.pick(1, 5)) for name in scents},
        **more,
    )


def _cooling(draft: Draft, on_pan: bool) -> Cooling:
    if on_pan:
        return Cooling("pan", draft.stand, pan_for_s=draft.pan_for_s)
    most = max(count for pan in draft.pans for tin, count in pan.tins.items() if tin == ROUND.name)
    tins = max(most, round(draft.mat * draft.tray_tins))
    if len({recipe.tin for recipe in draft.recipes}) == 1:
        return Cooling(stand=draft.stand, mat_tins=tins, pan_for_s=draft.pan_for_s)
    # Tins of two sizes take different shares of the mat, so its size says how many of each fit.
    rows = 4
    size = (76.0 * -(-tins // rows) + 5.0, 76.0 * rows + 5.0)
    return Cooling(stand=draft.stand, mat_mm=size, pan_for_s=draft.pan_for_s)


def _orders(draft: Draft, scents: tuple[str, ...]) -> list[Order]:
    """Share the trays out among scents and recipes; most orders leave one tray not full."""
    shares = [1] * max(len(scents), min(len(draft.recipes), draft.trays))
    for _ in range(draft.trays - len(shares)):
        shares[draft.random.randrange(len(shares))] += 1
    found = []
    for index, share in enumerate(shares):
        recipe = draft.recipes[index % len(draft.recipes)]
        full = draft.tray_tins
        if recipe.tin == TALL.name:
            full = min(pan.tins[TALL.name] for pan in draft.pans)
        less = draft.random.randrange(full) if draft.random.random() < 0.6 else 0
        tins = share * full - less
        filled = round(tins * draft.filled * draft.random.random())
        found.append(Order(scents[index % len(scents)], recipe.name, tins, filled))
    return found

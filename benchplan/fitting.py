"""What fits in a day's kit: rows at once, more where a search has found more. No input, no output.

What searches found is an argument, so that a fit is a function of the day and of what is known.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from benchplan import packing, units
from benchplan.errors import BenchplanError, Problem
from benchplan.model import Day, Fit, Margins

Places = tuple[tuple[float, float], ...]

KnownFits = Mapping[str, Places]
"""What searches found, by their keys: places in least distances, () where no more than rows fit."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """A fit to search: its key, the tin, the pan, and how many are known to fit."""

    key: str
    tin: str
    pan: str
    count: int


def fit_day(day: Day, known_fits: KnownFits | None = None) -> tuple[Fit, ...]:
    """Return what fits: every tin on every pan, every pan on every shelf, every tin on the mat.

    Raises ``BenchplanError`` when a maker's own number is more than is possible.
    """
    known = known_fits or {}
    fits = []
    problems: list[Problem] = []
    for tin in day.tins:
        for pan in day.pans:
            fit = _tins_on_pan(day, tin, pan, known)
            own = day.pans[pan].tins.get(tin)
            if own is not None:
                refused = _refused(day, fit, own)
                problems += refused
                fit = fit if refused else _as_maker_says(day, fit, own)
            fits.append(fit)
    for pan in day.pans:
        for oven in day.ovens:
            packed = packing.pack_pans(
                day.ovens[oven].shelf_mm, day.pans[pan].outside_mm, day.ovens[oven].air_mm
            )
            count, at_mm = packed.count, packed.at_mm
            if day.pans[pan].height_mm > day.ovens[oven].headroom_mm:
                count, at_mm = 0, ()
            fits.append(
                Fit(
                    "pans on shelf",
                    count,
                    packed.most_possible if count else 0,
                    packed.by,
                    pan=pan,
                    oven=oven,
                    at_mm=at_mm,
                )
            )
    if not day.on_pan:
        fits += [_tins_on_mat(day, tin) for tin in day.tins]
    if problems:
        raise BenchplanError(*problems)
    return tuple(fits)


def unsearched(day: Day, known_fits: KnownFits, every: bool = False) -> tuple[Wanted, ...]:
    """Return the fits that a search may better, each by its key, and that nobody has searched yet.

    Those that the day can use, or ``every`` one of its tins and pans. A pan in tidy rows, a number
    that the maker gives and a fit that is proven are not searched.
    """
    wanted: dict[str, Wanted] = {}
    for tin, pan in _pairs(day, every):
        kit = day.pans[pan]
        key = _search_key(day, tin, pan)
        if kit.pattern == "tidy" or tin in kit.tins or not key:
            continue
        fit = _tins_on_pan(day, tin, pan, known_fits)
        if key in known_fits and len(known_fits[key]) <= fit.count:
            continue  # searched, and what was found holds
        if fit.most_possible is not None and fit.count < fit.most_possible:
            wanted.setdefault(key, Wanted(key, tin, pan, fit.count))
    return tuple(wanted.values())


def search(
    day: Day,
    wanted: Wanted,
    known_fits: KnownFits,
    stop_for: packing.StopFor = packing.usual_stop,
    seed: int = 0,
    tell: Callable[[int], None] | None = None,
) -> Places:
    """Search for more tins than are known to fit; return their places, () where there are none.

    What comes back belongs into ``known_fits`` under the key of ``wanted``, unless the search was
    cut short. ``tell`` hears each better number of tins as soon as it stands.
    """
    kit, tin = day.pans[wanted.pan], day.tins[wanted.tin]
    packed = packing.pack_tins(
        kit.inside_mm,
        tin.diameter_mm,
        kit.gap_mm,
        kit.edge_mm,
        stop_for=stop_for,
        seed=seed,
        known=_own_first(known_fits, wanted.key),
        tell=None if tell is None else lambda better: tell(better.count),
    )
    return packed.places


def margins_of(day: Day, fit: Fit) -> Margins | None:
    """Return what a fit of tins on a pan could spare and what one more tin would need.

    None for anything else, where nothing stands, and for a number that is the maker's.
    """
    if fit.what != "tins on pan" or fit.by == "maker" or not fit.tin or not fit.pan:
        return None
    kit = day.pans[fit.pan]
    packed = packing.Packed(
        fit.count, fit.most_possible, fit.by, tuple((at[0], at[1]) for at in fit.at_mm)
    )
    return _margins(kit.inside_mm, day.tins[fit.tin].diameter_mm, kit.gap_mm, kit.edge_mm, packed)


@lru_cache(maxsize=64)
def _margins(
    inside_mm: tuple[float, float],
    diameter_mm: float,
    gap_mm: float,
    edge_mm: float,
    packed: packing.Packed,
) -> Margins | None:
    return packing.margins(inside_mm, diameter_mm, gap_mm, edge_mm, packed)


def _pairs(day: Day, every: bool) -> Iterator[tuple[str, str]]:
    """Yield the tins and pans that belong together: all, or those that the orders can use."""
    if every:
        yield from ((tin, pan) for tin in day.tins for pan in day.pans)
        return
    for name in dict.fromkeys(order.recipe for order in day.orders):
        recipe = day.recipes[name]
        yield from ((recipe.tin, pan) for pan in ([recipe.pan] if recipe.pan else day.pans))


def _search_key(day: Day, tin: str, pan: str) -> str:
    kit = day.pans[pan]
    return packing.search_key(kit.inside_mm, day.tins[tin].diameter_mm, kit.gap_mm, kit.edge_mm)


def _own_first(known: KnownFits, key: str) -> Iterator[Places]:
    """Yield what is known, in the same order whenever it was found: this key's, then the others."""
    yield known.get(key, ())
    yield from (known[each] for each in sorted(known))


def _tins_on_pan(day: Day, tin: str, pan: str, known: KnownFits) -> Fit:
    kit = day.pans[pan]
    packed = packing.pack_tins(
        kit.inside_mm,
        day.tins[tin].diameter_mm,
        kit.gap_mm,
        kit.edge_mm,
        tidy=kit.pattern == "tidy",
        known=_own_first(known, _search_key(day, tin, pan)),
    )
    return Fit(
        "tins on pan",
        packed.count,
        packed.most_possible,
        packed.by,
        tin=tin,
        pan=pan,
        at_mm=packed.at_mm,
    )


@lru_cache(maxsize=512)
def _packed(
    inside_mm: tuple[float, float], diameter_mm: float, gap_mm: float, edge_mm: float, tidy: bool
) -> packing.Packed:
    return packing.pack_tins(inside_mm, diameter_mm, gap_mm, edge_mm, tidy=tidy)


def _tins_on_mat(day: Day, tin: str) -> Fit:
    cooling = day.cooling
    if cooling.mat_tins is not None or cooling.mat_mm is None:
        return Fit("tins on mat", cooling.mat_tins or 0, by="maker", tin=tin)
    packed = packing.pack_mat(cooling.mat_mm, day.tins[tin].diameter_mm, cooling.gap_mm)
    return Fit("tins on mat", packed.count, by=packed.by, tin=tin, at_mm=packed.at_mm)


def _gap_that_allows(day: Day, tin: str, pan: str, count: int) -> float | None:
    """Return the widest gap in mm, to 0.1, at which rows place ``count`` tins; None: not even 0."""
    kit = day.pans[pan]

    def fits(tenths: int) -> bool:
        size = day.tins[tin].diameter_mm
        return _packed(kit.inside_mm, size, tenths / 10, kit.edge_mm, False).count >= count

    if not fits(0):
        return None
    low, high = 0, int(kit.gap_mm * 10)
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if fits(middle) else (low, middle - 1)
    return low / 10


def _refused(day: Day, fit: Fit, own: int) -> list[Problem]:
    """Say why a maker's own number cannot be: it is above what is proven to be the most."""
    if fit.most_possible is None or own <= fit.most_possible:
        return []
    tin, pan = fit.tin or "", fit.pan or ""
    gap = _gap_that_allows(day, tin, pan, own)
    cure = f"At most {fit.most_possible} would do."
    if gap is not None:
        widest = units.show_at_most(gap, day.display.units)
        cure = f"At most {fit.most_possible}, or a gap of {widest}, would do."
    between = units.show_length(day.pans[pan].gap_mm, day.display.units)
    return [
        Problem(
            f"{own} {tin} tins cannot stand on pan {pan} with a gap of {between} between them: "
            f"no more than {fit.most_possible} can.",
            cure,
            key=f"pans.{_key(pan)}.tins.{_key(tin)}",
        )
    ]


def _key(name: str) -> str:
    """Return a name as it stands in a key path of a plan file."""
    bare = re.fullmatch(r"[A-Za-z0-9_-]+", name)
    return name if bare else json.dumps(name, ensure_ascii=False)


def _as_maker_says(day: Day, fit: Fit, own: int) -> Fit:
    """Return the fit with the maker's own number; the tins stand closer where it needs that.

    What rows do not give at any gap is drawn in the rows of smaller tins: every tin has its place.
    """
    at_mm = fit.at_mm[:own]
    if own > fit.count:
        kit, size = day.pans[fit.pan or ""], day.tins[fit.tin or ""].diameter_mm
        gap = _gap_that_allows(day, fit.tin or "", fit.pan or "", own) or 0.0
        found = _packed(kit.inside_mm, size, gap, kit.edge_mm, False)
        while found.count < own:
            size *= 0.99
            found = _packed(kit.inside_mm, size, gap, kit.edge_mm, False)
        at_mm = found.at_mm[:own]
    return replace(fit, count=own, by="maker", at_mm=at_mm)

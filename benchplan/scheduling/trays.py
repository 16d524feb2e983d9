"""Ways to put the orders on trays: which pan, how many tins on each, which trays share a load."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import product

from benchplan.scheduling.problem import Job, Loads, Shop

SIZES = ("full", "even", "small first", "half mat")


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is still to be put on trays: tins of one scent and recipe, some filled already."""

    scent: str
    recipe: str
    tins: int
    filled: int


def wanted(shop: Shop) -> list[Wanted]:
    """Return the orders, one entry a scent and recipe, in the order of the file."""
    sums: dict[tuple[str, str], tuple[int, int]] = {}
    for order in shop.day.orders:
        tins, filled = sums.get((order.scent, order.recipe), (0, 0))
        sums[order.scent, order.recipe] = (tins + order.tins, filled + order.filled)
    return [Wanted(*key, *value) for key, value in sums.items()]


def pans_for(shop: Shop, recipe: str) -> list[str]:
    """Return the kinds of pan that may carry a recipe, the roomiest (then the most) first."""
    own = shop.day.recipes[recipe].pan
    names = [own] if own else list(shop.day.pans)
    usable = [name for name in names if shop.tray_limit(recipe, name) > 0]
    return sorted(
        usable,
        key=lambda name: (-shop.tray_limit(recipe, name), -shop.day.pans[name].count),
    )


def candidates(shop: Shop) -> Iterator[tuple[Job, ...]]:
    """Yield different sets of trays for the day, the plainest first; none twice."""
    seen: set[tuple[Job, ...]] = set()
    queue, rest, filled = _queued(shop)
    mixes = (False, True) if shop.day.mix_scents and len(rest) > 1 else (False,)
    for sharing, size, mixed in product((False, True), SIZES, mixes):
        more: list[Job] = []
        groups = _groups(shop, rest, mixed)
        for recipe, tins in groups:
            pans = pans_for(shop, recipe)
            more += _split(shop, recipe, tins, pans if sharing else pans[:1], size)
        jobs = tuple(fill_counts([*queue, *more], dict(filled)))
        if jobs not in seen:
            seen.add(jobs)
            yield jobs


def _queued(
    shop: Shop,
) -> tuple[list[Job], list[Wanted], dict[tuple[str, str], int]]:
    """Return the maker's own trays, what they leave out, and how many tins are filled already."""
    left = {(each.scent, each.recipe): each.tins for each in wanted(shop)}
    filled = {(each.scent, each.recipe): each.filled for each in wanted(shop)}
    jobs = []
    for tray in shop.day.queue:
        for scent in tray.scents:
            left[scent, tray.recipe] -= 1
        pans = [tray.pan] if tray.pan else pans_for(shop, tray.recipe)
        fits = [name for name in pans if shop.tray_limit(tray.recipe, name) >= tray.tins]
        pan = min(fits, key=pans.index)
        jobs.append(Job(tray.scents, (), tray.recipe, pan, asked=True))
    rest = [Wanted(*key, count, 0) for key, count in left.items() if count > 0]
    return jobs, rest, filled


def _groups(shop: Shop, rest: list[Wanted], mixed: bool) -> list[tuple[str, list[str]]]:
    """Return (recipe, scents tin by tin), a group for what may stand on one tray together."""
    light_first = sorted(rest, key=lambda each: shop.day.scent(each.scent).strength)
    if not mixed:
        return [(each.recipe, [each.scent] * each.tins) for each in light_first]
    recipes = dict.fromkeys(each.recipe for each in light_first)
    return [
        (
            recipe,
            [
                scent
                for each in light_first
                if each.recipe == recipe
                for scent in [each.scent] * each.tins
            ],
        )
        for recipe in recipes
    ]


def _split(shop: Shop, recipe: str, tins: list[str], pans: list[str], size: str) -> list[Job]:
    """Cut one group into trays; with several kinds of pan, each takes its share in turn."""
    jobs: list[Job] = []
    used = dict.fromkeys(pans, 0)
    at = 0
    if size == "even" and len(pans) == 1:
        limit = shop.tray_limit(recipe, pans[0])
        trays = -(-len(tins) // limit)
        sizes = [len(tins) // trays + (index < len(tins) % trays) for index in range(trays)]
    else:
        sizes = []
    while at < len(tins):
        pan = min(pans, key=lambda name: (used[name] + 1) / shop.day.pans[name].count)
        used[pan] += 1
        limit = shop.tray_limit(recipe, pan)
        if size == "half mat" and not shop.day.on_pan:
            half = shop.room.on_mat[shop.day.recipes[recipe].tin] // 2
            limit = min(limit, max(half, 1))
        if sizes:
            limit = sizes[len(jobs)]
        elif size == "small first" and not jobs and len(pans) == 1:
            limit = len(tins) % limit or limit
        jobs.append(Job(tuple(tins[at : at + limit]), (), recipe, pan))
        at += limit
    return jobs


def fill_counts(jobs: list[Job], filled: dict[tuple[str, str], int]) -> Iterator[Job]:
    """Say for each tray which of its tins still have to be filled; filled ones are used first."""
    for job in jobs:
        to_fill = []
        for scent in dict.fromkeys(job.scents):
            count = job.scents.count(scent)
            ready = min(count, filled.get((scent, job.recipe), 0))
            filled[scent, job.recipe] = filled.get((scent, job.recipe), 0) - ready
            if count > ready:
                to_fill.append((scent, count - ready))
        yield replace(job, to_fill=tuple(to_fill))


def arranged(shop: Shop, jobs: tuple[Job, ...]) -> Iterator[tuple[tuple[Job, ...], Loads]]:
    """Yield orders of the trays with their loads; with keep_order only the maker's own order."""
    orders = [jobs] if shop.day.keep_order else list(dict.fromkeys(_orders(shop, jobs)))
    for order in orders:
        found = [grouped(shop, order, most) for most in (99, 1)]
        yield from ((order, loads) for loads in dict.fromkeys(found))


def _orders(shop: Shop, jobs: tuple[Job, ...]) -> Iterator[tuple[Job, ...]]:
    """Yield sensible orders: by scent from light to strong, by temperature, by size."""

    def strength(job: Job) -> tuple[int, str]:
        return max(shop.day.scent(name).strength for name in job.scents), job.scents[0]

    def heat(job: Job) -> float:
        return shop.recipe(job).bake_at_c

    yield tuple(sorted(jobs, key=lambda job: (heat(job), strength(job), -job.tins)))
    yield tuple(sorted(jobs, key=lambda job: (-heat(job), strength(job), -job.tins)))
    yield tuple(sorted(jobs, key=lambda job: (strength(job), heat(job), -job.tins)))
    yield tuple(sorted(jobs, key=lambda job: (strength(job), heat(job), job.tins)))
    yield tuple(sorted(jobs, key=lambda job: (-job.tins, strength(job))))
    yield jobs


def grouped(shop: Shop, jobs: tuple[Job, ...], most: int) -> Loads:
    """Put trays together into loads of at most ``most``, as they follow each other.

    Without keep_order a later tray may join an earlier load that it suits.
    """
    loads: list[list[int]] = []
    open_loads: dict[tuple[str, float, int], list[list[int]]] = {}
    kind = before = None
    for index, job in enumerate(jobs):
        recipe = shop.recipe(job)
        kind = (job.pan, recipe.bake_at_c, recipe.bake_for_s)
        if shop.day.keep_order and kind != before:
            open_loads.clear()
        before = kind
        suiting = open_loads.setdefault(kind, [])
        for load in suiting:
            if shop.load_allowed([jobs[each] for each in load] + [job]):
                load.append(index)
                break
        else:
            load = [index]
            loads.append(load)
            if shop.day.keep_order:
                suiting.clear()
            suiting.append(load)
        if len(load) >= min(most, shop.most_pans(job.pan)):
            suiting[:] = [each for each in suiting if each is not load]
    return tuple(tuple(load) for load in loads)

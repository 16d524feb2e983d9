"""The planner: from a day to a plan, and from marks to the rest of it. No input, no output.

A plan is a function of the day, the stop rule, the seed and the known fits.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import replace

from benchplan import clock, heat, packing
from benchplan.ceilings import value_warnings
from benchplan.errors import BenchplanError, Problem
from benchplan.fitting import KnownFits, fit_day
from benchplan.model import Cannot, Day, Fit, Mark, Plan, Tray
from benchplan.model.run import NOTED, known_part, moving
from benchplan.model.stop import Iterations, Stop, go_on, never
from benchplan.model.words import count_words, tray_words
from benchplan.scheduling import (
    Capacities,
    Job,
    Schedule,
    Shop,
    any_trays,
    given,
    impossible,
    limits,
    rebuilt,
    scheduled,
)

LOOKS_OF_FEW = 38  # times the cube of the trays: what a day of a few trays is looked at
FEWER_LOOKS = 1.25  # the power of the trays that a larger day's looks are divided by
FEW_TRAYS = 12
LEAST_LOOKS = 16


def resolved(day: Day) -> Day:
    """Return the day with every recipe's cool_for a number, estimated where the maker gave none."""
    recipes = {
        name: recipe
        if recipe.cool_for_s is not None
        else replace(recipe, cool_for_s=heat.cool_for_s(day.tins[recipe.tin], day.cooling))
        for name, recipe in day.recipes.items()
    }
    return replace(day, recipes=recipes)


def shop_of(day: Day, fits: Iterable[Fit]) -> Shop:
    """Return the day with what fits in it, as its builder wants it."""
    on_pan: dict[tuple[str, str], int] = {}
    on_shelf: dict[tuple[str, str], int] = {}
    on_mat: dict[str, int] = {}
    for fit in fits:
        if fit.what == "tins on pan":
            on_pan[fit.tin or "", fit.pan or ""] = fit.count
        elif fit.what == "pans on shelf":
            on_shelf[fit.pan or "", fit.oven or ""] = fit.count
        else:
            on_mat[fit.tin or ""] = fit.count
    return Shop(day, Capacities(on_pan, on_shelf, on_mat))


def check_day(day: Day, fits: tuple[Fit, ...] | None = None) -> tuple[str, ...]:
    """Return the simple impossibilities of a day, without making a schedule.

    Raises ``BenchplanError`` for what the maker asked for and cannot be: an own number above what
    is possible, or a tray of ``[[trays]]`` larger than fits.
    """
    fits = fit_day(day) if fits is None else fits
    _check_asked(day)
    shop = shop_of(resolved(day), fits)
    reasons = impossible(shop)
    if not reasons:
        _check_queue(shop)
    return reasons


def check_asked(day: Day) -> None:
    """Raise ``BenchplanError`` for what no search for more tins could make possible.

    That is an own number above what is proven to be the most, and trays of ``[[trays]]`` with more
    tins than ordered or than can stand on any of their pans.
    """
    fits = fit_day(day)
    _check_asked(day)
    most = tuple(replace(fit, count=fit.most_possible or fit.count) for fit in fits)
    shop = shop_of(resolved(day), most)
    if not impossible(shop):
        _check_queue(shop)


def _check_asked(day: Day) -> None:
    """Raise ``BenchplanError`` for trays in the queue that hold more than was ordered."""
    ordered: dict[tuple[str, str], int] = {}
    for order in day.orders:
        key = (order.scent, order.recipe)
        ordered[key] = ordered.get(key, 0) + order.tins
    asked: dict[tuple[str, str], int] = {}
    for tray in day.queue:
        for scent in tray.scents:
            asked[scent, tray.recipe] = asked.get((scent, tray.recipe), 0) + 1
    problems = [
        Problem(
            f"[[trays]] ask for {count_words(count, 'tin')} of {scent} ({recipe}), and the orders "
            f"for {ordered.get((scent, recipe), 0)}.",
            "Fewer tins on the trays, or more in the orders, would do.",
            key="trays",
        )
        for (scent, recipe), count in asked.items()
        if count > ordered.get((scent, recipe), 0)
    ]
    if problems:
        raise BenchplanError(*problems)


def _check_queue(shop: Shop) -> None:
    """Raise ``BenchplanError`` for trays in the queue that hold more tins than fit."""
    problems = []
    for number, tray in enumerate(shop.day.queue, start=1):
        pans = [tray.pan or shop.day.recipes[tray.recipe].pan or ""]
        pans = pans if pans[0] else list(shop.day.pans)
        most = max(shop.tray_limit(tray.recipe, pan) for pan in pans)
        if tray.tins > most:
            problems.append(
                Problem(
                    f"Tray {number} of [[trays]] asks for {tray.tins} tins of "
                    f"{tray.scents[0]} ({tray.recipe}), and a tray can hold {most}.",
                    f"At most {count_words(most, 'tin')} would do; pan, mat and oven set that.",
                    key=f"trays[{number}].tins",
                )
            )
    if problems:
        raise BenchplanError(*problems)


def default_stop(day: Day) -> Iterations:
    """Return a stop rule of one or two seconds for a day whose finish is not proven to be the
    earliest before.
    """
    return _looks(day, 6000, 60000)


def quick_stop(day: Day) -> Iterations:
    """Return a stop rule for plans that are made by the dozen, to compare days with each other."""
    return _looks(day, 1500, 7500)


def _looks(day: Day, most: int, shared: int) -> Iterations:
    """Allow ``most`` looks up to ``FEW_TRAYS``, and by nothing but the day's size fewer beyond.

    A look costs as much as there are trays, and the fuller they are the more: ``shared`` looks are
    shared out among sixes of tins. Few trays have few orders and need few looks; all the looks at a
    large day take no longer than those at a smaller one.
    """
    trays = about_trays(day)
    share = most * (FEW_TRAYS / trays) ** FEWER_LOOKS
    share = min(share, shared / max(1, day.tins_wanted // 6))
    return Iterations(max(LEAST_LOOKS, min(most, LOOKS_OF_FEW * trays**3, int(share))))


def about_trays(day: Day) -> int:
    """Return about how many trays the day makes at least, without laying out a pan."""
    left: Counter[tuple[str, str]] = Counter()
    for order in day.orders:
        left["" if day.mix_scents else order.scent, order.recipe] += order.tins
    for tray in day.queue:
        for scent in tray.scents:
            left["" if day.mix_scents else scent, tray.recipe] -= 1
    most = {recipe: _most_on_a_pan(day, recipe) for _, recipe in left}
    trays = sum(-(-tins // most[recipe]) for (_, recipe), tins in left.items() if tins > 0)
    return max(1, trays + len(day.queue))


def _most_on_a_pan(day: Day, name: str) -> int:
    """Return about how many tins of a recipe stand on its roomiest pan: what its area allows."""
    recipe = day.recipes[name]
    tin = day.tins[recipe.tin]
    counts = [1]
    for pan in (day.pans[recipe.pan],) if recipe.pan else day.pans.values():
        apart = tin.diameter_mm + pan.gap_mm
        wide, deep = (side - 2 * pan.edge_mm + pan.gap_mm for side in pan.inside_mm)
        room = int(wide * deep / apart**2) if min(wide, deep) >= apart else 0
        counts.append(pan.tins.get(recipe.tin, room))
    caps = [oven.most_tins for oven in day.ovens.values() if oven.most_tins is not None]
    most = max(counts) if len(caps) < len(day.ovens) else min(max(counts), max(caps))
    return max(1, most)


def plan_day(
    day: Day,
    stop: Stop | None = None,
    seed: int = 0,
    known_fits: KnownFits | None = None,
    like: Plan | None = None,
) -> Plan | Cannot:
    """Return the best plan found before ``stop``, or why the day cannot be done.

    ``like`` is the plan of a day like this one, to begin from where it can be done here too.

    Raises ``BenchplanError`` as ``check_day`` does.
    """
    fits = fit_day(day, known_fits)
    reasons = check_day(day, fits)
    used = _used(day, fits)
    if reasons:
        return Cannot(reasons, used)
    shop = shop_of(resolved(day), fits)
    found = scheduled(shop, stop or default_stop(day), seed, like)
    if isinstance(found, Cannot):
        return replace(found, fits=used)
    jobs = tuple(Job.of(tray) for tray in found.trays)
    return _plan(shop, found, used, given(shop, jobs, until=found.finish_s), any_trays(shop))


def replan(day: Day, plan: Plan, marks: tuple[Mark, ...], now_s: int, stop: Stop = never) -> Plan:
    """Return the plan that follows from what was marked by ``now_s``; trays and numbers stay.

    ``plan`` is the one that was followed until now: its order says what people are at. The bounds
    stay those of the plan before the run: they speak of the whole day. Raises ``Stopped`` once
    ``stop`` says so.
    """
    go_on(stop)
    from benchplan import live  # a first plan needs no run

    marked = live.as_marked(day, plan, marks)
    plan = marked.plan
    if marked.news.ending == "abort":
        return plan
    if not plan.loads:
        return replace(plan, finish_s=now_s)
    if live.on_time(marked, marks, now_s):
        return plan
    shop = shop_of(resolved(marked.day), plan.fits)
    found = rebuilt(shop, plan, live.past(day, plan, marks, now_s), stop)
    return _plan(shop, found, plan.fits, plan.bound_s, plan.bound_any_s)


def follow(
    day: Day,
    base: Plan,
    marks: tuple[Mark, ...],
    trail: Mapping[tuple[int, ...], Plan] | None = None,
    stop: Stop = never,
) -> Plan:
    """Return the plan that a whole run came to with its last mark: ``replan`` from mark to mark.

    It depends on nothing but the first plan and the marks, so going on after a crash shows what was
    shown before. ``trail`` holds plans that followed so far, by ``moving`` of the marks until then:
    the longest part of them that is known need not be planned again. Raises ``Stopped`` as
    ``replan`` does.
    """
    numbers = moving(marks)
    known = trail or {}
    longest = known_part(known, numbers)
    plan = known.get(longest, base)
    passed = 0
    for count, mark in enumerate(marks, start=1):
        if mark.what in NOTED:
            continue
        passed += 1
        if passed > len(longest):
            plan = replan(day, plan, marks[:count], mark.entered_s, stop)
    return plan


def _plan(
    shop: Shop, found: Schedule, fits: tuple[Fit, ...], bound_s: int, bound_any_s: int
) -> Plan:
    return Plan(
        trays=tuple(_placed(shop.day, tray, fits) for tray in found.trays),
        loads=found.loads,
        steps=found.steps,
        other=found.other,
        fits=fits,
        finish_s=found.finish_s,
        bound_s=max(bound_s, bound_any_s),
        bound_any_s=bound_any_s,
        limits=limits(shop, found),
        warnings=tuple(_warnings(shop, found)),
        value_warnings=value_warnings(shop.day),
    )


def _used(day: Day, fits: tuple[Fit, ...]) -> tuple[Fit, ...]:
    """Return the fits that the day's orders can make use of."""
    tins = {day.recipes[order.recipe].tin for order in day.orders}
    return tuple(fit for fit in fits if fit.tin is None or fit.tin in tins)


def _placed(day: Day, tray: Tray, fits: tuple[Fit, ...]) -> Tray:
    """Return the tray with a centre for each of its tins."""
    tin = day.recipes[tray.recipe].tin
    for fit in fits:
        if fit.what == "tins on pan" and (fit.tin, fit.pan) == (tin, tray.pan):
            centres = tuple((each[0], each[1]) for each in fit.at_mm)
            return replace(tray, at_mm=packing.spread(centres, tray.tins))
    return tray


def _warnings(shop: Shop, found: Schedule) -> Iterable[str]:
    day = shop.day
    if day.finish_by_s is not None and found.finish_s > day.finish_by_s:
        late = clock.show_minutes(found.finish_s - day.finish_by_s)
        by = clock.show_time(clock.at(day.start, day.finish_by_s), day.display.clock)
        yield f"The day ends {late} after finish_by ({by})."
    for begin, end in day.nobody():
        cooling = [
            step.tray
            for step in found.steps
            if step.step in ("cool", "rest") and step.start_s < end and begin < step.end_s
        ]
        if cooling:
            from_to = " to ".join(
                clock.show_time(clock.at(day.start, second), day.display.clock)
                for second in (begin, end)
            )
            trays = tray_words(tuple(dict.fromkeys(cooling)))
            yield (
                f"{trays.capitalize()} cool with nobody there ({from_to}): keep children, pets "
                "and anything that burns away from hot tins."
            )

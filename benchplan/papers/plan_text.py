"""A plan that a person can follow on paper."""

from __future__ import annotations

from collections import Counter

from benchplan import clock, units
from benchplan.model import Day, Plan, Tray
from benchplan.model.beads import beads_g
from benchplan.model.cells import cells, left, right, wrap
from benchplan.model.more_words import chance_words, in_time_words, one_more_words, start_words
from benchplan.model.waits import chain_words, mat_words
from benchplan.model.words import (
    at_clock,
    bound_words,
    count_words,
    finish_words,
    fit_words,
    plan_warnings,
    scent_words,
)
from benchplan.papers.cautions import CAUTIONS, DECIDES, day_cautions
from benchplan.papers.page import date_words, day_words, paragraph, table
from benchplan.papers.timeline import timeline


def plan_text(day: Day, plan: Plan, width: int = 80) -> str:
    """Return the whole plan as lines of at most ``width`` cells.

    ``day`` has its cooling times settled; where it has not, the words that need them are left out.
    """
    sections = (
        _head(day, plan, width),
        _warnings(day, plan, width),
        _to_hand(day, plan, width),
        _trays(plan, width),
        _timeline(day, plan, width),
        _limits(day, plan, width),
        _cautions(day, width),
    )
    return "\n\n".join("\n".join(lines) for lines in sections if lines) + "\n"


def _head(day: Day, plan: Plan, width: int) -> list[str]:
    first, last = at_clock(day, 0), at_clock(day, plan.finish_s)
    return [
        *wrap(day.name, width),
        *wrap(f"{date_words(day)}, {first} to {last} ({clock.show_span(plan.finish_s)})", width),
        *wrap(
            f"{count_words(day.tins_wanted, 'tin')} on {count_words(len(plan.trays), 'tray')}: "
            f"{day_words(day)}",
            width,
        ),
        *wrap(f"{finish_words(day, plan)}. {bound_words(day, plan)}", width),
        *wrap("Read the cautions at the end before an oven goes on.", width),
    ]


def _warnings(day: Day, plan: Plan, width: int) -> list[str]:
    lines = [
        line for warning in plan_warnings(day, plan) for line in paragraph(warning, width, "  ! ")
    ]
    return ["MIND", *lines] if lines else []


def _to_hand(day: Day, plan: Plan, width: int) -> list[str]:
    """Return what to fetch before the day: tins, beads, pans."""
    system = day.display.units
    tins = Counter(day.recipes[tray.recipe].tin for tray in plan.trays for _ in tray.scents)
    lines = [f"{count_words(count, 'tin')}, {name}, with lids" for name, count in tins.items()]
    wanted: Counter[tuple[str, str]] = Counter()
    ready: Counter[tuple[str, str]] = Counter()
    grams: dict[tuple[str, str], float] = {}
    for order in day.orders:
        key = (order.scent, order.recipe)
        grams[key] = grams.get(key, 0.0) + beads_g(day, order)
        wanted[key] += order.tins
        ready[key] += order.filled
    for (scent, recipe), count in wanted.items():
        empty = count - ready[scent, recipe]
        words = f"{scent}: {count_words(empty, 'tin')} to fill"
        if empty:
            beads = units.show_mass(grams[scent, recipe], system)
            words += f", {beads} of dry beads, a little to spare"
        if ready[scent, recipe]:
            words += f"; {ready[scent, recipe]} filled already"
        lines.append(words)
    pans: dict[str, int] = {}
    for tray in plan.trays:
        pans[tray.pan] = max(pans.get(tray.pan, 0), tray.pan_number)
    lines += [
        f"{count_words(count, 'pan')} {name}: {_capacity(day, plan, name)}"
        for name, count in pans.items()
    ]
    lines.append("scale, scoop, tongs, mitts, kitchen timer, thermometer in the oven, labels")
    return ["TO HAND", *(line for each in lines for line in paragraph(each, width, "  [ ] "))]


def _capacity(day: Day, plan: Plan, pan: str) -> str:
    """Say how many tins go on a pan, for each kind of tin that the plan puts on it."""
    used = {day.recipes[tray.recipe].tin for tray in plan.trays if tray.pan == pan}
    return "; ".join(
        f"{fit.tin}, {fit_words(fit)}"
        for fit in plan.fits
        if fit.what == "tins on pan" and fit.pan == pan and fit.tin in used
    )


def _trays(plan: Plan, width: int) -> list[str]:
    rows = [("tray", "tins", "scent", "recipe", "pan", "oven, load")]
    for tray in plan.trays:
        load = plan.load_of(tray.number)
        rows.append(
            (
                str(tray.number),
                str(tray.tins),
                scent_words(tray),
                tray.recipe,
                _pan_words(tray),
                f"{load.oven} {load.number}",
            )
        )
    return ["TRAYS", *table(rows, width, numbers=2)]


def _pan_words(tray: Tray) -> str:
    return f"{tray.pan} {tray.pan_number}"


def _timeline(day: Day, plan: Plan, width: int) -> list[str]:
    """Return what to do when, with a box to tick."""
    lines = timeline(day, plan)
    several = day.people > 1
    names = ["+".join(str(person) for person in line.people) for line in lines]
    who_width = max((cells(name) for name in names), default=0)
    times = [at_clock(day, each) for each in (*(line.start_s for line in lines), plan.finish_s)]
    time_width = max(8 if day.display.clock == 12 else 5, *map(cells, times))
    found = ["THE DAY, IN ORDER"]
    if several:
        found += wrap("The number after a time says whose turn it is.", width)
    for line, name in zip(lines, names, strict=True):
        lead = f"[ ] {right(at_clock(day, line.start_s), time_width)}  "
        lead += f"{left(name, who_width)}  " if several else ""
        found += paragraph(line.words, width, lead)
    end = f"    {right(at_clock(day, plan.finish_s), time_width)}  "
    found += paragraph(
        f"{count_words(sum(tray.tins for tray in plan.trays), 'tin')} "
        f"{'packed' if day.pack == 'today' else 'cleared'}.",
        width,
        end + (" " * (who_width + 2) if several else ""),
    )
    return found


def _limits(day: Day, plan: Plan, width: int) -> list[str]:
    """Return what limits the day, and what one more of a thing would bring."""
    rows = [("", "busy", "tins an hour if nothing else held the day up")]
    rows += [
        (
            each.what,
            f"{each.busy:.0%}",
            f"{each.tins_per_hour:.0f}" if each.s_per_tray else "any number",
        )
        for each in plan.limits.resources
    ]
    lines = ["WHAT LIMITS THE DAY", *paragraph(plan.limits.why, width), *table(rows, width)]
    said = [*chain_words(day, plan), mat_words(day, plan), start_words(day, plan)]
    said += [*chance_words(day, plan), *in_time_words(day, plan), *one_more_words(day, plan)]
    for sentence in said:
        lines += paragraph(sentence, width) if sentence else []
    return lines


def _cautions(day: Day, width: int) -> list[str]:
    said = (*day_cautions(day), *CAUTIONS)
    return [
        "CAUTIONS",
        *(line for each in said for line in paragraph(each, width, "  - ")),
        *paragraph(DECIDES, width),
    ]

"""Days that are a textbook's two-machine flow shop, and the textbook's answer.

Filling on one scale is the first machine, one oven the second; everything else takes no time and
is plentiful. A job is a tray: as many tins as its first time, a bake as long as its second.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from small import BASE, OVEN, PAN, RECIPE, planned

from benchplan.model import Cooling, Day, Order, QueuedTray, Times, Tin

UNIT = 10
NOTHING = Times(
    fill_s=UNIT, set_s=0, load_s=0, unload_s=0, transfer_s=0, pack_s=0, clear_s=0, change_scent_s=0
)

JOHNSON = ((4, 5), (4, 1), (30, 4), (6, 30), (2, 3))
STEVENSON = ((5, 5), (4, 3), (8, 9), (2, 7), (6, 8), (12, 15))
STEVENSON_LONG = ((20, 27), (16, 30), (43, 51), (60, 12), (35, 28), (42, 24))
HEIZER = ((5, 2), (3, 6), (8, 4), (10, 7), (7, 12))


def shop(jobs: tuple[tuple[int, int], ...]) -> Day:
    """Return the day whose trays are ``jobs``, each of its own recipe and queued as one tray."""
    recipes = {
        f"job {number}": replace(
            RECIPE, name=f"job {number}", bake_for_s=second * UNIT, rest_for_s=0, cool_for_s=0
        )
        for number, (_, second) in enumerate(jobs, 1)
    }
    firsts = [first for first, _ in jobs]
    return replace(
        BASE,
        orders=tuple(Order("A", name, first) for name, first in zip(recipes, firsts, strict=True)),
        queue=tuple(
            QueuedTray(("A",) * first, name) for name, first in zip(recipes, firsts, strict=True)
        ),
        recipes=recipes,
        tins={"low 72": Tin("low 72", 20.0, 19.0)},
        pans={"small": replace(PAN, count=len(jobs), tins={"low 72": 60})},
        ovens={"countertop": replace(OVEN, preheat_s=0, recover_s=0)},
        cooling=Cooling(stand=len(jobs), mat_tins=1000),
        times=NOTHING,
    )


def johnson(jobs: tuple[tuple[int, int], ...]) -> int:
    """Return the least makespan by Johnson's rule: short firsts first, short seconds last."""
    first = sorted(job for job in jobs if job[0] < job[1])
    last = sorted((job for job in jobs if job[0] >= job[1]), key=lambda job: -job[1])
    filled = baked = 0
    for one, two in first + last:
        filled += one
        baked = max(baked, filled) + two
    return baked


# Johnson, Naval Research Logistics Quarterly 1 (1954), the five-job example: from memory,
# recomputed. Stevenson, Operations Management, chapter on scheduling: read, two examples. Heizer
# and Render, Operations Management: from memory, recomputed.
@pytest.mark.parametrize(
    ("jobs", "least"),
    [(JOHNSON, 47), (STEVENSON, 51), (STEVENSON_LONG, 228), (HEIZER, 35)],
    ids=["Johnson", "Stevenson", "Stevenson long", "Heizer and Render"],
)
def test_a_two_machine_shop_takes_as_long_as_the_book_says(jobs, least: int) -> None:
    assert johnson(jobs) == least
    plan = planned(shop(jobs))
    assert plan.finish_s == least * UNIT
    assert plan.bound_s <= least * UNIT
    kept = planned(replace(shop(jobs), keep_order=True))
    assert kept.finish_s == in_order(jobs) * UNIT


def in_order(jobs: tuple[tuple[int, int], ...]) -> int:
    """Return the makespan of the jobs in the order given."""
    filled = baked = 0
    for one, two in jobs:
        filled += one
        baked = max(baked, filled) + two
    return baked

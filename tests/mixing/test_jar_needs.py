"""What a day needs in jars, and when they must be started."""

from __future__ import annotations

from datetime import UTC, date, datetime

from benchplan.mixing import WET_JARS, JarNeed, jars_needed
from benchplan.model import Cooling, Day, Order, Oven, Pan, Plan, Recipe, Scent, Tin
from benchplan.model.stop import Iterations
from benchplan.papers.plan_text import plan_text
from benchplan.planner import plan_day, resolved
from benchplan.units import show_mass

# Common practice, no source: people overfill by some 0.5 g a tin, and jars dry for 14 days.
TIN = Tin("round", 72.0, 17.0)
DAY = 86_400


def a_day(orders: tuple[Order, ...], scents: dict[str, Scent]) -> Day:
    return Day(
        name="Fair",
        start=datetime(2026, 12, 5, 9, tzinfo=UTC),
        orders=orders,
        recipes={
            "standard": Recipe("standard", "round", 31.0, 158.0, 420),
            "small": Recipe("small", "round", 11.0, 158.0, 300),
        },
        tins={"round": TIN},
        pans={"pan": Pan("pan", (200.0, 200.0), (215.0, 215.0))},
        ovens={"oven": Oven("oven", (362.0, 292.0))},
        cooling=Cooling(mat_tins=24),
        scents=scents,
    )


def test_one_line_a_scent_the_earliest_start_first() -> None:
    orders = (
        Order("Cedar", "standard", 12, filled=4),
        Order("Fig", "standard", 10),
        Order("Fig", "small", 6),
        Order("Rose", "standard", 8, filled=8),
    )
    scents = {"Cedar": Scent("Cedar", drying_s=(2 * DAY, 5 * DAY + 1))}
    assert jars_needed(a_day(orders, scents)) == (
        JarNeed(
            "Fig",
            16,
            10 * 31.5 + 6 * 11.5,
            date(2026, 11, 21),
            "assumes 14 days (rule of thumb; no jar of this scent has been timed yet)",
        ),
        JarNeed(
            "Cedar",
            8,
            8 * 31.5,
            date(2026, 11, 29),
            "takes 6 days, the longest its jars took so far",
        ),
    )


def test_the_plan_says_the_same_weight_of_beads_as_the_jars() -> None:
    orders = (
        Order("Cedar", "standard", 12, filled=4),
        Order("Fig", "standard", 10),
        Order("Rose", "standard", 8, filled=8),
    )
    day = a_day(orders, {})
    plan = plan_day(resolved(day), Iterations(1))
    assert isinstance(plan, Plan)
    text = plan_text(day, plan)
    needs = jars_needed(day)
    assert {need.scent for need in needs} == {"Cedar", "Fig"}
    for need in needs:
        said = f"{need.scent}: {need.tins} tins to fill, {show_mass(need.beads_g, 'metric')} of dry"
        assert said in text


def test_jars_that_dry_within_a_day_are_started_the_day_before() -> None:
    scents = {"Cedar": Scent("Cedar", drying_s=(DAY, DAY))}
    (need,) = jars_needed(a_day((Order("Cedar", "standard", 1),), scents))
    assert need.start_by == date(2026, 12, 4)
    assert need.from_where.startswith("takes 1 day,")


def test_wet_jars_have_their_words() -> None:
    assert WET_JARS.startswith("Wet jars never reach the oven")

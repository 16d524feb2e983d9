"""How sure a finish is: distributions in closed form, how it is asked, and its words."""

from __future__ import annotations

from dataclasses import replace
from itertools import islice
from math import exp, log, sqrt
from statistics import NormalDist, mean, variance

import pytest
import small
from simulated_days import EXACT, STEPS, carried_out, sample_days, steps_of

from benchplan.chance import USUAL_CV, blame, chance, cv_of, simulated
from benchplan.model import Chance
from benchplan.model.more_words import chance_words
from benchplan.model.stop import Iterations

TWO = small.day(orders=small.order(8))  # as small.BASE, two trays of four on one stand place
NO_HANDS = {
    "fill_s": 0, "set_s": 0, "load_s": 0, "unload_s": 0, "transfer_s": 0, "pack_s": 0,
}  # fmt: skip


# -- in closed form -------------------------------------------------------------------------
# Of a lognormal with mean 1: sigma² = ln(1 + cv²), mu = −sigma²/2, quantile exp(mu + z · sigma)
# (standard; for one, NIST/SEMATECH e-Handbook of Statistical Methods, 2013, 1.3.6.6.9; from
# memory).


def lognormal(varies: float) -> tuple[float, float]:
    squared = log(1 + varies**2)
    return -squared / 2, sqrt(squared)


ONE_STEP = small.day(orders=small.order(1), **{**NO_HANDS, "pack_s": 3600})


@pytest.mark.parametrize("varies", [0.1, 0.3, 0.8])
def test_a_single_step_has_the_quantiles_of_its_distribution(varies: float) -> None:
    """Four standard errors of a sample quantile, sqrt(p (1 − p) / n) / density."""
    plan = small.planned(ONE_STEP)
    found = chance(ONE_STEP, plan, seed=5, days=4000, cv={"pack": varies})
    before = plan.finish_s - 3600
    mu, sigma = lognormal(varies)
    for share, seconds in ((0.5, found.half_s), (0.9, found.nine_s), (0.95, found.nineteen_s)):
        z = NormalDist().inv_cdf(share)
        exact = 3600 * exp(mu + z * sigma)
        error = sqrt(share * (1 - share) / 4000) / (NormalDist().pdf(z) / (sigma * exact))
        assert abs(seconds - before - exact) < 4 * error + 1


def test_the_share_on_time_is_that_of_the_distribution() -> None:
    plan = small.planned(ONE_STEP)
    late = replace(ONE_STEP, finish_by_s=plan.finish_s + 900)  # 3600 · 1.25
    found = chance(late, plan, days=4000)
    mu, sigma = lognormal(USUAL_CV)
    exact = NormalDist().cdf((log(1.25) - mu) / sigma)
    assert found.on_time == pytest.approx(exact, abs=4 * sqrt(exact * (1 - exact) / 4000))


def test_in_a_chain_means_and_variances_add() -> None:
    """One tray, every step after the other, the oven hot at once."""
    times = {"fill_s": 200, "set_s": 100, "load_s": 150, "unload_s": 50, "transfer_s": 120}
    day = small.day(orders=small.order(1), preheat_s=0, pack_s=300, **times)
    cv = {"fill": 0.2, "set": 0.5, "load": 0.3, "unload": 0.1, "transfer": 0.4, "pack": 0.3}
    finishes = [done.finish_s for done in islice(simulated(day, small.planned(day), 2, cv), 6000)]
    exact = 420 + 120 + 1800 + 920
    spread = sum((cv[name[:-2]] * lasts) ** 2 for name, lasts in {**times, "pack_s": 300}.items())
    assert mean(finishes) == pytest.approx(exact, abs=4 * sqrt(spread / 6000))
    assert variance(finishes) == pytest.approx(spread, rel=0.1)


def test_two_people_are_done_when_the_slower_one_is() -> None:
    """P(both by x) = P(one by x)²: the day's 9 in 10 are one packer's sqrt(0.9)."""
    day = small.day(
        orders=small.order(1, 1), tins={"low 72": replace(small.TIN)}, people=2, shelves=2,
        stand=2, **{**NO_HANDS, "pack_s": 3600},
    )  # fmt: skip
    day = replace(day, pans={"small": replace(small.PAN, tins={"low 72": 1})})
    plan = small.planned(day)
    assert {step.person for step in small.steps(plan, "pack")} == {1, 2}
    found = chance(day, plan, days=6000)
    mu, sigma = lognormal(USUAL_CV)
    z = NormalDist().inv_cdf(sqrt(0.9))
    exact = 3600 * exp(mu + z * sigma)
    assert found.nine_s - (plan.finish_s - 3600) == pytest.approx(exact, rel=0.02)


def test_more_variation_never_makes_the_promise_earlier() -> None:
    for day, plan in sample_days():
        promises = [
            chance(day, plan, days=300, cv=dict.fromkeys(STEPS, varies)).nineteen_s
            for varies in (0.0, 0.1, 0.2, 0.3, 0.5)
        ]
        assert promises == sorted(promises)
        assert promises[0] < promises[-1]


# -- how it is asked ------------------------------------------------------------------------


def test_the_seed_gives_the_answer() -> None:
    plan = small.planned(TWO)
    assert chance(TWO, plan, seed=7, days=60) == chance(TWO, plan, seed=7, days=60)
    assert chance(TWO, plan, seed=7, days=60) != chance(TWO, plan, seed=8, days=60)


@pytest.mark.parametrize(("count", "ranks"), [(20, (10, 18, 19)), (7, (4, 7, 7)), (1, (1, 1, 1))])
def test_percentiles_are_nearest_ranks(count: int, ranks: tuple[int, int, int]) -> None:
    """Half of seven days is three and a half: the fourth is the first by which half are done."""
    plan = small.planned(TWO)
    ends = sorted(done.finish_s for done in islice(simulated(TWO, plan, 3), count))
    found = chance(TWO, plan, seed=3, days=count)
    said = (found.half_s, found.nine_s, found.nineteen_s)
    for seconds, rank in zip(said, ranks, strict=True):
        assert ends[rank - 1] <= seconds < ends[rank - 1] + 1


def test_it_ends_early_with_what_it_has_and_tells_how_far_it_is() -> None:
    plan = small.planned(TWO)
    told: list[int] = []
    assert chance(TWO, plan, days=120, tell=told.append).days == 120
    assert told == [50, 100]
    assert chance(TWO, plan, stop=lambda: True).days == 1
    assert chance(TWO, plan, stop=Iterations(9)).days == 10


def test_what_is_not_known_varies_as_usual_and_clearing_by_its_own_name() -> None:
    plan = small.planned(ONE_STEP)
    usual = chance(ONE_STEP, plan, days=50)
    assert chance(ONE_STEP, plan, days=50, cv={"fill": 0.9}) == usual
    assert chance(ONE_STEP, plan, days=50, cv={"pack": 0.9}) != usual
    later = small.day(ONE_STEP, pack="later", clear_s=3600)
    assert chance(later, plan, days=50, cv={"pack": 0.9}) == usual
    assert chance(later, plan, days=50, cv={"clear": 0.9}) != usual


def test_the_step_that_varies_is_blamed() -> None:
    """Only loading varies, and only the second load has no time to spare: with tray 1's every
    second is the day's too, so it is either; with only packing it is the last tray."""
    plan = small.planned(TWO)
    loads = chance(TWO, plan, days=200, cv={**EXACT, "load": 0.5})
    assert (loads.late_step, loads.late_share) == ("load", 1.0)
    packs = chance(TWO, plan, days=200, cv={**EXACT, "pack": 0.3})
    assert (packs.late_step, packs.late_tray, packs.late_share) == ("pack", 2, 1.0)


def test_what_interrupts_the_work_that_is_late_is_blamed_too() -> None:
    """Filling tray 3, put down while tray 1 is moved for 300 s longer, is what the end waits for:
    three tins from 1650 until 1965, set and loaded at 1977 instead of 1740."""
    day = small.day(TWO, orders=small.order(12), count=3, fill_s=105)
    done = carried_out(day, transfer_1=324)
    assert steps_of(day, done)[3, "load"] == (1977, 1992)
    blamed = blame(done)
    assert blamed is not None
    assert (blamed.step, blamed.tray) == ("transfer", 1)


def test_variation_is_learned_from_five_times_or_more() -> None:
    """Five times at mu + sigma · (−√2, −√2/2, 0, √2/2, √2): the sample variance of their logarithms
    is sigma² · (2 + ½ + 0 + ½ + 2) / 4."""
    sigma = 0.4
    times = [20 * exp(sigma * each) for each in (-sqrt(2), -sqrt(0.5), 0, sqrt(0.5), sqrt(2))]
    assert cv_of(times) == pytest.approx(sqrt(exp(sigma**2 * 1.25) - 1))
    assert cv_of([3.0] * 5) == 0.0
    assert cv_of(times[:4]) is None
    assert cv_of([*times[:4], 0.0]) is None


# -- words ----------------------------------------------------------------------------------

FOUND = Chance(2000, 0.9, 19800, 21000, 23640, "fill", None, 0.62)


def said(found: Chance | None, **changes: object) -> list[str]:
    day = small.day(finish_by_s=21600, **changes)
    return chance_words(day, replace(small.planned(small.BASE), chance=found))


def test_words_say_how_sure_what_to_promise_and_what_makes_it_late() -> None:
    assert said(FOUND) == [
        "With the usual ups and downs of hand work this day is ready by 15:00 on 9 days in 10.",
        "Promise 15:35: 19 days in 20 are done by then.",
        "Filling most often makes it later than planned (on about 6 such days in 10).",
        "This is a forecast: hand times are taken to vary as much as is common, not as yours do.",
    ]
    assert said(None) == []


def test_without_finish_by_there_is_only_a_promise() -> None:
    plan = replace(small.planned(small.BASE), chance=replace(FOUND, on_time=None))
    assert chance_words(small.BASE, plan)[0].startswith("Promise 15:35:")


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (1.0, "nearly always"), (0.96, "on 19 days in 20"), (0.94, "on 9 days in 10"),
        (0.66, "on 7 days in 10"), (0.5, "on about half the days"), (0.1, "on 1 day in 10"),
        (0.06, "on 1 day in 10"), (0.04, "hardly ever"), (0.0, "hardly ever"),
    ],
)  # fmt: skip
def test_shares_are_said_as_a_forecast_may(share: float, words: str) -> None:
    assert said(replace(FOUND, on_time=share))[0].endswith(f"by 15:00 {words}.")


@pytest.mark.parametrize(("seconds", "clock"), [(23700, "15:35"), (23701, "15:40")])
def test_a_promise_is_rounded_up_to_five_minutes(seconds: int, clock: str) -> None:
    assert said(replace(FOUND, nineteen_s=seconds))[1].startswith(f"Promise {clock}:")


def test_words_name_the_tray_and_own_up_to_few_days() -> None:
    found = replace(FOUND, days=40, late_step="pack", late_tray=3, late_share=0.97)
    assert said(found)[2:] == [
        "Packing most often makes it later than planned (on nearly all such days), above all "
        "tray 3.",
        "This is a forecast, from only 40 days tried: hand times are taken to vary as much as is "
        "common, not as yours do.",
    ]
    few = replace(found, late_share=0.1)
    assert said(few, pack="later")[2].startswith("Clearing most often makes it later than planned")
    assert "(on few such days)" in said(few)[2]
    assert len(said(replace(FOUND, late_step=""))) == 3

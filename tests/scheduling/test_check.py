"""The checker passes plans made by hand and catches every change of them that breaks a rule."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace

import pytest
from by_hand import FITS, STANDARD, TIN, Good, away, day, plan, preheat, tray
from good_plans import GOOD
from hypothesis import given, settings
from hypothesis import strategies as st
from mutants import MOVING, Mutant
from mutants_day import STATING
from mutants_what import HOLDING
from mutants_who import NAMING

from benchplan.model import Break, Cooling, Fit, Load, Order, Oven, Pan, Times
from benchplan.scheduling.check import RULES, check_plan

OPERATORS = (*MOVING, *NAMING, *HOLDING, *STATING)
EVERY = [(good, operator) for good in GOOD for operator in OPERATORS]


def named(faults: list[str]) -> set[str]:
    """Return the rules that faults name: the word before the colon."""
    return {fault.partition(":")[0] for fault in faults}


@pytest.mark.parametrize("good", GOOD, ids=lambda good: good.name)
def test_a_plan_made_by_hand_obeys_every_rule(good: Good) -> None:
    assert check_plan(good.day, good.plan) == []


def fault_of(mutant: Mutant) -> str:
    """Say how the checker is wrong about a mutant, or nothing."""
    faults = check_plan(mutant.day, mutant.plan)
    rules = named(faults)
    if not mutant.rules and faults:
        return f"{mutant.what} is still good, but: {faults}"
    if mutant.rules and not rules & mutant.rules:
        return f"{mutant.what} breaks {sorted(mutant.rules)}, but: {faults}"
    if rules & mutant.not_rules:
        return f"{mutant.what} does not break {sorted(mutant.not_rules)}, but: {faults}"
    return ""


@pytest.mark.parametrize(
    ("good", "operator"), EVERY, ids=[f"{good.name}-{op.__name__}" for good, op in EVERY]
)
def test_every_mutant_is_judged_rightly(good: Good, operator) -> None:
    assert [fault for mutant in operator(good) if (fault := fault_of(mutant))] == []


def test_every_rule_is_broken_by_some_mutant_and_named() -> None:
    broken: set[str] = set()
    for good, operator in EVERY:
        for mutant in operator(good):
            if mutant.rules - broken:
                broken |= mutant.rules & named(check_plan(mutant.day, mutant.plan))
    assert broken == set(RULES)


def test_every_operator_makes_mutants() -> None:
    assert [op.__name__ for op in OPERATORS if not any(map(op, GOOD))] == []


def test_a_fault_is_a_sentence_that_names_rule_and_tray() -> None:
    good = GOOD[0]
    pack = good.plan.steps[-1]
    late = replace(good.plan, steps=(*good.plan.steps[:-1], replace(pack, parts=((3054, 3121),))))
    assert check_plan(good.day, late) == [
        "length: the pack of tray 1 takes 67 s of work, not 68 s.",
        "finish: the last pack ends at 3121 s, the plan says 3122 s.",
    ]


def one_tray_with(breaks: tuple[Break, ...], people: int, *named_away: tuple[int, int, int]):
    """Return the faults of the one-tray plan with breaks while its tins cool, 1254 to 3054 s."""
    good = GOOD[0]
    rows = tuple(away(*each) for each in named_away)
    broken = replace(good.plan, other=(*good.plan.other, *rows))
    return named(check_plan(replace(good.day, breaks=breaks, people=people), broken))


def test_overlapping_breaks_add_up_and_are_taken_by_different_people() -> None:
    two = (Break(1300, 600, 1), Break(1500, 600, 1))
    assert one_tray_with(two, 2, (1, 1300, 1900), (2, 1500, 2100)) == set()
    assert one_tray_with(two, 2, (1, 1300, 1900), (1, 1500, 2100)) == {"break"}
    assert one_tray_with(two, 2, (1, 1300, 1900)) == {"break"}


def test_a_break_without_a_number_takes_everyone_not_already_away() -> None:
    two = (Break(1300, 600, 1), Break(1500, 600))
    assert one_tray_with(two, 3, (1, 1300, 1900), (2, 1500, 2100), (3, 1500, 2100)) == set()
    assert one_tray_with(two, 3, (1, 1300, 1900), (2, 1500, 2100)) == {"break"}


def test_the_same_people_are_away_for_all_of_a_break() -> None:
    one = (Break(1300, 600, 1),)
    assert one_tray_with(one, 2, (2, 1300, 1900)) == set()
    assert one_tray_with(one, 2, (1, 1300, 1600), (2, 1600, 1900)) == {"break"}


def test_no_oven_is_hot_where_overlapping_breaks_leave_nobody() -> None:
    # Two breaks of one person each leave nobody from 700 to 800, while tray 1 bakes.
    both = (Break(690, 110, 1), Break(700, 200, 1))
    assert one_tray_with(both, 2, (1, 690, 800), (2, 700, 900)) == {"nobody"}
    assert one_tray_with(both, 3, (1, 690, 800), (2, 700, 900)) == set()


def test_a_moment_inside_a_taken_pan_is_a_clash() -> None:
    # Every step takes no time: tray 2 stands for a moment on the pan that bakes tray 1.
    good = GOOD[-1]
    pans = {"small": replace(good.day.pans["small"], count=1)}
    one = replace(good.plan, trays=tuple(replace(each, pan_number=1) for each in good.plan.trays))
    assert named(check_plan(replace(good.day, pans=pans), one)) == {"pan"}


def test_shares_of_the_mat_are_exact() -> None:
    # Three kinds of tin of which 3, 6 and 2 fit: 1/3 + 1/6 + 1/2 is all of the mat, to the last
    # digit, which sums of rounded shares need not be.
    sizes = {"three": 3, "six": 6, "two": 2}
    recipes = {
        size: replace(STANDARD, name=size, tin=size, bake_for_s=0, rest_for_s=0, cool_for_s=10)
        for size in sizes
    }
    busy = day(
        *(Order("A", size, 1, filled=1) for size in sizes),
        recipes=recipes,
        tins={size: replace(TIN, name=size) for size in sizes},
        pans={"small": Pan("small", (282.0, 206.0), (297.0, 221.0), count=3)},
        ovens={"countertop": Oven("countertop", (362.0, 292.0), preheat_s=0, recover_s=0)},
        cooling=Cooling(stand=3, mat_mm=(1.0, 1.0)),
        times=Times(set_s=0, load_s=0, unload_s=0, transfer_s=0, pack_s=0),
    )
    rows = "\n".join(
        f"""{number} fill - - 0-0
        {number} set - - 0-0
        {number} load - countertop 0-0
        {number} bake - countertop 0-0
        {number} unload - countertop 0-0
        {number} rest - stand_{number} 0-0
        {number} transfer - stand_{number} 0-0
        {number} cool - mat 0-10
        {number} pack - mat 10-10"""
        for number in (1, 2, 3)
    )
    trays = tuple(
        tray(number, "A", number, recipe=size, to_fill=()) for number, size in enumerate(sizes, 1)
    )
    loads = tuple(Load("countertop", number, (number,)) for number in (1, 2, 3))

    def with_mat(**counts: int):
        fits = (
            *(replace(FITS[0], tin=size) for size in sizes),
            FITS[1],
            *(Fit("tins on mat", count, tin=size) for size, count in counts.items()),
        )
        return named(check_plan(busy, plan(trays, loads, rows, fits=fits)))

    assert with_mat(three=3, six=6, two=2) == set()
    assert with_mat(three=3, six=5, two=2) == {"mat"}


def test_a_preheat_that_takes_no_time_may_be_named_or_not() -> None:
    good = GOOD[-1]
    assert check_plan(good.day, replace(good.plan, other=(preheat(0, 0),))) == []


JUNK = st.sampled_from(
    [
        None,
        True,
        -1,
        0,
        10**9,
        1.5,
        float("nan"),
        "",
        "x",
        (),
        (None,),
        ((1,),),
        ((5, 1),),
        [],
        {},
        object(),
    ]
)


@st.composite
def spoiled(draw: st.DrawFn) -> tuple[Good, object]:
    """Return a good plan in which some fields, at any depth, hold something else."""
    good = draw(st.sampled_from(GOOD))

    def spoil(value: object, depth: int) -> object:
        if is_dataclass(value) and not isinstance(value, type):
            name = draw(st.sampled_from([field.name for field in fields(value)]))
            return replace(value, **{name: spoil(getattr(value, name), depth + 1)})
        if isinstance(value, tuple) and value and draw(st.booleans()):
            index = draw(st.integers(0, len(value) - 1))
            return (*value[:index], spoil(value[index], depth + 1), *value[index + 1 :])
        return draw(JUNK)

    spoiled_plan: object = good.plan
    for _ in range(draw(st.integers(1, 4))):
        name = draw(st.sampled_from([field.name for field in fields(good.plan)]))
        old = getattr(spoiled_plan, name)
        spoiled_plan = replace(spoiled_plan, **{name: spoil(old, 0)})  # type: ignore[type-var]
    return good, spoiled_plan


@settings(max_examples=400)
@given(spoiled())
def test_a_malformed_plan_is_reported_and_never_raised(case) -> None:
    good, plan_ = case
    for fault in check_plan(good.day, plan_):
        assert fault.partition(":")[0] in RULES
        assert fault.endswith(".")

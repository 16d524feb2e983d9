"""Every wait that a plan is said to have is so: by the plan's own records, and by the checker."""

from __future__ import annotations

import sys
from collections import Counter
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings

sys.path.insert(0, str(Path(__file__).parents[1] / "planning"))

from claims import ends, record, sooner, untrue
from days import days

from benchplan.errors import BenchplanError
from benchplan.files import read_plan
from benchplan.files.samples import sample_paths
from benchplan.model import Day, Plan
from benchplan.model.causes import KINDS
from benchplan.model.stop import Iterations
from benchplan.model.waits import Book, Wait, chain, chain_words, why, words
from benchplan.planner import plan_day, resolved


def planned(day: Day, steps: int = 4) -> Plan | None:
    try:
        plan = plan_day(day, Iterations(steps))
    except BenchplanError:
        return None
    return plan if isinstance(plan, Plan) else None


def waits(day: Day, plan: Plan) -> list[Wait]:
    """Return the wait of everything in a plan that is not merely going on."""
    book = Book(day, plan)
    found = [
        why(day, plan, step, part, book=book)
        for step in plan.steps
        if step.step not in ("bake", "rest", "cool")
        for part in range(len(step.parts))
    ]
    return found + [
        why(day, plan, other, book=book) for other in plan.other if other.what != "break"
    ]


def joined(day: Day, plan: Plan) -> tuple[Wait, ...]:
    """Return the chain of a plan, which reaches from the finish back to the day's start or to a
    break without a hole that is not said, each wait's cause being the next wait's work.
    """
    found = chain(day, plan)
    last, first = found[0], found[-1]
    part = record(plan, last.tray, last.step, last.until_s)
    assert (last.step, part and part[1]) == ("pack", plan.finish_s)
    for wait, cause in pairwise(found):
        assert (wait.for_tray, wait.because) == (cause.tray, cause.step)
        starts = cause.until_s
        if wait.what == "order":
            assert starts == wait.from_s
        else:
            own = ends(plan, cause.tray, cause.step)
            assert wait.from_s in [end for start, end, _ in own if start == starts]
    assert (first.what, first.from_s) == ("start", 0) or first.because == "break"
    for wait in found:
        assert list(untrue(day, plan, wait)) == [], wait
        assert wait.binds or "Nothing holds it up" in words(day, plan, wait)
    return found


@settings(max_examples=200)
@given(days())
def test_the_chain_joins_up_and_every_link_of_it_is_true(day: Day) -> None:
    plan = planned(day)
    if plan is not None:
        found = joined(resolved(day), plan)
        said = chain_words(resolved(day), plan)
        assert 2 <= len(said) <= 8
        assert len(chain_words(resolved(day), plan, most=3)) <= min(3, len(said))
        assert len(said) <= len(found) + 1


@pytest.mark.parametrize("path", sample_paths(), ids=lambda path: path.stem)
def test_the_chain_of_a_sample_joins_up(path: Path) -> None:
    day = resolved(read_plan(path).day)
    plan = planned(day, 100)
    assert plan is not None
    found = joined(day, plan)
    assert all(wait.binds for wait in found)
    for wait in waits(day, plan):
        assert list(untrue(day, plan, wait)) == [], wait


def hold(day: Day, plan: Plan, only: int = 1) -> None:
    """Check every wait of a plan: what it states, that work which is bound could not start a second
    sooner (of these every ``only``th), and that work which is not could.
    """
    for number, wait in enumerate(waits(day, plan)):
        assert list(untrue(day, plan, wait)) == [], wait
        mate = wait.what == "load" and wait.because == "load"  # a load moves only as a whole
        if wait.part or wait.step == "unload" or not wait.until_s or wait.what == "late" or mate:
            continue
        if not wait.binds:
            assert wait.step == "fill" or sooner(day, plan, wait, wait.could_s), wait
        elif number % only == 0:
            assert not sooner(day, plan, wait, wait.until_s - 1), wait


@settings(max_examples=200)
@given(days())
def test_work_waits_for_what_is_named_and_could_not_start_a_second_sooner(day: Day) -> None:
    plan = planned(day)
    if plan is not None:
        hold(resolved(day), plan, only=3)


@settings(max_examples=80)
@given(days())
def test_in_a_kit_with_one_more_of_all_the_same_plan_has_other_waits(day: Day) -> None:
    """The plan obeys the larger kit too, and now much of its work could start sooner."""
    day = replace(day, breaks=(), pans={k: replace(p, tins={}) for k, p in day.pans.items()})
    plan = planned(day)
    if plan is None:
        return
    more = replace(
        resolved(day),
        people=day.people + 1,
        pans={name: replace(pan, count=pan.count + 1) for name, pan in day.pans.items()},
        cooling=replace(day.cooling, stand=day.cooling.stand + 1),
    )
    hold(more, plan, only=3)


def test_each_kind_of_wait_is_met_in_those_days() -> None:
    met: Counter[str] = Counter()

    @settings(max_examples=200)
    @given(days())
    def meet(day: Day) -> None:
        plan = planned(day)
        if plan is not None:
            met.update(wait.what for wait in waits(resolved(day), plan))

    meet()
    assert set(KINDS) - {"order"} <= set(met), met

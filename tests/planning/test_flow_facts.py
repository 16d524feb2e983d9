"""The planner on realistic days against what CP-SAT is known to reach with the same trays.

The table is made by ``tests/bench/flow_bench.py``, outside the suite; nothing here runs CP-SAT.
"""

from __future__ import annotations

from functools import cache

from flow_known import Fact, coded, known

from benchplan.model import Plan
from benchplan.model.stop import Iterations
from benchplan.planner import plan_day, resolved
from benchplan.scheduling.check import check_plan

MOST = 70
FACTS = [fact for fact in known().values() if fact.best_s is not None]


def plan(fact: Fact, looks: int | None = None) -> Plan:
    """Return the plan of a fact's day, which has exactly the fact's trays; by the usual looks."""
    day = fact.day()
    found = plan_day(day, Iterations(looks) if looks else None)
    assert isinstance(found, Plan), fact.line
    assert check_plan(resolved(day), found) == [], fact.line
    assert coded(day, found.trays) == fact.trays, fact.line
    return found


@cache
def planned() -> list[tuple[Fact, int]]:
    """Return facts from all over the table, each with the finish that the planner reaches."""
    every = -(-len(FACTS) // MOST)
    return [(fact, plan(fact).finish_s) for fact in FACTS[::every]]


def test_no_bound_is_later_than_what_cp_sat_reaches() -> None:
    late = []
    for fact in FACTS:
        found = plan(fact, 1)
        if max(found.bound_s, found.bound_any_s) > (fact.best_s or 0):
            late.append((fact.line, found.bound_s, found.bound_any_s))
    assert late == []


def test_no_plan_is_earlier_than_the_bound_of_cp_sat() -> None:
    assert [fact.line for fact, finish in planned() if finish < fact.bound_s] == []


def test_the_planner_reaches_what_is_proven_on_most_days() -> None:
    proven = [(fact, finish) for fact, finish in planned() if fact.proven]
    missed = [(finish, fact.line) for fact, finish in proven if finish > fact.bound_s]
    assert len(proven) >= MOST // 3
    assert len(missed) <= 0.02 * len(proven), missed


def test_the_planner_is_never_far_above_what_cp_sat_reaches() -> None:
    above = [(finish / (fact.best_s or 1) - 1, fact.line) for fact, finish in planned()]
    assert max(above)[0] <= 0.005, sorted(above)[-5:]

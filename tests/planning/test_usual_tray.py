"""The tray that the trade knows best, as a check on our own: common practice, no source."""

from __future__ import annotations

import pytest

from benchplan.files import read_text
from benchplan.model import Plan
from benchplan.planner import plan_day

DAY = """\
format = 1
[day]
date = 2026-12-05
start = 09:00:00
[[orders]]
scent = "Night garden"
recipe = "standard"
tins = 16
[recipes.standard]
tin = "two ounce"
fill = "1.2 oz"
bake_at = "350 degF"
bake_for = "5 min"
[tins."two ounce"]
diameter = "2.6 in"
height = "0.8 in"
holds = "2 fl oz"
[pans.small]
inside = ["10.2 in", "7.5 in"]
gap = "1/4 in"
edge = "0.1 in"
[ovens.countertop]
shelf = ["13 in", "10.5 in"]
air = "1 in"
[cooling]
mat_tins = 24
"""


def test_a_two_ounce_tin_and_the_pan_of_a_small_oven() -> None:
    """Eight two-ounce (60 ml) round tins of 1.2 oz stand on the pan that comes with a small
    countertop oven, and bake about 5 min at 350 °F: common practice, no source."""
    day = read_text(DAY, "usual.toml").day
    plan = plan_day(day)
    assert isinstance(plan, Plan)
    assert [tray.tins for tray in plan.trays] == [8, 8]
    recipe = day.recipes["standard"]
    assert recipe.fill_g == pytest.approx(1.2 * 28.349523125)  # NIST Handbook 44, Appendix C
    assert recipe.bake_at_c == pytest.approx(176.6667, abs=1e-4)  # NIST SP 811, Appendix B.8
    assert recipe.bake_for_s == 300

"""A test bake: a day of two tins out of a maker's plan, and the minutes found, written back.

Two tins are looked at until they are baked; how long that took is the recipe's bake_for. That two
tins heat faster than a full pan is common practice, no source: the words on it say to look again.
"""

from __future__ import annotations

import os
import re
import tomllib
from copy import deepcopy
from dataclasses import replace
from pathlib import Path

from benchplan import clock
from benchplan.errors import BenchplanError, Problem
from benchplan.files.atomic import write_whole
from benchplan.files.fields import DAY
from benchplan.files.folder import write_file
from benchplan.files.lines import LONGEST_TEXT
from benchplan.files.nearest import nearest
from benchplan.files.reader import PlanFile, read_source_plan, read_text
from benchplan.files.rewrite import rewrite
from benchplan.files.source import MARK, parse_source, read_text_of
from benchplan.files.writer import snapshot
from benchplan.model import Order
from benchplan.model.words import either_words

HEAD = "# A test bake of two tins, as benchplan writes it: take them out when they look right.\n"
STEP_S = 5  # what a mark by hand is good for, so that no more is written
TINS = 2


def two_tins(plan_file: PlanFile, recipe: str) -> str:
    """Return the text of a plan file for a test bake of one of a plan's recipes.

    The tins are filled already and the bake may last twice as long as the recipe says.
    Raises ``BenchplanError`` where the plan has no such recipe.
    """
    import tomli_w

    day = plan_file.day
    found = day.recipes.get(recipe)
    if found is None:
        raise BenchplanError(_no_recipe(plan_file, recipe))
    scents = [order.scent for order in day.orders if order.recipe == recipe]
    scent = scents[0] if scents else day.orders[0].scent if day.orders else "Test"
    small = replace(
        day,
        name=f"Test bake: {recipe}"[:LONGEST_TEXT],
        orders=(Order(scent, recipe, TINS, TINS),),
        queue=(),
        breaks=(),
        finish_by_s=None,
        people=1,
        pack="later",
        keep_order=False,
    )
    data = tomllib.loads(snapshot(plan_file, small))
    data["recipes"][recipe]["bake_for"] = f"{min(2 * found.bake_for_s, DAY)} s"
    text = HEAD + "\n" + tomli_w.dumps(data)
    read_text(text, f"the test bake of {recipe}", plan_file.path.parent if plan_file.path else "")
    return text


def two_tins_path(plan_file: PlanFile, recipe: str) -> Path:
    """Return where the test bake of a recipe stands: beside the plan."""
    assert plan_file.path is not None
    plain = re.sub(r"\W+", "_", recipe).strip("_") or "recipe"
    return plan_file.path.with_name(f"{plan_file.path.stem}_test_bake_{plain}.toml")


def write_two_tins(plan_file: PlanFile, recipe: str) -> Path:
    """Write the day of a test bake beside its plan and return where; never over a maker's file."""
    path = two_tins_path(plan_file, recipe)
    write_file(path, two_tins(plan_file, recipe), HEAD)
    return path


def bake_for_text(seconds: float) -> str:
    """Return minutes found by looking as a file writes them, to what a mark by hand is good for."""
    return clock.show_span(max(STEP_S, STEP_S * round(seconds / STEP_S)))


def write_bake_for(plan_file: PlanFile, recipe: str, seconds: float) -> tuple[str, str, str]:
    """Write minutes found by looking into the file that holds the recipe, remarks and all kept.

    Returns the file's name and bake_for as it was and as it is. Raises ``BenchplanError`` when the
    file was changed meanwhile or cannot be written; it is then as it was.
    """
    if recipe not in plan_file.day.recipes:
        raise BenchplanError(_no_recipe(plan_file, recipe))
    source = plan_file.overlay.source(("recipes", recipe, "bake_for"))
    assert source.path is not None
    if read_text_of(source.path, source.name) != source.text:
        raise BenchplanError(
            Problem("This file was changed meanwhile.", "Do it again.", file=source.name)
        )
    data = deepcopy(source.data)
    old, new = data["recipes"][recipe]["bake_for"], bake_for_text(seconds)
    if old == new:
        return source.name, old, new
    data["recipes"][recipe]["bake_for"] = new
    plain = source.text.removeprefix(MARK)
    try:
        text = rewrite(plain, data)
    except Exception:  # whatever an editing library makes of an odd text, the file is not lost
        raise BenchplanError(
            Problem(
                "This cannot be written into the text as it stands.",
                f'Write bake_for = "{new}" under [recipes.{recipe}] in an editor.',
                file=source.name,
            )
        ) from None
    text = MARK + text if plain != source.text else text
    changed = parse_source(text, source.name, source.path)
    overlay = plan_file.overlay
    own, kit = (changed, overlay.kit) if source is overlay.plan else (overlay.plan, changed)
    read_source_plan(own, plan_file.path or Path(), plan_file.machine, kit)  # it can still be read
    write_whole(source.path, text, source.name)
    return source.name, old, new


def _no_recipe(plan_file: PlanFile, recipe: str) -> Problem:
    names = list(plan_file.day.recipes)
    near = nearest(recipe, names)
    cure = f'Did you mean "{near}"?' if near else f"Its recipes: {either_words(names)}."
    name = os.fspath(plan_file.path) if plan_file.path else ""
    return Problem(f'This plan has no recipe "{recipe}".', cure, file=name)

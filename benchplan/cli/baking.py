"""``test-bake``: two tins to find a recipe's minutes with, and the minutes written back."""

from __future__ import annotations

import argparse
import shlex
from typing import TYPE_CHECKING

from benchplan.cli.given import DONE, opened_book, read
from benchplan.shell import say, unusable

if TYPE_CHECKING:
    from pathlib import Path

    from benchplan.files import PlanFile


def test_bake(given: argparse.Namespace) -> int:
    """Write the day of a test bake, or the minutes that its run found."""
    from benchplan.files.two_tins import two_tins_path, write_bake_for, write_two_tins

    plan_file = read(given)
    recipe = given.recipe or _only_recipe(plan_file)
    again = shlex.join(["benchplan", "test-bake", given.file, recipe])
    if not given.found:
        path = write_two_tins(plan_file, recipe)
        say(
            f"{path}\n"
            f"`{shlex.join(['benchplan', 'open', str(path)])}` bakes two tins of {recipe}: fill\n"
            "them first, begin on the Bench, look in early and often, and mark them out when they\n"
            f"look right. Then `{again} --found` writes their minutes.\n"
        )
        return DONE
    seconds = _baked_s(two_tins_path(plan_file, recipe), recipe, again)
    name, old, new = write_bake_for(plan_file, recipe, seconds)
    if old == new:
        say(f"{name}: bake_for of {recipe} is {new} already; nothing was changed.\n")
    else:
        say(f"{name}: bake_for of {recipe} was {old} and is {new} now.\n")
    say("Two tins heat faster than a full pan: look at the first full tray too.\n")
    return DONE


def _only_recipe(plan_file: PlanFile) -> str:
    from benchplan.model.words import either_words

    recipes = list(plan_file.day.recipes)
    if len(recipes) == 1:
        return recipes[0]
    raise unusable("It is not said which recipe.", f"Say {either_words(recipes)}.")


def _baked_s(path: Path, recipe: str, again: str) -> float:
    """Return the seconds that the newest run of a test bake had its tins in the oven.

    Raises ``BenchplanError`` where there is none, where it is still on, and where its tins were
    not good: their minutes would be wrong ones.
    """
    from benchplan.carrying.recorded import last_bake_of
    from benchplan.model.record import UNENDED
    from benchplan.model.words import count_words

    with opened_book() as book:
        found = last_bake_of(book, path)
    if found is None:
        raise unusable(
            f"No test bake of {recipe} is in the bench book.",
            f"`{again}` writes its day; rehearsals bake nothing.",
        )
    if found.state in UNENDED:
        raise unusable(
            f"The test bake of {recipe}, run {found.run}, is still on.",
            "Finish it on the Bench, or end it there; then do it again.",
        )
    tray = next(each for each in found.trays if each.baked_s is not None)
    if tray.scrapped or tray.outcome == "left the day":
        what = f"{count_words(tray.scrapped, 'tin')} scrapped" if tray.scrapped else "tins left out"
        raise unusable(
            f"Run {found.run}, the newest test bake of {recipe}, ended with {what}: its minutes "
            "are not written.",
            f"`{again}` writes the day for two tins more.",
        )
    assert tray.baked_s is not None
    return tray.baked_s

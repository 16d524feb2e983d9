"""Ovens: what goes in together, in what rhythm, when they are hot, and never with nobody there."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from benchplan.model import Other, Oven
from benchplan.scheduling.check.reading import Book, LoadTimes, clashes, overlaps

SAME_KELVIN = 1e-6


def check(book: Book) -> Iterator[str]:
    """Yield every fault of a load and of an oven."""
    for load in book.loads:
        yield from _together(book, load)
        yield from _rhythm(book, load)
    preheats = book.others("preheat")
    for each in preheats:
        if each.person is not None or each.before_tray is not None:
            yield f"form: the preheat from {each.start_s} s has a person or a tray."
        if each.place not in book.day.ovens:
            yield f"place: a preheat is at {each.place!r}."
    for name, oven in book.day.ovens.items():
        loads = [load for load in book.loads if load.load.oven == name]
        loads.sort(key=lambda each: (each.starts, each.ends, each.load.number))
        yield from _line(book, oven, loads)
        own = [each for each in preheats if each.place == name]
        yield from _hot(book, oven, loads, own)


def _together(book: Book, load: LoadTimes) -> Iterator[str]:
    """One kind of pan, one bake_at and bake_for, no more than the oven takes."""
    oven = book.day.ovens[load.load.oven]
    recipes = [book.day.recipes[tray.recipe] for tray in load.trays]
    pans = sorted({tray.pan for tray in load.trays})
    if len(pans) > 1:
        yield f"load: {load.name} mixes the pans {' and '.join(pans)}."
    degrees = [recipe.bake_at_c for recipe in recipes]
    if max(degrees) - min(degrees) > SAME_KELVIN:
        yield f"load: {load.name} mixes recipes with different bake_at."
    if len({recipe.bake_for_s for recipe in recipes}) > 1:
        yield f"load: {load.name} mixes recipes with different bake_for."
    for pan in pans:
        fit = book.pans_on_shelf(pan, oven.name)
        if fit is None:
            yield f"fit: nothing says how many {pan} fit in {oven.name}, which {load.name} needs."
        elif len(load.trays) > fit * oven.shelves:
            yield f"fit: {load.name} holds {len(load.trays)} pans, {fit * oven.shelves} fit."
    tins = sum(len(tray.scents) for tray in load.trays)
    if oven.most_tins is not None and tins > oven.most_tins:
        yield f"load: {load.name} holds {tins} tins, at most {oven.most_tins} are allowed."
    for tray, recipe in zip(load.trays, recipes, strict=True):
        tall = max(book.day.pans[tray.pan].height_mm, book.day.tins[recipe.tin].height_mm)
        if tall > oven.headroom_mm:
            yield f"fit: tray {tray.number} is {tall} mm tall, {oven.name} has {oven.headroom_mm}."


def _rhythm(book: Book, load: LoadTimes) -> Iterator[str]:
    """Loads without a gap, one bake for all, unloads without a gap from the moment it ends."""
    for first, second in pairwise(load.loading):
        if second.start_s != first.end_s:
            yield f"load: {load.name} has a gap before tray {second.tray} is loaded."
    for first, second in pairwise(load.unloading):
        if second.start_s != first.end_s:
            yield f"load: {load.name} has a gap before tray {second.tray} is unloaded."
    loaded = load.loading[-1].end_s
    for tray in load.trays:
        bake = book.step(tray, "bake")
        if bake is not None and bake.start_s != loaded:
            yield f"load: tray {tray.number} does not bake from when {load.name} is loaded."
        if bake is not None and bake.end_s != load.baked:
            yield f"load: tray {tray.number} does not bake until {load.name} is done."
        unload = book.step(tray, "unload")
        late = book.day.recipes[tray.recipe].bake_late_s
        if bake is not None and unload is not None and unload.start_s - bake.end_s > late:
            waits = unload.start_s - bake.end_s
            yield f"late: tray {tray.number} waits {waits} s for its unload, {late} s are allowed."
    if load.unloading[0].start_s != load.baked:
        yield f"load: {load.name} is not unloaded at the moment its bake ends."


def _line(book: Book, oven: Oven, loads: list[LoadTimes]) -> Iterator[str]:
    """Loads of one oven one after another, with time to recover and to change temperature."""
    if [load.load.number for load in loads] != list(range(1, len(loads) + 1)):
        yield f"load: the loads of {oven.name} are not numbered 1, 2, 3 in their order."
    spans = [(load.starts, load.ends, load.name) for load in loads]
    for first, second in clashes(spans):
        yield f"oven: {first} and {second} are in at once."
    for before, after in pairwise(loads):
        kelvin = abs(_degrees(book, after) - _degrees(book, before))
        pause = oven.recover_s + math.ceil(round(oven.per_kelvin_s * kelvin, 6))
        if after.starts - before.ends < pause:
            yield (
                f"recover: {after.name} begins {after.starts - before.ends} s after the one "
                f"before, {oven.name} needs {pause} s."
            )


def _degrees(book: Book, load: LoadTimes) -> float:
    return book.day.recipes[load.trays[0].recipe].bake_at_c


def _hot(book: Book, oven: Oven, loads: list[LoadTimes], preheats: list[Other]) -> Iterator[str]:
    """A preheat ends just when the first load of its stretch begins; nobody leaves a hot oven."""
    wanted: list[tuple[int, int]] = []
    hot: list[tuple[int, int]] = []
    for index, load in enumerate(loads):
        off = index > 0 and any(
            loads[index - 1].ends <= start and end <= load.starts for start, end in book.nobody
        )
        if index == 0 or off:
            wanted.append((load.starts - oven.preheat_s, load.starts))
            hot.append((load.starts - oven.preheat_s, load.ends))
        else:
            hot[-1] = (hot[-1][0], load.ends)
    have = [(each.start_s, each.end_s) for each in preheats]
    for start, end in wanted:
        if start < 0:
            yield f"preheat: {oven.name} would have to preheat from before the day, to {end} s."
        if (start, end) in have:
            have.remove((start, end))
        elif oven.preheat_s > 0:
            yield f"preheat: {oven.name} is not preheated from {start} s to {end} s."
    for start, end in have:
        yield f"preheat: {oven.name} preheats from {start} s to {end} s, which no load needs."
    for start, end in hot:
        for away in book.nobody:
            if overlaps((start, end), away):
                yield f"nobody: {oven.name} is hot while everyone is away from {away[0]} s."

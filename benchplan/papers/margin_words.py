"""What a fit could spare, what one more tin would need, and how near tins stand, in words.

Lengths are rounded to the safe side: what is spare never up, what is needed never down.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import combinations

from benchplan.model import Day, Fit, Margins
from benchplan.model.words import either_words

_MM_PER_INCH = 25.4  # exact


def margin_words(day: Day, fit: Fit, margins: Margins) -> tuple[str, ...]:
    """Return the sentences of a fit's margins, in the day's units."""
    spare = [
        (margins.larger_tin, "tins up to {} larger"),
        (margins.shorter, "a floor up to {} shorter"),
        (margins.narrower, "a floor up to {} narrower"),
    ]
    needs = [
        (margins.longer, "{} more length"),
        (margins.wider, "{} more width"),
        (margins.gap, "a gap of {}"),
        (margins.smaller_tin, "tins {} smaller"),
    ]
    kept = [words.format(_down(day, mm)) for mm, words in spare if not _is_nothing(_down(day, mm))]
    found = [f"With {either_words(kept)}, still {fit.count}."] if kept else []
    if not kept:
        found.append("With this layout there is nothing to spare.")
    asked = [
        words.format(_down(day, mm) if "gap" in words else _up(day, mm))
        for mm, words in needs
        if mm is not None
    ]
    if asked:
        found.append(f"One more, in rows, needs {either_words(asked)}.")
    return tuple(found)


def gap_words(
    day: Day, size_mm: float, inside_mm: Sequence[float], at_mm: Sequence[Sequence[float]]
) -> tuple[str, ...]:
    """Return how near the nearest two of these tins are, and the one nearest the rim."""
    if not at_mm:
        return ()
    rims = [min(x, inside_mm[0] - x, y, inside_mm[1] - y) - size_mm / 2 for x, y, *_ in at_mm]
    rim = min(range(len(rims)), key=lambda tin: round(rims[tin], 3))
    found = [f"Nearest the rim: tin {rim + 1}, {_down(day, rims[rim])}."]
    pairs = [
        (round(math.dist(one[:2], two[:2]) - size_mm, 3), first, second)
        for (first, one), (second, two) in combinations(enumerate(at_mm, 1), 2)
    ]
    if pairs:
        gap, first, second = min(pairs)
        found.insert(0, f"Nearest to each other: tins {first} and {second}, {_down(day, gap)}.")
    return tuple(found)


def _is_nothing(length: str) -> bool:
    return float(length.split()[0]) <= 0


def _down(day: Day, mm: float) -> str:
    if day.display.units == "us":
        return f"{math.floor(mm / _MM_PER_INCH * 100 + 1e-6) / 100:g} in"
    return f"{math.floor(mm * 10 + 2e-2) / 10:g} mm"


def _up(day: Day, mm: float) -> str:
    if day.display.units == "us":
        return f"{math.ceil(mm / _MM_PER_INCH * 100 - 1e-6) / 100:g} in"
    return f"{math.ceil(mm * 10 - 2e-2) / 10:g} mm"

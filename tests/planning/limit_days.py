"""A small day of invented values, and its like with single values past a limit."""

from __future__ import annotations

from pathlib import Path

LEAST = """\
format = 1
name = "Quay day"

[day]
date = 2026-12-05
start = 09:00:00

[[orders]]
scent = "Wet slate"
recipe = "plain"
tins = 4

[recipes.plain]
tin = "flat 70"
fill = "23 g"
bake_at = "151 degC"
bake_for = "9 min"
bake_late = "40 s"
rest_for = "90 s"
cool_for = "41 min"

[tins."flat 70"]
diameter = "71 mm"
height = "17 mm"
holds = "58 ml"

[pans.blue]
inside = ["240 mm", "170 mm"]

[ovens.shed]
shelf = ["350 mm", "290 mm"]
air = "25 mm"
preheat = "11 min"
headroom = "80 mm"

[cooling]
mat = ["500 mm", "400 mm"]

[times]
load = "18 s"
unload = "19 s"

[display]
units = "metric"
clock = 24
"""

# what is written in place of what, and the warning that comes of it: id, name, value, limit
PAST = {
    "hot": ('"151 degC"', '"214 degC"', "hot_bake", "plain", 214.0, 200.0),
    "long": ('"9 min"', '"3 h"', "long_bake", "plain", 10800, 1800),
    "late": ('"40 s"', '"5 h"', "long_late", "plain", 18000, 300),
    "unrested": ('"90 s"', '"0 s"', "short_rest", "plain", 0, 15),
    "uncooled": ('"41 min"', '"0 s"', "short_cooling", "plain", 0, 1980),
    "over the brim": ('"23 g"', '"340 g"', "over_brim", "plain", 340 / 0.58, 58.0),
    "no air": ('"25 mm"', '"0.1 mm"', "no_air", "shed", 0.1, 5.0),
    "no headroom": ('"80 mm"', '"24 mm"', "no_headroom", "shed", 24.0, 20.0),
    "no time to heat": ('"11 min"', '"0 s"', "short_preheat", "shed", 0, 60),
    "no time to load": ('"18 s"', '"0 s"', "zero_load", "", 0, 0),
    "no time to unload": ('"19 s"', '"0 s"', "zero_unload", "", 0, 0),
}


def day_text(*names: str) -> str:
    """Return the day with the named values past their limits."""
    text = LEAST
    for name in names:
        old, new = PAST[name][:2]
        assert old in text
        text = text.replace(old, new, 1)
    return text


def day_file(folder: Path, *names: str) -> Path:
    """Write the day with the named values past their limits into a file."""
    path = folder / "quay.toml"
    path.write_text(day_text(*names), encoding="utf-8")
    return path

"""A plan file with every key there is, and small ones to change, for the tests of this room."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import tomli_w

from benchplan.errors import BenchplanError, Problem
from benchplan.files import PlanFile, read_text
from benchplan.keys import ACTIONS
from benchplan.keys.names import ALWAYS_LEAVE
from benchplan.model import Display

METRIC = Display("metric", 24)

# Every key of the form, with names of our own.
FULL = """\
format = 1
name = "Quay market"

[day]
date = 2026-12-05
start = 09:00:00
finish_by = 15:30:00          # the van leaves
zone = "Europe/Lisbon"
people = 2
scales = 1
breaks = [ { at = 12:30:00, for = "30 min", away = 1 } ]
mix_scents = true
pack = "today"
keep_order = false

# Two regulars have asked for these.
[[orders]]
scent = "Juniper smoke"
recipe = "standard"
tins = 27
filled = 9

[[orders]]
scent = "Quince"   # the jar on the left
recipe = "standard"
tins = 18

[[trays]]
scent = "Juniper smoke"
recipe = "standard"
tins = 9
pan = "small"

[[trays]]
scent = ["Quince", "Quince", "Juniper smoke"]
recipe = "standard"

[scents."Juniper smoke"]
flash_point = "93 degC"
strength = 2
drying = ["2 day", "6 day"]

[recipes.standard]
tin = "low 72"
fill = "31 g"
bake_at = "158 degC"
bake_for = "6 min 30 s"
bake_late = "45 s"
rest_for = "3 min"
cool_for = "37 min"
pan = "small"

[tins."low 72"]
diameter = "72 mm"
height = "17 mm"
holds = "65 ml"
mass = "16 g"

[pans.small]
inside = ["242 mm", "240 mm"]
outside = ["258 mm", "255 mm"]
height = "21 mm"
count = 3
gap = "7 mm"
edge = "3 mm"
pattern = "tidy"
tins = { "low 72" = 9 }

[ovens.countertop]
shelf = ["345 mm", "320 mm"]
shelves = 2
headroom = "81 mm"
air = "26 mm"
preheat = "12 min"
recover = "91 s"
per_kelvin = "6.5 s"
most_tins = 24

[cooling]
where = "mat"
stand = 2
mat = ["680 mm", "440 mm"]
gap = "11 mm"
surface = "rack"
room = "21 degC"
pan_for = "4 min"

[times]
fill = "21 s"
set = "4 s"
ready = "31 s"
load = "16 s"
unload = "17 s"
transfer = "7 s"
pack = "18 s"
clear = "5 s"
change_scent = "5 min"

[checklist]
preheat = ["Thermometer in the middle"]
change_scent = ["Scoop wiped"]
fill = ["Bowl on the scale"]
set = ["Pan is cool"]
load = ["Lids put aside", "Tins level and apart"]
unload = ["Nothing rolls when a tin is tipped", "Surface still bumpy"]
transfer = ["Tongs at hand"]
pack = ["Cool right through"]

[display]
units = "us"
clock = 12

[bench]
alarm_command = ["play", "two tones.wav"]

[prices]
tin = "0.40"
"""

# Every action on its usual key, as a maker would who changes one after the other.
FULL += "\n[keys]\n" + "".join(
    f"{name} = {[key for key in action.keys if key not in ALWAYS_LEAVE]}\n"
    for name, action in {each.name: each for each in ACTIONS}.items()
)

# Only what must be there.
LEAST = """\
format = 1

[day]
date = 2026-12-05
start = 09:00:00
zone = "Europe/Lisbon"

[[orders]]
scent = "Quince"
recipe = "plain"
tins = 9

[recipes.plain]
tin = "low 72"
fill = "31 g"
bake_at = "158 degC"
bake_for = "7 min"

[tins."low 72"]
diameter = "72 mm"
height = "17 mm"

[pans.small]
inside = ["242 mm", "240 mm"]

[ovens.countertop]
shelf = ["345 mm", "320 mm"]

[cooling]
mat_tins = 24
"""


def document(text: str = FULL) -> dict[str, Any]:
    """Return the data of a text, to be changed at will."""
    return tomllib.loads(text)


def read(given: str | dict[str, Any], name: str = "plan.toml") -> PlanFile:
    text = given if isinstance(given, str) else tomli_w.dumps(given)
    return read_text(text, name, display=METRIC)


def problems(given: str | dict[str, Any], name: str = "plan.toml") -> tuple[Problem, ...]:
    """Return what is wrong with a plan; nothing when it can be read."""
    try:
        read(given, name)
    except BenchplanError as error:
        return error.problems
    return ()


def with_line(text: str, old: str, new: str) -> str:
    """Return the text with one part, that must be there once, replaced."""
    assert text.count(old) == 1, old
    return text.replace(old, new)


def put(folder: Path, text: str, name: str = "plan.toml") -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8", newline="")
    return path

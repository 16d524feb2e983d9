"""Each thing that can be wrong has a sentence with its place; all of them come at once."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from plan_examples import FULL, LEAST, METRIC, document, problems, put, read, with_line

from benchplan.errors import BenchplanError
from benchplan.files import read_plan

# (what in the full example is replaced, by what, the key, words of the message, words of the cure)
SLIPS = [
    ('["play", "two tones.wav"]', "[]", "bench.alarm_command", "empty list", "Leave it out"),
    ('["play", "two tones.wav"]', "5", "bench.alarm_command", "is 5", "alarm_command = "),
    ('["play", "two tones.wav"]', "\"play 'a\"", "bench.alarm_command", "not closed", "Close it"),
    ('"two tones.wav"]', "7]", "bench.alarm_command[2]", "is 7", "alarm_command = "),
    ('"two tones.wav"]', '"\\u001b"]', "bench.alarm_command[2]", "be shown", "alarm_command = "),
    ("tins = 27\nfilled = 9", "tins = 0", "orders[1].tins", "from 1 to", "tins = 27"),
    ("tins = 27\nfilled = 9", "tins = true", "orders[1].tins", "is true", "tins = 27"),
    ("tins = 27\nfilled = 9", "tins = 27.0", "orders[1].tins", "whole number", "tins = 27"),
    ("tins = 27\nfilled = 9", 'tins = "24"', "orders[1].tins", '"24"', "without quotes"),
    ("tins = 27\nfilled = 9", "tins = 27_000", "orders[1].tins", "27000", ""),
    ("filled = 9", "filled = 28", "orders[1].filled", "28 tins are filled", "27"),
    ("filled = 9", "filled = -1", "orders[1].filled", "-1", ""),
    ("date = 2026-12-05", 'date = "2026-12-05"', "day.date", "date", "2026-12-05"),
    ("date = 2026-12-05", "date = 1026-12-05", "day.date", "1026", ""),
    ("date = 2026-12-05", "date = 2026-12-05T09:00:00", "day.date", "a date alone", "2026-12-05"),
    ("start = 09:00:00", 'start = "9:00"', "day.start", "time of day", "09:00:00"),
    ("start = 09:00:00", "start = 9", "day.start", "time of day", "09:00:00"),
    ("start = 09:00:00", "start = 2026-12-06T09:00:00", "day.start", "2026-12-06", "same day"),
    ('zone = "Europe/Lisbon"', 'zone = "Europe/Lisbn"', "day.zone", "Lisbn", "Europe/Lisbon"),
    ('zone = "Europe/Lisbon"', 'zone = "../../etc/passwd"', "day.zone", "time zone", ""),
    ("people = 2", "people = 0", "day.people", "from 1", ""),
    ('pack = "today"', 'pack = "latr"', "day.pack", '"later"', '"later"'),
    ("away = 1", "away = 3", "day.breaks[1].away", "At 12:30 3 people", "everyone not already"),
    ('for = "30 min"', 'for = "0.2 s"', "day.breaks[1].for", "from 1 s", ""),
    ('scent = "Quince"   #', 'scent = ""   #', "orders[2].scent", "empty", ""),
    ('scent = "Quince"   #', 'scent = "a\\u001b[31m"   #', "orders[2].scent", "shown", ""),
    ("mix_scents = true", "mix_scents = false", "trays[2].scent", "mix_scents", "true"),
    ("tins = 9\npan", "tins = 27\npan", "trays[2].tins", "ask for 28", "Take 1 out"),
    ("tins = 9\npan", "pan", "trays[1].tins", "has no tins", "tins = 9"),
    ('"Quince", "Juniper smoke"]', '"Quinces", "Juniper smoke"]', "trays[2].scent",
     'No order asks for "Quinces"', '"Quince"'),
    ('"Quince", "Juniper smoke"]\n', '"Quince"]\ntins = 4\n', "trays[2].tins", "names 2", ""),
    ('tin = "low 72"', 'tin = "low 77"', "recipes.standard.tin", '"low 77"', '"low 72"'),
    ('"37 min"\npan = "small"', '"37 min"\npan = "smal"', "recipes.standard.pan", "smal", "small"),
    ('tins = 9\npan = "small"', 'tins = 9\npan = "smal"', "trays[1].pan", "smal", "small"),
    ('{ "low 72" = 9 }', '{ "low 7" = 8 }', 'pans.small.tins."low 7"', "no tin", "low 72"),
    ('{ "low 72" = 9 }', '{ "low 72" = 0 }', 'pans.small.tins."low 72"', "from 1", ""),
    ('"31 g"', '"1 floz"', "recipes.standard.fill", "is a volume", '"1 oz"'),
    ('"65 ml"', '"2.2 oz"', 'tins."low 72".holds', "is a mass", '"2.2 floz"'),
    ('"158 degC"', '"330 degC"', "recipes.standard.bake_at", "300 °C (572 °F)", ""),
    ('"158 degC"', '"158"', "recipes.standard.bake_at", "no unit", '"158 degC" or "158 degF"'),
    ('"72 mm"', '"0 mm"', 'tins."low 72".diameter', "10 mm (0.39 in)", ""),
    ('"72 mm"', "72", 'tins."low 72".diameter', "bare number", '"72 mm", "72 cm" or "72 in"'),
    ('"7 mm"', '"-7 mm"', "pans.small.gap", "less than nothing", ""),
    ('["258 mm", "255 mm"]', '["230 mm", "255 mm"]', "pans.small.outside", "smaller", ""),
    ('["242 mm", "240 mm"]', '["242 mm"]', "pans.small.inside", "a list of 1", ""),
    ('["242 mm", "240 mm"]', '"242 mm"', "pans.small.inside", "a list of two", ""),
    ('["2 day", "6 day"]', '["6 day", "2 day"]', 'scents."Juniper smoke".drying', "longer", ""),
    ("strength = 2", "strength = 6", 'scents."Juniper smoke".strength', "from 1 to 5", ""),
    ('where = "mat"', 'where = "matt"', "cooling.where", '"mat" or "pan"', '"mat"'),
    ('["680 mm", "440 mm"]', '["680 mm", "440 mm"]\nmat_tins = 4', "cooling.mat_tins", "both", ""),
    ('mat = ["680 mm", "440 mm"]\n', "", "cooling", "where hot tins go", "mat_tins = 24"),
    ("clock = 12", 'clock = "12"', "display.clock", "24 or 12", ""),
    ('pack = ["Cool right through"]', 'pak = ["Cool"]', "checklist.pak", "not known", '"pack"'),
    ('pack = ["Cool right through"]', 'pack = ["a", "b", "a"]', "checklist.pack[3]", "twice", ""),
    ("[prices]", "[pricse]", "pricse", "not known", '"prices"'),
    ('[prices]\ntin = "0.40"', "[times.x]", "times.x", "not known", ""),
    ('fill = "21 s"', 'stand = 2\nfill = "21 s"', "times.stand", "not known", "belongs in cooling"),
    ('scent = "Quince"   #', 'scent = "juniper  Smoke" #', "orders[2].scent", "not described",
     "same way"),
    ("away = 1 } ]", "away = 1 }, 30 ]", "day.breaks[2]", "breaks[2] is 30; a table",
     'like { at = 12:30:00, for = "30 min" }'),
    ("format = 1", "format = 0", "format", "this is format 1", ""),
    ("format = 1\n", "", "format", "missing", "format = 1"),
    ('["play", "two tones.wav"]', str(["a"] * 201), "bench.alarm_command", "201 words", "script"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "key", "says", "cure"), SLIPS)
def test_a_slip_is_answered_where_it_stands(
    old: str, new: str, key: str, says: str, cure: str
) -> None:
    assert problems(FULL) == ()
    text = with_line(FULL, old, new)
    found = [each for each in problems(text) if each.key == key]
    assert len(found) == 1, problems(text)
    assert says in found[0].what
    assert cure in found[0].cure
    assert found[0].cure
    assert found[0].file == "plan.toml"
    if found[0].line:  # its own line, or the header of the table that lacks it
        row = text.splitlines()[found[0].line - 1]
        assert row.startswith("[") or re.sub(r"\[\d+\]$", "", key.split(".")[-1]) in row
    else:
        assert key == "format"


def test_every_problem_comes_at_once_in_the_order_of_the_file() -> None:
    text = FULL
    for old, new, *_ in (SLIPS[0], SLIPS[10], SLIPS[15], SLIPS[30], SLIPS[36], SLIPS[44]):
        text = with_line(text, old, new)
    found = problems(text)
    assert len(found) >= 6
    assert [each.line for each in found] == sorted(each.line for each in found)
    assert all(str(each).startswith(f"plan.toml:{each.line}: {each.key}: ") for each in found)


def test_what_is_missing_altogether_is_named() -> None:
    found = {each.key: each for each in problems("format = 1\n")}
    assert {"day.date", "day.start", "orders", "pans", "ovens", "cooling"} <= set(found)
    assert "[[orders]] with scent, recipe, tins" in found["orders"].cure


def test_a_kit_that_is_opened_as_a_plan_is_known_for_one() -> None:
    kit = "[pans" + FULL.split("[pans")[1] + "[day]\npeople = 2\n"
    (found,) = problems(kit)
    assert "a kit" in found.what
    assert "plan file" in found.cure
    more = problems(kit + "scales = 0\n")
    assert {each.key for each in more} == {"", "day.scales"}


def test_a_later_format_is_refused_alone() -> None:
    found = problems(with_line(FULL, "format = 1", "format = 2").replace("[times]", "[hours]"))
    assert [each.key for each in found] == ["format"]
    assert "format 2" in found[0].what
    assert "format 2" in found[0].cure


def test_orders_of_one_scent_and_recipe_add_up_for_the_trays() -> None:
    data = document(LEAST)
    data["orders"] *= 2
    data["trays"] = [{"scent": "Quince", "recipe": "plain", "tins": 18}]
    assert read(data).day.queue[0].tins == 18
    data["trays"][0]["tins"] = 19
    assert [each.key for each in problems(data)] == ["trays[1].tins"]


def test_a_tray_of_an_order_with_another_recipe_is_refused_by_name() -> None:
    data = document(LEAST)
    data["recipes"]["dark"] = dict(data["recipes"]["plain"])
    data["trays"] = [{"scent": "Quince", "recipe": "dark", "tins": 1}]
    (found,) = problems(data)
    assert found.what == 'No order asks for "Quince" by recipe "dark".'


def test_more_tins_than_a_day_can_hold_are_refused() -> None:
    data = document(LEAST)
    data["orders"] = [{**data["orders"][0], "tins": 6000}, {**data["orders"][0], "tins": 6000}]
    assert [each.key for each in problems(data)] == ["orders"]


def test_where_pan_needs_no_mat() -> None:
    text = with_line(LEAST, "mat_tins = 24", 'where = "pan"')
    assert read(text).day.on_pan


@pytest.mark.parametrize(
    ("text", "line", "says", "cure"),
    [
        ("a = 1\ndiameter = 72 mm\n", 2, "not TOML", 'diameter = "72 mm"'),
        ("start = 9:00\n", 1, "not TOML", "start = 09:00:00"),
        ("start = 9:00:00 am\n", 1, "not TOML", "start = 15:30:00"),
        ("at = 12:00:00+01:00\n", 1, "not TOML", "at = 15:30:00"),
        ("gap = “6 mm”\n", 1, "not TOML", 'gap = "6 mm"'),
        ("date = 5.12.2026\n", 1, "not TOML", "2026-12-05"),
        ("\nname = Quay market\n", 2, "not TOML", 'name = "Quay market"'),
        ("a = 1\na = 2\n", 2, "not TOML", ""),
        ("hello\n", 1, "not TOML", "key = value"),
        ('a = "open\n', 1, "not TOML", ""),
        ("a = [1, 2\n", 2, "not TOML", ""),
        ("a = " + "[" * 2000 + "]" * 2000, 0, "deeply", ""),
        ("a = " + "9" * 5000, 0, "not TOML", ""),
        ("date = 2026-02-30\n", 1, "not TOML", ""),
    ],
)
def test_a_slip_of_syntax_has_its_line_and_a_cure(
    text: str, line: int, says: str, cure: str
) -> None:
    (found,) = problems(text)
    assert says in found.what
    assert cure in found.cure
    assert found.cure
    assert found.line == line


def sentence(path: Path) -> str:
    with pytest.raises(BenchplanError) as caught:
        read_plan(path, display=METRIC)
    assert all(each.file and each.what and each.cure for each in caught.value.problems)
    return str(caught.value)


def test_files_that_cannot_be_read_are_answered_with_a_sentence(tmp_path: Path) -> None:
    put(tmp_path, FULL, "market.toml")
    assert 'Did you mean "market.toml"?' in sentence(tmp_path / "markt.toml")
    assert "no such file" in sentence(tmp_path / "nowhere" / "plan.toml")
    assert "folder" in sentence(tmp_path)
    loop = tmp_path / "loop.toml"
    loop.symlink_to(loop)
    assert "Circular symbolic link" in sentence(loop)
    wide = tmp_path / "wide.toml"
    wide.write_bytes(FULL.encode("utf-16"))
    assert "UTF-8" in sentence(wide)
    late = tmp_path / "late.toml"
    late.write_bytes(b"format = 1\nname = 'caf\xe9'\n")
    assert f"{late}:2:" in sentence(late)
    empty = put(tmp_path, "", "empty.toml")
    assert "format is missing" in sentence(empty)
    huge = tmp_path / "huge.toml"
    huge.write_bytes(b"#" * 3_000_000)
    assert "larger than" in sentence(huge)
    assert "cannot be read" in sentence(Path("a\0b.toml"))
    assert "cannot be read" in sentence(tmp_path / "market.toml" / "plan.toml")
    assert "cannot be read" in sentence(tmp_path / ("x" * 300))


def test_a_mark_at_the_begin_and_ends_of_line_do_not_matter(tmp_path: Path) -> None:
    plain = read(FULL)
    marked = put(tmp_path, "\ufeff" + FULL.replace("\n", "\r\n"))
    found = read_plan(marked, display=METRIC)
    assert found.day == plain.day
    assert found.place("pans.small.gap") == (str(marked), plain.place("pans.small.gap")[1])

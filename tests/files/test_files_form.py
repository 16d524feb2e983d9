"""The form of a plan file: every key reads, and is missed, misspelt and mistyped one by one."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from typing import Any

import pytest
import tomli_w
from plan_examples import FULL, LEAST, document, problems, read

from benchplan import units
from benchplan.files.fields import BREAK, TABLES, Field, Table
from benchplan.files.lines import Path, key_text
from benchplan.model import Day

ALL_TABLES = [*TABLES.values(), BREAK]


def fields_in(data: dict[str, Any]) -> Iterator[tuple[Path, Field]]:
    """Yield the path and the field of every key that a document holds."""
    for key, table in TABLES.items():
        held = data.get(key)
        if table.shape == "value":
            yield (key,), table.fields[0]
        elif table.shape == "list":
            for place in range(len(held)):
                yield from _of(held[place], table, (key, place))
        elif table.shape == "named":
            for name in held:
                yield from _of(held[name], table, (key, name))
        elif table.shape == "table":
            yield from _of(held, table, (key,))
    for place, pause in enumerate(data["day"].get("breaks", [])):
        yield from _of(pause, BREAK, ("day", "breaks", place))


def _of(held: dict[str, Any], table: Table, path: Path) -> Iterator[tuple[Path, Field]]:
    for key in held:
        yield (*path, key), table.field(key)


def example(path: Path) -> dict[str, Any]:
    """Return the data of the example, with a kit only where the kit is the matter."""
    return document() | ({"kit": "kit.toml"} if path == ("kit",) else {})


HELD = list(fields_in(document() | {"kit": "kit.toml"}))
IDS = [key_text(path) for path, _ in HELD]


def parent(data: dict[str, Any], path: Path) -> Any:
    held: Any = data
    for part in path[:-1]:
        held = held[part]
    return held


def test_the_example_holds_every_key_of_the_table() -> None:
    held = {id(field) for _, field in HELD}
    mat_tins = TABLES["cooling"].field("mat_tins")  # instead of mat, never with it
    missing = [f.key for t in ALL_TABLES for f in t.fields if id(f) not in held]
    assert missing == [mat_tins.key]


def test_the_example_reads_as_it_is_written() -> None:
    day = read(FULL).day
    assert day.name == "Quay market"
    assert day.defaults == ()
    assert (day.people, day.scales, day.mix_scents, day.keep_order) == (2, 1, True, False)
    assert [(order.scent, order.tins, order.filled) for order in day.orders] == [
        ("Juniper smoke", 27, 9),
        ("Quince", 18, 0),
    ]
    assert [tray.scents for tray in day.queue] == [
        ("Juniper smoke",) * 9,
        ("Quince", "Quince", "Juniper smoke"),
    ]
    recipe = day.recipes["standard"]
    assert (recipe.fill_g, recipe.bake_at_c, recipe.bake_for_s) == (31.0, 158.0, 390)
    assert (recipe.bake_late_s, recipe.rest_for_s, recipe.cool_for_s) == (45, 180, 2220)
    pan = day.pans["small"]
    assert (pan.inside_mm, pan.outside_mm) == ((242.0, 240.0), (258.0, 255.0))
    assert (pan.gap_mm, pan.edge_mm, pan.pattern, pan.tins) == (7.0, 3.0, "tidy", {"low 72": 9})
    oven = day.ovens["countertop"]
    assert (oven.preheat_s, oven.recover_s, oven.per_kelvin_s) == (720, 91, 6.5)
    assert day.scents["Juniper smoke"].drying_s == (172_800, 518_400)
    assert day.cooling.mat_mm == (680.0, 440.0)
    assert (day.times.set_s, day.times.change_scent_s) == (4, 300)
    assert day.checklist["load"] == ("Lids put aside", "Tins level and apart")
    assert (day.display.units, day.display.clock) == ("us", 12)
    asks = read(FULL).asks
    assert asks.alarm_command == ("play", "two tones.wav")
    assert asks.keys["done"] == ("enter",)
    assert asks.keys["save"] == ("s", "S")
    assert (day.breaks[0].at_s, day.breaks[0].for_s, day.breaks[0].away) == (12_600, 1800, 1)
    assert day.finish_by_s == 23_400


@pytest.mark.parametrize(("path", "field"), HELD, ids=IDS)
def test_a_misspelt_key_is_answered_with_the_nearest(path: Path, field: Field) -> None:
    data = example(path)
    key = str(path[-1])
    held = parent(data, path)
    wrong = key[:-1] + "q" + key[-1]
    held[wrong] = held.pop(key)
    text = tomli_w.dumps(data)
    found = [each for each in problems(text) if each.key == key_text((*path[:-1], wrong))]
    assert len(found) == 1
    assert f'"{key}"' in found[0].cure
    assert found[0].file == "plan.toml"
    assert wrong in text.splitlines()[found[0].line - 1]


QUANTITIES = ("length", "mass", "volume", "temperature", "duration", "exact_duration")


def wrong_values(field: Field) -> list[Any]:
    """Return values of a wrong kind: a bare number and a text always, where those are wrong."""
    wrong: list[Any] = [[{}], {"a": 1}, -7, 7.5, True, "zzz zzz", float("nan"), []]
    if field.kind in ("text", "scents", "command"):
        wrong.remove("zzz zzz")
    if field.kind in ("lines", "breaks"):
        wrong.remove([])
    if field.kind == "flag":
        wrong.remove(True)
    return wrong


@pytest.mark.parametrize(("path", "field"), HELD, ids=IDS)
def test_a_wrong_value_is_answered_with_file_line_and_key(path: Path, field: Field) -> None:
    for value in wrong_values(field):
        data = example(path)
        parent(data, path)[path[-1]] = value
        text = tomli_w.dumps(data)
        key = key_text(path)
        found = [each for each in problems(text) if each.key.startswith(key)]
        assert found, value
        assert all(each.file == "plan.toml" and each.what and each.cure for each in found)
        row = text.splitlines()[found[0].line - 1]
        assert str(path[-1]) in row or row.strip() in ("{},", "a = 1")  # the entry's own line
        if field.kind in QUANTITIES and value == 7.5:
            assert "bare number" in found[0].what
            assert '"7.5 ' in found[0].cure


NEEDED = [(path, field) for path, field in HELD if field.need]


@pytest.mark.parametrize(("path", "field"), NEEDED, ids=[key_text(path) for path, _ in NEEDED])
def test_a_missing_required_key_is_named_with_an_example(path: Path, field: Field) -> None:
    data = document()
    del parent(data, path)[path[-1]]
    found = [each for each in problems(data) if each.key == key_text(path)]
    assert len(found) == 1
    assert field.like in found[0].cure
    assert found[0].line > 0 or len(path) == 1


@pytest.mark.parametrize("field", [f for t in ALL_TABLES for f in t.fields], ids=lambda f: f.key)
def test_each_example_of_a_field_lies_within_its_bounds(field: Field) -> None:
    if field.kind in QUANTITIES:
        kind = "duration" if field.kind == "exact_duration" else field.kind
        assert field.low <= units.parse(field.like, kind) <= field.high
    if field.kind == "count":
        assert field.low <= int(field.like) <= field.high


@pytest.mark.parametrize("table", ALL_TABLES, ids=lambda table: table.key)
def test_table_and_records_agree(table: Table) -> None:
    """Each attribute of a record has one field, and both have one default."""
    record = Day if table.key == "day" else table.record
    if record is None:
        return
    attributes = {each.name: each for each in dataclasses.fields(record)}
    fields = {field.attr: field for field in table.fields if field.attr}
    assert len(fields) == len([field for field in table.fields if field.attr])
    if table.key != "day":
        assert set(attributes) - set(fields) <= {"name", "at_s"}
    assert set(fields) <= set(attributes)
    for attr, field in fields.items():
        default = attributes[attr].default
        if field.need or table.key == "display" or field.key in ("breaks", "tins"):
            continue
        if default is dataclasses.MISSING:
            assert (table.key, attr) in {("pans", "outside_mm")}
        elif field.kind in QUANTITIES and field.default is not None:
            kind = "duration" if field.kind == "exact_duration" else field.kind
            assert units.parse(str(field.default), kind) == default
        else:
            assert field.default == default


def test_the_least_file_reads_and_leans_on_defaults() -> None:
    day = read(LEAST).day
    assert day.name == "plan"
    assert day.pans["small"].outside_mm == (257.0, 255.0)
    assert day.recipes["plain"].cool_for_s is None
    assert {
        "day.people",
        "recipes.plain.bake_late",
        "recipes.plain.cool_for",
        "pans.small.outside",
        "pans.small.gap",
        "ovens.countertop.preheat",
        "cooling.room",
        "cooling.stand",
        "times.fill",
        "times.pack",
    } <= set(day.defaults)
    # of no use to this day: one scent, one temperature, packed today, tins counted on the mat
    for unused in ("times.change_scent", "ovens.countertop.per_kelvin", "times.clear"):
        assert unused not in day.defaults
    assert "cooling.gap" not in day.defaults


@pytest.mark.parametrize(
    ("add", "key", "leans"),
    [
        ({"cool_for": "30 min"}, "cooling.room", False),
        ({"cool_for": "30 min"}, "recipes.plain.cool_for", False),
        ({}, "cooling.surface", True),
    ],
)
def test_the_room_matters_only_to_an_estimate(add: dict[str, str], key: str, leans: bool) -> None:
    data = document(LEAST)
    data["recipes"]["plain"] |= add
    assert (key in read(data).day.defaults) is leans


def test_a_kit_may_hold_what_is_not_used_and_the_day_does_not_lean_on_it() -> None:
    data = document(LEAST)
    data["recipes"]["other"] = dict(data["recipes"]["plain"])
    assert not any(key.startswith("recipes.other") for key in read(data).day.defaults)

"""The day's records from values that are known to be good, and the defaults it leans on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from benchplan.files.fields import TABLES, Table
from benchplan.files.lines import Path, key_text
from benchplan.files.moments import Moments
from benchplan.model import Cooling, Day, Display, Order, QueuedTray, Settings, Times

RIM_MM = 15.0  # how much wider a pan is outside than inside where nothing is said


def build_day(values: dict[str, Any], moments: Moments, name: str, display: Display) -> Day:
    """Return the day; ``name`` and ``display`` stand in where the file says nothing."""
    day = values["day"]
    built = Day(
        name=values.get("name", name),
        start=moments.start,
        finish_by_s=moments.finish_by_s,
        breaks=moments.breaks,
        orders=tuple(Order(**_kept(TABLES["orders"], each)) for each in values["orders"]),
        queue=tuple(_queued(each) for each in values.get("trays", ())),
        recipes=_named(values, "recipes"),
        tins=_named(values, "tins"),
        pans=_named(values, "pans"),
        ovens=_named(values, "ovens"),
        scents=_named(values, "scents"),
        cooling=Cooling(**_kept(TABLES["cooling"], values.get("cooling", {}))),
        times=Times(**_kept(TABLES["times"], values.get("times", {}))),
        checklist=dict(values.get("checklist", {})),
        display=replace(display, **_kept(TABLES["display"], values.get("display", {}))),
        **_kept(TABLES["day"], {key: each for key, each in day.items() if key != "breaks"}),
    )
    return replace(built, defaults=tuple(_defaults(values, built)))


def build_settings(values: dict[str, Any]) -> Settings:
    """Return what a file says of the maker's own command and keys."""
    command = _kept(TABLES["bench"], values.get("bench", {}))
    return Settings(**command, keys=dict(values.get("keys", {})))


def _kept(table: Table, values: dict[str, Any]) -> dict[str, Any]:
    """Return values by the names of the record's attributes."""
    return {
        field.attr: values[field.key]
        for field in table.fields
        if field.attr and field.key in values
    }


def _named(values: dict[str, Any], key: str) -> dict[str, Any]:
    table = TABLES[key]
    found = {}
    for name, each in values.get(key, {}).items():
        kept = _kept(table, each)
        if key == "pans":
            long, wide = kept["inside_mm"]
            kept.setdefault("outside_mm", (long + RIM_MM, wide + RIM_MM))
        assert table.record is not None
        found[name] = table.record(name=name, **kept)
    return found


def _queued(tray: dict[str, Any]) -> QueuedTray:
    scent = tray["scent"]
    scents = scent if isinstance(scent, tuple) else (scent,) * tray["tins"]
    return QueuedTray(scents, tray["recipe"], tray.get("pan"))


def _defaults(values: dict[str, Any], day: Day) -> Iterator[str]:
    """Yield the key path of each measure that the file leaves to a default and the day uses."""
    for key, table in TABLES.items():
        entries: dict[Path, dict[str, Any]] = {}
        if table.shape == "table":
            entries[(key,)] = values.get(key, {})
        elif table.shape == "named":
            used = _used(day, key)
            entries = {(key, n): each for n, each in values.get(key, {}).items() if n in used}
        unused = _unused(key, day)
        for path, given in entries.items():
            for field in table.fields:
                if field.leans and field.key not in given and field.key not in unused:
                    yield key_text((*path, field.key))


def _used(day: Day, key: str) -> set[str]:
    """Return the names of a table's entries that the day may use."""
    recipes = {order.recipe for order in day.orders}
    if key == "recipes":
        return recipes
    if key == "tins":
        return {day.recipes[name].tin for name in recipes}
    return set(getattr(day, key))


def _unused(key: str, day: Day) -> set[str]:
    """Return the keys of a table that this day makes no use of."""
    recipes = [day.recipes[name] for name in {order.recipe for order in day.orders}]
    unused: set[str] = set()
    if key == "recipes" and day.on_pan:
        unused |= {"rest_for"}
    if key == "ovens" and len({recipe.bake_at_c for recipe in recipes}) == 1:
        unused |= {"per_kelvin"}
    if key == "cooling":
        if day.on_pan or day.cooling.mat_tins is not None:
            unused |= {"gap"}
        if all(recipe.cool_for_s is not None for recipe in recipes):
            unused |= {"surface", "room"}
    if key == "times":
        unused |= {"clear"} if day.pack == "today" else {"pack"}
        if day.on_pan:
            unused |= {"transfer"}
        if all(order.filled == order.tins for order in day.orders):
            unused |= {"fill"}
        if len({order.scent for order in day.orders}) == 1:
            unused |= {"change_scent"}
    return unused

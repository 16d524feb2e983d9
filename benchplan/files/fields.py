"""The one table of what a plan file may hold: every key with its kind, default and bounds.

Reading, checking, the list of defaults and the tests all go by it. Bounds are in the unit that
is kept inside (mm, g, ml, degrees Celsius, seconds) and only stop slips of the pen. A default is
written as a file would write it; the records hold the same one, and a test compares the two.
"""

from __future__ import annotations

from dataclasses import dataclass

from benchplan.keys import NAMES as KEY_NAMES
from benchplan.model import (
    Break,
    Cooling,
    Display,
    Order,
    Oven,
    Pan,
    QueuedTray,
    Recipe,
    Scent,
    Times,
    Tin,
)
from benchplan.model.day import PACK_WHEN
from benchplan.model.kit import COOL_WHERE, PATTERNS, SURFACES
from benchplan.model.run import ACTIONS

MINUTE, HOUR, DAY = 60, 3600, 86400
FORMAT = 1
QUOTED = ("length", "mass", "volume", "temperature", "duration", "exact_duration")

Default = str | int | bool | tuple[str, ...] | None


@dataclass(frozen=True, slots=True)
class Field:
    """One key. ``attr`` is the record's attribute, ``like`` an example as a file writes it.

    ``kind`` names its reader in ``values.py``. ``leans`` marks a measure of the kit for which the
    default is only a guess, so that a plan which has no value says that it leans on it.
    """

    key: str
    kind: str
    attr: str = ""
    like: str = ""
    need: bool = False
    default: Default = None
    low: float = 0
    high: float = 0
    choices: tuple[str, ...] | tuple[int, ...] = ()
    leans: bool = False
    kit: bool = True

    def written(self) -> str:
        """Return the key with its example as a line of a file: ``fill = "31 g"``."""
        return f'{self.key} = "{self.like}"' if self.kind in QUOTED else f"{self.key} = {self.like}"


@dataclass(frozen=True, slots=True)
class Table:
    """One table of the file.

    ``shape`` is "table" (one, overlaid key by key), "named" (``[tins."low 72"]``, each whole),
    "list" (``[[orders]]``), "value" (a key at the top) or "free" (kept, not read here).
    """

    key: str
    shape: str
    fields: tuple[Field, ...] = ()
    record: type | None = None
    kit: bool = True

    def field(self, key: str) -> Field:
        """Return the field of this key; KeyError when there is none."""
        for field in self.fields:
            if field.key == key:
                return field
        raise KeyError(key)


def _length(key: str, attr: str, low: float, high: float, **more: str | bool | None) -> Field:
    return Field(key, "length", attr, low=low, high=high, **more)  # type: ignore[arg-type]


def _time(key: str, default: str | None, high: float = DAY, leans: bool = True) -> Field:
    return Field(
        key, "duration", f"{key}_s", default or "37 min", default=default, high=high, leans=leans
    )


BREAK = Table(
    "breaks",
    "list",
    (
        Field("at", "moment", like="12:30:00", need=True),
        Field("for", "duration", "for_s", "30 min", need=True, low=1, high=DAY),
        Field("away", "count", "away", "1", low=1, high=50),
    ),
    Break,
)

TABLES: dict[str, Table] = {
    table.key: table
    for table in (
        Table("format", "value", (Field("format", "format", like="1", need=True),)),
        Table(
            "name",
            "value",
            (Field("name", "text", "name", '"Harbour fair"', kit=False),),
            kit=False,
        ),
        Table("kit", "value", (Field("kit", "text", like='"kit.toml"', kit=False),), kit=False),
        Table(
            "day",
            "table",
            (
                Field("date", "date", like="2026-12-05", need=True, kit=False),
                Field("start", "moment", like="09:00:00", need=True, kit=False),
                Field("finish_by", "moment", like="15:30:00", kit=False),
                Field("zone", "zone", like='"Europe/Lisbon"', kit=False),
                Field("people", "count", "people", "1", default=1, low=1, high=50, leans=True),
                Field("scales", "count", "scales", "1", default=1, low=1, high=50, leans=True),
                Field("breaks", "breaks", "breaks", kit=False),
                Field("mix_scents", "flag", "mix_scents", "false", default=False, kit=False),
                Field("pack", "choice", "pack", default="today", choices=PACK_WHEN, kit=False),
                Field("keep_order", "flag", "keep_order", "false", default=False, kit=False),
            ),
        ),
        Table(
            "orders",
            "list",
            (
                Field("scent", "text", "scent", '"Sea fennel"', need=True),
                Field("recipe", "text", "recipe", '"standard"', need=True),
                Field("tins", "count", "tins", "27", need=True, low=1, high=10_000),
                Field("filled", "count", "filled", "9", default=0, high=10_000),
            ),
            Order,
            kit=False,
        ),
        Table(
            "trays",
            "list",
            (
                Field("scent", "scents", "scents", '"Sea fennel"', need=True),
                Field("recipe", "text", "recipe", '"standard"', need=True),
                Field("tins", "count", like="9", low=1, high=10_000),
                Field("pan", "text", "pan", '"small"'),
            ),
            QueuedTray,
            kit=False,
        ),
        Table(
            "scents",
            "named",
            (
                Field("flash_point", "temperature", "flash_point_c", "93 degC", low=-50, high=500),
                Field("strength", "count", "strength", "2", default=3, low=1, high=5),
                Field("drying", "span", "drying_s", '["2 day", "6 day"]', high=366 * DAY),
            ),
            Scent,
        ),
        Table(
            "recipes",
            "named",
            (
                Field("tin", "text", "tin", '"low 72"', need=True),
                Field("fill", "mass", "fill_g", "31 g", need=True, low=0.1, high=10_000),
                Field(
                    "bake_at", "temperature", "bake_at_c", "158 degC", need=True, low=30, high=300
                ),
                Field("bake_for", "duration", "bake_for_s", "9 min", need=True, high=DAY),
                _time("bake_late", "30 s"),
                _time("rest_for", "2 min"),
                _time("cool_for", None, 7 * DAY),
                Field("pan", "text", "pan", '"small"'),
            ),
            Recipe,
        ),
        Table(
            "tins",
            "named",
            (
                _length("diameter", "diameter_mm", 10, 500, like="72 mm", need=True),
                _length("height", "height_mm", 1, 300, like="17 mm", need=True),
                Field("holds", "volume", "holds_ml", "65 ml", low=0.1, high=20_000),
                Field("mass", "mass", "mass_g", "16 g", high=5_000),
            ),
            Tin,
        ),
        Table(
            "pans",
            "named",
            (
                Field(
                    "inside",
                    "size",
                    "inside_mm",
                    '["242 mm", "240 mm"]',
                    need=True,
                    low=20,
                    high=2_000,
                ),
                Field(
                    "outside",
                    "size",
                    "outside_mm",
                    '["257 mm", "255 mm"]',
                    low=20,
                    high=2_500,
                    leans=True,
                ),
                _length("height", "height_mm", 1, 300, like="20 mm", default="20 mm", leans=True),
                Field("count", "count", "count", "3", default=1, low=1, high=200, leans=True),
                _length("gap", "gap_mm", 0, 200, like="6 mm", default="6 mm", leans=True),
                _length("edge", "edge_mm", 0, 200, like="2 mm", default="2 mm", leans=True),
                Field("pattern", "choice", "pattern", default="most", choices=PATTERNS),
                Field("tins", "counts", "tins", '{ "low 72" = 9 }', low=1, high=10_000),
            ),
            Pan,
        ),
        Table(
            "ovens",
            "named",
            (
                Field(
                    "shelf",
                    "size",
                    "shelf_mm",
                    '["345 mm", "320 mm"]',
                    need=True,
                    low=20,
                    high=3_000,
                ),
                Field("shelves", "count", "shelves", "1", default=1, low=1, high=50, leans=True),
                _length(
                    "headroom", "headroom_mm", 1, 2_000, like="80 mm", default="80 mm", leans=True
                ),
                _length("air", "air_mm", 0, 500, like="25 mm", default="25 mm", leans=True),
                _time("preheat", "11 min", 6 * HOUR),
                _time("recover", "90 s", 6 * HOUR),
                Field(
                    "per_kelvin",
                    "exact_duration",
                    "per_kelvin_s",
                    "6 s",
                    default="6 s",
                    high=HOUR,
                    leans=True,
                ),
                Field("most_tins", "count", "most_tins", "24", low=1, high=10_000),
            ),
            Oven,
        ),
        Table(
            "cooling",
            "table",
            (
                Field("where", "choice", "where", default="mat", choices=COOL_WHERE),
                Field("stand", "count", "stand", "2", default=1, low=1, high=200, leans=True),
                Field("mat", "size", "mat_mm", '["680 mm", "440 mm"]', low=20, high=20_000),
                Field("mat_tins", "count", "mat_tins", "24", low=1, high=10_000),
                _length("gap", "gap_mm", 0, 500, like="10 mm", default="10 mm", leans=True),
                Field("surface", "choice", "surface", default="mat", choices=SURFACES, leans=True),
                Field(
                    "room",
                    "temperature",
                    "room_c",
                    "22 degC",
                    default="22 degC",
                    low=-30,
                    high=50,
                    leans=True,
                ),
                _time("pan_for", "0 s"),
            ),
            Cooling,
        ),
        Table(
            "times",
            "table",
            (
                _time("fill", "20 s"),
                _time("set", "3 s"),
                _time("ready", "0 s"),
                _time("load", "15 s"),
                _time("unload", "15 s"),
                _time("transfer", "6 s"),
                _time("pack", "17 s"),
                _time("clear", "3 s"),
                _time("change_scent", "4 min"),
            ),
            Times,
        ),
        Table(
            "checklist",
            "table",
            tuple(Field(action, "lines", like='["Lids put aside"]') for action in ACTIONS),
        ),
        Table(
            "display",
            "table",
            (
                Field("units", "choice", "units", choices=("metric", "us")),
                Field("clock", "choice", "clock", choices=(24, 12)),
            ),
            Display,
        ),
        Table(
            "bench",
            "table",
            (
                Field(
                    "alarm_command", "command", "alarm_command", '["play", "bell.wav"]', default=()
                ),
            ),
        ),
        Table(
            "keys", "table", tuple(Field(name, "keys", like='["f5", "t"]') for name in KEY_NAMES)
        ),
        Table("prices", "free"),
    )
}


def homes_of(key: str) -> list[str]:
    """Return the tables that have a field ``key``, to say where a key out of place belongs."""
    return [name for name, table in TABLES.items() if any(f.key == key for f in table.fields)]

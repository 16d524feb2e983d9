"""What must hold between the keys of a plan file: required ones, names that refer, sums."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

from benchplan import units
from benchplan.files.fields import BREAK, TABLES
from benchplan.files.lines import Path, key_text
from benchplan.files.nearest import suggest
from benchplan.files.notes import Note
from benchplan.files.values import BAD
from benchplan.model.kit import MOST_BAKE_C
from benchplan.model.words import count_words

MOST_TINS = 10_000  # in one day


def check(values: dict[str, Any], note: Note, whole: bool, kept: bool = False) -> None:
    """Note everything that is missing or does not go together in the kept ``values``.

    With ``whole`` False the kit could not be read, so only what the plan itself says is judged.
    What the bench book has ``kept`` was judged when it began, and a record of it stays readable.
    """
    if _seems_a_kit(values):
        note((), "This seems to be a kit: it has no orders and no date.", "Name a plan file.")
        return
    _required(values, note, whole)
    if whole:
        _references(values, note)
        _cooling(values, note)
    _orders(values, note)
    _trays(values, note)
    _kit(values, note)
    if not kept:
        _heat(values, note)


def _seems_a_kit(values: dict[str, Any]) -> bool:
    day = values.get("day", {})
    plain = isinstance(day, dict) and not {"date", "start"} & day.keys()
    return plain and "orders" not in values and any(TABLES[key].shape == "named" for key in values)


def tables(values: dict[str, Any], key: str) -> Iterator[tuple[Path, dict[str, Any]]]:
    """Yield the path and the readable values of each entry of a list, named or single table."""
    held = values.get(key)
    entries: list[tuple[Path, Any]] = []
    if isinstance(held, list):
        entries = [((key, place), each) for place, each in enumerate(held)]
    elif isinstance(held, dict):
        single = TABLES[key].shape == "table"
        entries = [((key,), held)] if single else [((key, n), each) for n, each in held.items()]
    for path, each in entries:
        if isinstance(each, dict):
            yield path, {name: value for name, value in each.items() if value is not BAD}


def names(values: dict[str, Any], key: str) -> list[str] | None:
    """Return the names of a named table, or None when they cannot be known."""
    held = values.get(key, {})
    return list(held) if isinstance(held, dict) else None


def _required(values: dict[str, Any], note: Note, whole: bool) -> None:
    if "format" not in values:
        note(("format",), "format is missing.", "Begin the file with format = 1.")
    for key, table in TABLES.items():
        needed = [field for field in table.fields if field.need]
        if table.shape == "table" and needed and key not in values:
            values = {**values, key: {}}
        for path, _ in tables(values, key) if table.shape != "value" else ():
            for field in needed:
                if field.key not in _said(values, path):
                    what = f"{key_text(path)} has no {field.key}."
                    note((*path, field.key), what, f"Add {field.written()}.")
    for place, pause in enumerate(_breaks(values)):
        for field in BREAK.fields:
            if field.need and pause is not BAD and field.key not in pause:
                where: Path = ("day", "breaks", place, field.key)
                note(where, f"The break has no {field.key}.", f"Add {field.written()}.")
    for key, one in (("orders", "order"), ("pans", "pan"), ("ovens", "oven")):
        if not values.get(key) and (whole or not TABLES[key].kit):
            fields = ", ".join(field.key for field in TABLES[key].fields if field.need)
            head = f"[[{key}]]" if TABLES[key].shape == "list" else f'[{key}."a name"]'
            note((key,), f"There is no {one}.", f"Add {head} with {fields}.")


def _said(values: dict[str, Any], path: Path) -> Any:
    """Return the table at a path with its unreadable values too."""
    held: Any = values
    for part in path:
        held = held[part]
    return held


def _breaks(values: dict[str, Any]) -> list[Any]:
    day = values.get("day")
    breaks: Any = day.get("breaks") if isinstance(day, dict) else None
    return breaks if isinstance(breaks, list) else []


def _references(values: dict[str, Any], note: Note) -> None:
    refers = (
        ("orders", "recipe", "recipes"),
        ("trays", "recipe", "recipes"),
        ("trays", "pan", "pans"),
        ("recipes", "tin", "tins"),
        ("recipes", "pan", "pans"),
    )
    for key, name, target in refers:
        known = names(values, target)
        for path, each in tables(values, key):
            if known is not None and name in each:
                _known(each[name], known, target, (*path, name), note)
    tins = names(values, "tins")
    for path, pan in tables(values, "pans"):
        for tin in pan.get("tins", ()):
            if tins is not None:
                _known(tin, tins, "tins", (*path, "tins", tin), note)


def _known(name: str, known: list[str], target: str, path: Path, note: Note) -> None:
    if name not in known:
        one = target.removesuffix("s")
        cure = suggest(name, known, f"Add {key_text((target, name))} as a table.")
        note(path, f'There is no {one} "{name}".', cure)


def _cooling(values: dict[str, Any], note: Note) -> None:
    cooling = values.get("cooling", {})
    if not isinstance(cooling, dict) or cooling.get("where", "mat") != "mat":
        return
    if "mat" not in cooling and "mat_tins" not in cooling:
        note(
            ("cooling",),
            "cooling says nothing of where hot tins go.",
            'Add mat = ["680 mm", "440 mm"], or mat_tins = 24, or where = "pan".',
        )


def _orders(values: dict[str, Any], note: Note) -> None:
    described = names(values, "scents") or []
    folded = {" ".join(name.casefold().split()): name for name in described}
    total = 0
    for path, order in tables(values, "orders"):
        tins, filled = order.get("tins"), order.get("filled", 0)
        if tins is not None and filled > tins:
            note(
                (*path, "filled"),
                f"{filled} tins are filled, but the order is for {count_words(tins, 'tin')}.",
                f"Write filled = {tins} or less.",
            )
        total += tins or 0
        scent = order.get("scent", "")
        other = folded.get(" ".join(scent.casefold().split()), scent)
        if scent not in described and other != scent:
            note(
                (*path, "scent"),
                f'"{scent}" is not described, but "{other}" is.',
                "Write it the same way in both places.",
            )
    if total > MOST_TINS:
        note(
            ("orders",),
            f"The orders add up to {total} tins.",
            f"One day holds at most {MOST_TINS}; split it.",
        )


def _trays(values: dict[str, Any], note: Note) -> None:
    orders = list(tables(values, "orders"))
    sure = all({"scent", "recipe", "tins"} <= order.keys() for _, order in orders)
    held = values.get("orders")
    sure = sure and isinstance(held, list) and BAD not in held
    wanted: Counter[tuple[str, str]] = Counter()
    for _, order in orders:
        if sure:
            wanted[order["scent"], order["recipe"]] += order["tins"]
    day = values.get("day")
    mix = day.get("mix_scents", False) if isinstance(day, dict) else BAD
    queued: Counter[tuple[str, str]] = Counter()
    for path, tray in tables(values, "trays"):
        scents = _tray_scents(path, tray, values, note)
        if mix is False and len(set(scents)) > 1:
            note(
                (*path, "scent"),
                "This tray mixes scents, but day.mix_scents is false.",
                "Write mix_scents = true under [day], or give each scent its own tray.",
            )
        if sure and "recipe" in tray:
            _within_orders(path, scents, tray["recipe"], wanted, queued, note)


def _tray_scents(
    path: Path, tray: dict[str, Any], values: dict[str, Any], note: Note
) -> tuple[str, ...]:
    """Return one scent a tin of a queued tray, or nothing where that is not clear."""
    scent, tins = tray.get("scent"), tray.get("tins")
    if isinstance(scent, tuple):
        if tins is not None and tins != len(scent):
            note(
                (*path, "tins"),
                f"This tray has {count_words(tins, 'tin')}, but scent names {len(scent)}.",
                "Name one scent for each tin.",
            )
        return scent
    if scent is not None and "tins" not in _said(values, path):
        note((*path, "tins"), f"{key_text(path)} has no tins.", "Add tins = 9.")
    return (scent,) * tins if scent is not None and tins is not None else ()


def _within_orders(
    path: Path,
    scents: tuple[str, ...],
    recipe: str,
    wanted: Counter[tuple[str, str]],
    queued: Counter[tuple[str, str]],
    note: Note,
) -> None:
    for scent in dict.fromkeys(scents):
        pair = (scent, recipe)
        queued[pair] += scents.count(scent)
        if not wanted[pair]:
            known = dict.fromkeys(name for name, by in wanted if by == recipe)
            cure = suggest(scent, known, "Add an order for it, or take the tray out.")
            note((*path, "scent"), f'No order asks for "{scent}" by recipe "{recipe}".', cure)
        elif queued[pair] > wanted[pair]:
            note(
                (*path, "tins"),
                f'Up to this tray [[trays]] ask for {queued[pair]} tins of "{scent}" by recipe '
                f'"{recipe}"; the orders ask for {wanted[pair]}.',
                f"Take {queued[pair] - wanted[pair]} out, or raise the order.",
            )
            queued[pair] = wanted[pair]


def _kit(values: dict[str, Any], note: Note) -> None:
    for path, pan in tables(values, "pans"):
        inside, outside = pan.get("inside"), pan.get("outside")
        if inside and outside:
            pairs = zip(sorted(inside), sorted(outside), strict=True)
            if any(within > around for within, around in pairs):
                note(
                    (*path, "outside"),
                    "The pan's outside is smaller than its inside.",
                    "Check both; outside is rim to rim.",
                )
    for path, scent in tables(values, "scents"):
        drying = scent.get("drying")
        if drying and drying[0] > drying[1]:
            note(
                (*path, "drying"),
                "The shortest drying time is longer than the longest.",
                "Write the shortest first.",
            )


def _heat(values: dict[str, Any], note: Note) -> None:
    most = _temperature(MOST_BAKE_C)
    for path, recipe in tables(values, "recipes"):
        if recipe.get("bake_at", 0.0) > MOST_BAKE_C:
            note(
                (*path, "bake_at"),
                f"bake_at is {_temperature(recipe['bake_at'])}; the maximum is {most}: above it "
                "the beads break down and give off acid vapour.",
                "Write the temperature that the beads' data sheet allows.",
            )


def _temperature(c: float) -> str:
    return f"{units.show_temperature(c, 'metric')} ({units.show_temperature(c, 'us')})"

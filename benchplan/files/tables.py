"""Reading a whole file by the table of fields: every key, every value, every problem."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from benchplan.files.fields import BREAK, TABLES, Field, Table, homes_of
from benchplan.files.lines import LONGEST_TEXT, Path, key_text, shown
from benchplan.files.nearest import nearest, suggest
from benchplan.files.notes import Note
from benchplan.files.values import (
    BAD,
    READERS,
    found_words,
    name_of,
    text_fault,
    wrong,
)


def read_file(data: dict[str, Any], note: Note, in_kit: bool) -> dict[str, Any]:
    """Read everything a file says into kept values, by the table of fields."""
    found: dict[str, Any] = {}
    for key, raw in data.items():
        table = TABLES.get(key)
        if table is None:
            unknown_key(key, TABLES, (), note)
        elif in_kit and not table.kit:
            if key == "kit":
                note((key,), "A kit may not name a kit itself.", "Put what both hold into one.")
            else:
                note((key,), f"A kit holds no {key}.", "Move it to the plan file.")
        elif table.shape == "value":
            found[key] = read_value(table.fields[0], raw, (key,), note)
        elif table.shape == "free":
            found[key] = raw if isinstance(raw, dict) else read_table(table, raw, (key,), note)
        elif table.shape == "table":
            found[key] = read_table(table, raw, (key,), note, in_kit)
        elif table.shape == "list":
            found[key] = _read_list(table, raw, note)
        else:
            found[key] = _read_named(table, raw, note, in_kit)
    return found


def _read_list(table: Table, raw: Any, note: Note) -> Any:
    if not isinstance(raw, list):
        note(
            (table.key,),
            f"{table.key} is {found_words(raw)}; a list is needed.",
            f"Write [[{table.key}]] above each one.",
        )
        return BAD
    return [read_table(table, each, (table.key, i), note) for i, each in enumerate(raw)]


def _read_named(table: Table, raw: Any, note: Note, in_kit: bool) -> Any:
    if not isinstance(raw, dict):
        note(
            (table.key,),
            f"{table.key} is {found_words(raw)}; a table of named tables is needed.",
            f'Write [{table.key}."a name"] and its keys on the lines below.',
        )
        return BAD
    found: dict[str, Any] = {}
    for name, each in raw.items():
        if fault := text_fault(name):
            note((table.key, name), f"A name in {table.key} {fault}.", "Give it a short name.")
        found[name] = read_table(table, each, (table.key, name), note, in_kit)
    return found


def read_table(table: Table, raw: Any, path: Path, note: Note, in_kit: bool = False) -> Any:
    """Read a table by its fields; what is not among them is a problem, and so is each bad value."""
    if not isinstance(raw, dict):
        cure = f"Write [{key_text(path)}] and its keys on the lines below."
        if isinstance(path[-1], int):
            needed = ", ".join(field.written() for field in table.fields if field.need)
            cure = f"Write it like {{ {needed} }}."
        note(path, f"{name_of(path)} is {found_words(raw)}; a table is needed.", cure)
        return BAD
    fields = {field.key: field for field in table.fields}
    found: dict[str, Any] = {}
    for key, value in raw.items():
        field = fields.get(key)
        if field is None:
            unknown_key(key, fields, path, note)
        elif in_kit and not field.kit:
            note((*path, key), f"A kit holds no {key}.", "Move it to the plan file.")
        else:
            found[key] = read_value(field, value, (*path, key), note)
    return found


def read_value(field: Field, raw: Any, path: Path, note: Note) -> Any:
    """Read one value by its field; BAD when it was noted as a problem."""
    if field.kind == "breaks":
        return _read_breaks(field, raw, path, note)
    return READERS[field.kind](field, raw, path, note)


def unknown_key(key: str, known: Iterable[str], path: Path, note: Note) -> None:
    """Note a key that is not known in the table at ``path``."""
    said = shown(key, LONGEST_TEXT)
    where = f" in {key_text(path)}" if path else ""
    homes = [home for home in homes_of(key) if home != (path[:1] or ("",))[0]]
    cure = suggest(said, known, "")
    if homes:
        near = cure if nearest(said, known) else ""
        cure = f"{near} {key} belongs in {homes[0]}.".strip()
    note((*path, key), f"{key_text((said,))} is not known{where}.", cure)


def _read_breaks(field: Field, raw: Any, path: Path, note: Note) -> Any:
    if not isinstance(raw, list):
        like = 'Write breaks = [ { at = 12:30:00, for = "30 min" } ].'
        return wrong(field, raw, path, note, "a list", like)
    return [read_table(BREAK, each, (*path, i), note) for i, each in enumerate(raw)]

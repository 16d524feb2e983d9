"""The maker's own settings: settings.toml in the data folder. docs/settings.md has its form.

What is wrong in it counts as not said, and never keeps a verb from its work.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from typing import Any

from benchplan.errors import BenchplanError, Problem
from benchplan.files.atomic import write_whole
from benchplan.files.build import build_settings
from benchplan.files.fields import TABLES
from benchplan.files.lines import shown
from benchplan.files.notes import Note, Notes
from benchplan.files.source import MARK, read_source
from benchplan.files.tables import read_table, unknown_key
from benchplan.files.values import BAD, found_words
from benchplan.home import home
from benchplan.keys import faults
from benchplan.model import Settings

FILE = "settings.toml"
TAKEN = ("bench", "keys")  # what a plan file may ask for
CONFIRMED = "confirmed"
HEAD = "# benchplan's settings on this machine; docs/settings.md says what may stand here.\n"


def settings_path() -> str:
    """Return the path of the settings; raises ``BenchplanError`` where the folder is nobody's."""
    return str(home() / FILE)


def read_settings() -> tuple[Settings, tuple[Problem, ...]]:
    """Return the maker's settings, and each problem of their file."""
    try:
        path = settings_path()
    except BenchplanError:
        return Settings(), ()  # who needs the folder says so
    if not os.path.lexists(path):
        return Settings(), ()
    try:
        source = read_source(home() / FILE, path)
    except BenchplanError as error:
        return Settings(), error.problems
    notes = Notes()
    settings = _settings(source.data, notes.within(source))
    return settings, tuple(dict.fromkeys(notes.problems))


def _settings(data: dict[str, Any], note: Note) -> Settings:
    values: dict[str, Any] = {}
    for key, raw in data.items():
        if key in TAKEN:
            found = read_table(TABLES[key], raw, (key,), note)
            if found is not BAD:
                values[key] = {name: each for name, each in found.items() if each is not BAD}
        elif key != CONFIRMED:
            unknown_key(key, (*TAKEN, CONFIRMED), (), note)
    keys = values.get("keys", {})
    while wrong := list(faults(keys)):
        for name, what, cure in wrong:
            note(("keys", name), what, cure)
            keys.pop(name, None)
    made = build_settings(values)
    return Settings(made.alarm_command, made.keys, _confirmed(data.get(CONFIRMED, {}), note))


def _confirmed(raw: Any, note: Note) -> dict[str, str]:
    if not isinstance(raw, dict):
        what = f"{CONFIRMED} is {found_words(raw)}; a table is needed."
        note((CONFIRMED,), what, "Delete this line: you are asked again.")
        return {}
    found = {}
    for fingerprint, words in raw.items():
        if isinstance(words, str):
            found[fingerprint] = shown(words)
        else:
            what = f"{fingerprint} is {found_words(words)}; a text in quotes is needed."
            note((CONFIRMED, fingerprint), what, "Delete this line: you are asked again.")
    return found


def take_over(asked: Settings) -> Settings:
    """Write a command and keys that a file asks for into the maker's settings; return these.

    Raises ``BenchplanError`` where they cannot be written, and where two actions would have one
    key; the settings are then as they were.
    """
    wrong = list(faults({**read_settings()[0].keys, **asked.keys}))
    if wrong:
        raise BenchplanError(*(Problem(what, cure, f"keys.{name}") for name, what, cure in wrong))
    tables: dict[str, dict[str, Any]] = {
        "bench": {"alarm_command": list(asked.alarm_command)} if asked.alarm_command else {},
        "keys": {name: _named(keys) for name, keys in asked.keys.items()},
    }
    return _write(tables)


def confirm(sentences: Mapping[str, str]) -> Settings:
    """Write that values past a limit were confirmed, a sentence by fingerprint; raises as above."""
    return _write({CONFIRMED: sentences})


def _named(keys: tuple[str, ...]) -> list[str]:
    """Return keys as a file names them: a letter stands for both its cases."""
    return [key for key in keys if key.lower() == key or key.lower() not in keys]


def _write(tables: Mapping[str, Mapping[str, Any]]) -> Settings:
    """Put keys into tables of the file, with all else and every remark kept."""
    import tomlkit

    path = settings_path()
    text = (
        read_source(home() / FILE, path).text.removeprefix(MARK) if os.path.lexists(path) else HEAD
    )
    document = tomlkit.parse(text)
    for name, entries in tables.items():
        if entries and not isinstance(document.get(name), dict):
            document[name] = tomlkit.table()
        for key, value in entries.items():
            document[name][key] = value
    try:
        home().mkdir(parents=True, exist_ok=True)
    except OSError as error:
        said = error.strerror or str(error)
        raise BenchplanError(
            Problem(f"The folder {home()} cannot be made: {said}.", "Make it yourself.", file=path)
        ) from None
    write_whole(home() / FILE, tomlkit.dumps(document), path)
    return read_settings()[0]

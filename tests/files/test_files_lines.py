"""The line of every key, in every way that TOML lets it be written."""

from __future__ import annotations

import tomllib
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from benchplan.files.lines import Path, key_path, key_text, layout

KEYS = ["a", "b-1", "2", "pan", "low 72", 'say "x"', "a.b", "é", "", "#no", "[x]", "= y"]
VALUES = [
    "1", "-2.5", "1e3", "true", "2026-12-05", "09:00:00", "2026-12-05 09:00:00", "inf",
    '"text"', '"a # b = [c]"', r'"esc \" ]"', "'lit # ['", '""',
    '"""\nmany\n[not.a.table]\nkey = 1 # "\n"""', "'''\nx = [\n\n'''", '"""a""""', '"""b"""""',
    '"""\\\n  folded"""',
]  # fmt: skip


class Writer:
    """Writes a document at random and notes where each thing stands, as it goes."""

    def __init__(self, draw: Any, ends: str) -> None:
        self.draw = draw
        self.ends = ends
        self.text = ""
        self.lines: dict[Path, int] = {}

    @property
    def line(self) -> int:
        return self.text.count("\n") + 1

    def put(self, text: str) -> None:
        self.text += text.replace("\n", self.ends)

    def note(self, path: Path) -> None:
        self.lines.setdefault(path, self.line)

    def key(self, key: str) -> str:
        quoted = '"' + key.replace("\\", "\\\\").replace('"', '\\"') + '"'
        ways = [quoted]
        if key and all(c.isascii() and (c.isalnum() or c in "-_") for c in key):
            ways.append(key)
        if "'" not in key:
            ways.append(f"'{key}'")
        return self.draw(st.sampled_from(ways))

    def space(self) -> str:
        return self.draw(st.sampled_from(["", "", " ", "\t"]))

    def filler(self) -> None:
        lines = ["", "\n", "# [a] b = 'c\n", '  # """ x\n', "\n\n"]
        self.put(self.draw(st.sampled_from(lines)))

    def value(self, path: Path, depth: int, inline: bool) -> None:
        shape = self.draw(st.sampled_from(["scalar"] * 3 + (["list", "table"] if depth else [])))
        if shape == "scalar":
            values = [each for each in VALUES if not (inline and "\n" in each)]
            self.put(self.draw(st.sampled_from(values)))
        elif shape == "list":
            self.put("[")
            for place in range(self.draw(st.integers(0, 3))):
                if not inline:
                    self.filler()
                self.put(self.space())
                self.note((*path, place))
                self.value((*path, place), depth - 1, inline)
                self.put(self.space() + ",")
            if not inline:
                self.put(self.draw(st.sampled_from(["", "\n", " # ] end\n"])))
            self.put("]")
        else:
            self.put("{")
            keys = self.draw(st.lists(st.sampled_from(KEYS), unique=True, max_size=3))
            for place, key in enumerate(keys):
                self.put(", " if place else " ")
                self.pair((*path, key), [key], depth - 1, True)
            self.put(" }")

    def pair(self, path: Path, keys: list[str], depth: int, inline: bool) -> None:
        for place in range(1, len(keys) + 1):
            self.note((*path[: len(path) - len(keys)], *keys[:place]))
        dot = self.space() + "." + self.space()
        self.put(dot.join(self.key(key) for key in keys) + self.space() + "=" + self.space())
        self.value(path, depth, inline)

    def pairs(self, table: Path) -> None:
        for key in self.draw(st.lists(st.sampled_from(KEYS), unique=True, max_size=4)):
            self.filler()
            self.put(self.space())
            # A dotted key now and then; its first part is this pair's own, so nothing clashes.
            keys = [key, *self.draw(st.lists(st.sampled_from(KEYS), max_size=2))]
            self.pair((*table, *keys), keys, 2, False)
            self.put(self.space() + self.draw(st.sampled_from(["", "# done"])) + "\n")

    def document(self) -> None:
        self.pairs(())
        counts: dict[Path, int] = {}
        for number in range(self.draw(st.integers(0, 4))):
            self.filler()
            # Headers of their own names, so that they never clash with the keys above.
            name = self.draw(st.sampled_from(["L", "M"]))
            if self.draw(st.booleans()):
                self.note((name,))
                place = counts.get((name,), 0)
                counts[name,] = place + 1
                self.note((name, place))
                self.put(f"[[{self.space()}{self.key(name)} ]] # list\n")
                self.pairs((name, place))
            else:
                table = f"T{number}"
                above: Path = (name, counts[name,] - 1) if (name,) in counts else (f"{name}t",)
                self.note(above)
                self.note((*above, table))
                self.put(f"[ {above[0]} . {self.key(table)}]\n")
                self.pairs((*above, table))


def flat(held: Any, path: Path = ()) -> set[Path]:
    """Return the path of everything in a document."""
    found = {path} if path else set()
    if isinstance(held, dict):
        for key, each in held.items():
            found |= flat(each, (*path, key))
    elif isinstance(held, list):
        for place, each in enumerate(held):
            found |= flat(each, (*path, place))
    return found


@given(st.data(), st.sampled_from(["\n", "\r\n"]))
def test_every_key_is_found_on_its_line(data: st.DataObject, ends: str) -> None:
    writer = Writer(data.draw, ends)
    writer.document()
    said = tomllib.loads(writer.text)  # what was written is TOML
    found = layout(writer.text).found
    assert found == writer.lines
    assert set(found) == flat(said)


@given(st.lists(st.sampled_from(KEYS) | st.text(max_size=5) | st.integers(0, 9), min_size=1))
def test_a_path_reads_back_from_its_text(parts: list[str | int]) -> None:
    path = tuple(parts)
    assert key_path(key_text(path)) == path


def test_a_path_is_shown_as_people_write_it() -> None:
    assert key_text(("tins", "low 72", "height")) == 'tins."low 72".height'
    assert key_text(("orders", 1, "tins")) == "orders[2].tins"


@given(st.text(alphabet="[]{}=.,\"'#ab1 \n", max_size=40))
def test_a_text_that_is_no_toml_does_no_harm(text: str) -> None:
    assert all(line >= 1 for line in layout(text).found.values())

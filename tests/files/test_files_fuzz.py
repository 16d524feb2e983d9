"""Whatever a file holds, reading answers with a day or with sentences."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import tomli_w
from hypothesis import given, settings
from hypothesis import strategies as st
from plan_examples import FULL, LEAST, METRIC, document

from benchplan.errors import BenchplanError
from benchplan.files import PlanFile, read_plan, read_text, snapshot
from benchplan.files.fields import TABLES

WORDS = sorted(TABLES) + [field.key for table in TABLES.values() for field in table.fields]
SCALARS = (
    st.none().map(lambda _: "")
    | st.booleans()
    | st.integers(-(2**63), 2**63)
    | st.floats()
    | st.text(max_size=12)
    | st.datetimes()
    | st.dates()
    | st.times()
    | st.sampled_from(["72 mm", "2.2 oz", "7 min", "158 degC", "Quince", "small", "1e999 g", "0 s"])
)
VALUES: st.SearchStrategy[Any] = st.recursive(
    SCALARS,
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from(WORDS) | st.text(max_size=5), inner, max_size=4)
    ),
    max_leaves=12,
)
DOCUMENTS = st.dictionaries(st.sampled_from(sorted(TABLES)) | st.text(max_size=5), VALUES)


def answer(text: str) -> PlanFile | None:
    """Read a text; what cannot be read must be answered in sentences with a cure each."""
    said: tuple[str, ...] = ()
    found = None
    try:
        found = read_text(text, "plan.toml", display=METRIC)
    except BenchplanError as error:
        said = tuple(each.what + each.cure for each in error.problems)
        assert all(each.what and each.cure for each in error.problems)  # noqa: PT017
    assert (found is None) == bool(said)
    assert all(len(each) < 1500 and each.isprintable() for each in said)
    return found


@given(DOCUMENTS)
def test_any_document_is_answered(data: dict[str, Any]) -> None:
    answer(tomli_w.dumps(data))


def paths(held: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    found = [path] if path else []
    if isinstance(held, list):
        held = dict(enumerate(held))
    for key, each in held.items() if isinstance(held, dict) else ():
        found += paths(each, (*path, key))
    return found


PATHS = {text: paths(document(text)) for text in (FULL, LEAST)}


def holder(document: dict[str, Any], path: tuple[Any, ...]) -> Any:
    """Return what holds the last part of a path, or None where an earlier change took it away."""
    held: Any = document
    for place, part in enumerate(path):
        if isinstance(held, list):
            there = isinstance(part, int) and part < len(held)
        else:
            there = isinstance(held, dict) and part in held
        if not there:
            return None
        if place < len(path) - 1:
            held = held[part]
    return held


@given(st.data(), st.sampled_from([FULL, LEAST]))
def test_a_plan_with_changed_values_is_answered(data: st.DataObject, text: str) -> None:
    changed = document(text)
    for path in data.draw(st.lists(st.sampled_from(PATHS[text]), min_size=1, max_size=4)):
        held = holder(changed, path)
        if isinstance(held, dict) and data.draw(st.booleans()):
            held[data.draw(st.sampled_from(WORDS))] = held.pop(path[-1])
        elif held is not None:
            held[path[-1]] = data.draw(VALUES)
    found = answer(tomli_w.dumps(changed))
    if found is not None:
        assert answer(snapshot(found, found.day)) is not None


@given(st.data())
def test_a_plan_with_changed_letters_is_answered(data: st.DataObject) -> None:
    text = FULL
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(text)))
        to = at + data.draw(st.integers(0, 12))
        text = text[:at] + data.draw(st.text(max_size=3) | st.sampled_from(WORDS)) + text[to:]
    found = answer(text)
    if found is not None:
        assert found.document == tomllib.loads(text)


@settings(max_examples=50)
@given(st.binary(max_size=60))
def test_any_bytes_are_answered(tmp_path_factory: Any, raw: bytes) -> None:
    path: Path = tmp_path_factory.getbasetemp() / "any.toml"
    path.write_bytes(raw)
    said = ""
    try:
        read_plan(path)
    except BenchplanError as error:
        said = str(error)
    assert said

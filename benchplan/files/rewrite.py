"""Changing the maker's own text: what does not differ stays as it is, remarks included.

Single values are changed in place. Entries of a list in ``[[header]]`` form are moved as whole
blocks of lines, so that a remark inside an entry, or right above its header, goes where it goes.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Set
from typing import Any

from benchplan.files.lines import Path, layout

GONE: Any = object()
Change = tuple[Path, Any]


def rewrite(text: str, new: dict[str, Any]) -> str:
    """Return TOML ``text`` changed so that it says ``new``.

    Raises ``ValueError`` where that cannot be done within the text as it is written.
    """
    old = tomllib.loads(text)
    ends = "\r\n" if text.count("\r\n") == text.count("\n") and "\r\n" in text else "\n"
    if ends == "\r\n":
        text = text.replace("\r\n", "\n")
    values: list[Change] = []
    headed = {path[:-1] for _, path in layout(text).headers if path and isinstance(path[-1], int)}
    for path, before, after in _differences(old, new, (), headed):
        if path in headed or (before is GONE and path == ("trays",)):
            text = _replace_entries(text, path, [] if after is GONE else after)
        else:
            values.append((path, after))
    text = _set_values(text, values)
    if tomllib.loads(text) != new:
        raise ValueError("the text does not say what it should")
    return text.replace("\n", ends) if ends == "\r\n" else text


def _differences(
    old: Any, new: Any, path: Path, headed: Set[Path] = frozenset()
) -> Iterator[tuple[Path, Any, Any]]:
    """Yield the path of each value that differs, as it is and as it shall be.

    A list in ``headed`` form counts as one value; so does any list that changes its length.
    """
    if isinstance(old, dict) and isinstance(new, dict):
        for key in [*old, *(key for key in new if key not in old)]:
            before, after = old.get(key, GONE), new.get(key, GONE)
            if before is GONE and isinstance(after, dict):
                before = {}
            yield from _differences(before, after, (*path, key), headed)
    elif _like_lists(old, new) and path not in headed:
        for place, (before, after) in enumerate(zip(old, new, strict=True)):
            yield from _differences(before, after, (*path, place), headed)
    elif type(old) is not type(new) or old != new:
        yield path, old, new


def _like_lists(old: Any, new: Any) -> bool:
    lists = isinstance(old, list) and isinstance(new, list) and len(old) == len(new)
    return lists and all(isinstance(each, dict) for each in (*old, *new))


def _set_values(text: str, changes: list[Change]) -> str:
    """Set, add or remove single values."""
    if not changes:
        return text
    import tomlkit

    document = tomlkit.parse(text)
    for path, value in changes:
        held: Any = document
        for part in path[:-1]:
            if isinstance(part, str) and part not in held:
                held[part] = tomlkit.table()
            held = held[part]
        if value is GONE:
            del held[path[-1]]
        else:
            held[path[-1]] = _inline(value) if isinstance(value, list) else value
    return document.as_string()


def _inline(entries: list[Any]) -> Any:
    """Return a list as one value: as tables under headers it would end the table it stands in."""
    import tomlkit

    found = tomlkit.array()
    for each in entries:
        table = tomlkit.inline_table()
        if isinstance(each, dict):
            table.update(each)
        found.append(table if isinstance(each, dict) else each)
    return found


def _replace_entries(text: str, path: Path, entries: list[dict[str, Any]]) -> str:
    """Replace the ``[[path]]`` blocks of a text by those for ``entries``, reusing what is there."""
    rows = text.split("\n")
    blocks = _blocks(text, rows, path)
    held = [_said(rows[begin:end], path) for begin, end in blocks]
    left = list(range(len(blocks)))
    made = []
    for entry in entries:
        equal = [i for i in left if held[i] == entry]
        like = [i for i in left if held[i] not in entries and _kin(held[i], entry)]
        if not equal and not like:
            made.append(_fresh(path, entry))
            continue
        found = (equal or like)[0]
        left.remove(found)
        begin, end = blocks[found]
        block = "\n".join(rows[begin:end])
        made.append(block if equal else _edited(block, path, held[found], entry))
    return _put(rows, blocks, path, text, made)


def _kin(one: dict[str, Any], other: dict[str, Any]) -> bool:
    return one.get("scent") == other.get("scent")


def _said(rows: list[str], path: Path) -> dict[str, Any]:
    held: Any = tomllib.loads("\n".join(rows))
    for part in path:
        held = held[part]
    return dict(held[0])


def _edited(block: str, path: Path, old: dict[str, Any], new: dict[str, Any]) -> str:
    at = (*path, 0)
    changes = [(found, after) for found, _, after in _differences(old, new, at)]
    return _set_values(block, changes).rstrip("\n")


def _fresh(path: Path, entry: dict[str, Any]) -> str:
    import tomli_w

    from benchplan.files.lines import key_text

    return f"[[{key_text(path)}]]\n{tomli_w.dumps(entry)}".rstrip("\n")


def _blocks(text: str, rows: list[str], path: Path) -> list[tuple[int, int]]:
    """Return the rows [begin, end) of each ``[[path]]`` entry with the remarks right above it."""
    found = layout(text)
    starts = [line - 1 for line, _ in found.headers] + [len(rows)]
    blocks = []
    for place, (line, of) in enumerate(found.headers):
        if of[:-1] != path or not isinstance(of[-1], int):
            continue
        begin, end = line - 1, starts[place + 1]
        while begin > 0 and rows[begin - 1].lstrip().startswith("#") and begin not in found.solid:
            begin -= 1
        while end not in found.solid:  # lines count from 1, rows from 0: the last one that speaks
            end -= 1
        blocks.append((begin, end))
    return blocks


def _put(
    rows: list[str], blocks: list[tuple[int, int]], path: Path, text: str, made: list[str]
) -> str:
    """Put the ``made`` blocks where the first of ``blocks`` stood, and take those out."""
    taken = {row for begin, end in blocks for row in range(begin, end)}
    at = blocks[0][0] if blocks else _after_orders(text, rows)
    before = [row for place, row in enumerate(rows[:at]) if place not in taken]
    after = [row for place, row in enumerate(rows[at:], at) if place not in taken]
    while after and blocks and not after[0].strip():
        after.pop(0)  # the empty lines between the old blocks
    body = "\n\n".join(made).split("\n") if made else []
    if body and before and before[-1].strip():
        body.insert(0, "")
    if body and after:
        body.append("")
    return "\n".join([*before, *body, *after]) + ("" if after else "\n")


def _after_orders(text: str, rows: list[str]) -> int:
    """Return the row for a first ``[[trays]]``: after the last order, or at the end."""
    blocks = _blocks(text, rows, ("orders",))
    return blocks[-1][1] if blocks else len(rows)

"""Rows, tables and lists keep to their width and lose nothing silently."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchplan.views.rows import (
    Column,
    Piece,
    beside,
    cells,
    clip,
    joined,
    listed,
    plain,
    row,
    runs,
    table,
    text_of,
)

COLUMNS = (Column("Name", 4, spare=True), Column("Tins", right=True), Column("Pan", 3, drop=1))


def test_a_table_is_as_wide_as_its_longest_entries() -> None:
    head, lines = table(COLUMNS, [("Sea fennel", "8", "small"), ("Fig", "12", "wide")], 40)
    assert plain([head, *lines]) == (
        "Name        Tins  Pan\nSea fennel     8  small\nFig           12  wide"
    )


def test_a_narrow_table_shortens_what_may_give_way_then_drops_a_column() -> None:
    head, lines = table(COLUMNS, [("Sea fennel", "8", "small")], 19)
    assert plain([head, *lines]) == "Name    Tins  Pan\nSea..      8  small"
    head, lines = table(COLUMNS, [("Sea fennel", "8", "small")], 14)
    assert plain([head, *lines]) == "Name      Tins\nSea fe..     8"


@given(
    st.lists(st.tuples(st.text(max_size=30), st.text(max_size=6), st.text(max_size=9)), max_size=5),
    st.integers(1, 60),
)
def test_no_table_is_wider_than_asked(lines: list[tuple[str, str, str]], width: int) -> None:
    head, rows = table(COLUMNS, lines, width)
    assert all(cells(text_of(line)) <= width for line in (head, *rows))


@given(st.integers(0, 60), st.integers(0, 59), st.integers(1, 30))
def test_the_cursors_line_is_always_in_a_list_and_the_rest_is_counted(
    count: int, cursor: int, height: int
) -> None:
    cursor = min(cursor, max(0, count - 1))
    lines = listed([row(f"line {number}") for number in range(count)], cursor, 40, height)
    assert len(lines) <= height
    texts = [text_of(line).rstrip() for line in lines]
    if count:
        assert f"> line {cursor}" in texts
    hidden = sum(
        int(text.split()[1]) for text in texts if text.endswith(("more above", "more below"))
    )
    shown = sum("line" in text for text in texts)
    if height >= 3:
        assert shown + hidden == count


def test_a_list_without_the_cursor_marks_nothing() -> None:
    assert plain(listed([row("a"), row("b")], 1, 20, 5, marked=False)) == "  a\n  b"


def test_blocks_beside_each_other_keep_their_columns() -> None:
    found = beside([row("one"), row("a long row")], [row("x"), row("y"), row("z")], 5)
    assert plain(found) == "one    x\na lon  y\n       z"


def test_clip_counts_wide_characters_and_keeps_tones() -> None:
    line = clip(row("ab", Piece("東京", "head")), 5)
    assert text_of(line) == "ab東"
    assert line[1].tone == "head"


def test_neighbours_of_one_tone_are_joined() -> None:
    assert joined((Piece("a"), Piece("b"), Piece("c", "hot"))) == (Piece("ab"), Piece("c", "hot"))


@pytest.mark.parametrize(
    ("numbers", "words"), [([], ""), ([4], "4"), ([1, 2, 3, 7], "1-3, 7"), ([1, 3], "1, 3")]
)
def test_runs_of_numbers(numbers: list[int], words: str) -> None:
    assert runs(numbers) == words

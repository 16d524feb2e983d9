"""Drawings are to scale, and tins look round: as wide as they are high on a 1:2 cell."""

from __future__ import annotations

import pytest

from benchplan.views.drawing import BOX, BRAILLE, FILLS, Box, Round, draw, scale_for
from benchplan.views.rows import text_of

CONSOLE = set(" ─│┌┐└┘/\\·:") | set("0123456789o")  # what every Linux console font has


def drawn(
    size: tuple[float, float], tins: list[Round], width: int, height: int, mode: str
) -> list[str]:
    return [text_of(line) for line in draw((Box(0, 0, *size),), tuple(tins), width, height, mode)]


def dots(lines: list[str]) -> set[tuple[int, int]]:
    """Return the braille dots of a drawing as (x, y) in dots."""
    places = ((0x01, 0, 0), (0x02, 0, 1), (0x04, 0, 2), (0x08, 1, 0))
    places += ((0x10, 1, 1), (0x20, 1, 2), (0x40, 0, 3), (0x80, 1, 3))
    return {
        (x * 2 + dx, y * 4 + dy)
        for y, line in enumerate(lines)
        for x, char in enumerate(line)
        if 0x2800 <= ord(char) <= 0x28FF
        for bit, dx, dy in places
        if (ord(char) - 0x2800) & bit
    }


@pytest.mark.parametrize(("width", "height"), [(30, 14), (60, 30), (76, 20), (23, 9)])
def test_a_braille_tin_is_as_wide_as_high_and_to_scale(width: int, height: int) -> None:
    found = dots(drawn((100, 100), [Round(50, 50, 66)], width, height, BRAILLE))
    across = max(x for x, _ in found) - min(x for x, _ in found) + 1
    high = max(y for _, y in found) - min(y for _, y in found) + 1
    assert across == high
    assert across == pytest.approx(66 / scale_for(100, 100, width, height) * 2, abs=2)


@pytest.mark.parametrize(("width", "height"), [(23, 9), (30, 14), (60, 30), (76, 20), (118, 37)])
def test_a_braille_tin_is_the_same_on_every_side_and_closed(width: int, height: int) -> None:
    found = dots(drawn((100, 100), [Round(50, 50, 66)], width, height, BRAILLE))
    left, top = min(x for x, _ in found), min(y for _, y in found)
    last = max(x for x, _ in found) - left
    ring = {(x - left, y - top) for x, y in found}
    assert ring == {(last - x, y) for x, y in ring} == {(x, last - y) for x, y in ring}
    assert ring == {(y, x) for x, y in ring}
    for x, y in ring:
        near = {(x + dx, y + dy) for dx in (-1, 0, 1) for dy in (-1, 0, 1)} & ring
        assert len(near) >= 3  # itself and one on either side


def test_braille_tins_that_keep_a_gap_do_not_touch() -> None:
    apart = drawn((210, 80), [Round(36, 40, 66), Round(174, 40, 66)], 60, 14, BRAILLE)
    found = dots(apart)
    columns = {x for x, _ in found}
    assert set(range(min(columns), max(columns) + 1)) - columns  # an empty column between them


@pytest.mark.parametrize(("width", "height"), [(30, 14), (60, 30), (76, 20), (23, 9)])
def test_a_boxed_tin_is_twice_as_many_cells_wide_as_high(width: int, height: int) -> None:
    lines = drawn((100, 100), [Round(50, 50, 66, fill=FILLS[0])], width, height, BOX)[1:-1]
    inside = [line[1:-1] for line in lines]
    rows = [line for line in inside if line.strip()]
    across = max(len(line.strip()) for line in rows)
    assert abs(across - 2 * len(rows)) <= 2
    assert [line.strip() for line in rows[0:1]] == ["/" + "─" * (len(rows[0].strip()) - 2) + "\\"]
    assert [line.strip() for line in rows[-1:]] == ["\\" + "─" * (len(rows[-1].strip()) - 2) + "/"]


@pytest.mark.parametrize(("width", "height"), [(12, 5), (40, 12), (76, 20)])
def test_the_box_mode_uses_only_what_the_linux_console_has(width: int, height: int) -> None:
    tins = [Round(35 + 72 * x, 35, 66, str(x + 1), fill=FILLS[x % 2]) for x in range(3)]
    assert {*"".join(drawn((220, 70), tins, width, height, BOX))} <= CONSOLE


@pytest.mark.parametrize("mode", [BOX, BRAILLE])
def test_every_tin_keeps_its_number(mode: str) -> None:
    tins = [
        Round(33 + 76 * x, 33 + 76 * y, 66, str(x + 9 * y + 1)) for y in range(5) for x in range(9)
    ]
    text = "".join(
        c if c.isdigit() else " " for c in "\n".join(drawn((700, 400), tins, 50, 18, mode))
    )
    assert sorted(map(int, text.split())) == list(range(1, 46))


@pytest.mark.parametrize("mode", [BOX, BRAILLE])
def test_a_tin_too_small_to_draw_is_an_o(mode: str) -> None:
    text = "".join(drawn((2000, 1000), [Round(1000, 500, 60, "17")], 40, 12, mode))
    assert "o" in text
    assert "17" not in text


@pytest.mark.parametrize("mode", [BOX, BRAILLE])
@pytest.mark.parametrize(("width", "height"), [(0, 0), (3, 9), (9, 2), (-1, 5)])
def test_no_room_draws_nothing(width: int, height: int, mode: str) -> None:
    assert drawn((100, 100), [Round(50, 50, 66)], width, height, mode) == []


@pytest.mark.parametrize("mode", [BOX, BRAILLE])
def test_a_drawing_keeps_to_its_window(mode: str) -> None:
    for width in range(4, 60, 3):
        for height in range(3, 30, 2):
            lines = drawn((362, 292), [Round(50, 50, 66, "1")], width, height, mode)
            assert len(lines) <= height
            assert all(len(line) <= width for line in lines)

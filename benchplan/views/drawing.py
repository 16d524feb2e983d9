"""Drawing to scale with characters: rectangles and round tins that look round.

A cell is taken to be twice as high as it is wide. Where the terminal's font has them, outlines
are braille dots (two by four a cell, so dots are as far apart either way); the box mode uses
only ``─│┌┐└┘/\\`` and fills ``·`` and ``:``, which the Linux console has too.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from benchplan.views.rows import Piece, Row, joined

BRAILLE, BOX = "braille", "box"
MODES = (BRAILLE, BOX)
FILLS = ("·", ":")
_BITS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))  # [row][column] of a cell


@dataclass(frozen=True, slots=True)
class Round:
    """A tin seen from above: its centre and diameter in mm, what is written on it and fills it.

    A fill, one of ``FILLS``, shows in the box mode only. ``notes`` are written below the label:
    give them only where ``has_room`` says so.
    """

    x: float
    y: float
    diameter: float
    label: str = ""
    tone: str = ""
    fill: str = ""
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle in mm; ``label`` is written into its top edge."""

    x: float
    y: float
    wide: float
    deep: float
    label: str = ""
    tone: str = "quiet"


@dataclass(slots=True)
class _Grid:
    """Cells of characters and tones."""

    wide: int
    high: int
    chars: list[list[str]] = field(init=False)
    tones: list[list[str]] = field(init=False)

    def __post_init__(self) -> None:
        self.chars = [[" "] * self.wide for _ in range(self.high)]
        self.tones = [[""] * self.wide for _ in range(self.high)]

    def put(self, x: int, y: int, text: str, tone: str) -> None:
        if not 0 <= y < self.high:
            return
        for at, char in enumerate(text, x):
            if 0 <= at < self.wide:
                self.chars[y][at] = char
                self.tones[y][at] = tone

    def rows(self) -> list[Row]:
        found: list[Row] = []
        for chars, tones in zip(self.chars, self.tones, strict=True):
            pieces = (Piece(char, tone) for char, tone in zip(chars, tones, strict=True))
            found.append(joined(tuple(pieces)))
        return found


@dataclass(frozen=True, slots=True)
class _Scale:
    """One cell is ``mm`` wide and twice that high; everything is inside a frame of one cell."""

    mm: float

    def x(self, mm: float) -> float:
        """Return where a length from the left is, in cells."""
        return 1 + mm / self.mm

    def y(self, mm: float) -> float:
        """Return where a length from the top is, in cells."""
        return 1 + mm / self.mm / 2


def scale_for(wide_mm: float, deep_mm: float, width: int, height: int) -> float:
    """Return the mm that one cell is wide (half of what it is high) to fit a frame and its inside.

    0 when there is no room for anything.
    """
    if width < 4 or height < 3 or wide_mm <= 0 or deep_mm <= 0:
        return 0.0
    return max(wide_mm / (width - 2), deep_mm / (2 * (height - 2)))


def has_room(tin: Round, mm: float) -> bool:
    """Return whether a tin drawn at ``mm`` a cell has room for its label and its notes inside."""
    lines = (tin.label, *tin.notes)
    radius = tin.diameter / mm / 2 if mm > 0 else 0.0
    for number, line in enumerate(lines):
        off = abs(2 * number + 1 - len(lines)) + 2  # the far edge of the line, and half a cell more
        half = math.sqrt(max(0.0, radius**2 - off**2))
        if len(line) > 2 * half - 1:
            return False
    return True


def draw(
    boxes: tuple[Box, ...],
    rounds: tuple[Round, ...],
    width: int,
    height: int,
    mode: str = BRAILLE,
) -> list[Row]:
    """Return a drawing of at most ``width`` by ``height`` cells, to scale.

    The first box is the whole and all else is inside it; frames lie just outside their edges.
    """
    whole = boxes[0]
    mm = scale_for(whole.wide, whole.deep, width, height)
    if mm <= 0:
        return []
    scale = _Scale(mm)
    wide, high = math.ceil(whole.wide / mm - 1e-6), math.ceil(whole.deep / mm / 2 - 1e-6)
    grid = _Grid(wide + 2, high + 2)
    _frame(grid, (0, 0, wide + 1, high + 1), whole)
    for box in boxes[1:]:
        left = max(0, math.floor(scale.x(box.x) + 0.5) - 1)
        top = max(0, math.floor(scale.y(box.y) + 0.5) - 1)
        right = max(left + 1, math.floor(scale.x(box.x + box.wide) + 0.5))
        bottom = max(top + 1, math.floor(scale.y(box.y + box.deep) + 0.5))
        _frame(grid, (left, top, right, bottom), box)
    if mode == BOX:
        for tin in rounds:
            _lined(grid, tin, scale)
    else:
        _dotted(grid, rounds, scale)
    return grid.rows()


def _frame(grid: _Grid, corners: tuple[int, int, int, int], box: Box) -> None:
    left, top, right, bottom = corners
    inner = max(0, right - left - 1)
    for y in range(top + 1, bottom):
        grid.put(left, y, "│", box.tone)
        grid.put(right, y, "│", box.tone)
    grid.put(left, top, "┌" + "─" * inner + "┐", box.tone)
    grid.put(left, bottom, "└" + "─" * inner + "┘", box.tone)
    if box.label and inner >= len(box.label) + 2:
        grid.put(left + 1, top, f" {box.label} ", box.tone)


def _lined(grid: _Grid, tin: Round, scale: _Scale) -> None:
    """Draw a tin with lines; all tins of a size get the same shape, so that they compare."""
    wide = math.floor(tin.diameter / scale.mm + 0.25)
    high = math.floor(tin.diameter / scale.mm / 2 + 0.25)
    if wide < 4 or high < 2:
        grid.put(math.floor(scale.x(tin.x)), math.floor(scale.y(tin.y)), "o", tin.tone)
        return
    left = math.floor(scale.x(tin.x) - wide / 2 + 0.5)
    top = math.floor(scale.y(tin.y) - high / 2 + 0.5)
    insets = [_inset(row, high, wide) for row in range(high)]
    for row, inset in enumerate(insets):
        above = insets[row - 1] if row else wide
        below = insets[row + 1] if row + 1 < high else wide
        ends = "/\\" if above > inset else "││"
        if below > inset and 2 * row + 1 > high:
            ends = "\\/"
        body = "─" if row in (0, high - 1) else tin.fill or " "
        inner = wide - 2 * inset - 2
        grid.put(left + inset, top + row, ends[0] + body * inner + ends[1], tin.tone)
    lines = (tin.label, *tin.notes)
    first = top + (high - len(lines)) // 2
    for number, line in enumerate(lines if len(tin.label) <= wide - 2 else ()):
        grid.put(left + (wide - len(line)) // 2, first + number, line, tin.tone)


def _inset(row: int, high: int, wide: int) -> int:
    """Return how many cells in from its side a round of this size begins in a row."""
    off = abs((row + 0.5) / high * 2 - 1)
    half = math.sqrt(max(0.0, 1 - off * off)) * wide / 2
    return min((wide - 2) // 2, max(0, math.floor(wide / 2 - half + 0.25)))


def _dotted(grid: _Grid, rounds: tuple[Round, ...], scale: _Scale) -> None:
    """Draw tins with braille outlines, centres at whole dots: tins of a size look the same."""
    dots: dict[tuple[int, int], int] = {}
    tones: dict[tuple[int, int], str] = {}
    for tin in rounds:
        x, y = round(scale.x(tin.x) * 2), round(scale.y(tin.y) * 4)
        for dot_x, dot_y in _ring(math.floor(tin.diameter / scale.mm + 0.2)):
            cell = ((x + dot_x) // 2, (y + dot_y) // 4)
            dots[cell] = dots.get(cell, 0) | _BITS[(y + dot_y) % 4][(x + dot_x) % 2]
            tones[cell] = tin.tone
    for (cell_x, cell_y), bits in dots.items():
        grid.put(cell_x, cell_y, chr(0x2800 + bits), tones[cell_x, cell_y])
    for tin in rounds:
        _label(grid, tin, scale)


def _ring(half: int) -> set[tuple[int, int]]:
    """Return the dots of a thin ring ``2 * half`` dots across; its centre is between dots."""
    if half < 3:
        return set()
    found: set[tuple[int, int]] = set()
    radius = half - 0.5
    for step in range(half):
        if (step + 0.5) ** 2 * 2 > radius**2 + half:
            break
        far = math.floor(math.sqrt(radius**2 - (step + 0.5) ** 2))
        for one, other in ((step, far), (far, step)):
            for x in (one, -one - 1):
                found |= {(x, other), (x, -other - 1)}
    return found


def _label(grid: _Grid, tin: Round, scale: _Scale) -> None:
    """Write a tin's label in its middle; a tin too small to have an outline is an ``o``."""
    room = math.floor(tin.diameter / scale.mm + 0.2)
    text = "o" if room < 3 else tin.label if len(tin.label) < room else ""
    first = math.floor(scale.y(tin.y) - len(tin.notes) / 2)
    for number, line in enumerate((text, *tin.notes)):
        grid.put(math.floor(scale.x(tin.x) - len(line) / 2 + 0.25), first + number, line, tin.tone)

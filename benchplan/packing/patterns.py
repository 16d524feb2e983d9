"""Single rows of tins, and the best row to put between two rows of a kind.

All lengths here are in units of the least distance between two centres. A row is the tuple of its
centres along the row, sorted, at least 1 apart, within [0, ``wide``].

A base row has gaps of two sorts only: *close* ones of 1 and *wide* ones of 2·offset, and at either
end nothing or one offset is left free; the offset is what makes it exactly as long as the pan.
With all gaps wide these are the rows of square, hexagonal and stretched patterns, with all gaps
close the sheared ones, and with a few wide gaps the mixed ones (a square block and a hexagonal one
side by side). As the pan grows, a base row only ever stretches, so whatever fits between two of
them still fits: that is why a larger pan never takes fewer tins.
"""

from __future__ import annotations

from collections.abc import Iterator

Row = tuple[float, ...]

NEAR = 1e-9
"""Rounding, in units of the least distance."""

_MOST_WIDE_GAPS = 2
_LONG_ROW = 40
_SHORT_CHAIN = 3


def most_in_row(wide: float) -> int:
    """Return how many points stand in one row of length ``wide``."""
    return int(wide + NEAR) + 1


def even_row(wide: float) -> Row:
    """Return the fullest row, spread over the whole length (one point: in the middle)."""
    count = most_in_row(wide)
    if count == 1:
        return (wide / 2,)
    return tuple(wide * index / (count - 1) for index in range(count))


def base_rows(wide: float, mixed: bool) -> list[Row]:
    """Return the base rows for this length, the fullest even row first, each once.

    Without ``mixed`` only rows with one sort of gap: they are a third of all and nearly always
    enough. Rows of more than forty points are never mixed.
    """
    even = even_row(wide)
    rows = {_key(even): even}
    for row in _words(wide, mixed):
        rows.setdefault(_key(row), row)
    return list(rows.values())


def _key(row: Row) -> tuple[int, ...]:
    return tuple(round(x * 1e7) for x in row)


def _words(wide: float, mixed: bool) -> Iterator[Row]:
    fullest = most_in_row(wide)
    long = fullest > _LONG_ROW
    for count in range(fullest, max(0, fullest - 2 if long else fullest // 2 - 1), -1):
        for wide_gaps in range(count):
            close_gaps = count - 1 - wide_gaps
            if wide_gaps and close_gaps and (not mixed or long or wide_gaps > _MOST_WIDE_GAPS):
                continue
            for before, after in ((0, 0), (0, 1), (1, 1)):
                offsets = 2 * wide_gaps + before + after
                if offsets == 0:
                    continue
                offset = (wide - close_gaps) / offsets
                if not NEAR < offset < 1 or (wide_gaps and 2 * offset < 1 - NEAR):
                    continue
                x = before * offset
                row = [x]
                for gap in [1.0] * close_gaps + [2 * offset] * wide_gaps:
                    x += gap
                    row.append(x)
                yield tuple(row)


def rows_between(row: Row, wide: float) -> list[tuple[int, float]]:
    """Return (count, offset) of the best rows beside ``row``, growing count, falling offset.

    The offset is the largest by which ``count`` points can all stay clear, along the row, of every
    point of ``row``; counts that a smaller offset alone allows come later in the list.
    """
    offsets = _offsets_that_matter(row, wide)
    best: dict[int, float] = {}

    def between(low: int, low_count: int, high: int, high_count: int) -> None:
        # Counts only fall as offsets grow: where both ends agree nothing is to be found.
        if low_count == high_count or high - low < 2:
            return
        middle = (low + high) // 2
        count = len(fill_beside(row, wide, offsets[middle]))
        best[count] = max(best.get(count, 0.0), offsets[middle])
        between(low, low_count, middle, count)
        between(middle, count, high, high_count)

    if offsets:
        lowest = len(fill_beside(row, wide, offsets[0]))
        best[lowest] = offsets[0]
        between(0, lowest, len(offsets), 0)
    return sorted((count, offset) for count, offset in best.items() if count)


def _offsets_that_matter(row: Row, wide: float) -> list[float]:
    """Return, sorted, the offsets at which a chain of touching points is held at both ends.

    Such a chain reaches from a point of ``row``, or a wall, to another: it is as long as a whole
    number, and two offsets beside points or one beside a wall.
    """
    found = {x % 1 for x in row} | {(wide - x) % 1 for x in row}
    reach = len(row) if len(row) <= _LONG_ROW else _SHORT_CHAIN
    spans = {
        round(x - other, 9): x - other
        for index, x in enumerate(row)
        for other in row[max(0, index - reach) : index]
    }
    for span in spans.values():
        found.add(span % 1 / 2)
        found.add(span % 1 / 2 + 0.5)
    return sorted({round(each, 12) for each in found if NEAR < each < 1 - NEAR})


def fill_beside(row: Row, wide: float, offset: float) -> Row:
    """Return the most points that stand at least ``offset`` beside every point of ``row``."""
    placed: list[float] = []
    x = 0.0
    index, last = 0, len(row)
    while True:
        clear = x - offset + NEAR
        while index < last and row[index] <= clear:
            index += 1
        while index < last and row[index] < x + offset - NEAR:
            x = row[index] + offset
            index += 1
        if x > wide + NEAR:
            return tuple(placed)
        placed.append(min(x, wide))
        x += 1.0

"""A countdown that can be read from across the kitchen: figures of 3 by 5 blocks.

A block is a blank in reverse video, so no font can lack it and no colour is needed to see it.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import groupby

from rich.segment import Segment
from rich.style import Style
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

HEIGHT = 5
FIGURES = {
    "0": ("###", "# #", "# #", "# #", "###"),
    "1": (" # ", "## ", " # ", " # ", "###"),
    "2": ("###", "  #", "###", "#  ", "###"),
    "3": ("###", "  #", " ##", "  #", "###"),
    "4": ("# #", "# #", "###", "  #", "  #"),
    "5": ("###", "#  ", "###", "  #", "###"),
    "6": ("###", "#  ", "###", "# #", "###"),
    "7": ("###", "  #", "  #", " # ", " # "),
    "8": ("###", "# #", "###", "# #", "###"),
    "9": ("###", "# #", "###", "  #", "###"),
    ":": (" ", "#", " ", "#", " "),
    "+": ("   ", " # ", "###", " # ", "   "),
    " ": (" ", " ", " ", " ", " "),
}
_REVERSE = Style(reverse=True)


@lru_cache(maxsize=64)
def figure_rows(text: str, wide: int = 1) -> tuple[str, ...]:
    """Return ``text`` as five lines of ``#`` and blanks, each block ``wide`` cells."""
    return tuple(
        (" " * wide).join(
            "".join(block * wide for block in FIGURES[character][line]) for character in text
        )
        for line in range(HEIGHT)
    )


class BigDigits(Widget):
    """Shows figures, ``:`` and ``+``, in blocks of one row by two cells, or two rows by four.

    Where a width does not allow that, blocks are narrower.
    """

    DEFAULT_CSS = "BigDigits { height: 5; width: 1fr; }"

    def __init__(self, text: str = "") -> None:
        super().__init__()
        self._text = text
        self._high = 1
        self._base: Style | None = None

    @property
    def text(self) -> str:
        """What is on show, as plain text."""
        return self._text

    def show(self, text: str, height: int = HEIGHT) -> None:
        """Show other figures, ``height`` rows high."""
        high = max(1, height // HEIGHT)
        if high != self._high:
            self._high = high
            self.styles.height = HEIGHT * high
        if text != self._text:
            self._text = text
            self.refresh()

    def render_lines(self, crop: Region) -> list[Strip]:
        self._base = None
        return super().render_lines(crop)

    def render_line(self, y: int) -> Strip:
        if self._base is None:  # one for all lines: it is worked out from every ancestor
            self._base = self.rich_style
        base, width = self._base, self.size.width
        if y >= HEIGHT * self._high or width < 1:
            return Strip.blank(width, base)
        wides = (2 * self._high, self._high, 1)
        lines = next(
            (rows for wide in wides if len((rows := figure_rows(self._text, wide))[0]) <= width),
            figure_rows(self._text),
        )
        block = base + _REVERSE
        segments = [
            Segment(" " * len(list(run)), block if cell == "#" else base)
            for cell, run in groupby(lines[y // self._high].ljust(width)[:width])
        ]
        return Strip(segments, width)

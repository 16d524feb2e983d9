"""A block of view rows, drawn line by line; only lines that changed are drawn again."""

from __future__ import annotations

from collections.abc import Sequence

from rich.segment import Segment
from rich.style import Style
from textual.geometry import Region, Size
from textual.strip import Strip
from textual.widget import Widget

from benchplan.errors import printable
from benchplan.views.rows import TONES, Row


class Lines(Widget):
    """Shows rows as they are. Tones become the component classes ``lines--late`` and so on."""

    COMPONENT_CLASSES = {f"lines--{tone}" for tone in TONES if tone}  # noqa: RUF012
    DEFAULT_CSS = "Lines { height: auto; }"

    def __init__(self, rows: Sequence[Row] = (), *, classes: str | None = None) -> None:
        super().__init__(classes=classes)
        self._rows = tuple(rows)
        self._base: Style | None = None

    @property
    def rows(self) -> tuple[Row, ...]:
        """The rows on show."""
        return self._rows

    def show(self, rows: Sequence[Row]) -> None:
        """Show other rows; does nothing where a row is the same as before."""
        new, old = tuple(rows), self._rows
        if new == old:
            return
        self._rows = new
        if len(new) != len(old):
            self.refresh(layout=True)
            return
        width = self.size.width
        changed = [at for at, pair in enumerate(zip(new, old, strict=True)) if pair[0] != pair[1]]
        self.refresh(*(Region(0, at, width, 1) for at in changed))

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        return len(self._rows)

    def get_content_width(self, container: Size, viewport: Size) -> int:
        return max((sum(len(piece.text) for piece in row) for row in self._rows), default=0)

    def render_lines(self, crop: Region) -> list[Strip]:
        self._base = None
        return super().render_lines(crop)

    def render_line(self, y: int) -> Strip:
        if self._base is None:  # one for all lines: it is worked out from every ancestor
            self._base = self.rich_style
        base, width = self._base, self.size.width
        if y >= len(self._rows):
            return Strip.blank(width, base)
        segments = [
            Segment(
                printable(piece.text),
                base + self.get_component_rich_style(f"lines--{piece.tone}", partial=True)
                if piece.tone
                else base,
            )
            for piece in self._rows[y]
        ]
        # Without a style of its own on every segment the app would crash where NO_COLOR is set.
        return Strip(segments).adjust_cell_length(width, base)

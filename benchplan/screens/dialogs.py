"""Questions: yes or no, a few fields, or a choice from a list. Each gives its answer or None."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, TypeVar, cast

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.events import Key
from textual.screen import ModalScreen
from textual.widgets import Input

from benchplan.keys import key_of
from benchplan.screens.actions import DIALOG, SHEET, actions_of, bindings
from benchplan.screens.widgets.band import Band
from benchplan.screens.widgets.lines import Lines
from benchplan.screens.widgets.typed import Typed
from benchplan.views.rows import Piece, Row, cut, row, wrap

if TYPE_CHECKING:
    from benchplan.screens.app import BenchApp

T = TypeVar("T")
MOST_WIDTH = 72
FIGURES = tuple("1234567890")


class Dialog(ModalScreen[T], inherit_bindings=False):
    """A box in the middle of the screen with a title, words, and what a subclass puts in it.

    ``yes`` is the word for Enter, ``no`` the word for Esc.
    """

    BINDINGS = bindings(DIALOG)
    CSS_PATH = "dialogs.tcss"
    AUTO_FOCUS: ClassVar[str | None] = "Input"

    def __init__(
        self, title: str, words: str, yes: str = "Yes", no: str = "No", name: str | None = None
    ) -> None:
        super().__init__(name=name)
        self._title, self._words = title, words
        self._yes, self._no = yes, no

    @property
    def room(self) -> int:
        """How many cells wide the text in the box may be."""
        return max(10, min(MOST_WIDTH, self.app.size.width - 8))

    def on_mount(self) -> None:
        cast("BenchApp", self.app).show()

    def held_down(self, key: str = "enter") -> bool:
        """Whether a key is held down, since before the question too."""
        return cast("BenchApp", self.app).held_down(key)

    def show_band(self, rows: tuple[Row, ...], kind: str) -> None:
        """Show the band above the question: an oven's exit does not wait for an answer."""
        for band in self.query(Band):
            band.say(rows, kind)

    def compose(self) -> ComposeResult:
        yield Band()
        with Vertical(classes="box") as box:
            box.styles.width = self.room + 4
            yield Lines(
                [row(Piece(line, "head")) for line in wrap(self._title, self.room)], classes="title"
            )
            words = [line for part in self._words.split("\n") for line in wrap(part, self.room)]
            if words:
                yield Lines([row(line) for line in words], classes="words")
            yield from self.inside()
            yield Lines(classes="wrong")
            yield Lines([self.keys()], classes="keys")

    def inside(self) -> ComposeResult:
        """Yield what stands between the words and the line of keys."""
        yield from ()

    def keys(self) -> Row:
        """Return the line that says what Enter and Esc do here."""
        renamed = cast("BenchApp", self.app).session.keys
        shown = {each.id: each.key_words for each in actions_of(DIALOG, renamed)}
        return row(
            Piece(shown["accept"], "strong"),
            f" {self._yes}   ",
            Piece(shown["cancel"], "strong"),
            f" {self._no}",
        )

    def key(self, name: str) -> str:
        """Return the key of an action, as the maker has renamed it."""
        return key_of(name, cast("BenchApp", self.app).session.keys)

    def wrong(self, words: str) -> None:
        """Say what is wrong with the answer; the question stays open."""
        self.query_one(".wrong", Lines).show(
            [row(Piece(line, "warn")) for line in wrap(words, self.room)]
        )

    def action_cancel(self) -> None:
        self.dismiss(None)

    def action_accept(self) -> None:
        """Give the answer."""

    def action_pick(self, by: int) -> None:
        """Move the cursor of a list, or from field to field."""

    def action_every_key(self) -> None:
        """Show every key, over the question."""
        cast("BenchApp", self.app).action_help()


class Ask(Dialog[bool]):
    """A question for yes or no; No is the answer of Esc too."""

    def action_accept(self) -> None:
        if not self.held_down():
            self.dismiss(True)

    def action_cancel(self) -> None:
        self.dismiss(False)


@dataclass(frozen=True, slots=True)
class Field:
    """One thing to type: its words, what stands there already, and what makes it an answer.

    ``check`` returns a sentence about what is wrong, or an empty text.
    """

    label: str
    value: str = ""
    check: Callable[[str], str] = lambda _: ""


class Fields(Dialog[tuple[str, ...]]):
    """A few things to type; Enter on the last one (or on any, when all are right) answers."""

    def __init__(
        self, title: str, words: str, fields: Sequence[Field], yes: str = "Save", no: str = "Cancel"
    ) -> None:
        super().__init__(title, words, yes, no)
        self._fields = tuple(fields)

    def inside(self) -> ComposeResult:
        for field in self._fields:
            yield Lines([row(Piece(field.label, "quiet"))], classes="label")
            yield Typed(field.value, select_on_focus=True)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        event.stop()
        self.action_accept()

    def action_pick(self, by: int) -> None:
        inputs = list(self.query(Input))
        at = next((at for at, each in enumerate(inputs) if each.has_focus), 0)
        self.set_focus(inputs[(at + by) % len(inputs)])  # at once: letters may be on their way

    def action_accept(self) -> None:
        inputs = list(self.query(Input))
        untouched = all(
            field.value == each.value for field, each in zip(self._fields, inputs, strict=True)
        )
        if self.held_down() and untouched:
            return
        for field, each in zip(self._fields, inputs, strict=True):
            said = field.check(each.value.strip())
            if said:
                self.wrong(said)
                each.focus()
                return
        self.dismiss(tuple(each.value.strip() for each in inputs))


class Choose(Dialog[int]):
    """A list to choose one line from, by its figure or by the arrow keys and Enter.

    The answer is its place in the list.
    """

    BINDINGS = bindings(SHEET)
    AUTO_FOCUS: ClassVar[str | None] = None

    def __init__(
        self, title: str, words: str, choices: Sequence[str], yes: str = "Take", no: str = "Cancel"
    ) -> None:
        super().__init__(title, words, yes, no)
        self._choices = tuple(choices)
        self._at = self._banded = 0  # the chosen one, and the rows that the band takes

    def show_band(self, rows: tuple[Row, ...], kind: str) -> None:
        super().show_band(rows, kind)
        if self._banded != len(rows):
            self._banded = len(rows)
            for choices in self.query(".choices").results(Lines):
                choices.show(self._rows())

    def inside(self) -> ComposeResult:
        yield Lines(self._rows(), classes="choices")

    def _rows(self) -> list[Row]:
        """Return as many choices as there is room for, around the chosen one."""
        room = max(3, self.app.size.height - 12 - self._banded)
        cut_short = len(self._choices) > room
        room -= cut_short
        first = max(0, min(self._at - room // 2, len(self._choices) - room))
        shown = list(enumerate(self._choices))[first : first + room]
        rows = [
            row(Piece(f"→ {_figure(at)}{cut(words, self.room - 4)}", "pick"))
            if at == self._at
            else row(f"  {_figure(at)}{cut(words, self.room - 4)}")
            for at, words in shown
        ]
        keys = f"{self.key('field_above')} and {self.key('field_below')}"
        said = f"  {self._at + 1} of {len(self._choices)}: {keys}"
        said += f"; {first} more above" if first else ""
        below = len(self._choices) - room - first
        said += f"; {below} more below" if below else ""
        where = row(Piece(cut(said, self.room), "quiet"))
        return [*rows, where] if cut_short else rows

    def on_key(self, event: Key) -> None:
        """Take a line by its figure: one key."""
        at = FIGURES.index(event.character) if event.character in FIGURES else -1
        if 0 <= at < len(self._choices):
            event.stop()
            event.prevent_default()
            if not self.held_down(event.character or ""):
                self.dismiss(at)

    def action_pick(self, by: int) -> None:
        self._to((self._at + by) % len(self._choices))

    def action_page(self, by: int) -> None:
        self._to(self._at + by * 5)

    def action_far(self, by: int) -> None:
        self._to(len(self._choices) if by > 0 else 0)

    def _to(self, at: int) -> None:
        """Move the cursor; beyond an end it stays there."""
        self._at = min(max(at, 0), len(self._choices) - 1)
        self.query_one(".choices", Lines).show(self._rows())

    def action_accept(self) -> None:
        if not self.held_down():
            self.dismiss(self._at)


def _figure(at: int) -> str:
    """Return the key that takes a line of a list; none past the tenth."""
    return f"{FIGURES[at]} " if at < len(FIGURES) else "  "


class Reading(Dialog[bool]):
    """Something to read, however long; ``rows`` are given a width.

    Enter turns the page where there is more, and at the end says that it has been read.
    """

    BINDINGS = bindings(SHEET)
    AUTO_FOCUS: ClassVar[str | None] = None

    def __init__(
        self,
        title: str,
        rows: Callable[[int], Sequence[Row]],
        yes: str = "Close",
        no: str = "Close",
        name: str | None = None,
    ) -> None:
        super().__init__(title, "", yes, no, name)
        self._rows = rows
        self._first = self._below = self._banded = 0  # rows above, below, and that the band takes

    def show_band(self, rows: tuple[Row, ...], kind: str) -> None:
        super().show_band(rows, kind)
        if self._banded != len(rows):
            self._banded = len(rows)
            self._to(self._first)

    @property
    def _height(self) -> int:
        """How many rows there is room for, so that the line of keys stays on the screen."""
        return max(3, self.app.size.height - 11 - self._banded)

    def inside(self) -> ComposeResult:
        yield Lines(self._window(), classes="reading")

    def _window(self) -> list[Row]:
        """Return the rows on show, and how many there are above and below."""
        rows, room = list(self._rows(self.room)), self._height
        self._first = max(0, min(self._first, len(rows) - room))
        shown = rows[self._first : self._first + room]
        self._below = len(rows) - self._first - len(shown)
        if not self._first and not self._below:
            return shown
        said = "The end"
        if self._below:
            said = f"{self._below} more lines below: {self.key('page_on')}"
        if self._first:
            said += f"; {self._first} above: {self.key('page_back')}"
        return [*shown, row(Piece(cut(said, self.room), "quiet"))]

    def keys(self) -> Row:
        line = super().keys()
        return (line[0], Piece(" More   "), *line[2:]) if self._below else line

    def action_pick(self, by: int) -> None:
        self._to(self._first + by)

    def action_page(self, by: int) -> None:
        self._to(self._first + by * (self._height - 1))

    def action_far(self, by: int) -> None:
        self._to(10**6 if by > 0 else 0)

    def _to(self, first: int) -> None:
        """Show the sheet from a row on, as far as there is one."""
        self._first = first
        for lines in self.query(".reading").results(Lines):
            lines.show(self._window())
        for lines in self.query(".keys").results(Lines):
            lines.show([self.keys()])

    def action_accept(self) -> None:
        if self.held_down():
            return
        if self._below:
            self.action_page(1)
        else:
            self.dismiss(True)

    def action_cancel(self) -> None:
        self.dismiss(False)

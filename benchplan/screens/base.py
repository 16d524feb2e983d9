"""The frame that every screen of a day stands in: header, band, body, footer, and the bare size."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from textual.app import ComposeResult
from textual.containers import Container
from textual.screen import Screen

from benchplan.home.log_file import LOG, SEE_LOG
from benchplan.screens.actions import footer_of, shared_footer
from benchplan.screens.widgets.band import Band
from benchplan.screens.widgets.lines import Lines
from benchplan.views import frame
from benchplan.views.rows import Row

if TYPE_CHECKING:
    from benchplan.carrying.session import Session
    from benchplan.screens.app import BenchApp

LEAST_WIDTH, LEAST_HEIGHT = 80, 24


class DayScreen(Screen[None], inherit_bindings=False):
    """A screen of the open day.

    A subclass sets ``NAME`` (its name in the registry of keys), ``BINDINGS = bindings(NAME)``,
    yields its widgets from ``body`` and fills them in ``refresh_view``, which is called after
    every change and at every tick, with the session: it must only write what changed, and must
    cope with a day, plan or run that is not there yet. Keys that it shares with nobody else go
    into ``actions.py``.
    """

    NAME = ""
    AUTO_FOCUS = None

    def __init__(self) -> None:
        super().__init__()
        # Kept by hand: they are written at every tick, and looking them up takes longer than that.
        self._header, self._band = Lines(classes="header"), Band()
        self._body = Container(classes="body")
        self._bare, self._footer = Lines(classes="bare"), Lines(classes="footer")

    def compose(self) -> ComposeResult:
        yield self._header
        yield self._band
        with self._body:
            yield from self.body()
        yield self._bare
        yield self._footer

    def body(self) -> ComposeResult:
        """Yield what stands between header and footer."""
        yield from ()

    def refresh_view(self, session: Session) -> None:
        """Show ``session`` in the body."""

    @property
    def bench_app(self) -> BenchApp:
        """The app, by its own type."""
        return cast("BenchApp", self.app)

    @property
    def session(self) -> Session:
        """What the app is working on."""
        return self.bench_app.session

    def on_mount(self) -> None:
        self.show()

    def on_screen_resume(self) -> None:
        self.show()

    def on_resize(self) -> None:
        self.show()

    def show(self) -> None:
        """Bring the whole screen up to date. A fault in that is logged, and the count goes on."""
        if not self.is_mounted or not self._footer.is_attached:
            return
        try:
            self._show()
        except Exception:
            LOG.exception("the screen %s could not be shown", self.NAME or "first")
            self.session.message = f"Not all can be shown; the count goes on. {SEE_LOG}"

    def _show(self) -> None:
        session, (width, height) = self.session, self.app.size
        bare = width < LEAST_WIDTH or height < LEAST_HEIGHT
        if self.has_class("-bare") and not bare:
            self.call_after_refresh(self._lay_out_again)
        self.set_class(bare, "-bare")
        self._header.show(
            frame.header(
                session.day,
                session.plan,
                session.local_now(),
                speed=(session.run.speed if session.run else session.speed)
                if session.rehearsal
                else None,
                changed=session.changed,
                width=width,
                state=session.state(),
            )
        )
        rows, kind = self.band_words(width)
        self._band.say(rows, kind)
        self._footer.show(
            frame.footer(
                self.NAME,
                self.own_keys(session),
                shared_footer(session.day is not None or self.bench_app.given_a_file, session.keys),
                width,
            )
        )
        if bare:
            self._bare.show(
                frame.bare(
                    session.state(),
                    width,
                    height,
                    (LEAST_WIDTH, LEAST_HEIGHT),
                    session.keys if self.NAME == "bench" and not session.following else None,
                    session.names,
                )
            )
        else:
            self.refresh_view(session)

    def _lay_out_again(self) -> None:
        """Give rows their height that were first shown while the body had no room at all."""
        for lines in self.query(".body Lines"):
            lines.refresh(layout=True)

    def back(self) -> None:
        """Go back to the screen's first page; only a screen that has another does anything."""

    def own_keys(self, session: Session) -> list[tuple[str, str]]:
        """Return what the footer says of this screen's own keys; without a day, the way back."""
        if session.day is None and self.bench_app.first_page is not self:
            return [] if self.bench_app.given_a_file else [(session.key("to_start"), "Start page")]
        return footer_of(self.NAME, renamed=session.keys)

    def band_words(self, width: int) -> tuple[tuple[Row, ...], str]:
        """Return what the band says: alarms, then what stands over the whole bench, then the rest.

        A day that is held or is being stopped says so on every screen.
        """
        session, state = self.session, self.session.state()
        if state is not None and session.day is not None and not state.complete:
            from benchplan.views.standing import standing_lines

            rows, kind = frame.alarm(state, width, session.keys)
            stands = frame.message(
                "\n".join(standing_lines(session.day, state, session.key)), width
            )
            if rows:
                also = frame.message(session.message, width, frame.MOST_BESIDE)
                return (*rows, *frame.beside((*stands, *also), width)), kind
            if stands:
                also = frame.message(session.message, width, frame.MOST_BESIDE)
                return (*stands, *also), "tell"
        return frame.message(session.message, width), "tell"

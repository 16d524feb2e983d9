"""Jars: what the day needs in dry beads, when jars must be started, and which are drying."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import timedelta

from benchplan.book import BenchBook, Jar
from benchplan.carrying.session import Session
from benchplan.errors import BenchplanError
from benchplan.mixing import JarNeed, jars_needed
from benchplan.model.words import whole_number
from benchplan.screens.actions import bindings
from benchplan.screens.dialogs import Ask, Field, Fields
from benchplan.screens.page import PageScreen
from benchplan.views import jars as view
from benchplan.views.rows import Row

MOST_DAYS_AGO = 365


class JarsScreen(PageScreen):
    """Two lists, one cursor. Jars stand in the bench book, never in a plan file."""

    NAME = "jars"
    BINDINGS = bindings("jars")

    def __init__(self) -> None:
        super().__init__()
        self._look = view.Look()
        self._jars: tuple[Jar, ...] = ()

    def on_screen_resume(self) -> None:
        self._with_book(lambda book: None)
        super().on_screen_resume()

    def looked_at(self, session: Session) -> tuple[object, ...]:
        return (self._look, self._jars, session.local_now().toordinal())

    def rows(self, session: Session, width: int, height: int) -> Sequence[Row]:
        if session.day is None:
            return []
        today = session.local_now().date()
        return view.page(session.day, self._needs(), self._jars, today, self._look, width, height)

    def _needs(self) -> tuple[JarNeed, ...]:
        return jars_needed(self.session.day) if self.session.day is not None else ()

    def _with_book(self, change: Callable[[BenchBook], object]) -> None:
        """Change the book and read its jars again; says so where the book cannot be used."""
        try:
            change(self.bench_app.runs.book)
            self._jars = self.bench_app.runs.book.jars()
        except BenchplanError as error:
            self.session.tell(str(error))
        self.show()

    def _turn(self, look: view.Look) -> None:
        self._look = view.kept_within(look, self._needs(), self._jars)
        self.show()

    def action_line(self, by: int) -> None:
        look = view.kept_within(self._look, self._needs(), self._jars)
        if look.where == "needs":
            self._turn(replace(look, need=look.need + by))
        else:
            self._turn(replace(look, jar=look.jar + by))

    def action_other_list(self) -> None:
        look = view.kept_within(self._look, self._needs(), self._jars)
        self._turn(replace(look, where="jars" if look.where == "needs" else "needs"))

    def action_start_jar(self) -> None:
        """Note a jar that was started, of the scent under the cursor unless another is typed."""
        if self.session.day is None:
            return
        needs = self._needs()
        look = view.kept_within(self._look, needs, self._jars)
        scent = self.session.day.orders[0].scent
        if look.where == "jars" and self._jars:
            scent = self._jars[look.jar].scent
        elif needs:
            scent = needs[look.need].scent

        def take(answer: tuple[str, ...] | None) -> None:
            if answer is not None:
                started = self.session.local_now().date() - timedelta(days=int(answer[1]))
                self._with_book(lambda book: book.add_jar(answer[0], started, answer[2]))

        self.app.push_screen(
            Fields(
                "A jar was started",
                "Shake it once a day. No date proves it dry: the dry test does.",
                [
                    Field("Scent", scent, lambda text: "" if text else "Type the jar's scent."),
                    Field("How many days ago", "0", _days_ago),
                    Field("Note (may stay empty)", ""),
                ],
                yes="Note it",
            ),
            take,
        )

    def action_used_up(self) -> None:
        """Take a jar off the list."""
        look = view.kept_within(self._look, self._needs(), self._jars)
        if look.where != "jars" or not self._jars:
            key = self.session.key("other_list")
            self.session.tell(
                f"Press {key} to go to the jars, then choose the one that is used up."
            )
            return
        jar = self._jars[look.jar]

        def take(yes: bool | None) -> None:
            if yes:
                self._with_book(lambda book: book.remove_jar(jar.number))

        self.app.push_screen(
            Ask(
                f"Jar {jar.number} of {jar.scent} is used up?",
                "It is taken off this list for good.",
                yes="Take it off",
                no="Keep it",
            ),
            take,
        )


def _days_ago(text: str) -> str:
    days = whole_number(text)
    if days is not None and days <= MOST_DAYS_AGO:
        return ""
    return f"Type a whole number of days from 0 (today) to {MOST_DAYS_AGO}, not {text!r}."

"""The kinds of question that the Bench asks before a mark: one of a list, a number, a reason.

An answer is about the card that was in front when the question was opened. How the run stands is
looked up again when it is answered: the day goes on meanwhile.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, TypeVar

from benchplan.carrying import mishaps
from benchplan.carrying.mishaps import MOST_MINUTES, Bench, Found
from benchplan.keys import key_of
from benchplan.model import MarkKind, Reason
from benchplan.model.run_words import REASONS, upper_first
from benchplan.model.words import whole_number
from benchplan.screens.dialogs import Ask, Choose, Dialog, Field, Fields
from benchplan.views.bench import action_said

if TYPE_CHECKING:
    from benchplan.model import Action
    from benchplan.screens.bench import BenchScreen

T = TypeVar("T")
TYPED = "Something else: type it"
NO_RUN = "Nothing to mark: no run in progress."


class Questions:
    """Asks and marks for one Bench; the card that has the focus says what is meant."""

    def __init__(self, screen: BenchScreen) -> None:
        self._screen = screen
        self._asking = 0  # questions that are open, or being answered
        self._meant: tuple[int, Action | None] | None = None  # the card that they are about

    def ask(self, question: Dialog[T], take: Callable[[T | None], None]) -> None:
        """Open a question; it and all that it leads to are about the card that is in front now."""
        if self._meant is None:
            bench = self._bench()
            self._meant = (bench.person, bench.action) if bench else None
        self._asking += 1

        def answered(answer: T | None) -> None:
            try:
                take(answer)
            finally:
                self._asking -= 1
                if not self._asking:
                    self._meant = None

        self._screen.app.push_screen(question, answered)

    def _gone(self, action: Action) -> bool:
        """Whether an action is not to be done any more; the card says so."""
        session, state = self._screen.session, self._screen.session.state()
        if state is None or mishaps.is_open(state, action) or action in session.possible():
            return False
        self._screen.ignored(mishaps.GONE.format(what=action_said(session.plan, action)))
        return True

    def _person(self) -> int:
        """Return whose card is meant: the one that was in front when the first question opened."""
        return self._meant[0] if self._meant else self._screen.focus_person()

    def _bench(self, person: int | None = None) -> Bench | None:
        """Return the bench at this moment; where there is none the band says so."""
        meant = self._meant
        action = meant[1] if meant else None
        found = mishaps.bench_of(self._screen.session, person or self._person(), action)
        if found is None:
            self._screen.session.tell(NO_RUN)
        return found

    def _make(self, make: Callable[[Bench], Found], person: int | None = None) -> bool:
        """Make a mark of how the bench is now; the band says what it did or why it cannot be."""
        session, bench = self._screen.session, self._bench(person)
        if bench is None:
            return False
        found = make(bench)
        if isinstance(found, str):
            session.tell(found)
            return False
        if not self._screen.bench_app.runs.add(found):
            return False
        # What stands over the whole bench is said there for as long as it stands.
        if found.what not in (MarkKind.HOLD, MarkKind.STOP, MarkKind.ABORT):
            back = key_of("take_back", session.keys)
            said = f"{mishaps.said(bench, found)} {back} takes it back."
            session.tell(f"{said}\n{session.message}".strip())
        return True

    def _choose(
        self,
        title: str,
        words: str,
        choices: Sequence[tuple[str, Callable[[], None]]],
        no: str = "Cancel",
    ) -> None:
        said = [words for words, _ in choices]
        self._pick(title, words, [do for _, do in choices], said, lambda do: do(), no)

    def _pick(
        self,
        title: str,
        words: str,
        values: Sequence[T],
        said: Sequence[str],
        take: Callable[[T], None],
        no: str = "Cancel",
    ) -> None:
        """Have one of some values chosen by its words."""

        def chosen(at: int | None) -> None:
            if at is not None:
                take(values[at])

        self.ask(Choose(title, words, said, no=no), chosen)

    def _one_of(
        self, title: str, values: Sequence[T], said: Sequence[str], take: Callable[[T], None]
    ) -> None:
        """Have one of some values chosen by its words, unless there is only one."""
        if len(values) == 1:
            take(values[0])
        else:
            self._pick(title, "", values, said, take)

    def _why(
        self, title: str, reasons: Sequence[Reason], take: Callable[[Reason | str], None]
    ) -> None:
        """Have a reason chosen from a short list, or typed."""

        def typed(answer: tuple[str, ...] | None) -> None:
            if answer is not None:
                take(answer[0])

        def chosen(reason: Reason | None) -> None:
            if reason is not None:
                take(reason)
                return
            field = Field("Why", "", lambda text: "" if text else mishaps.SAY_WHY)
            self.ask(Fields(title, "", [field], yes="Mark it"), typed)

        said = [*(upper_first(REASONS[reason]) for reason in reasons), TYPED]
        self._pick(title, "The record keeps it.", (*reasons, None), said, chosen)

    def _sure(self, make: Callable[[Bench], Found], title: str, yes: str, words: str = "") -> None:
        person = self._person()

        def take(sure: bool | None) -> None:
            if sure:
                self._make(make, person)

        self.ask(Ask(title, words, yes=yes, no="Cancel"), take)

    def _minutes(
        self, title: str, words: str, usual: str, make: Callable[[Bench, int], Found]
    ) -> None:
        def check(text: str) -> str:
            right = 1 <= (whole_number(text) or 0) <= MOST_MINUTES
            return "" if right else "Type a whole number of minutes, such as 5."

        self._fields(
            title,
            words,
            [Field("Minutes", usual, check)],
            lambda bench, typed: make(bench, int(typed[0]) * 60),
        )

    def _number(
        self, title: str, words: str, label: str, make: Callable[[Bench, int | None], Found]
    ) -> None:
        """Have a number typed; what is wrong with it is said while the question is open."""

        def found(bench: Bench, text: str) -> Found:
            return make(bench, whole_number(text))

        def check(text: str) -> str:
            bench = self._bench()
            said = found(bench, text) if bench else NO_RUN
            return said if isinstance(said, str) else ""

        self._fields(
            title, words, [Field(label, "", check)], lambda bench, typed: found(bench, typed[0])
        )

    def _fields(
        self,
        title: str,
        words: str,
        fields: Sequence[Field],
        make: Callable[[Bench, tuple[str, ...]], Found],
        no: str = "Cancel",
        person: int | None = None,
    ) -> None:
        who = self._person() if person is None else person

        def take(typed: tuple[str, ...] | None) -> None:
            if typed is not None:
                self._make(lambda bench: make(bench, typed), who)

        self.ask(Fields(title, words, fields, yes="Mark it", no=no), take)

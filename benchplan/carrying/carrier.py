"""Carries a run: begin, go on, mark, take back, foresee, end. It knows nothing of screens.

A mark is committed to the bench book before the session holds it, so nothing is shown that is not
on the disk. What takes long is handed to ``start``; the book is only used by who calls.
"""

from __future__ import annotations

import os
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from benchplan.carrying import consent, endings, following, noting, work
from benchplan.carrying.kit import kit_names, kit_of
from benchplan.carrying.replanning import Replanning, Start, at_once
from benchplan.errors import BenchplanError
from benchplan.model import Action, Cannot, Day, Item, Mark, MarkKind, Plan, Reason, Run, standing
from benchplan.model.ids import NO_ITEM
from benchplan.model.record import UNENDED
from benchplan.model.run import NOTED
from benchplan.views.marks import back_words

if TYPE_CHECKING:
    from pathlib import Path

    from benchplan.book import BenchBook
    from benchplan.carrying.session import Session
    from benchplan.fitting import KnownFits


class Carrier:
    """What can be done to the run of a session, whoever asks for it."""

    def __init__(self, session: Session, start: Start = at_once) -> None:
        self._session = session
        self._start = start
        self._book: BenchBook | None = None
        self._follows_because = ""  # why this window does not carry its run
        self._state_owed = False  # the book does not say yet how the run stands
        self._token = os.urandom(8).hex()  # this window's, in the book
        self._alone = False  # whether the run that this window follows is carried by nobody now
        self.replanning = Replanning(session, start, self._complete_or_not)

    @property
    def book(self) -> BenchBook:
        """The bench book, opened at its first use; raises ``BenchplanError`` when it cannot be."""
        if self._book is None:
            from benchplan.book import BenchBook

            self._book = BenchBook.open()
            self._book.tell = self._hear
            if self._book.notice:
                self._session.tell(self._book.notice)
        return self._book

    def _hear(self, sentence: str) -> None:
        """Say what the book has to say of its rows; whichever thread reads them."""
        self._session.tell(sentence)

    def close(self) -> None:
        """Close the book."""
        if self._book is not None:
            self._book.close()
            self._book = None

    def remember(self, path: Path, name: str) -> None:
        """Note that a plan file was opened, for the start page."""
        try:
            self.book.remember_file(path, name, self._session.wall.now())
        except BenchplanError as error:
            self._session.tell(str(error))

    # --- beginning --------------------------------------------------------------------------

    def look_for_unfinished(self) -> None:
        """Offer to go on with a run of the open file that was neither completed nor ended."""
        session = self._session
        if session.path is None:
            return
        try:
            run = self.book.open_run(session.path, session.rehearsal)
            session.offer = None if run is None else (run, self.book.marks(run))
        except BenchplanError as error:
            session.tell(str(error))

    def known_fits(self) -> KnownFits:
        """Return what searches have found to fit; nothing where there is no book."""
        from benchplan.keeping import kept_fits

        try:
            return kept_fits(self.book)
        except BenchplanError:
            return {}

    def kit_is_known(self, day: Day) -> bool:
        """Say whether a run on the same ovens, pans and tins is in the book already."""
        try:
            return any(kit_names(run.day_text) == kit_of(day) for run in self.book.runs())
        except BenchplanError:
            return False

    def begin(self) -> None:
        """Anchor the day at this moment, plan it from here where that changes anything, begin."""
        session = self._session
        day, plan, plan_file = session.day, session.plan, session.plan_file
        if day is None or plan_file is None or not isinstance(plan, Plan):
            return
        if consent.unconfirmed(session):
            session.tell(consent.UNCONFIRMED)
            return
        begun = day.begun_at(session.now().replace(microsecond=0))
        session.tell("Planning from this moment.")
        task = partial(work.begun, plan_file, day, begun, plan, self.known_fits())
        self._start("begin", task, partial(self._begun, day, begun))

    def _begun(self, asked: Day, day: Day, answer: tuple[Plan | Cannot, str, str]) -> None:
        """Write the run into the book and carry it out, if its day is still the one on show."""
        session = self._session
        if session.run is not None or session.day is not asked:
            return
        from benchplan.book import BegunAlreadyError

        plan, day_text, plan_text = answer
        if isinstance(plan, Cannot):
            session.tell("Begun at this moment the day cannot be done. " + " ".join(plan.reasons))
            return
        try:
            run = self.book.start_run(
                name=day.name,
                file=session.path or "",
                start=day.start,
                day_text=day_text,
                plan_text=plan_text,
                rehearsal=session.rehearsal,
                speed=session.speed,
                token=self._token,
            )
        except BegunAlreadyError as found:
            session.offer = following.offered(self.book, found.run)
            session.tell(following.BEGUN)
            return
        except BenchplanError as error:
            session.tell(f"Can't start the run: {error}")
            return
        session.message = ""
        self.replanning.begin()
        session.take_run(run, day, plan, ())

    def go_on(self, run: Run, marks: tuple[Mark, ...]) -> None:
        """Take up a run from the book where its marks left it; follow it where another window
        that is still open carries it."""
        session, self._follows_because = self._session, ""
        try:
            follows = self.book.held_elsewhere(run, self._token)
            if not follows:
                try:
                    self.book.hold(run, self._token)
                except BenchplanError as error:  # what is hot can be seen all the same
                    follows = self._alone = True
                    self._follows_because = f"{error} {following.ONLY_SHOWN}"
            marks = (*marks, *following.see(self.book, run, marks).new)
        except BenchplanError as error:
            session.tell(f"Can't resume the run: {error}")
            return

        path = session.path

        def take(answer: tuple[Day, Plan]) -> None:
            if session.run is not None or session.path != path:
                return  # begun or opened meanwhile: that one was wanted
            # What is hot is known by the marks alone and is shown at once; planning mark by mark
            # what follows from them may take seconds late in a long day.
            session.message = ""
            self.replanning.begin()
            session.take_run(run, *answer, marks, follows)
            session.given_names = noting.names_in(lambda: self.book, run)
            self.replanning.follow()
            if follows:
                session.tell(f"{session.message} {self._follows(self._follows_because)}".strip())

        self._start("begin", partial(work.taken_up, run), take)

    # --- two windows on one run -------------------------------------------------------------

    def look_for_marks(self) -> None:
        """See what another window did to the run on show, and whether it is open; it is cheap."""
        try:
            if self._session.run is not None and self.book.changed_elsewhere():
                self._catch_up()
            self._look_for_carrier()
        except BenchplanError as error:
            self._session.tell(str(error))

    def _look_for_carrier(self) -> None:
        """Say once when the window that carries the run is closed, or its program has died."""
        run = self._session.run
        before, self._alone = self._alone, False
        if run is not None and self._session.following:
            self._alone = not self.book.held_elsewhere(run, self._token)
        if self._alone and not before:
            self._session.tell(self._follows())

    def take_over(self) -> bool:
        """Carry the run that another window carries; say whether this one does now."""
        session = self._session
        if session.run is None or not session.following:
            return False
        if self._book is not None and self._book.only_read:
            self.close()  # there may be room on the disk by now
        try:
            self.book.hold(session.run, self._token)
            self._catch_up()
        except BenchplanError as error:
            session.tell(str(error))
        if session.run is None or session.following:
            return False
        self._follows_because = ""
        session.tell(following.TAKES)
        self._complete_or_not()
        return True

    def _follows(self, words: str = "") -> str:
        """Return words of ``following`` with what takes a run over here; by default who has it."""
        words = words or (following.CLOSED if self._alone else following.FOLLOWS)
        return words.format(key=self._session.key("take_over"))

    def _catch_up(self) -> None:
        """Hold what the book holds of the run, and plan what follows from it."""
        seen = following.catch_up(self._session, self.book, self._token)
        if seen is not None and seen.new:
            self.replanning.follow()

    # --- marks ------------------------------------------------------------------------------

    def done(
        self,
        action: Action,
        person: int,
        happened_s: int | None = None,
        reason: Reason | None = None,
    ) -> bool:
        """Mark an action done, now or at an earlier second; ``reason``: why before its time."""
        return self.mark(MarkKind.DONE, action, person, happened_s=happened_s, reason=reason)

    def tick(self, action: Action, person: int, item: Item) -> bool:
        """Tick one item of an action's checklist."""
        return self.mark(MarkKind.TICK, action, person, item=item)

    def mark(
        self,
        what: MarkKind,
        action: Action | None = None,
        person: int = 1,
        *,
        item: Item = NO_ITEM,
        amount: float = 0.0,
        note: str = "",
        reason: Reason | None = None,
        happened_s: int | None = None,
    ) -> bool:
        """Add a mark of any kind that is entered now; it happened now if nothing else is said."""
        now_s = self._session.now_s()
        at_s = now_s if happened_s is None else happened_s
        at = (at_s, now_s, action, item, person)
        return self.add(Mark(what, *at, amount=amount, note=note, reason=reason))

    def take_back(self, count: int = 1) -> int:
        """Take back the last marks that still stand, the latest first; return how many."""
        session = self._session
        said: list[str] = []
        also: list[str] = []  # what became of a jar, or why no more could be taken back
        session.message = ""
        while session.run is not None and len(said) < count:
            kept = standing(session.marks)
            if not kept:
                break
            last, now_s = kept[-1], session.now_s()
            back = Mark(
                MarkKind.TAKE_BACK, now_s, now_s, takes_back=last.number, person=last.person
            )
            went = self._keep(back)
            also += [session.message] if session.message else []
            if not went:
                break
            if session.day is not None:
                said.append(back_words(session.day, session.plan, last))
        if said:
            session.message = "\n".join((f"Taken back: {'; '.join(said)}.", *also))
            self.replanning.follow()
            self._complete_or_not()
            session.on_change()
        elif session.run is not None and not session.message:
            session.tell("There is no mark to take back.")
        return len(said)

    def add(self, mark: Mark) -> bool:
        """Commit a mark, then hold it, then plan what follows; say whether it is in the book.

        A tick plans nothing anew: the day would be told otherwise because of it.
        """
        if not self._keep(mark):
            return False
        if mark.what not in NOTED:
            self.replanning.follow()
        self._complete_or_not()
        return True

    def _keep(self, mark: Mark) -> bool:
        """Commit a mark to the book, then let the session hold it."""
        session = self._session
        if session.run is None:
            return False
        if session.following:
            session.tell(f"Not marked: {self._follows(self._follows_because)}")
            return False
        from benchplan.carrying import safety  # it brings the live run: paint first

        if why := endings.refused(session, mark.what) or safety.refused(session, mark):
            session.tell(why)
            return False
        from benchplan.book import HeldElsewhereError

        try:
            kept = self.book.add_mark(session.run, mark, self._token)
        except HeldElsewhereError:
            session.following = True  # the next look for marks catches up
            session.tell(f"Not marked: {self._follows(following.TAKEN)}")
            return False
        except BenchplanError as error:
            session.tell(f"Not marked: {error}")
            return False
        session.message = ""
        session.marked(kept)
        session.message = noting.jar_of(session, lambda: self.book, kept)
        return True

    def name(self, person: int, name: str) -> None:
        """Give a person of the run a name, in the book too; without one, take it away."""
        noting.name(self._session, lambda: self.book, person, name)

    # --- ending -----------------------------------------------------------------------------

    def _complete_or_not(self) -> None:
        """Keep the run's state in the book true, and what it leaves over in a file of its own."""
        session = self._session
        state, run = session.state(), session.run
        if state is None or run is None or session.following:
            return
        wanted = endings.kept_state(state)
        if run.state != wanted or self._state_owed:
            finished_s = endings.ended_s(session) if state.complete else None
            self._set_state(run, wanted, finished_s)
            session.run = replace(run, state=wanted, finished_s=finished_s)
            said = ""
            if state.complete:
                said = endings.left_over(session)
            elif run.state not in UNENDED:
                said = endings.left_over_no_more(session)
            session.message = f"{session.message}\n{said}".strip()
            session.on_change()

    def _set_state(self, run: Run, state: str, finished_s: int | None) -> None:
        """Write a run's state; the marks are in the book whether or not this can be written.

        What could not be written is written with the next mark: the marks say it meanwhile.
        """
        try:
            self.book.end_run(run, state, finished_s, self._token)
            self._state_owed = False
        except BenchplanError as error:
            self._state_owed = True
            self._session.tell(f"What you marked is kept. How the run stands is not yet: {error}")

    def end(self, run: Run) -> None:
        """End a run, on show or on offer, before it is complete."""
        session = self._session
        try:
            if self.book.held_elsewhere(run, self._token):
                told = "" if session.run else following.END_THERE
                session.tell(self._follows(told))
                return
            self.book.hold(run, self._token)
        except BenchplanError as error:
            session.tell(str(error))
        finished_s, state = session.now_s() if session.run else None, endings.state_to_end(session)
        over = state is not None and state.complete  # aborted, and what was hot is left unchecked
        self._set_state(run, "aborted" if over else "stopped", finished_s)
        said = endings.left_over(session) if over else ""
        session.offer = None
        session.leave_run()
        if said:
            session.tell(said)

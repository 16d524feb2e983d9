"""Tells a run line by line and takes typed words, until the person leaves or no more can come."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from benchplan import clock
from benchplan.carrying.carrier import Carrier
from benchplan.carrying.due import next_due_s
from benchplan.carrying.endings import state_to_end
from benchplan.carrying.session import Session
from benchplan.carrying.sounding import Sounding
from benchplan.carrying.watch import Watcher
from benchplan.ceilings import value_warnings
from benchplan.errors import BenchplanError, printable
from benchplan.model.warning import warning_words
from benchplan.papers.asked import asked_words
from benchplan.papers.cautions import DECIDES, SHORT, day_cautions
from benchplan.plain import words
from benchplan.plain.news import News
from benchplan.plain.typed import Typed
from benchplan.shell import fault_words
from benchplan.views import frame
from benchplan.views.marks import mark_words
from benchplan.views.standing import left_hot

if TYPE_CHECKING:
    from benchplan.carrying.clumsy import Clumsy
    from benchplan.clock import Reading
    from benchplan.files import PlanFile
    from benchplan.model import Plan
    from benchplan.plain.hearing import Hear

LONGEST_S = 5.0  # real seconds between two looks at the clock


class Telling:
    """A run told to ``say``, a line a call, and steered by what ``hear`` brings."""

    def __init__(
        self,
        session: Session,
        hear: Hear,
        say: Callable[[str], None],
        *,
        maker: Clumsy | None = None,
        bell: Callable[[], None] | None = None,
        monotonic: Callable[[], float] = clock.monotonic,
        readings: Callable[[], Reading] | None = None,
    ) -> None:
        self.session, self.carrier = session, Carrier(session)
        self._hear, self._say, self._maker, self._monotonic = hear, say, maker, monotonic
        self._news = News()
        self._sounding = Sounding(session, bell, monotonic)
        self._typed = Typed(session, self.carrier, self._news, self._sounding, monotonic)
        self._over = False
        self._watcher = Watcher(session, readings) if readings else None
        self._fault = ""

    def run(self, plan_file: PlanFile, plan: Plan) -> None:
        """Open the day with its plan and tell the run until the person leaves."""
        session = self.session
        session.open_file(plan_file)
        if plan_file.path is not None:
            self.carrier.remember(plan_file.path, plan_file.day.name)
        self.carrier.look_for_unfinished()
        assert session.day is not None
        session.planned(session.day, plan)
        self._say_before(plan)
        line: str | None = ""
        try:
            while not self._typed.left:
                self._look(asked=line is not None)
                if self._over and self._maker is not None:
                    break
                line = self._hear(self._wait_s())
                if line is not None:
                    self._answer(line)
        except (EOFError, KeyboardInterrupt):
            pass
        finally:
            self._sounding.close()
            self.carrier.close()
        if session.run is not None and not session.done:
            self._say("Left. The run stays in the book: the same command goes on with it.")

    def _say_before(self, plan: Plan) -> None:
        session = self.session
        day = session.day
        assert day is not None
        if session.rehearsal:
            self._say(f"A rehearsal, {session.speed:g} times as fast. Nothing is learned from it.")
        self._say(words.before_line(day, plan))
        if session.asks is not None:
            self._say(
                f"This file asks for {asked_words(session.asks)}. That is ignored; "
                "benchplan settings --take FILE shows all of it, and takes it over."
            )
        if command := frame.at_alarm(session.settings.alarm_command if session.settings else ()):
            self._say(command)
        for warning in value_warnings(day):
            self._say(f"Past a limit: {warning_words(warning, day.display)}")
        if self._maker is not None:
            session.offer = None  # its script begins with the day
            self._say("A clumsy maker is at the bench: listen. leave ends it.")
            self.carrier.begin()
            self._tell()
        elif session.offer is not None:
            self._say(words.offer_line(day, *session.offer) + left_hot(state_to_end(session)))
            self._say("on resumes it, end ends it. help lists the words.")
        else:
            for caution in (*day_cautions(day), *SHORT, DECIDES):
                self._say(caution)
            self._say("bell sounds as an alarm does: can you hear it from where you will work?")
            kind = "the rehearsal" if session.rehearsal else "the real run"
            self._say(f"start begins {kind}: its plan counts from then. help lists the words.")
        self._tell()

    def _answer(self, line: str) -> None:
        try:
            found = self._typed.answer(printable(line.strip()))
        except Exception as fault:
            found = [_fault(fault)]
        for said in found:
            self._say(said)
        if not self._typed.left:
            self._tell()

    def _tell(self) -> None:
        """Say what the session has to say, once."""
        said, self.session.message = self.session.message, ""
        for line in said.splitlines():
            self._say(line)

    def _look(self, asked: bool) -> None:
        """Say all that is new at this moment; a fault is said once, and the count goes on."""
        try:
            self._say_new(asked)
        except OSError:
            raise  # nobody can hear any more
        except Exception as fault:
            said = _fault(fault)
            if said != self._fault:
                self._fault = said
                self._say(said)

    def _say_new(self, asked: bool) -> None:
        session = self.session
        if self._watcher is not None:
            self._watcher.look()
            self._tell()
        self.carrier.look_for_marks()
        if self._maker is not None and session.day is not None:
            for mark in self._maker.act(session, self.carrier):
                self._say(f"The maker: {mark_words(session.day, session.plan, mark)}")
        self.carrier.replanning.foresee()
        state, day, plan = session.state(), session.day, session.good_plan()
        self._sounding.tick(state)
        self._tell()
        if state is None or day is None or plan is None:
            return
        if state.complete:
            if not self._over:
                for said in words.over_lines(day, state, session.marks):
                    self._say(said)
                if self._maker is None:
                    self._say("back takes the last mark back, leave leaves.")
            self._over = True
        else:
            self._over = False
            for said in self._news.lines(day, plan, state, self._monotonic(), asked):
                self._say(said)
        self._tell()

    def _wait_s(self) -> float:
        """Return how many real seconds nothing has to be said for; never long."""
        session = self.session
        state = session.state()
        if state is None or session.day is None or session.run is None:
            return LONGEST_S
        due = [next_due_s(state), self._maker.due_s() if self._maker else None]
        speed = session.run.speed if session.rehearsal else 1.0
        into = clock.elapsed(session.day.start, session.now())
        waits = [(each - into) / speed for each in due if each is not None]
        repeat = self._news.repeat_at()
        if repeat is not None and not self._over:
            waits.append(repeat - self._monotonic())
        return max(0.0, min([LONGEST_S, *waits]))


def _fault(fault: Exception) -> str:
    """Say what went wrong; a run goes on whatever it was."""
    return str(fault) if isinstance(fault, BenchplanError) else fault_words(fault)


def tell_run(
    plan_file: PlanFile,
    plan: Plan,
    speed: float,
    say: Callable[[str], None],
    seed: int | None,
    bell: Callable[[], None] | None = None,
) -> None:
    """Tell a run of a planned day, from typed lines on standard input; a seed brings a maker.

    ``bell`` rings once; None where what is said goes to no terminal.
    """
    import sys

    from benchplan.carrying.clumsy import Clumsy
    from benchplan.carrying.sleeping import sleep_words
    from benchplan.plain.hearing import Hearing

    encoding = sys.stdin.encoding if sys.stdin else "utf-8"
    hear = Hearing(sys.stdin.fileno() if sys.stdin else 0, encoding or "utf-8")
    maker = None if seed is None else Clumsy(seed)
    if seed is None and speed == 1.0 and (sleep := sleep_words()):
        say(sleep)
    session = Session(clock.AnchoredClock(), speed)
    telling = Telling(session, hear, say, maker=maker, bell=bell, readings=clock.reading)
    telling.run(plan_file, plan)

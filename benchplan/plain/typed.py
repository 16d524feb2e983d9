"""What a person can type, and what each word does to the run; every answer is a line or two."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from difflib import get_close_matches
from typing import TYPE_CHECKING

from benchplan import live
from benchplan.carrying import consent, endings, mishaps, safety
from benchplan.carrying.mishaps import MOST_MINUTES, bench_of
from benchplan.model import ItemId, MarkKind, Reason, standing
from benchplan.model.record import UNENDED
from benchplan.model.run_words import item_words
from benchplan.model.warning import warning_words
from benchplan.model.words import list_words, whole_number
from benchplan.plain import words
from benchplan.plain.marking import NOT_SO, NOTHING_MARKED, Marking
from benchplan.plain.mishaps import MISHAPS, mishap
from benchplan.views.bench import action_said, choices
from benchplan.views.marks import back_words, span
from benchplan.views.run_pages import other_date
from benchplan.views.standing import held_lines, left_hot, standing_lines, still_hot

if TYPE_CHECKING:
    from benchplan.carrying.carrier import Carrier
    from benchplan.carrying.session import Session
    from benchplan.carrying.sounding import Sounding
    from benchplan.live.state import Card
    from benchplan.plain.news import News

JUST_NOW_S = 1.5  # nobody hears a card and answers it in less
BEGUN = "A run of this day has not ended: on resumes it, end ends it."
STOPS = "stop finishes what is hot, then ends the run. abort ends it now: switch the ovens off."
NO_RUN = "No run is on yet. start begins it."
LOOK = "What was set aside may be hot: look at it, and say so once no tin is."
NOTHING = "There is nothing to mark now. other lists what may be done."
HELP = {
    "start": "begins the day",
    "bell": "sounds as an alarm does, to hear whether it works",
    "what": "says again what to do now",
    "done": "marks it done; done 5, five minutes ago",
    "tick": "ticks the next thing on the checklist; tick all, every one",
    "other": "lists what else may be done, to mark one by its number",
    "back": "takes the last mark back; back 3, the last three",
    "hold": "stops the hands, for a call or the door",
    "on": "goes on",
    **MISHAPS,
    "hot": "says everything hot and how long it takes",
    "next": "says what comes after that, and when the day ends",
    "person": "person 2: from now on your words are person 2's",
    "take": "takes over a run that another window carries",
    "end": "ends the run before it is complete",
    "leave": "leaves; the run stays in the book to go on with",
}
CHANGES = {"start", "other", "done", "tick", "back", "hold", "on", "take", "end", "leave", *MISHAPS}
"""The words that change something, or ask anew: a question that was open before one is void."""
ALSO = {
    "": "what",
    "again": "what",
    "now": "what",
    "undo": "back",
    "begin": "start",
    "go": "on",
    "pause": "hold",
    "takeover": "take",
    "quit": "leave",
    "exit": "leave",
    "?": "help",
}


class Typed(Marking):
    """Answers typed lines. ``left`` is true once the person wants to leave."""

    def __init__(
        self,
        session: Session,
        carrier: Carrier,
        news: News,
        sounding: Sounding,
        monotonic: Callable[[], float],
    ) -> None:
        super().__init__(session, carrier)
        self._news, self._sounding, self._monotonic = news, sounding, monotonic
        session.typed = {"take_over": "take", "end_run": "end", "take_back": "back", "hold": "on"}
        self._who: int | None = None
        self.left = False

    def answer(self, line: str) -> list[str]:
        """Do what a line says and return the answer."""
        word, rest = [*line.split(None, 1), "", ""][:2]
        word, rest = word.lower(), rest.strip()
        question, self._question = self._question, None
        if question is not None and (word in ("yes", "no") or word.isdecimal()):
            return question.take(word)
        word = ALSO.get(word, word)
        found = self._did(word, rest, line)
        if question is not None and self._question is None and word not in CHANGES:
            self._question = question  # it waits while somebody only looks
            found = [*found, *question.said]
        return found

    def _did(self, word: str, rest: str, line: str) -> list[str]:
        """Do what a word says that answers no question."""
        if word == "help":
            return [_help(name, about) for name, about in HELP.items()]
        if word not in HELP:
            near = get_close_matches(word, [*HELP, *ALSO], 1)
            cure = f"Did you mean {ALSO.get(near[0], near[0])}? " if near else ""
            return [f'"{line.strip()}" is no word here. {cure}help lists the words.']
        if word not in ("start", "bell", "on", "end", "leave") and self._session.run is None:
            return [NO_RUN if self._session.offer is None else "on goes on with the run first."]
        if word in MISHAPS:
            return self._mishap(word, rest)
        act: Callable[[str], list[str]] = getattr(self, f"_{word}")
        return act(rest)

    # --- before a run and after it ----------------------------------------------------------

    def _start(self, _: str) -> list[str]:
        if self._session.run is not None:
            return ["The run is on already."]
        if self._session.offer is not None:
            return [BEGUN]
        said, day = "", self._session.day
        if day is not None and not self._session.rehearsal:
            said = other_date(day, self._session.now())
        if said:
            ask = "Start a real run on another date? yes starts it, no does not."
            return self._ask(self._start_today, said, ask)
        return self._sure()

    def _start_today(self, word: str) -> list[str]:
        return self._sure() if word == "yes" else ["Not started."]

    def _sure(self) -> list[str]:
        """Begin, after a question where values are past a limit and were not confirmed yet."""
        past, day = consent.unconfirmed(self._session), self._session.day
        if past and day is not None:
            return self._ask(
                self._confirm,
                *(f"Past a limit: {warning_words(each, day.display)}" for each in past),
                "Is each of these what you mean? yes starts the run, no does not.",
            )
        return self._begin()

    def _confirm(self, word: str) -> list[str]:
        if word != "yes":
            return ["Not started. Change the values in the plan file."]
        consent.confirm(self._session, consent.unconfirmed(self._session))
        return self._begin()

    def _begin(self) -> list[str]:
        said = self._session.message  # that it will be asked again, where it could not be kept
        self._carrier.begin()
        if self._session.offer is not None:
            return [*self._told(""), BEGUN]
        return [*said.splitlines(), *self._told("The run is on.")]

    def _bell(self, _: str) -> list[str]:
        self._sounding.check()
        return self._told("")

    def _end(self, _: str) -> list[str]:
        session = self._session
        run = session.run or (session.offer[0] if session.offer else None)
        if run is None:
            return [NO_RUN]
        state, over = endings.state_to_end(session), run.state not in UNENDED
        if session.run is not None and state is not None and not state.complete:
            hot = any(hot.trays for hot in state.hot)
            if hot or not state.ending:
                return [STOPS]

        def take(word: str) -> list[str]:
            if word != "yes":
                return ["Not ended."]
            if not over:
                self._carrier.end(run)
                if session.run is not None or session.offer is not None:
                    return self._told("")
            self.left = True
            return self._told("Ended. What was marked stays in the book.")

        if over:
            return take("yes")
        said = f"End this run? It can't be resumed then.{left_hot(state)}"
        return self._ask(take, f"{said} yes does it, no does not.")

    def _leave(self, _: str) -> list[str]:
        self.left = True
        return []

    # --- marks ------------------------------------------------------------------------------

    def _card(self) -> Card | None:
        """Return the card that is meant; None without an action on it."""
        bench = bench_of(self._session, self._meant())
        return bench.card if bench else None

    def _meant(self) -> int | None:
        """Return whose words these are, if that was said and they have not left; else None."""
        return self._who if self._who in self._people() else None

    def _done(self, rest: str) -> list[str]:
        card = self._card()
        if card is None or card.action is None:
            if self._session.done:
                return self._what("")
            bench = bench_of(self._session, self._meant())
            left = safety.unchecked(bench) if bench else ()
            return [f"{LOOK} checked {left[0]} says that." if left else NOTHING]
        ago, said = _number(rest, ("minutes", "minute", "min", "ago"))
        if ago is None or ago > MOST_MINUTES:
            return [f'"{said}" is no number of minutes. done 5 means five minutes ago.']
        now_s = self._session.now_s()
        if ago * 60 > now_s:
            return [f"The run had not begun {ago} min ago: it is {span(now_s)} old."]
        if just := self._just_come(card, "done"):
            return [just]
        return self._mark_done(card.action, card.person, now_s - ago * 60)

    def _just_come(self, card: Card, word: str) -> str:
        """Say that a card has only just come by itself, and what was typed was not meant for it."""
        since = self._monotonic() - self._news.came_at.get(card.person, -1e9)
        if since >= JUST_NOW_S and self._news.told(card):
            return ""
        what = action_said(self._session.plan, card.action)
        return f"This has only just come: {what}. Type {word} again if it is so."

    def _tick(self, rest: str) -> list[str]:
        card = self._card()
        if card is None or card.action is None:
            return [NOTHING]
        if just := self._just_come(card, "tick"):
            return [just]
        left = [check.item for check in card.checklist if not check.seen]
        if not left:
            return ["Everything is ticked."]
        ticked = left[:1]
        if rest.lower() == "all":  # nobody says by the way that beads are dry
            ticked = [item for item in left if item.id is not ItemId.BEADS_DRY]
        for item in ticked:
            if not self._carrier.tick(card.action, card.person, item):
                return self._told("")
        more = [item for item in left if item not in ticked]
        then = f"Then: {item_words(more[0])}." if more else "That was all."
        said = f"Ticked: {'; '.join(map(item_words, ticked))}. " if ticked else ""
        return self._told(f"{said}{then}")

    def _other(self, rest: str) -> list[str]:
        session, plan = self._session, self._session.good_plan()
        may, state = session.possible(), session.state()
        if plan is None or state is None or not may:
            return ["Nothing else can be done now."]

        listed = choices(plan, may)

        def take(word: str) -> list[str]:
            number = whole_number(word) or 0
            action = dict(enumerate(listed.values(), 1)).get(number)
            if action is None or action not in session.possible():
                return [NOTHING_MARKED]
            return self._mark_done(action, self._meant() or state.focus, session.now_s())

        if rest.isdecimal():
            return take(rest)
        lines = [f"{number}: {said}." for number, said in enumerate(listed, 1)]
        return self._ask(take, *lines, "Which was done? Type its number.")

    def _back(self, rest: str) -> list[str]:
        count, said = _number(rest or "1", ("marks", "mark"))
        if not count:
            return [f'"{said}" is no number of marks. back 3 takes the last three back.']
        kept = standing(self._session.marks)[-count:]
        day, at_stake = self._session.day, safety.undo_asks(self._session.marks)
        if day is None or not kept or (len(kept) < 2 and not at_stake):
            self._carrier.take_back(count)
            return self._told("")

        def take(word: str) -> list[str]:
            if word != "yes":
                return ["Nothing taken back."]
            self._carrier.take_back(len(kept))
            return self._told("")

        marks = [back_words(day, self._session.plan, mark) for mark in reversed(kept)]
        what = f"{len(marks)} marks: {'; '.join(marks)}" if len(marks) > 1 else marks[0]
        stake = f" {at_stake}" if at_stake else ""
        return self._ask(take, f"Take back {what}?{stake} yes does it, no does not.")

    def _mishap(
        self, word: str, rest: str, sure: bool = False, reason: Reason | None = None
    ) -> list[str]:
        """Mark a mishap, after what is asked first; ``reason``: why before its time."""
        bench = bench_of(self._session, self._meant())
        if bench is None:
            return ["The day is done. back takes the last mark back."]
        found = mishap(word, rest, bench)
        if isinstance(found, str):
            return [found]
        found = replace(found, reason=reason or found.reason)
        if found.what == MarkKind.BACK_IN and (why := safety.unready_again(bench, found)):
            return self._ask_why(
                bench, why, lambda reason: self._mishap(word, rest, reason=reason), NOT_SO
            )
        if sure or word not in ("stop", "abort"):
            made = self._carrier.add(found)
            return self._told(mishaps.said(bench, found) if made else "", also=made)

        def take(answer: str) -> list[str]:
            return self._mishap(word, rest, True) if answer == "yes" else ["The run goes on."]

        said = MISHAPS[word].partition(": ")[2].capitalize()
        hot = f" Hot now: {still_hot(bench.state)}." if bench.state.hot else ""
        return self._ask(take, f"{said}.{hot} yes does it, no goes on.")

    def _hold(self, _: str) -> list[str]:
        if self._held():
            return ["It is held already. Type on to go on."]
        if not self._carrier.mark(MarkKind.HOLD, person=self._meant() or 1):
            return self._told("")
        day, state = self._session.day, self._session.state()
        first = held_lines(day, state, self._session.key)[1:] if day and state else []
        return [*self._told("Held. The oven does not wait. Type on to go on."), *first]

    def _on(self, _: str) -> list[str]:
        session = self._session
        if session.run is None and session.offer is not None:
            self._carrier.go_on(*session.offer)
            return self._told("Going on.")
        if session.run is None:
            return [NO_RUN]
        if not self._held():
            return ["The run is on."]
        return self._told("Going on." if self._carrier.mark(MarkKind.GO_ON) else "")

    def _take(self, _: str) -> list[str]:
        if not self._session.following:
            return ["No other window controls this run."]
        self._carrier.take_over()
        return self._told("")

    # --- what is asked ----------------------------------------------------------------------

    def _what(self, _: str) -> list[str]:
        session = self._session
        state, day, plan = session.state(), session.day, session.good_plan()
        if state is None or day is None or plan is None:
            return [NO_RUN]
        if state.complete:
            return words.over_lines(day, state, session.marks)
        self._news.heard(state)
        over = standing_lines(day, state, session.key)
        over += [words.alarm_line(each, state.now_s) for each in live.alarms(state)]
        return over + [words.card_line(day, plan, state, card) for card in state.cards]

    def _hot(self, _: str) -> list[str]:
        state, day = self._session.state(), self._session.day
        return words.hot_lines(day, state) if state is not None and day is not None else [NO_RUN]

    def _next(self, _: str) -> list[str]:
        session = self._session
        state, day, plan = session.state(), session.day, session.good_plan()
        if state is None or day is None or plan is None:
            return [NO_RUN]
        return words.next_lines(day, plan, state)

    def _people(self) -> list[int]:
        state = self._session.state()
        return [card.person for card in state.cards] if state else []

    def _person(self, rest: str) -> list[str]:
        there, number = self._people(), whole_number(rest)
        if number not in there:
            known = list_words([str(each) for each in there])
            return [f"Here {'is' if len(there) == 1 else 'are'} person {known}."]
        self._who = number
        return [f"Your words are person {number}'s now."]


def _help(name: str, about: str) -> str:
    own = about.startswith((f"{name}:", f"{name} "))  # it says how to type the word
    return f"{about}." if own else f"{name}: {about}."


def _number(text: str, units: tuple[str, ...]) -> tuple[int | None, str]:
    """Return the number in "5 minutes ago", 0 for an empty text; None for anything else."""
    left = [part for part in text.lower().split() if part not in units]
    if not left:
        return (0, text) if not text else (None, text)
    return whole_number(left[0]) if len(left) == 1 else None, text

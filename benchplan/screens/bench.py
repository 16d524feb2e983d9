"""The Bench: the run itself. One card a person, everything hot, what comes after."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical

from benchplan.carrying.mishaps import MOST_MINUTES
from benchplan.carrying.session import Session
from benchplan.model import Action, ItemId, Plan
from benchplan.model.words import whole_number
from benchplan.screens.actions import bindings, footer_of
from benchplan.screens.base import DayScreen
from benchplan.screens.dialogs import Choose, Field, Fields
from benchplan.screens.mishaps import Mishaps
from benchplan.screens.page import Page
from benchplan.screens.widgets.card import CardBox
from benchplan.screens.widgets.lines import Lines
from benchplan.views import bench as view
from benchplan.views import run_pages
from benchplan.views.bench import action_said, choices
from benchplan.views.rows import Row

if TYPE_CHECKING:
    from benchplan.live.state import Card

SHOWN_FOR_S = 1.0  # how long the keys must have been about an action before one of them marks it
ONCE = "Release {done} for a second, then press it again."
ONCE_MORE = "Look at the beads, then press again."
CHANGED = "This card has just come up. Look, then press again."
NOTHING = "Nothing to mark here right now. Press {other} to see what else can be done."
TICKED = "All is ticked. Press {done} when it is done."
CARD_WIDTH = 27  # the least that a card and its figures need
COMING, COMING_MOST = 3, 8  # actions under "After that"; more of them in a taller window
USUAL_HEIGHT = 22  # rows of the body in a window of the least height


class BenchScreen(DayScreen):
    """Before a run: cautions and how to start. In it: what to do now. After it: how it went."""

    NAME = "bench"
    BINDINGS = bindings("bench")
    CSS_PATH = "bench.tcss"

    def __init__(self) -> None:
        super().__init__()
        self._picked: int | None = None  # the person whose card Tab has moved to
        self._about: tuple[int, Action | None] | None = None  # what the keys act on, and since when
        self._since = -math.inf
        self._first = 0  # the row that the page before or after a run is read from
        self._ignored = ""  # why the last key did nothing, said on the card
        self._mishaps = Mishaps(self)
        self._still = Page(classes="page")  # before and after a run
        self._cards, self._others = Horizontal(classes="cards"), Lines(classes="others")
        self._hot, self._after = Lines(classes="hot"), Lines(classes="after")

    def body(self) -> ComposeResult:
        yield self._still
        with Horizontal(classes="top"):
            with Vertical(classes="work"):
                yield self._cards
                yield self._others
            yield self._hot
        yield self._after

    def own_keys(self, session: Session) -> list[tuple[str, str]]:
        state = session.state()
        if session.run is not None and state is not None:
            baking = any(hot.kind == "oven" for hot in state.hot)
            moment = "baking" if baking else session.run.state
            if session.following:
                moment = "following"
            elif state.held_s is not None:
                card = self._card()
                out = card is not None and card.action is not None and card.action.what == "unload"
                moment = "held, exit" if out else "held"
            if state.complete:
                hot = any(each.trays for each in state.hot)
                moment = "complete, hot" if hot else "complete"
            return footer_of("bench", moment, session.keys)
        if session.good_plan() is None:
            return footer_of("bench", "none", session.keys)
        before = "before, rehearsal" if session.rehearsal else "before"
        return footer_of("bench", before if session.offer is None else "offer", session.keys)

    # --- showing ----------------------------------------------------------------------------

    def _show(self) -> None:
        self._notice(self._card())
        super()._show()

    def _notice(self, card: Card | None) -> None:
        """Keep since when the keys act on what they act on now."""
        about = None if card is None else (card.person, card.action)
        if self._about != about:
            self._about, self._since, self._ignored = about, self.bench_app.monotonic(), ""

    def refresh_view(self, session: Session) -> None:
        state = session.state()
        running = state is not None and not state.complete
        self.set_class(running, "-running")
        if not self._body.size.height:
            # Not laid out yet: what would be shown now would be cut to no room at all.
            self.call_after_refresh(self.refresh_view, session)
            return
        if running:
            self._first = 0
            self._show_run(session)
        else:
            height = max(1, self._body.size.height - 1)
            page, self._first = run_pages.fitted(
                *self._page(session), height, self._first, session.keys
            )
            self._still.show(page)

    def _page(self, session: Session) -> tuple[list[Row], list[Row]]:
        """Return the rows before or after a run: what stays on show, and what can be long."""
        width = self.app.size.width - 4
        day, state = session.day, session.state()
        if day is None:
            return [], []
        if state is not None and session.run and session.base_plan:
            return [], run_pages.done_rows(
                day, session.base_plan, state, session.run, session.marks, width
            )
        return run_pages.before_rows(
            day,
            session.plan,
            width,
            speed=session.speed if session.rehearsal else None,
            offer=session.offer,
            now=session.local_now(),
            sleep=session.sleep_words,
            settings=session.settings,
            asks=session.asks,
        )

    def _show_run(self, session: Session) -> None:
        state, day, plan = session.state(), session.day, session.plan
        assert state is not None
        assert day is not None
        assert isinstance(plan, Plan)
        width, height = self.app.size.width, self._body.size.height
        most = min(COMING_MOST, COMING + max(0, height - USUAL_HEIGHT) // 2)
        hot_width = 36 if width < 100 else 44
        focus = self.focus_person()
        several = len(state.cards) > 1
        cards_width = width - hot_width - 2
        side_by_side = cards_width // max(1, len(state.cards)) >= CARD_WIDTH
        boxes = self._boxes(len(state.cards))
        each = cards_width // len(state.cards) if side_by_side else cards_width
        others = [] if side_by_side else view.other_rows(state, focus, cards_width, session.names)
        # Under a tall band the card's checklist comes before what comes after it.
        wanted = max(
            view.card_height(day, plan, state, card, each - 3)
            for card in state.cards
            if side_by_side or card.person == focus
        )
        most = max(1, min(most, height - wanted - len(others) - 3))
        after = view.coming_rows(day, plan, state, width - 2, most, session.names)
        room = max(8, height - len(after))
        for box, card in zip(boxes, state.cards, strict=True):
            focused = card.person == focus
            box.display = side_by_side or focused
            size = (each - 3, room - len(others) - 1)
            said = self._ignored if focused else ""
            shown = view.card_view(day, plan, state, card, *size, focused, session.names, said)
            box.show(shown, focused and several)
        self._others.show(others)
        self._hot.styles.width = hot_width
        self._hot.show(view.hot_rows(day, state, hot_width - 2, room))
        self._after.show(after)

    def let_go(self) -> None:
        """Give the focus back to the card that is due first."""
        self._picked = None

    def _boxes(self, wanted: int) -> list[CardBox]:
        """Return as many cards as there are people, made or taken away as needed."""
        boxes = [each for each in self._cards.children if isinstance(each, CardBox)]
        if len(boxes) > wanted:
            for box in boxes[wanted:]:
                box.remove()
        elif len(boxes) < wanted:
            more = [CardBox() for _ in range(wanted - len(boxes))]
            self._cards.mount(*more)
            boxes += more
        return boxes[:wanted]

    def focus_person(self) -> int:
        """Return the person whose card the keys act on: the earliest due, or where Tab went."""
        state = self.session.state()
        if state is None:
            return 1
        people = [card.person for card in state.cards]
        return self._picked if self._picked in people else state.focus

    # --- keys -------------------------------------------------------------------------------

    def ignored(self, words: str) -> None:
        """Say on the card why a key did nothing; in the band where no card is on show."""
        named = {each: self.session.key(each) for each in ("done", "other")}
        if self.has_class("-bare"):
            self.session.tell(words.format(**named))
            return
        self._ignored = words.format(**named)
        self.show()

    def _acted_on(self, held_down: bool = False) -> Card | None:
        """Return the card that a key marks something of; None, and why, where it may not.

        A key meant for the card before must not act on one that has only just come up, whatever
        brought it, nor may a hand that rests on a key mark one action after the other.
        """
        card = self._card()
        self._notice(card)
        if card is None:
            return None
        if card.action is None:
            self.ignored(NOTHING)
        elif held_down:
            self.ignored(ONCE)
        elif self.bench_app.monotonic() - self._since < SHOWN_FOR_S:
            self.ignored(CHANGED)
        else:
            return card
        return None

    def action_done(self) -> None:
        self._hush()
        held_down = self.bench_app.held_down()
        if self.session.state() is None:
            if not held_down:
                self.bench_app.runs.start_or_go_on()
            return
        if not held_down and self._mishaps.last_look():
            return
        card = self._acted_on(held_down)
        if card is not None and card.action is not None:
            self._mark(card.action, card.person)

    def action_tick(self) -> None:
        self._hush()
        card = self._acted_on()
        if card is None or card.action is None:
            return
        left = [check.item for check in card.checklist if not check.seen]
        held = self.bench_app.held_down("tick")
        if left and not (held and left[0].id is ItemId.BEADS_DRY):
            self.bench_app.runs.tick(card.action, card.person, left[0])
        elif left:
            self.ignored(ONCE_MORE)
        elif card.checklist:
            self.ignored(TICKED)

    def action_take_back(self) -> None:
        if not self.bench_app.held_down("take_back"):
            self._hush()
            self.bench_app.runs.undo()

    def action_next_card(self) -> None:
        self._turn(1)

    def action_last_card(self) -> None:
        self._turn(-1)

    def _turn(self, by: int) -> None:
        state = self.session.state()
        if state is None or not state.cards:
            return
        people = [card.person for card in state.cards]
        self._picked = people[(people.index(self.focus_person()) + by) % len(people)]
        self.show()
        self._since = -math.inf  # who turns to a card has seen it

    def action_done_ago(self) -> None:
        self._hush()
        card = self._acted_on()
        if card is None or card.action is None:
            return
        action, person, now_s = card.action, card.person, self.session.now_s()
        if words := self._mishaps.in_the_way(action, person):
            self.session.tell(words)
            return

        def check(text: str) -> str:
            minutes = whole_number(text)
            if minutes is None or minutes > MOST_MINUTES:
                return "Type how many minutes ago, such as 5."
            return "" if minutes * 60 <= now_s else "The run had not begun then."

        def take(answer: tuple[str, ...] | None) -> None:
            if answer is not None:
                self._mark(action, person, now_s - int(answer[0]) * 60)

        self._mishaps.ask(
            Fields(
                "Done earlier",
                f"{action_said(self.session.plan, action)}: done how many minutes ago?",
                [Field("Minutes", "", check)],
                yes="Mark it done",
            ),
            take,
        )

    def action_other(self) -> None:
        self._hush()
        state = self.session.state()
        if state is None or state.complete:
            return
        possible, person = self.session.possible(), self.focus_person()
        if not possible:
            self.session.tell("Nothing else can be done at this moment.")
            return

        plan = self.session.good_plan()
        said = choices(plan, possible) if plan else {}

        def take(answer: int | None) -> None:
            if answer is not None:
                self._mark(list(said.values())[answer], person)

        self._mishaps.ask(
            Choose(
                "Did something else",
                "What was done? Only what may be done now is listed.",
                list(said),
                yes="Mark it done",
            ),
            take,
        )

    def _hush(self) -> None:
        """Clear what card and band said about the key before this one."""
        if self._ignored:
            self._ignored = ""
            self.show()
        if self.session.message:
            self.session.tell("")

    def action_hold(self) -> None:
        if not self.bench_app.held_down("hold"):
            self._hush()
            self._mishaps.hold()

    def action_longer(self) -> None:
        if not self.bench_app.held_down("longer"):
            self._hush()
            card = self._card()
            if card is None or card.action is None or self._acted_on() is not None:
                self._mishaps.longer()

    def action_take_over(self) -> None:
        self._hush()
        if self.session.run is None:
            self.bench_app.runs.show_asked()
        else:
            self.bench_app.runs.take_over()

    def action_read(self, by: int) -> None:
        if self.session.state() is None or self.session.done:
            self._first += by * max(1, self._body.size.height // 3)
            self.show()

    def action_happened(self) -> None:
        self._hush()
        self._mishaps.happened()

    def action_pass_over(self) -> None:
        self._hush()
        self._mishaps.pass_over()

    def action_end_run(self) -> None:
        self._hush()
        self._mishaps.end()

    def action_rehearse(self) -> None:
        self.bench_app.runs.turn_rehearsal()

    def action_bell(self) -> None:
        self.bench_app.bells.check()

    def _card(self) -> Card | None:
        """Return the card that the keys act on; None without a run or when all is done."""
        state = self.session.state()
        if state is None or state.complete:
            return None
        focus = self.focus_person()
        return next((card for card in state.cards if card.person == focus), None)

    def _mark(self, action: Action, person: int, happened_s: int | None = None) -> None:
        self._mishaps.done(action, person, happened_s)

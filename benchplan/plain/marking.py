"""What is asked and answered around an action that somebody says is done."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchplan.carrying import mishaps, safety
from benchplan.carrying.mishaps import bench_of
from benchplan.carrying.safety import LOOKED_AT
from benchplan.model import Item, ItemId, MarkKind, Reason
from benchplan.model.run_words import item_words, upper_first
from benchplan.model.words import tray_words, whole_number
from benchplan.views import asking
from benchplan.views.bench import action_said
from benchplan.views.marks import span

if TYPE_CHECKING:
    from benchplan.carrying.carrier import Carrier
    from benchplan.carrying.mishaps import Bench
    from benchplan.carrying.session import Session
    from benchplan.live import Unready
    from benchplan.model import Action

NOT_DRY = "if the beads are not dry, test again, or type wet to remove their trays from today."
NOT_SO = "no: nothing is marked."
NOTHING_MARKED = "Nothing marked."
LATER = "It is asked again before its tins are moved."


@dataclass(frozen=True, slots=True)
class Question:
    """Lines that were asked, and what takes the answer: yes, no or a number."""

    take: Callable[[str], list[str]]
    said: tuple[str, ...]


class Marking:
    """Marks actions done; ``_question`` waits for an answer."""

    def __init__(self, session: Session, carrier: Carrier) -> None:
        self._session, self._carrier = session, carrier
        self._question: Question | None = None

    def _ask(self, take: Callable[[str], list[str]], *said: str) -> list[str]:
        self._question = Question(take, said)
        return list(said)

    def _mark_done(
        self, action: Action, person: int, happened_s: int, reason: Reason | None = None
    ) -> list[str]:
        """Mark an action done, on the card or not, if nothing must come before it."""
        bench = bench_of(self._session, person)
        if bench is not None and (early := safety.too_early(bench, action, happened_s)):
            return [early]
        if bench is not None and action.what != "unload":
            if self._held():
                return ["It is held. Type on first, to go on."]
            if reason is None and (found := safety.unready(bench, action, happened_s)):
                return self._ask_too_soon(bench, found, action, happened_s)
            if first := safety.unseen(bench, action):
                if action != bench.action:
                    return self._ask_seen(action, person, happened_s, first[0], reason)
                dry = first[0].id is ItemId.BEADS_DRY
                cure = NOT_DRY if dry else "skip WHY passes it over."
                return [f"First: {item_words(first[0])}. tick ticks it; {cure}"]
            if (out := safety.not_looked_at(bench, action.trays)) is not None:
                return self._after_an_exit(
                    out, person, lambda: self._mark_done(action, person, happened_s, reason)
                )
        marked = self._carrier.done(action, person, happened_s, reason)
        what, marks = action_said(self._session.plan, action), self._session.marks
        late = marks[-1].entered_s - happened_s if marks else 0
        ago = f" {span(late)} ago" if late >= 60 else ""
        said = self._told(f"Marked done{ago}: {what}." if marked else "", also=marked)
        return said + self._after_an_exit(action, person) if marked else said

    def _after_an_exit(
        self, action: Action, person: int, then: Callable[[], list[str]] = list
    ) -> list[str]:
        """Ask why a tray came out early, if it did, and how it is baked; ``then`` goes on."""
        bench = bench_of(self._session, person)
        if action.what != "unload" or bench is None:
            return []
        found = safety.early_exit(bench, action)
        if found is None:
            looked = safety.not_looked_at(bench, action.trays) is None
            return then() if looked else self._ask_how_baked(action, person, then)

        def take(reason: Reason) -> list[str]:
            now = bench_of(self._session, person)
            if now is not None:
                self._carrier.add(safety.why_early(now, action, reason))
            return [*self._told(""), *self._after_an_exit(action, person, then)]

        undo = "back undoes the mark. " if safety.is_last(bench, action) else ""
        return self._ask_why(bench, found, take, f"{undo}{self._goes_back(bench, action)}", LATER)

    def _ask_too_soon(
        self, bench: Bench, found: Unready, action: Action, happened_s: int
    ) -> list[str]:
        """Ask why something was done before its time, if it was."""

        def take(reason: Reason) -> list[str]:
            return self._mark_done(action, bench.person, happened_s, reason)

        return self._ask_why(bench, found, take, NOT_SO)

    def _goes_back(self, bench: Bench, out: Action) -> str:
        """Say which word puts an unload's trays back in; nothing where it would take others."""
        return "under 2 puts it back in." if mishaps.came_out(bench)[:1] == (out,) else ""

    def _ask_why(
        self,
        bench: Bench,
        found: Unready,
        then: Callable[[Reason], list[str]],
        otherwise: str,
        no: str = NOTHING_MARKED,
    ) -> list[str]:
        reasons = asking.reasons_of(found)

        def take(word: str) -> list[str]:
            number = whole_number(word) or 0
            if not 1 <= number <= len(reasons):
                return [no]
            return then(reasons[number - 1][1])

        said = " ".join(f"{at}: {words}." for at, (words, _) in enumerate(reasons, 1))
        about = asking.unready_words(bench.day, found, bench.state.now_s)
        return self._ask(take, f"{about} Why was it done? {said} {otherwise}".strip())

    def _ask_seen(
        self, action: Action, person: int, happened_s: int, item: Item, reason: Reason | None
    ) -> list[str]:
        """Ask about an item that must be seen to before what is on no card is marked."""

        def take(word: str) -> list[str]:
            if word != "yes" and (word != "1" or item.id is ItemId.BEADS_DRY):
                return [NOTHING_MARKED]
            if not self._carrier.tick(action, person, item):
                return self._told("")
            return [f"Ticked: {said}.", *self._mark_done(action, person, happened_s, reason)]

        said = item_words(item)
        return self._ask(take, f"First: {said}. yes: it is so. {NOT_SO}")

    def _ask_how_baked(self, out: Action, person: int, then: Callable[[], list[str]]) -> list[str]:
        """Ask how what is out is baked; what went wrong has its own words."""

        def take(word: str) -> list[str]:
            if word in ("1", "yes"):
                if not self._carrier.tick(out, person, LOOKED_AT):
                    return self._told("")
                return [*self._told(f"Ticked: {item_words(LOOKED_AT)}."), *then()]
            if word != "2":
                return [LATER]
            self._carrier.mark(
                MarkKind.PASS_OVER, out, person, item=LOOKED_AT, reason=Reason.LOOKED_LATER
            )
            return [*self._told(f"Passed over: {item_words(LOOKED_AT)}."), *then()]

        bench = bench_of(self._session, person)
        back = f"{self._goes_back(bench, out)} " if bench else ""
        tray = out.trays[0]
        return self._ask(
            take,
            f"{upper_first(tray_words(out.trays))}: how baked? 1: no loose beads. 2: looked at "
            f"later. {back}scrap 2 of {tray} WHY scraps two tins of tray {tray}.",
        )

    def _held(self) -> bool:
        state = self._session.state()
        return state is not None and state.held_s is not None

    def _told(self, usual: str, also: bool = False) -> list[str]:
        """Return what the session has to say, or else the usual answer; ``also``: after it."""
        said, self._session.message = self._session.message.splitlines(), ""
        return said if not usual or (said and not also) else [usual, *said]

"""When something next changes by time alone: until then nobody need look at the clock."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from benchplan.live.state import State


def next_due_s(state: State) -> int | None:
    """Return the next second after now at which a card or something hot changes; None for none."""
    moments = [each for card in state.cards for each in (card.begin_s, card.end_s + 1)]
    moments += [card.end_s for card in state.cards if card.action is None]
    for hot in state.hot:
        moments += [hot.soon_s, hot.until_s, hot.late_s + 1 if hot.late_s else 0]
    moments += [away.until_s for away in state.breaks]
    return min((each for each in moments if each > state.now_s), default=None)

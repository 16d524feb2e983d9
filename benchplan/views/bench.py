"""What the Bench shows: one card a person, everything hot, what comes after, and the day's end."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchplan import clock, units
from benchplan.keys import key_of
from benchplan.live.checklist import Check
from benchplan.model import Action, Day, Plan, Tray
from benchplan.model.run_words import item_words, upper_first
from benchplan.model.words import action_words, count_words, scent_words
from benchplan.views.rows import BLANK, Piece, Row, cells, cut, left, right, row, wrap, wrap_rows
from benchplan.views.words import at_clock, finish_words, is_late

if TYPE_CHECKING:
    from benchplan.live.state import Card, Coming, Hot, State

FIGURES_HIGH = 5
OVEN_WORK = ("preheat", "load", "unload")
OVENS_OFF = "No more bakes: switch every oven off. It stays hot for long: check before you touch."
FIRST_S = 60  # nothing is called overdue in so much of a run: it has only just begun
NOBODY: Mapping[int, str] = {}
"""The names of people by their numbers, where nobody was given one."""


def figures_wide(text: str, wide: int) -> int:
    """Return how many cells figures take with blocks ``wide`` cells wide: 3 blocks, a colon 1."""
    blocks = sum(1 if character == ":" else 3 for character in text) + max(0, len(text) - 1)
    return blocks * wide


@dataclass(frozen=True, slots=True)
class CardView:
    """A card ready to be drawn: what to do, the figures, and the checklist under them.

    ``kind`` is "now", "later", "soon" (an oven exit is near), "late", "held" or "idle".
    """

    kind: str
    head: tuple[Row, ...]
    digits: str
    digits_high: int
    tail: tuple[Row, ...]


def card_view(
    day: Day,
    plan: Plan,
    state: State,
    card: Card,
    width: int,
    height: int,
    focused: bool = True,
    names: Mapping[int, str] = NOBODY,
    ignored: str = "",
) -> CardView:
    """Return one person's card in at most ``height`` rows; the keys act on the ``focused`` one.

    ``ignored`` says why a key did nothing; it comes before the checklist.

    A held card counts up since when, and says what goes on with; an oven's exit is never held.
    The figures take five of them, or ten where that leaves room for all of the checklist.
    """
    kind = card_kind(state, card)
    words, seconds = count_of(state, card)
    head = _head(day, plan, state, card, width, focused, names)
    digits = clock.show_countdown(seconds) if words else ""
    told = wrap_rows(ignored, width, "strong") if ignored else []
    if kind == "held":
        tail = wrap_rows(f"{key_of('hold', day.keys)} resumes. The oven does not wait.", width)
        tail += told
        return CardView(kind, tuple(head), digits, FIGURES_HIGH, (BLANK, *tail))
    whole = checklist_rows(card.checklist, width, 99)
    high = FIGURES_HIGH
    if (
        2 * high + len(head) + len(told) + len(whole) + 1 <= height
        and figures_wide(digits, 4) <= width
    ):
        high *= 2
    room = height - len(head) - high - len(told)
    # A blank row between figures and checklist is the first thing to go.
    gap = (BLANK,) if len(whole) < room else ()
    rows = checklist_rows(card.checklist, width, room - len(gap))
    below = (*gap, *rows) if rows else ()
    return CardView(kind, tuple(head), digits, high, (*told, *below))


def card_height(day: Day, plan: Plan, state: State, card: Card, width: int) -> int:
    """Return how many rows a card takes with its figures and all of its checklist."""
    head = _head(day, plan, state, card, width, True, NOBODY)
    return len(head) + FIGURES_HIGH + len(checklist_rows(card.checklist, width, 99))


def _head(
    day: Day,
    plan: Plan,
    state: State,
    card: Card,
    width: int,
    focused: bool,
    names: Mapping[int, str],
) -> list[Row]:
    """Return what stands over a card's figures: whose it is, what to do, and until when."""
    kind = card_kind(state, card)
    words, seconds = count_of(state, card)
    head: list[Row] = [title(state, card, kind, width, focused, names)]
    lines = wrap(f"Then: {card.words}" if kind == "held" and card.action else card.words, width)
    head += [row(Piece(line, "strong")) for line in lines[:1]]
    if len(lines) > 1:
        head.append(row(Piece(cut(" ".join(lines[1:]), width), "strong")))
    about = about_line(day, plan, card)
    if about:
        head.append(row(Piece(cut(upper_first(about), width), "quiet")))
    said = f"{words} {at_clock(day, state.now_s + seconds)}" if words else ""
    # On a narrow card the clock time goes onto a line of its own: it is never cut.
    return [*head, *(row(line) for line in wrap(said, width) or [""])]


def card_kind(state: State, card: Card) -> str:
    """Return a card's kind; words on the card say the same."""
    if state.held_s is not None and not _is_exit(card):
        return "held"
    if card.action is None:
        return "soon" if card.hurry else "idle"
    if _overdue(state, card):
        return "late"
    if card.hurry:
        return "soon"
    return "now" if state.now_s >= card.begin_s else "later"


def _overdue(state: State, card: Card) -> bool:
    return state.now_s > max(card.end_s, FIRST_S)


def _is_exit(card: Card) -> bool:
    return card.action is not None and card.action.what == "unload"


def count_of(state: State, card: Card) -> tuple[str, int]:
    """Return what the figures count, in words that end before a clock time, and the seconds.

    Past due, and while hands are held, the seconds are below zero and count up.
    """
    now = state.now_s
    if state.held_s is not None and not _is_exit(card):
        return "held since", state.held_s - now
    if card.action is None:
        return ("until", card.end_s - now) if card.end_s > now else ("", 0)
    # An oven's exit cannot wait: it counts to the moment it is due, not to when it should be done.
    out = _is_exit(card)
    due = card.begin_s if out else card.end_s
    if now < card.begin_s:
        return ("take out at" if out else "begin at"), card.begin_s - now
    if _overdue(state, card):
        return f"OVERDUE by {clock.show_span(now - due)}, since", due - now
    return ("TAKE OUT NOW, since", due - now) if out else ("now, done by", max(0, due - now))


def who_words(person: int, names: Mapping[int, str] = NOBODY) -> str:
    """Return "Person 2", or "Person 2, Ada" where the name is known."""
    name = names.get(person, "")
    return f"Person {person}" + (f", {name}" if name else "")


def title(
    state: State,
    card: Card,
    kind: str,
    width: int,
    focused: bool,
    names: Mapping[int, str] = NOBODY,
) -> Row:
    """Return a card's first line: whose it is and how it stands; an arrow marks the focus."""
    begun = state.now_s >= card.begin_s
    words = {
        "now": "Now",
        "later": "Next",
        "soon": "Now" if begun else "Get ready",
        "late": "Overdue",
        "idle": "Free",
        "held": "Held",
    }[kind]
    tone = {"late": "late", "soon": "warn", "now": "head", "held": "warn"}.get(kind, "quiet")
    if len(state.cards) == 1:
        return row(Piece(cut(words, width), tone))
    name = cut(who_words(card.person, names), max(8, width - cells(words) - 4))
    name = f"→ {name} " if focused else f"  {name} "
    return row(Piece(name, "pick" if focused else ""), " ", Piece(words, tone))


def other_rows(
    state: State, focus: int, width: int, names: Mapping[int, str] = NOBODY
) -> list[Row]:
    """Return the cards that have no room of their own, a line each or as many as words need."""
    rows: list[Row] = []
    for card in state.cards:
        if card.person == focus:
            continue
        words, seconds = count_of(state, card)
        kind = card_kind(state, card)
        figures = clock.show_countdown(seconds) if words else ""
        figures = "held" if kind == "held" else figures
        tone = "late" if kind == "late" else ""
        name = f"{who_words(card.person, names)}: "
        room = max(1, width - 10)
        first, *more = wrap(name + card.words, room, "  ")
        rows.append(row(Piece(left(first, room), "strong"), Piece(right(figures, 9), tone)))
        rows += [row(Piece(line, "strong")) for line in more]
    return rows


def action_said(plan: object, action: Action | None) -> str:
    """Say an action with the scent that a change of scent makes ready for."""
    if action is None:
        return ""
    return action_words(action, next_scent(plan, action) if isinstance(plan, Plan) else "")


def choices(plan: Plan, may: Iterable[Action]) -> dict[str, Action]:
    """Return what may be done now by its words; of two that read the same the first is meant."""
    said: dict[str, Action] = {}
    for each in may:
        said.setdefault(action_said(plan, each), each)
    return said


def about_line(day: Day, plan: Plan, card: Card) -> str:
    """Say what an oven is to be set to for a card's action, and what is on its trays."""
    heat = "" if card.heat_c is None else units.show_temperature(card.heat_c, day.display.units)
    how = "at" if card.action and card.action.trays else "set it to"
    found = (f"{how} {heat}" if heat else "", tray_line(plan, card.action, card.lost))
    return ". ".join(filter(None, found))


def tray_line(plan: Plan, action: Action | None, lost: int = 0) -> str:
    """Say what is on an action's trays, without lost tins: "Sea fennel, 8 tins on small 2"."""
    if action is None or not action.trays:
        return ""
    trays = [plan.tray(number) for number in action.trays]
    left = sum(tray.tins for tray in trays) - lost
    tins = count_words(left, "tin") if left > 0 else "all tins scrapped"
    if len(trays) == 1:
        tray = trays[0]
        return f"{scent_words(tray)}, {tins} on {pan_words(plan, tray)}"
    scents = dict.fromkeys(name for tray in trays for name in tray.scent_names)
    return f"{', '.join(scents)}, {tins}"


def pan_words(plan: Plan, tray: Tray) -> str:
    """Name a tray's pan, with its number where the plan uses more than one of the kind."""
    several = any(each.pan == tray.pan and each.pan_number > 1 for each in plan.trays)
    return f"{tray.pan} {tray.pan_number}" if several else tray.pan


def checklist_rows(
    items: tuple[Check, ...],
    width: int,
    room: int,
) -> tuple[Row, ...]:
    """Return a checklist in at most ``room`` rows; what is left to tick is never scrolled away.

    What was passed over shows ``[-]``, and what must be seen to ``[!]`` until it is.
    """
    if room < 1:
        return ()
    blocks = []
    for check in items:
        lines = wrap(item_words(check.item), width - 4) or [""]
        if check.seen:
            mark, tone = ("[-] ", "quiet") if check.passed else ("[x] ", "good")
        else:
            mark, tone = ("[!] ", "warn") if check.required else ("[ ] ", "")
        blocks.append(
            [
                row(Piece((mark if at == 0 else "    ") + line, tone))
                for at, line in enumerate(lines)
            ]
        )
    first = 0
    while first < len(blocks) - 1 and items[first].seen and sum(map(len, blocks[first:])) > room:
        first += 1
    rows = [line for block in blocks[first:] for line in block]
    if room == 1 < len(rows):
        at = next((at for at, each in enumerate(items) if not each.seen), first)
        rows = [
            row(*(Piece(cut(each.text, width - 5), each.tone) for each in blocks[at][0]), " more")
        ]
    elif len(rows) > room:
        rows = [*rows[: room - 1], row(Piece("    more below", "quiet"))]
    return tuple(rows)


def hot_rows(day: Day, state: State, width: int, height: int) -> list[Row]:
    """Return everything hot, soonest first, each with its own countdown.

    An oven that no bake needs any more counts down nowhere, but is hot: that is said under it all.
    """
    off = [] if oven_wanted(state) else wrap_rows(OVENS_OFF, width, "warn")
    height -= len(off)
    if not state.hot:
        return [row(Piece("Hot", "head")), *(off or [row(Piece("Nothing is hot.", "quiet"))])]
    rows = [row(Piece(left("Hot", _place_width(width)), "head"), " ", Piece(" tray", "quiet"))]
    room = height - 1
    shown = state.hot if len(state.hot) <= room else state.hot[: room - 1]
    rows += [hot_row(state, each, width) for each in shown]
    if len(shown) < len(state.hot):
        rows.append(row(Piece(f"and {len(state.hot) - len(shown)} more", "quiet")))
    return [*rows, *off]


def oven_wanted(state: State) -> bool:
    """Whether an oven is on for something, or will be: it heats, bakes, or has a load to come."""
    if any(hot.kind in ("oven", "preheat") for hot in state.hot):
        return True
    to_do = [card.action for card in state.cards] + [each.action for each in state.coming]
    return any(each is not None and each.what in OVEN_WORK for each in to_do)


def _place_width(width: int) -> int:
    """Return what is left for a place beside trays (5), state (8) and countdown (8)."""
    return max(4, width - 5 - 8 - 8 - 3)


def hot_figures(state: State, hot: Hot) -> str:
    """Return how long until a hot thing changes; nothing where it only waits for a hand."""
    left_s = hot.until_s - state.now_s
    waits = hot.state in ("check", "rested", "at heat", "shut in", "off?") and left_s <= 0
    return "" if waits else clock.show_countdown(left_s)


def hot_row(state: State, hot: Hot, width: int) -> Row:
    """Return one hot thing: place, trays, how it stands, and how long until that changes."""
    left_s, figures = hot.until_s - state.now_s, hot_figures(state, hot)
    tone = "cool" if hot.kind in ("mat", "aside") else "hot"
    if hot.state == "out now":
        tone = "late" if left_s < 0 else "warn"
    trays = "+".join(str(number) for number in hot.trays)
    return row(
        f"{left(hot.place, _place_width(width))} {right(trays, 5)} ",
        Piece(f"{left(hot.state, 8)} {right(figures, 8)}", tone),
    )


def coming_rows(
    day: Day,
    plan: Plan,
    state: State,
    width: int,
    most: int = 3,
    names: Mapping[int, str] = NOBODY,
) -> list[Row]:
    """Return what comes after the cards, and when the day is expected to end."""
    rows = [row(Piece("After that", "head"))]
    rows += [coming_row(day, plan, state, each, width, names) for each in state.coming[:most]]
    if not state.coming:
        rows.append(row(Piece("Nothing more.", "quiet")))
    tone = "warn" if is_late(day, plan) else ""
    done = f"{state.done} of {state.total} done"
    if gone := len(plan.trays) - sum(len(load.trays) for load in plan.loads):
        done += f", {count_words(gone, 'tray')} left the day"
    rows.append(row(Piece(cut(finish_words(day, plan), width - len(done) - 2), tone), f"  {done}"))
    return rows


def coming_row(
    day: Day,
    plan: Plan,
    state: State,
    coming: Coming,
    width: int,
    names: Mapping[int, str] = NOBODY,
) -> Row:
    """Return one coming action with its clock time, and who does it where there are several.

    What should have begun already begins now at the earliest: no time shown is past.
    """
    words = action_words(coming.action, next_scent(plan, coming.action))
    name = names.get(coming.person) or f"person {coming.person}"
    who = f" ({name})" if len(state.cards) > 1 else ""
    at = at_clock(day, max(coming.begin_s, state.now_s))
    wide = max(8 if day.display.clock == 12 else 5, cells(at))
    return row(
        Piece(right(at, wide), "quiet"),
        "  ",
        cut(words + who, width - max(10, wide + 2)),
    )


def next_scent(plan: Plan, action: Action) -> str:
    """Return the scent that a change of scent makes ready for, or an empty text."""
    if action.what != "change_scent" or not action.trays:
        return ""
    tray = plan.tray(action.trays[0])
    return tray.to_fill[0][0] if tray.to_fill else tray.scent_names[0]

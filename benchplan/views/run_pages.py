"""The pages before and after a run: cautions and how to start, an offer to go on, the day done."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from benchplan import clock
from benchplan.ceilings import value_warnings
from benchplan.keys import USUAL, Renamed, key_of
from benchplan.model import Cannot, Day, Mark, Plan, Run, Settings, standing
from benchplan.model.ids import MarkKind
from benchplan.model.warning import ValueWarning, warning_words
from benchplan.model.words import count_words
from benchplan.papers.asked import ASKED, asked_lines, asked_words
from benchplan.papers.cautions import CAUTIONS, DECIDES, SHORT, day_cautions
from benchplan.views.frame import ENDED, at_alarm
from benchplan.views.rows import BLANK, Piece, Row, cells, row, wrap, wrap_rows
from benchplan.views.standing import still_hot
from benchplan.views.words import at_clock, slack_words

if TYPE_CHECKING:
    from benchplan.live.state import State

LEAST_READ = 4  # rows for what there is to read, below what the keys do
AS_PLANNED_S = 15 * 60  # begun so near to its planned start, a day goes about as planned


def before_rows(
    day: Day,
    plan: Plan | Cannot | None,
    width: int,
    *,
    speed: float | None = None,
    offer: tuple[Run, tuple[Mark, ...]] | None = None,
    now: datetime | None = None,
    sleep: str = "",
    settings: Settings | None = None,
    asks: Settings | None = None,
) -> tuple[list[Row], list[Row]]:
    """Return the page before a run: what the keys do, and below it what to read first.

    ``speed`` is a rehearsal's (None: a real run). ``offer`` is a run of this day that was begun
    and neither ended nor completed, with its marks. ``now`` is the present instant: a real run
    that would begin well after its planned start says what that does to its end. ``sleep`` says
    that the machine is set to sleep by itself. ``asks`` is what the plan file asks for and
    ``settings``, the maker's own, do not say.

    No file can make the first part long, and the cautions come first in the second.
    """
    if plan is None:
        return [row("Planning the day.")], []
    if isinstance(plan, Cannot):
        return [], cannot_rows(plan, width)
    head = offer_rows(day, *offer, width) if offer else start_rows(day, plan, width, speed, now)
    past = value_warnings(day)
    if past:
        said = f"{count_words(len(past), 'value')} past a limit: see the end of the cautions."
        head += wrap_rows(said, width, "warn")
    if asks is not None:
        key = key_of("take_over", day.keys)
        said = f"This file asks for {asked_words(asks)}. That is ignored: {key} shows all of it."
        head += wrap_rows(said, width, "warn")
    head += [BLANK, row(Piece("Before you start", "head"))]
    rest = []
    for words in SHORT:
        rest += bullet(words, width)
    rest += wrap_rows(DECIDES, width, "quiet")
    rest += _own_cautions(day, width)
    if sleep:
        rest += bullet(sleep, width, "warn")
    if command := at_alarm(settings.alarm_command if settings else ()):
        rest += bullet(command, width)
    return head, rest


def _own_cautions(day: Day, width: int) -> list[Row]:
    """Return what is to be said of this day's own values and scents."""
    rows = []
    for warning in value_warnings(day):
        rows += bullet(warning_words(warning, day.display), width, "warn")
    for words in day_cautions(day):
        rows += bullet(words, width)
    return rows


def fitted(
    head: Sequence[Row], rest: Sequence[Row], height: int, first: int = 0, keys: Renamed = USUAL
) -> tuple[list[Row], int]:
    """Return a page in at most ``height`` rows, and the first row of ``rest`` that it shows.

    Blank rows go first. Then ``rest`` is shown from ``first`` on, and a line says how much there is
    above and below it.
    """
    kept, below = list(head), list(rest)
    for rows in (below, kept):
        for at in range(len(rows) - 1, -1, -1):
            if len(kept) + len(below) > height and rows[at] == BLANK:
                del rows[at]
    if len(kept) + len(below) <= height:
        return [*kept, *below], 0
    if len(kept) + LEAST_READ > height:
        kept, below = [], [*kept, *below]
    room = max(1, height - len(kept) - 1)
    first = max(0, min(first, len(below) - room))
    left = len(below) - first - room
    more = f"{left} more lines: {key_of('read_on', keys)}" if left else "That is all"
    more += f"; {first} above: {key_of('read_back', keys)}." if first else "."
    return [
        *kept,
        *below[first : first + room],
        row(Piece(more, "strong" if left else "quiet")),
    ], first


def bullet(words: str, width: int, tone: str = "") -> list[Row]:
    """Return one point of a list."""
    return [
        row(("· " if at == 0 else "  "), Piece(line, tone))
        for at, line in enumerate(wrap(words, width - 2))
    ]


def cannot_rows(cannot: Cannot, width: int) -> list[Row]:
    """Say why a day cannot be done."""
    rows = [row(Piece("This day cannot be done.", "warn")), BLANK]
    for reason in cannot.reasons:
        rows += bullet(reason, width)
    return rows


def start_rows(
    day: Day, plan: Plan, width: int, speed: float | None, now: datetime | None = None
) -> list[Row]:
    """Say what is started, when it would end, and what the other keys do."""
    tins, trays = count_words(day.tins_wanted, "tin"), count_words(len(plan.trays), "tray")
    begin, end = at_clock(day, 0), at_clock(day, plan.finish_s)
    said = f"{tins} on {trays}, planned from {begin} to {end}"
    slack = slack_words(day, plan.finish_s)
    rows = wrap_rows(said + (f", {slack}." if slack else "."), width)
    if speed is None and now is not None:
        tone = "warn" if other_date(day, now) else ""
        rows += wrap_rows(_begun_now(day, plan, now), width, tone)
    start, turn, bell = (key_of(each, day.keys) for each in ("done", "rehearse", "bell"))
    if speed is None:
        what = " starts the real run: the plan then counts from that moment."
        also = " turns to a rehearsal, sixty times as fast."
    else:
        what = f" starts the rehearsal, {speed:g} times as fast: nothing is learned from it."
        also = " turns to the real run."
    rows += [BLANK, row(Piece(start, "strong"), what)]
    rows.append(row(Piece(turn, "strong"), also))
    rows.append(
        row(Piece(bell, "strong"), " rings the bell: can you hear it from where you will work?")
    )
    return rows


def other_date(day: Day, now: datetime) -> str:
    """Say that ``now`` is on another date than a day was planned for; nothing where it is not."""
    local = now.astimezone(day.start.tzinfo)
    if local.date() == day.start.date():
        return ""
    return (
        f"Planned for {day.start:%a} {day.start.day} {day.start:%b}; today is "
        f"{local:%a} {local.day} {local:%b}."
    )


def _begun_now(day: Day, plan: Plan, now: datetime) -> str:
    """Say what beginning at ``now`` means; nothing where that is about when it was planned."""
    if said := other_date(day, now):
        return said
    late = round(clock.elapsed(day.start, now.astimezone(day.start.tzinfo)))
    if abs(late) < AS_PLANNED_S:
        return ""
    end = (late + plan.finish_s) // 60 * 60
    slack = slack_words(day, end)
    said = f"It is {at_clock(day, late)}: begun now, it ends about {at_clock(day, end)}"
    return said + (f", {slack}." if slack else ".")


def offer_rows(day: Day, run: Run, marks: Sequence[Mark], width: int) -> list[Row]:
    """Offer to go on with a run that was begun."""
    done = sum(mark.what == MarkKind.DONE for mark in standing(tuple(marks)))
    start = run.start.astimezone(day.start.tzinfo)
    kind = "A rehearsal" if run.rehearsal else "A run"
    said = (
        f"{kind} of this day, begun on {start:%a} {start.day} {start:%b} at "
        f"{clock.show_time(start, day.display.clock)}, is not "
        f"complete: {count_words(done, 'action')} marked done."
    )
    rows = wrap_rows(said, width, "strong")
    resume, end = key_of("done", day.keys), key_of("end_run", day.keys)
    rows += [BLANK, row(Piece(resume, "strong"), " resumes it.")]
    rows.append(row(Piece(end, "strong"), " ends it; what was marked stays in the book."))
    return rows


def caution_rows(day: Day, width: int) -> list[Row]:
    """Return every caution, to be read before the first run on a kit."""
    rows: list[Row] = []
    for words in CAUTIONS:
        rows += bullet(words, width)
    rows += [BLANK, *wrap_rows(DECIDES, width, "quiet")]
    own = _own_cautions(day, width)
    return [*rows, BLANK, *own] if own else rows


def confirm_rows(day: Day, warnings: Sequence[ValueWarning], width: int) -> list[Row]:
    """Name each value that is past a limit, to be confirmed before a real run."""
    rows = []
    for warning in warnings:
        rows += bullet(warning_words(warning, day.display), width, "warn")
    said = "Is each of these what you mean? You are asked once, and again when a value changes."
    return [*rows, BLANK, *wrap_rows(said, width)]


def asked_rows(asks: Settings, width: int) -> list[Row]:
    """Show whole what a file asks for, however long, before it is taken over."""
    rows = wrap_rows(ASKED, width, "warn")
    for line in asked_lines(asks):
        rows += [row(piece) for piece in _broken(line, width)]
    return rows


def _broken(line: str, width: int) -> list[str]:
    """Break a line without losing a space of it; further rows are indented."""
    rows, indent, used = [""], "     ", 0
    for char in line:
        if used + cells(char) > width:
            rows.append(indent)
            used = len(indent)
        rows[-1] += char
        used += cells(char)
    return rows


def done_rows(
    day: Day, first: Plan, state: State, run: Run, marks: tuple[Mark, ...], width: int
) -> list[Row]:
    """Sum up a day that is over in plain words: how it ended, when, and how that stands to plan."""
    from benchplan.live.record import record

    packed = [tray for tray in record(run, day, first, marks).trays if tray.outcome == "packed"]
    tins = sum(tray.packed for tray in packed)
    end = state.finish_s
    said = [
        f"{count_words(tins, 'tin')} on {count_words(len(packed), 'tray')} "
        f"{'packed' if day.pack == 'today' else 'cleared'}.",
        f"Begun {at_clock(day, 0)}, {ENDED[state.ending]} {at_clock(day, end)}: "
        f"{clock.show_minutes(end)}.",
    ]
    if not state.ending:
        said.append(_against("the plan", end - first.finish_s, at_clock(day, first.finish_s)))
        if day.finish_by_s is not None:
            by = at_clock(day, day.finish_by_s)
            said.append(_against("what was wanted", end - day.finish_by_s, by))
    backs = sum(mark.what == MarkKind.TAKE_BACK for mark in marks)
    done = sum(mark.what == MarkKind.DONE for mark in standing(marks))
    said.append(
        f"{count_words(done, 'action')} marked done"
        + (f", {count_words(backs, 'mark')} taken back." if backs else ".")
    )
    if run.rehearsal:
        said.append("This was a rehearsal: nothing is learned from it.")
    rows = [*_over(day, state, width), BLANK]
    for words in said:
        rows += wrap_rows(words, width)
    if not state.ending:
        off = "Switch every oven off, and stay until it is cool."
        rows += [BLANK, *wrap_rows(off, width, "warn")]
    back, save, away = (key_of(each, day.keys) for each in ("take_back", "save_as", "end_run"))
    rows += [BLANK, row(Piece(back, "strong"), " undoes the last mark.")]
    rows.append(
        row(Piece(save, "strong"), " saves the day under another name and date: next time's.")
    )
    rows.append(row(Piece(away, "strong"), " puts the run away: the day is as in its file again."))
    return rows


def _over(day: Day, state: State, width: int) -> list[Row]:
    """Say how a day ended; after an abort that comes with what to do first, and what is hot."""
    if not state.ending:
        return [row(Piece("The day is done.", "good"))]
    if state.ending == "stop":
        off = "What was hot is finished. Switch every oven off, and stay until it is cool."
        return [row(Piece("Stopped for today.", "head")), *wrap_rows(off, width, "warn")]
    rows = [row(Piece("Aborted: switch every oven off now.", "late"))]
    if state.hot:
        from benchplan import live

        key = key_of("happened", day.keys)
        words = f"Hot at that moment: {still_hot(state)}. Nothing counts down any more."
        if any(hot.trays and hot.kind != "shut in" for hot in state.hot):
            words += f" Check each: {key} says which was checked."
        rows += wrap_rows(words, width, "warn")
        for alarm in live.alarms(state):
            rows += wrap_rows(f"{alarm.words}.", width, "warn")
    return rows


def _against(what: str, late_s: int, by: str) -> str:
    """Say how an end stands to ``what`` at clock time ``by``."""
    if abs(late_s) < 60:
        return f"Just as {what} said, {by}."
    span = clock.show_minutes(abs(late_s))
    return f"{span} {'after' if late_s > 0 else 'before'} {what}, {by}."

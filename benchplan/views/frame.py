"""What stands around every screen: header, footer, band, and the words for a window too small."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from benchplan import clock
from benchplan.keys import USUAL, Renamed, key_of
from benchplan.views.rows import Piece, Row, cells, clip, left, right, row, text_of, wrap

if TYPE_CHECKING:
    from benchplan.live.state import State
    from benchplan.model import Cannot, Day, Plan


MOST_MESSAGE = 8  # rows of the band
MOST_ALARMS = 3  # exits in the band at once
MOST_BESIDE = 4  # rows of a message under an alarm
USUAL_WIDTH = 80  # in a narrower window the name and the clock come before the slack
ENDED = {"": "done", "stop": "stopped", "abort": "aborted"}
"""How a run ended, by the ``ending`` of its state."""
NOBODY: Mapping[int, str] = {}


def header(
    day: Day | None,
    plan: Plan | Cannot | None,
    now: datetime,
    *,
    speed: float | None,
    changed: bool,
    width: int,
    state: State | None = None,
) -> list[Row]:
    """Return the line at the top: name and date, rehearsal, clock time, finish and slack.

    ``speed`` is the rehearsal's, None for a real day. Once the run in ``state`` is over the line
    says how and when, and no slack where it was ended before its end.
    """
    if day is None:
        return [row(Piece(" benchplan", "strong"))]
    # Imported with the first day: the frame is painted before there is one.
    from benchplan.model import Cannot

    hours = day.display.clock
    ends, slack = "planning", ""
    if isinstance(plan, Cannot):
        ends = "cannot be done"
    elif plan is not None:
        over = state if state is not None and state.complete else None
        finish_s = over.finish_s if over else plan.finish_s
        slack = "" if over and over.ending else _slack(day, finish_s)
        word = ENDED[over.ending] if over else "ends"
        ends = f"{word} {clock.show_time(clock.at(day.start, finish_s), hours)}{slack}"
    parts = [clock.show_time(now, hours, seconds=True), ends]
    if speed is not None:
        parts.insert(0, f"REHEARSAL {speed:g}x")
    end = "  ".join(parts) + " "
    name = f" {day.name}{' *' if changed else ''}"
    if width < USUAL_WIDTH and cells(name + end) > width:
        end = "  ".join([*parts[:-1], ends.removesuffix(slack)]) + " "
    date = f"   {day.start:%a} {day.start.day} {day.start:%b}"
    room = max(0, width - cells(end) - 1)
    if cells(name + date) <= room:
        name += date
    return [clip(row(Piece(left(name, room), "strong"), " ", end), width)]


def _slack(day: Day, finish_s: int) -> str:
    if day.finish_by_s is None:
        return ""
    slack = day.finish_by_s - finish_s
    if slack < 0:
        return f"  {clock.show_minutes(-slack)} LATE"
    return f"  {clock.show_minutes(slack)} spare"


def footer(
    here: str,
    own: Sequence[tuple[str, str]],
    shared: Sequence[tuple[str, str, str]],
    width: int,
) -> list[Row]:
    """Return the two lines of keys: this screen's own, then the screens and what works everywhere.

    ``own`` holds (keys, word), ``shared`` (action id, keys, word); ``here`` is the open screen.
    """
    first: list[str | Piece] = []
    for keys, word in own:
        first += ["  " if first else " ", Piece(keys.split()[0], "strong"), f" {word}"]
    second: list[str | Piece] = []
    gap = " "
    for action, keys, word in shared:
        short, open_now = keys.split()[0], action == f"go('{here}')"
        second += [gap + "[" if open_now else gap + " ", Piece(short, "strong"), " "]
        second += [Piece(word, "pick"), "]"] if open_now else [word]
        gap = "" if open_now else " "
    return [clip(row(*first), width), clip(row(*second), width)]


def message(words: str, width: int, most: int = MOST_MESSAGE) -> tuple[Row, ...]:
    """Return a message as rows of the band, at most so many."""
    lines = [line for part in words.split("\n") for line in wrap(part, width - 2)]
    if len(lines) > most:
        lines = [*lines[: most - 1], f"and {len(lines) - most + 1} more lines"]
    return tuple(row(f" {line}") for line in lines)


def alarm(state: State, width: int, keys: Renamed = USUAL) -> tuple[tuple[Row, ...], str]:
    """Return the band's rows for the alarms and the kind of band; none while there is none.

    The most urgent comes first. What is overdue counts up in words and in digits; what waits for a
    reading names the key for it.
    """
    from benchplan import live

    rows: list[Row] = []
    found = live.alarms(state)
    for each in found[:MOST_ALARMS]:
        past_s = state.now_s - each.due_s
        figures = clock.show_countdown(-past_s) if each.counts else ""
        words = each.words
        if each.stage is live.Stage.OVERDUE:
            words = words.replace("Over-baked:", f"Over-baked by {clock.show_span(past_s)}:", 1)
        if each.stage is live.Stage.TOO_HOT:
            words += f" ({key_of('happened', keys)}, Thermometer)"
        room = max(1, width - cells(figures) - 3)
        for at, line in enumerate(wrap(words, room)):
            rows.append(row(left(f" {line}", room + 1), f" {figures if at == 0 else ''} "))
    kind = "late" if any(each.stage is not live.Stage.SOON for each in found) else "soon"
    return tuple(rows), kind if rows else "tell"


def beside(rows: Sequence[Row], width: int) -> tuple[Row, ...]:
    """Return what stands under an alarm in the look of a message: it is none."""
    return tuple(row(Piece(left(text_of(line), width), "tell")) for line in rows)


def title(state: State | None, name: str, rehearsal: bool) -> str:
    """Return the terminal's title: the alarm, else the next countdown, else the day's name.

    A far countdown is told in minutes, so that the title is not written every second.
    """
    before = "Rehearsal, " if rehearsal and state is not None else ""
    if state is None or state.complete:
        said = f"{name}{', done' if state else ''} - benchplan" if name else "benchplan"
        return before + _printable(said)
    from benchplan import live
    from benchplan.model.words import tray_words

    found = live.alarm(state)
    if found is not None:
        figures = clock.show_countdown(found.due_s - state.now_s) + " " if found.counts else ""
        return before + _printable(figures + found.words)
    ovens = [hot for hot in state.hot if hot.kind == "oven"]
    if ovens:
        until, words = ovens[0].until_s, f"{tray_words(ovens[0].trays)} out of {ovens[0].place}"
    else:
        card = next(card for card in state.cards if card.person == state.focus)
        until = card.begin_s if state.now_s < card.begin_s and card.action else card.end_s
        words = card.words
    gap = until - state.now_s
    return before + _printable(f"{clock.show_minutes(gap)}: {words}" if gap > 0 else words)


def _printable(words: str) -> str:
    """Return words without what a terminal could take for a command."""
    return "".join(each for each in words if each.isprintable())


def command_words(command: Sequence[str]) -> str:
    """Return a command as a person would read it."""
    return '"' + " ".join(command) + '"'


def at_alarm(command: Sequence[str]) -> str:
    """Say which command is run at an alarm; an empty text where none is."""
    return f"At each alarm this is run: {command_words(command)}." if command else ""


def sound_check(command: Sequence[str], bell: bool = True) -> str:
    """Say what should have been heard at a sound check, and where to look when it was not.

    ``bell``: there is a terminal that has rung.
    """
    if not bell:
        also = f": only {command_words(command)} was started" if command else ""
        return (
            f"Nothing rings here, as these lines go to no terminal{also}. What must come out of an "
            'oven is said in a line that begins with "Alarm".'
        )
    also = f", and {command_words(command)} was started" if command else ""
    return (
        f"The bell has rung once{also}. Nothing heard? See to it before you start: the sound of "
        "this terminal, and in tmux its bell-action."
    )


def bare(
    state: State | None,
    width: int,
    height: int,
    least: tuple[int, int],
    keys: Renamed | None = None,
    names: Mapping[int, str] = NOBODY,
) -> list[Row]:
    """Return what a window that is too small shows: that it is, and the countdowns all the same.

    Where not all of it fits, the countdowns come first, then what is left to tick and the keys
    for it: ``keys`` holds those that a file renames, None where they mark nothing.
    """
    figures: list[Row] = []
    if state is not None and not state.complete:
        # Imported with the first run, as above.
        from benchplan.views import bench

        room = max(1, width - 10)
        for card in state.cards:
            words, seconds = bench.count_of(state, card)
            count = clock.show_countdown(seconds) if words else ""
            who = f"{bench.who_words(card.person, names)}: " if len(state.cards) > 1 else ""
            held = "Held. Then: " if bench.card_kind(state, card) == "held" else ""
            first, *more = wrap(who + held + card.words, room, "  ")
            figures.append(row(Piece(left(first, room), "strong"), right(count, 10)))
            figures += [row(Piece(line, "strong")) for line in more]
        for hot in state.hot:
            place = f"{hot.place} {'+'.join(map(str, hot.trays))}".rstrip()
            count = bench.hot_figures(state, hot)
            figures.append(row(left(f"{place} {hot.state}", room), right(count, 10)))
        card = next(each for each in state.cards if each.person == state.focus)
        if card.action is not None:
            left_to_tick = tuple(each for each in card.checklist if not each.seen)
            figures += bench.checklist_rows(left_to_tick, width, len(left_to_tick) * 3)
            said = (
                ""
                if keys is None
                else f"{key_of('done', keys)} marks it done, {key_of('tick', keys)} ticks."
            )
            figures += [row(Piece(line, "quiet")) for line in wrap(said, width) if said]
    words = f"This window is {width} by {height}; benchplan needs {least[0]} by {least[1]}."
    return [*figures, *(row(line) for line in wrap(words, width))]

"""Typed words for what goes otherwise than planned: each becomes one mark, or a sentence."""

from __future__ import annotations

from collections.abc import Callable

from benchplan.carrying import mishaps, safety
from benchplan.carrying.mishaps import MOST_MINUTES, Bench
from benchplan.model import Mark, MarkKind
from benchplan.model.run_words import reason_of
from benchplan.model.words import whole_number

MISHAPS = {
    "filled": "filled 3: so many tins of the tray are filled, the rest comes later",
    "longer": "longer 2: the bake that ends next lasts two minutes more",
    "under": "under 2: the tray that came out last goes back in for two minutes",
    "scrap": "scrap 2 of 3 dropped: two tins of tray 3 are scrapped, and why",
    "skip": "skip WHY: passes over the next thing on the checklist",
    "wet": "wet SCENT: its beads fail the dry test, and its trays are removed from today",
    "reading": "reading 158 C: what the oven's own thermometer shows",
    "checked": "checked 3: the tins of tray 3, set aside, were checked and are not hot",
    "judged": "judged 3 0: of tray 3, shut in an oven that is now cool and open, no tin is good",
    "away": "away 5: you are away for five minutes",
    "comes": "comes NAME: one more person from now on",
    "goes": "goes: you leave for the day",
    "broken": "broken OVEN: that oven is out of the day",
    "stop": "stop: what is hot is finished, the rest is left for another day",
    "abort": "abort: all ends at once, ovens off",
}


def mishap(word: str, rest: str, bench: Bench) -> Mark | str:
    """Return the mark that a word of ``MISHAPS`` makes now, or a sentence about what would do."""
    return _FOUND[word](rest, bench)


def _so(word: str) -> str:
    """Say how a word is typed."""
    return f"Type it so: {MISHAPS[word].partition(':')[0]}."


def _minutes(
    word: str, rest: str, usual: int | None, then: Callable[[int], Mark | str]
) -> Mark | str:
    """Hand on whole minutes as typed, in seconds; anything else is a sentence."""
    number = " ".join(
        part for part in rest.lower().split() if part not in ("min", "minute", "minutes")
    )
    if not number and usual is not None:
        return then(usual * 60)
    minutes = whole_number(number)
    if minutes is None or not 1 <= minutes <= MOST_MINUTES:
        return f'"{rest}" is no number of minutes. {_so(word)}'
    return then(minutes * 60)


def _filled(rest: str, bench: Bench) -> Mark | str:
    return mishaps.filled(bench, whole_number(rest.split(" ")[0]))


def _longer(rest: str, bench: Bench) -> Mark | str:
    return _minutes("longer", rest, 1, lambda seconds: mishaps.longer(bench, seconds))


def _under(rest: str, bench: Bench) -> Mark | str:
    out = next(iter(mishaps.came_out(bench)), None)
    return _minutes("under", rest, 1, lambda seconds: mishaps.back_in(bench, out, seconds))


def _scrap(rest: str, bench: Bench) -> Mark | str:
    count, _, more = rest.partition(" ")
    of, _, why = more.partition(" ")
    if of.lower() in ("of", "from", "tray"):
        of, _, why = why.removeprefix("tray ").partition(" ")
    action = bench.action
    if not of.isdecimal() and action and len(action.trays) == 1:
        of, why = str(action.trays[0]), more
    if whole_number(of) is None or whole_number(count) is None or not why.strip():
        return f"Say how many, of which tray, and why. {_so('scrap')}"
    return mishaps.scrapped(bench, whole_number(of), whole_number(count), reason_of(why.strip()))


def _skip(rest: str, bench: Bench) -> Mark | str:
    if not rest:
        return f"{mishaps.SAY_WHY} {_so('skip')}"
    return safety.passed_over(bench, bench.action, safety.to_pass_over(bench), reason_of(rest))


def _judged(rest: str, bench: Bench) -> Mark | str:
    tray, _, good = rest.partition(" ")
    if whole_number(good) is None and safety.shut_in(bench):
        return _so("judged")
    return safety.judged(bench, whole_number(tray), whole_number(good))


def _away(rest: str, bench: Bench) -> Mark | str:
    return _minutes("away", rest, None, lambda seconds: mishaps.late(bench, seconds))


_FOUND: dict[str, Callable[[str, Bench], Mark | str]] = {
    "filled": _filled,
    "longer": _longer,
    "under": _under,
    "scrap": _scrap,
    "skip": _skip,
    "wet": lambda rest, bench: safety.wet(bench, rest),
    "checked": lambda rest, bench: safety.checked(bench, whole_number(rest)),
    "judged": _judged,
    "reading": lambda rest, bench: mishaps.reading(bench, rest),
    "away": _away,
    "comes": lambda rest, bench: mishaps.comes(bench, rest),
    "goes": lambda _, bench: mishaps.goes(bench),
    "broken": lambda rest, bench: mishaps.oven_out(bench, rest),
    "stop": lambda _, bench: mishaps.mark_of(bench, MarkKind.STOP),
    "abort": lambda _, bench: mishaps.mark_of(bench, MarkKind.ABORT),
}

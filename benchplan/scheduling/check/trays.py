"""Trays: the orders covered exactly, the maker's own queue kept, numbers by first load."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from benchplan.model import QueuedTray, Tray
from benchplan.scheduling.check.reading import Book, is_int


def check(book: Book) -> Iterator[str]:
    """Yield every fault in the choice of trays."""
    yield from _orders(book)
    yield from _contents(book)
    yield from _queue(book)
    if book.day.keep_order:
        yield from _keep_order(book)
    yield from _numbers(book)


def _orders(book: Book) -> Iterator[str]:
    wanted: Counter[tuple[str, str]] = Counter()
    to_fill: Counter[tuple[str, str]] = Counter()
    for order in book.day.orders:
        wanted[order.scent, order.recipe] += order.tins
        to_fill[order.scent, order.recipe] += order.tins - order.filled
    on_trays: Counter[tuple[str, str]] = Counter()
    filling: Counter[tuple[str, str]] = Counter()
    for tray in book.trays.values():
        for scent in tray.scents:
            on_trays[scent, tray.recipe] += 1
        for scent, count in tray.to_fill:
            filling[scent, tray.recipe] += count
    for key in sorted(wanted.keys() | on_trays.keys() | filling.keys()):
        name = f"{key[0]} by {key[1]}"
        if on_trays[key] != wanted[key]:
            yield f"orders: {wanted[key]} tins of {name} are wanted, {on_trays[key]} are on trays."
        if filling[key] != to_fill[key]:
            yield f"orders: {to_fill[key]} tins of {name} need filling, {filling[key]} are filled."


def _contents(book: Book) -> Iterator[str]:
    for tray in book.trays.values():
        name = f"tray {tray.number}"
        if len(set(tray.scents)) > 1 and not book.day.mix_scents:
            yield f"mixed: {name} holds more than one scent."
        have = Counter(tray.scents)
        listed = [scent for scent, _ in tray.to_fill]
        if len(set(listed)) < len(listed):
            yield f"mixed: {name} does not fill the tins of one scent together."
        for scent, count in tray.to_fill:
            if not 1 <= count <= have[scent]:
                yield f"orders: {name} fills {count} tins of {scent} and holds {have[scent]}."
        tin = book.day.recipes[tray.recipe].tin
        fit = book.tins_on_pan(tin, tray.pan)
        if fit is None:
            yield f"fit: nothing says how many {tin} fit on {tray.pan}, which {name} needs."
        elif len(tray.scents) > fit:
            yield f"fit: {name} holds {len(tray.scents)} tins, {fit} fit on {tray.pan}."
        if isinstance(tray.at_mm, tuple | list) and len(tray.at_mm) > len(tray.scents):
            yield f"fit: {name} has places for {len(tray.at_mm)} tins and {len(tray.scents)} tins."


def _is(tray: Tray, entry: QueuedTray) -> bool:
    same = tray.scents == entry.scents and tray.recipe == entry.recipe
    return same and entry.pan in (None, tray.pan)


def _own_pan(book: Book, tray: Tray) -> bool:
    """Whether a tray stands on the pan that its recipe asks for, if it asks for one."""
    return book.day.recipes[tray.recipe].pan in (None, tray.pan)


def _queue(book: Book) -> Iterator[str]:
    """Every queued tray is there. A pan that the queue names wins over the recipe's pan."""
    left = list(book.trays.values())
    named_first = sorted(enumerate(book.day.queue, 1), key=lambda each: each[1].pan is None)
    for position, entry in named_first:
        match = [tray for tray in left if _is(tray, entry)]
        if entry.pan is None:
            match = [tray for tray in match if _own_pan(book, tray)]
        if match:
            left.remove(match[0])
        else:
            yield f"queue: no tray is tray {position} of the maker's queue as given."
    for tray in left:
        if not _own_pan(book, tray):
            pan = book.day.recipes[tray.recipe].pan
            yield f"queue: tray {tray.number} stands on {tray.pan}, its recipe asks for {pan}."


def _keep_order(book: Book) -> Iterator[str]:
    """Fills and loads begin in the order of the queue, then come the trays it leaves out.

    A fill of 0 s is no work and has no place in that order.
    """
    loads: dict[int, int] = {}
    fills: dict[int, int] = {}
    for tray in book.trays.values():
        load, fill = book.step(tray, "load"), book.step(tray, "fill")
        if load is None or fill is None:
            return
        loads[tray.number] = load.start_s
        if fill.end_s > fill.start_s:
            fills[tray.number] = fill.start_s
    if len(book.trays) >= len(book.day.queue) and not _in_order(book, loads, fills):
        yield "keep_order: fills or loads do not follow the order of the maker's queue."


def _in_order(book: Book, loads: dict[int, int], fills: dict[int, int]) -> bool:
    """Whether the queue's entries can be given to trays so that both orders hold."""
    queue = book.day.queue

    def place(position: int, left: frozenset[int], filled: int) -> bool:
        late = min((fills[number] for number in left if number in fills), default=filled)
        if late < filled:
            return False
        if position == len(queue):
            return True
        first = min(loads[number] for number in left)
        tried = set()
        for number in sorted(left):
            tray, began = book.trays[number], fills.get(number)
            key = (tray.scents, tray.recipe, tray.pan, began)
            if loads[number] > first or key in tried or not _is(tray, queue[position]):
                continue
            tried.add(key)
            if place(position + 1, left - {number}, filled if began is None else began):
                return True
        return False

    return place(0, frozenset(book.trays), 0)


def _numbers(book: Book) -> Iterator[str]:
    numbers = sorted(book.trays)
    if numbers != list(range(1, len(numbers) + 1)):
        yield "numbers: the trays are not numbered 1, 2, 3 and so on."
    before = 0
    for number in numbers:
        load = book.step(number, "load")
        if load is None:
            continue
        if load.start_s < before:
            yield f"numbers: tray {number} is loaded before a tray with a lower number."
        before = max(before, load.start_s)
    for tray in book.trays.values():
        count = book.day.pans[tray.pan].count
        if not is_int(tray.pan_number) or not 1 <= tray.pan_number <= count:
            yield f"pan: tray {tray.number} is on {tray.pan} {tray.pan_number!r} of {count}."

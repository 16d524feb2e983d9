"""People: one thing at a time, away for the whole of a break, hands free before a bake ends."""

from __future__ import annotations

from collections.abc import Iterator

from benchplan.scheduling.check.reading import HANDS, Book, clashes, is_int, overlaps

Span = tuple[int, int, str]


def check(book: Book) -> Iterator[str]:
    """Yield every fault in what people do."""
    work = _work(book)
    breaks = _breaks(book)
    for person, spans in sorted(work.items()):
        for first, second in clashes(spans):
            yield f"hands: person {person} does {first} and {second} at once."
        for start, end, name in spans:
            for away_from, away_to, _ in breaks.get(person, []):
                if overlaps((start, end), (away_from, away_to)):
                    yield f"break: person {person} is away and does {name}."
    for person, spans in sorted(breaks.items()):
        for _ in clashes(spans):
            yield f"break: person {person} is on two breaks at once."
    yield from _break_numbers(book)
    yield from _ready(book, work, breaks)


def _work(book: Book) -> dict[int, list[Span]]:
    """Return, by person, every span of work that takes time, with its name."""
    work: dict[int, list[Span]] = {}
    for (tray, name), step in book.steps.items():
        if name in HANDS and is_int(step.person):
            for start, end in step.parts:
                if end > start:
                    work.setdefault(step.person or 0, []).append(
                        (start, end, f"the {name} of tray {tray}")
                    )
    for change in book.others("change_scent"):
        if is_int(change.person) and change.end_s > change.start_s:
            name = f"the change of scent before tray {change.before_tray}"
            work.setdefault(change.person or 0, []).append((change.start_s, change.end_s, name))
    return work


def _breaks(book: Book) -> dict[int, list[Span]]:
    breaks: dict[int, list[Span]] = {}
    for each in book.others("break"):
        if is_int(each.person):
            breaks.setdefault(each.person or 0, []).append((each.start_s, each.end_s, "a break"))
    return breaks


def _break_numbers(book: Book) -> Iterator[str]:
    """Every absence of the day has its people; nobody else is away.

    A break that begins when the day's work is over need not be named.
    """
    wanted: dict[tuple[int, int], int] = {}
    for absence in book.absences:
        span = (absence.start, absence.end)
        wanted[span] = wanted.get(span, 0) + absence.away
    named: dict[tuple[int, int], list[object]] = {}
    for each in book.others("break"):
        named.setdefault((each.start_s, each.end_s), []).append(each.person)
        if not is_int(each.person) or not 1 <= (each.person or 0) <= book.day.people:
            yield f"break: {each.person!r} of {book.day.people} people is on a break."
        if each.place is not None or each.before_tray is not None:
            yield f"form: the break from {each.start_s} s has a place or a tray."
    last = max((step.end_s for step in book.steps.values()), default=0)
    for span in sorted(wanted.keys() | named.keys()):
        count = len(named.get(span, []))
        if count == 0 and span[0] >= last:
            continue
        if count != wanted.get(span, 0):
            people = f"{wanted.get(span, 0)} people are away, {count} are named"
            yield f"break: from {span[0]} s to {span[1]} s {people}."


def _ready(book: Book, work: dict[int, list[Span]], breaks: dict[int, list[Span]]) -> Iterator[str]:
    """Whoever does the first unload of a load does nothing else in the ``ready`` seconds before."""
    ready = book.day.times.ready_s
    for load in book.loads:
        first = load.unloading[0]
        person = first.person
        if not ready or first.end_s == first.start_s or not is_int(person):
            continue
        window = (first.start_s - ready, first.start_s)
        for start, end, name in work.get(person or 0, []):
            if overlaps(window, (start, end)):
                yield f"ready: person {person} does {name} just before {load.name} comes out."
        for start, end, _ in breaks.get(person or 0, []):
            if overlaps(window, (start, end)):
                yield f"ready: person {person} is away just before {load.name} comes out."

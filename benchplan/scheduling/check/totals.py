"""What a plan says of itself: its finish, its bounds, its fits, what one more would buy."""

from __future__ import annotations

from collections.abc import Iterator

from benchplan.model import OneMore
from benchplan.scheduling.check.reading import Book, is_int


def check(book: Book) -> Iterator[str]:
    """Yield every fault in the plan's own words about itself."""
    plan = book.plan
    last = max((step.end_s for (_, name), step in book.steps.items() if name == "pack"), default=0)
    numbers = {"finish_s": plan.finish_s, "bound_s": plan.bound_s, "bound_any_s": plan.bound_any_s}
    for name, value in numbers.items():
        if not is_int(value) or value < 0:
            yield f"form: {name} is {value!r}, not whole seconds from 0."
    if all(is_int(value) for value in numbers.values()):
        if plan.finish_s != last:
            yield f"finish: the last pack ends at {last} s, the plan says {plan.finish_s} s."
        if plan.bound_s > plan.finish_s:
            yield f"bound: bound_s {plan.bound_s} is later than the finish, {plan.finish_s} s."
        if plan.bound_any_s > plan.bound_s:
            yield f"bound: bound_any_s {plan.bound_any_s} is later than bound_s {plan.bound_s}."
        yield from _says(book)
    yield from _fits(book)


def _says(book: Book) -> Iterator[str]:
    plan, due = book.plan, book.day.finish_by_s
    if due is not None and plan.finish_s > due and not plan.warnings:
        yield f"says: the day ends {plan.finish_s - due} s late and the plan does not warn."
    for more in plan.one_more if isinstance(plan.one_more, tuple) else ():
        if not isinstance(more, OneMore) or not is_int(more.finish_s):
            yield "form: one_more holds something else."
        elif more.finish_s > plan.finish_s:
            yield f"says: one more {more.kind or more.what} would make the day later."


def _fits(book: Book) -> Iterator[str]:
    """A maker's own number wins; no number is above what is possible."""
    for (what, first, second), fit in book.fits.items():
        name = f"{first} on {second or 'mat'}"
        most = fit.most_possible
        if most is not None and (not is_int(most) or fit.count > most):
            yield f"fit: {fit.count} {name}, of which {most!r} are possible."
        own = None
        if what == "tins on pan" and second in book.day.pans:
            own = book.day.pans[second].tins.get(first)
        elif what == "tins on mat":
            own = book.day.cooling.mat_tins
        if own is not None and fit.count != own:
            yield f"fit: {fit.count} {name}, the maker says {own}."
        if (own is not None) != (fit.by == "maker"):
            yield f"fit: the number of {name} is by {fit.by!r}."

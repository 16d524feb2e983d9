"""What else there is to say of a plan: the latest start, one more, in time, by what chance."""

from __future__ import annotations

from benchplan import clock
from benchplan.model.day import Day
from benchplan.model.plan import Plan
from benchplan.model.words import at_clock, count_words, either_words, list_words

_WORTH_SAYING_S = 60  # of what one more would win
_MOST_SAID = 3  # of the things, and of the scents, that make a day end in time
_WITH = ("tins left on their pans", "mixed scents")
_WAYS = (*_WITH, "packing another day", "tins filled the day before")


def start_words(day: Day, plan: Plan) -> str:
    """Say when to start at the latest; "" where that was not asked for or is not known."""
    if plan.start_by_s is None or day.finish_by_s is None:
        return ""
    by = at_clock(day, day.finish_by_s)
    start = at_clock(day, plan.start_by_s)
    return f"To be ready by {by}, start at {start} at the latest."


def one_more_words(day: Day, plan: Plan) -> list[str]:
    """Say what one more of each thing, and each other way of working, would win.

    What would win nothing is summed up in a sentence or two.
    """
    said: list[str] = []
    idle: list[str] = []
    idle_ways: list[str] = []
    for more in plan.one_more:
        name, way = _thing(more.what, more.kind), more.what in _WAYS
        saved = plan.finish_s - more.finish_s
        if saved < _WORTH_SAYING_S:
            (idle_ways if way else idle).append(name)
            continue
        with_it = _with_words(more.what, more.kind) if way else f"one more {name}"
        begin = with_it[0].upper() + with_it[1:]
        ends = at_clock(day, more.finish_s)
        said.append(f"{begin}: finish {ends}, {clock.show_minutes(saved)} earlier.")
    if idle:
        said.append(f"No minute is won by one more of these alone: {list_words(idle)}.")
    if idle_ways:
        nor = "Nor by" if idle else "No minute is won by"
        said.append(f"{nor} {either_words(idle_ways)}.")
    return said


def in_time_words(day: Day, plan: Plan) -> list[str]:
    """Say what would make a late day end in time, the easiest of each kind; [] for nothing."""
    if day.finish_by_s is None or not plan.in_time:
        return []
    starts, things, fewer = [], [], []
    for each in plan.in_time:
        ends = at_clock(day, each.finish_s)
        if each.what == "earlier start":
            start = at_clock(day, -each.count)
            if clock.at(day.start, -each.count).date() < day.start.date():
                start += " the day before"
            starts.append(f"start at {start}")
        elif each.what == "fewer tins":
            tins = count_words(each.count, "tin")
            which = f"of {each.kind}" if each.kind else "in all, of each scent its share"
            fewer.append(f"{tins} {which} ({ends})")
        else:
            things.append(f"{_with_words(each.what, each.kind)} ({ends})")
    ways = [
        *starts,
        *([either_words(things[:_MOST_SAID])] if things else []),
        *([f"leave out {either_words(fewer[:_MOST_SAID])}"] if fewer else []),
    ]
    by = at_clock(day, day.finish_by_s)
    return [f"To be ready by {by}: {ways[0]}.", *(f"Or {way}." for way in ways[1:])]


def _thing(what: str, kind: str | None) -> str:
    """Name what a ``OneMore`` or ``InTime`` is about."""
    return {
        "pan": f"{kind} pan",
        "shelf": f"shelf in {kind}",
        "oven": f"oven like {kind}",
    }.get(what, what)


def _with_words(what: str, kind: str | None) -> str:
    """Say it as a condition: "with one more small pan", "packing another day"."""
    if what not in _WAYS:
        return f"with one more {_thing(what, kind)}"
    return f"with {what}" if what in _WITH else what


_WORK = {
    "fill": "Filling",
    "set": "Setting on the pan",
    "load": "Loading",
    "unload": "Unloading",
    "transfer": "Moving to the mat",
    "pack": "Packing",
    "change_scent": "Changing the scent",
}
_FEW_DAYS = 200


def chance_words(day: Day, plan: Plan) -> list[str]:
    """Say how sure the day is to be ready, what to promise, and what makes it late most often."""
    found = plan.chance
    if found is None:
        return []
    said = []
    if found.on_time is not None and day.finish_by_s is not None:
        by, days = at_clock(day, day.finish_by_s), _days_words(found.on_time)
        said.append(f"With the usual ups and downs of hand work this day is ready by {by} {days}.")
    past = clock.at(day.start, found.nineteen_s)
    later = -(past.minute * 60 + past.second) % 300  # a promise is for full five minutes
    promise = at_clock(day, found.nineteen_s + later)
    said.append(f"Promise {promise}: 19 days in 20 are done by then.")
    if found.late_step:
        clears = (found.late_step, day.pack) == ("pack", "later")
        work = "Clearing" if clears else _WORK[found.late_step]
        share = f"about {round(10 * found.late_share)} such days in 10"
        if found.late_share < 0.15:
            share = "few such days"
        elif found.late_share >= 0.95:
            share = "nearly all such days"
        tray = f", above all tray {found.late_tray}" if found.late_tray is not None else ""
        said.append(f"{work} most often makes it later than planned (on {share}){tray}.")
    tried = f", from only {count_words(found.days, 'day')} tried" if found.days < _FEW_DAYS else ""
    said.append(
        f"This is a forecast{tried}: hand times are taken to vary as much as is common, not as "
        "yours do."
    )
    return said


def _days_words(share: float) -> str:
    """Say a share of days no more exactly than a forecast can be."""
    if share >= 0.975:
        return "nearly always"
    if share >= 0.95:
        return "on 19 days in 20"
    if share < 0.05:
        return "hardly ever"
    if 0.45 <= share < 0.55:
        return "on about half the days"
    return f"on {count_words(min(9, max(1, round(10 * share))), 'day')} in 10"

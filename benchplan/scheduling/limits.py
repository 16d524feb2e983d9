"""What limits the day: how busy each thing is, and the pace that it alone would allow."""

from __future__ import annotations

from benchplan import clock
from benchplan.model import Limits, Plan, Resource, Tray
from benchplan.model.words import count_words
from benchplan.scheduling.assemble import Schedule
from benchplan.scheduling.problem import Job, Shop


def limits(shop: Shop, schedule: Schedule | Plan) -> Limits:
    """Return every resource's share of the day and the slowest one, in words.

    A pace counts only the time that the work needs, not the waiting: seconds a tray, tins an hour.
    """
    needs = _needs(shop, schedule)
    staying = _staying(schedule)
    trays = len(staying)
    tins = sum(tray.tins for tray in staying)
    found = []
    for what, (need, places) in needs.items():
        each = need / places / trays
        busy = min(1.0, need / places / schedule.finish_s) if schedule.finish_s else 0.0
        pace = 3600 * tins / trays / each if each else 0.0
        found.append(Resource(what, round(busy, 4), round(each, 1), round(pace, 1)))
    slowest = max(found, key=lambda resource: resource.s_per_tray)
    return Limits(slowest.what, _why(shop, slowest), tuple(found))


def _needs(shop: Shop, schedule: Schedule | Plan) -> dict[str, tuple[float, float]]:
    """Return for each resource the seconds that the day needs of it, and how many there are."""
    day, times = shop.day, shop.day.times
    jobs = [Job.of(tray) for tray in _staying(schedule)]
    works = [shop.work(job) for job in jobs]
    changes = sum(
        end - start
        for other in schedule.other
        if other.what == "change_scent"
        for start, end in other.parts
    )
    fills = sum(work.fill for work in works) + changes
    doors = times.load_s + times.unload_s
    hands = sum(work.set + work.transfer + work.pack + doors for work in works) + fills
    recipes = {tray.number: tray.recipe for tray in schedule.trays}
    bakes = sum(
        day.recipes[recipes[load.trays[0]]].bake_for_s
        + len(load.trays) * doors
        + day.ovens[load.oven].recover_s
        for load in schedule.loads
    )
    standing = [
        times.unload_s + (work.cool + work.pack if day.on_pan else work.rest + work.transfer)
        for work in works
    ]
    held = [
        work.set + times.load_s + work.bake + stand + day.cooling.pan_for_s
        for work, stand in zip(works, standing, strict=True)
    ]
    kinds = {job.pan for job in jobs}
    needs: dict[str, tuple[float, float]] = {
        "hands": (hands, day.people),
        "scale": (fills, day.scales),
        "oven": (bakes, len({load.oven for load in schedule.loads})),
        "pans": (sum(held), sum(day.pans[kind].count for kind in kinds)),
        "stand": (sum(standing), day.cooling.stand),
    }
    if not day.on_pan:
        cooling = sum(work.mat * (work.transfer + work.cool + work.pack) for work in works)
        needs["mat"] = (cooling, shop.mat_room)
    return needs


def _staying(schedule: Schedule | Plan) -> list[Tray]:
    """Return the trays that have not left the day: a tray in no load has."""
    loaded = {number for load in schedule.loads for number in load.trays}
    return [tray for tray in schedule.trays if tray.number in loaded]


def _why(shop: Shop, slowest: Resource) -> str:
    day = shop.day
    pace = f"at most {slowest.tins_per_hour:.0f} tins an hour"
    each = clock.show_span(slowest.s_per_tray)
    if slowest.what == "hands":
        who = "one pair of hands" if day.people == 1 else f"{day.people} pairs of hands"
        return f"A tray takes {who} {each} in all, so {pace} can be made."
    if slowest.what == "scale":
        many = count_words(day.scales, "scale")
        return f"With {many} a tray is filled every {each}, so {pace} can be filled."
    if slowest.what == "oven":
        return f"The oven gives a tray every {each}, door and warming up again counted, so {pace}."
    if slowest.what == "pans":
        return f"The pans are out and hot so long that one is free every {each}, so {pace}."
    if slowest.what == "stand":
        many = count_words(day.cooling.stand, "place")
        return f"The stand has {many}, and one is free every {each}, so {pace}."
    room = day.cooling.mat_tins or max(shop.room.on_mat.values(), default=0)
    return f"About {count_words(room, 'tin')} cool on the mat at once, so {pace} can cool there."

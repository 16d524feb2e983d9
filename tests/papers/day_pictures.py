"""Reading the picture of a day again, and what it must hold, told from the plan's steps alone."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from xml.etree import ElementTree as ET

from benchplan import clock
from benchplan.model import Day, Load, Other, Plan, Step, Tray
from benchplan.papers.plan_svg import HEAD, plan_svg

SVG = "{http://www.w3.org/2000/svg}"
Span = tuple[float, float]
Box = tuple[float, float, float, float]  # left, top, right, bottom


@dataclass(frozen=True)
class Lane:
    """A lane of one row, in millimetres from the row's own corner."""

    name: str
    bars: list[Box]
    texts: list[tuple[str, Box]]
    paths: list[str]


@dataclass(frozen=True)
class Row:
    """A row of time: from when to when, read off its clock, and ``mm`` a second."""

    begin: float
    end: float
    mm: float
    lanes: list[Lane]
    shaded: list[Span]

    def span(self, box: Box) -> Span:
        return box[0] / self.mm + self.begin, box[2] / self.mm + self.begin


def parsed(text: str) -> ET.Element:
    assert text.startswith(HEAD)
    return ET.fromstring(text.encode("utf-8"))


def number(each: ET.Element, name: str) -> float:
    return float(each.attrib[name])


def shift(each: ET.Element) -> tuple[float, float]:
    found = re.fullmatch(r"translate\((\S+) (\S+)\)", each.get("transform", "translate(0 0)"))
    assert found  # moved only, never scaled
    return float(found[1]), float(found[2])


def box_of(each: ET.Element) -> Box:
    left, top = number(each, "x"), number(each, "y")
    return left, top, left + number(each, "width"), top + number(each, "height")


def box_of_text(each: ET.Element) -> Box:
    """Return the room that a text takes by its font's metrics.

    A letter of a monospaced font is 0.6 of its height wide (Courier's metrics: 600 of 1000), one
    of Chinese is as wide as it is high; what hangs below the line is a quarter of the height.
    """
    high = number(each, "font-size")
    wide = sum(1.0 if ord(char) > 0x2E80 else 0.6 for char in each.text or "") * high
    begin = {"start": 0.0, "middle": -wide / 2, "end": -wide}[each.attrib["text-anchor"]]
    left, foot = number(each, "x") + begin, number(each, "y")
    return left, foot - high, left + wide, foot + high / 4


def everywhere(
    parent: ET.Element, x: float = 0.0, y: float = 0.0
) -> Iterator[tuple[ET.Element, float, float]]:
    """Yield every element with how far its group is moved on the page."""
    for each in parent:
        yield each, x, y
        if each.tag == f"{SVG}g":
            dx, dy = shift(each)
            yield from everywhere(each, x + dx, y + dy)


def on_page(box: Box, x: float, y: float) -> Box:
    return box[0] + x, box[1] + y, box[2] + x, box[3] + y


def seconds_of(day: Day, words: str, after: float) -> float:
    """Return the first moment not before ``after`` whose clock time is ``words``."""
    form = "%I:%M %p" if words.endswith("m") else "%H:%M"
    told = datetime.strptime(words, form)
    moment = clock.at(day.start, after)
    into = (told.hour - moment.hour) * 3600 + (told.minute - moment.minute) * 60 - moment.second
    return after + into % 86400


def rows_of(day: Day, plan: Plan) -> list[Row]:
    root = parsed(plan_svg(day, plan))
    found: list[Row] = []
    after = 0.0
    for group in root.findall(f"{SVG}g"):
        if not re.fullmatch(r"row_\d+", group.get("id", "")):
            continue
        paths = [each.attrib["d"] for each in group.findall(f"{SVG}path")]
        high = [re.fullmatch(r"M(\S+) 1\.5V5\.5", path) for path in paths]
        ticks = [float(each[1]) for each in high if each]
        (axis,) = (each for path in paths if (each := re.fullmatch(r"M0 5\.5H(\S+)", path)))
        told = []
        for each in group.findall(f"{SVG}text"):
            if number(each, "x") < 0:
                continue  # a date
            tick = max(x for x in ticks if x <= number(each, "x"))
            assert number(each, "x") - tick < 1.0  # a clock time stands at its tick
            after = seconds_of(day, each.text or "", after)
            told.append((tick, after))
        assert len(told) > 1
        mm = (told[-1][0] - told[0][0]) / (told[-1][1] - told[0][1])
        begin = told[0][1] - told[0][0] / mm
        lanes = [lane_of(each) for each in group.findall(f"{SVG}g")]
        shaded = [
            (box[0] / mm + begin, box[2] / mm + begin)
            for box in map(box_of, group.findall(f"{SVG}rect"))
        ]
        found.append(Row(begin, begin + float(axis[1]) / mm, mm, lanes, shaded))
    return found


def lane_of(group: ET.Element) -> Lane:
    name, *texts = group.findall(f"{SVG}text")
    return Lane(
        name.text or "",
        [box_of(each) for each in group.findall(f"{SVG}rect")],
        [(each.text or "", box_of_text(each)) for each in texts],
        [each.attrib["d"] for each in group.findall(f"{SVG}path")],
    )


def said(day: Day, plan: Plan) -> str:
    root = parsed(plan_svg(day, plan))
    return " ".join(each.text or "" for each in root.iter(f"{SVG}text"))


def overlap(one: Box, two: Box) -> bool:
    return one[0] < two[2] and two[0] < one[2] and one[1] < two[3] and two[1] < one[3]


def inside(one: Box, two: Box) -> bool:
    return two[0] <= one[0] and two[1] <= one[1] and one[2] <= two[2] and one[3] <= two[3]


def texts_of(root: ET.Element) -> list[tuple[str, Box]]:
    return [
        (each.text or "", on_page(box_of_text(each), x, y))
        for each, x, y in everywhere(root)
        if each.tag == f"{SVG}text"
    ]


# --- what there is to draw, from the rules --------------------------------------------------------


def spans_by_lane(day: Day, plan: Plan) -> dict[str, list[Span]]:
    """Return what each lane but the mat's must hold, told from the steps alone."""
    found: dict[str, list[Span]] = {}

    def add(lane: str, *spans: Span) -> None:
        found.setdefault(lane, []).extend(span for span in spans if span[1] > span[0])

    def named(place: str, count: int) -> str:
        return place if count > 1 else place.split()[0]

    for each in (*plan.steps, *plan.other):
        if each.person is not None:
            add(f"hands {each.person}" if day.people > 1 else "hands", *each.parts)
    for step in plan.steps:
        if step.step == "fill" and step.place:
            changes = [
                part
                for each in plan.other
                if each.what == "change_scent" and each.place == step.place
                for part in each.parts
                if step.start_s <= part[0] and part[1] <= step.end_s
            ]
            edges = [step.start_s, *(edge for part in changes for edge in part), step.end_s]
            add(named(step.place, day.scales), *zip(edges[::2], edges[1::2], strict=True))
        elif step.step in ("load", "unload"):
            add(step.place or "", *step.parts)
        elif step.place and step.step == ("cool" if day.on_pan else "rest"):
            out, last = plan.step(step.tray, "unload"), "pack" if day.on_pan else "transfer"
            emptied = plan.step(step.tray, last)
            assert out
            assert emptied
            add(named(step.place, day.cooling.stand), (out.start_s, emptied.end_s))
    for load in plan.loads:
        bake = plan.step(load.trays[0], "bake")
        assert bake
        add(load.oven, *bake.parts)
    for other in plan.other:
        if other.what == "preheat":
            add(other.place or "", *other.parts)
        elif other.what == "change_scent":
            add(named(other.place or "", day.scales), *other.parts)
    return found


def share_at(day: Day, plan: Plan, moment: float) -> float:
    """Return how full the mat is: a tin of a kind of which c fit takes 1/c of it."""
    room = {fit.tin: fit.count for fit in plan.fits if fit.what == "tins on mat"}
    return sum(
        tray.tins / room[day.recipes[tray.recipe].tin] for tray in trays_on_mat(plan, moment)
    )


def trays_on_mat(plan: Plan, moment: float) -> list[Tray]:
    """Return the trays whose tins are on the mat: from a transfer's start to its pack's end."""
    found = []
    for tray in plan.trays:
        moved, pack = plan.step(tray.number, "transfer"), plan.step(tray.number, "pack")
        if moved and pack and moved.start_s <= moment < pack.end_s:
            found.append(tray)
    return found


# --- plans ----------------------------------------------------------------------------------------


def later(plan: Plan, number: int, by: int) -> Plan:
    """Return a plan ``by`` seconds later, ``number`` added to its trays and loads."""

    def moved(each: Step | Other) -> tuple[tuple[int, int], ...]:
        return tuple((begin + by, end + by) for begin, end in each.parts)

    def other(each: Other) -> Other:
        before = each.before_tray and each.before_tray + number
        return replace(each, parts=moved(each), before_tray=before)

    return replace(
        plan,
        trays=tuple(replace(each, number=each.number + number) for each in plan.trays),
        loads=tuple(
            Load(each.oven, each.number + number, tuple(tray + number for tray in each.trays))
            for each in plan.loads
        ),
        steps=tuple(
            replace(each, tray=each.tray + number, parts=moved(each)) for each in plan.steps
        ),
        other=tuple(map(other, plan.other)),
        finish_s=plan.finish_s + by,
    )


def repeated(plan: Plan, times: int) -> Plan:
    """Return a plan carried out so many times, one after another."""
    each = [later(plan, at * len(plan.trays), at * plan.finish_s) for at in range(times)]
    return replace(
        plan,
        trays=tuple(tray for one in each for tray in one.trays),
        loads=tuple(load for one in each for load in one.loads),
        steps=tuple(step for one in each for step in one.steps),
        other=tuple(other for one in each for other in one.other),
        finish_s=each[-1].finish_s,
    )

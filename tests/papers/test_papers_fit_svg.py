"""Drawings of fits: true millimetres, the places of the fit, words that have room on the page."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import replace
from xml.etree import ElementTree as ET

import pytest

from benchplan.model import Cooling, Day, Display, Fit, Oven, Pan, Tin
from benchplan.papers.fit_svg import HEAD, fit_svg, fit_svgs

MARGIN = 6.0  # mm; common practice, no source: few printers reach nearer to the edge of the paper
SVG = "{http://www.w3.org/2000/svg}"
ON_PAN = Fit(
    "tins on pan", 5, 6, "search", "low 72", "small",
    at_mm=((38.1234, 39.0), (119.0, 38.5), (238.0, 43.25), (65.0, 130.0), (217.5, 163.0)),
)  # fmt: skip
ON_SHELF = Fit(
    "pans on shelf", 3, 3, "rows", None, "narrow", "countertop",
    at_mm=((25.0, 25.0, False), (150.0, 25.0, True), (25.0, 150.5, False)),
)  # fmt: skip
ON_MAT = Fit("tins on mat", 2, None, "rows", "low 72", at_mm=((36.0, 36.0), (118.5, 36.0)))
FITS = (ON_PAN, ON_SHELF, ON_MAT)
HOSTILE = "<&\"'>]]>\x01\udc80 冬 &amp;"


@pytest.fixture
def day(small_day: Day) -> Day:
    """The small day in metric units, with one more pan, narrower than it is long."""
    narrow = Pan("narrow", (90.0, 70.0), (100.0, 80.0))
    return replace(small_day, pans={**small_day.pans, "narrow": narrow}, display=Display())


def parsed(text: str) -> ET.Element:
    return ET.fromstring(text.encode("utf-8"))


def view_box(root: ET.Element) -> tuple[float, float]:
    left, top, wide, deep = (float(each) for each in root.attrib["viewBox"].split())
    assert (left, top) == (0.0, 0.0)
    return wide, deep


def group(root: ET.Element, name: str) -> ET.Element:
    (found,) = (each for each in root.iter(f"{SVG}g") if each.get("id") == name)
    return found


def shift(each: ET.Element) -> tuple[float, float]:
    """Return how far a group is moved; nothing here may be scaled."""
    move = each.get("transform")
    if move is None:
        return 0.0, 0.0
    found = re.fullmatch(r"translate\((\S+) (\S+)\)", move)
    assert found, move
    return float(found[1]), float(found[2])


def number(each: ET.Element, name: str) -> float:
    return float(each.attrib[name])


def said(root: ET.Element) -> str:
    return " ".join(each.text or "" for each in root.iter(f"{SVG}text"))


def boxes_of_text(root: ET.Element) -> Iterator[tuple[str, float, float, float, float]]:
    """Yield each text with left, top, right and bottom on the page.

    A letter of a monospaced font is 0.6 of its height wide (Courier's metrics: 600 of 1000), one
    of Chinese is as wide as it is high; what hangs below the line is a quarter of the height.
    """
    for parent in root.iter(f"{SVG}g"):
        x, y = shift(parent)
        for each in parent.findall(f"{SVG}text"):
            words, high = each.text or "", number(each, "font-size")
            wide = sum(1.0 if ord(char) > 0x2E80 else 0.6 for char in words) * high
            begin = {"start": 0.0, "middle": -wide / 2}[each.attrib["text-anchor"]]
            box = (begin, -high, begin + wide, high / 4)
            at = (number(each, "x") + x, number(each, "y") + y)
            turn = each.get("transform")
            if turn:
                assert re.fullmatch(r"rotate\(-90 \S+ \S+\)", turn)
                box = (box[1], -box[2], box[3], -box[0])
            yield words, box[0] + at[0], box[1] + at[1], box[2] + at[0], box[3] + at[1]


@pytest.mark.parametrize("fit", FITS, ids=lambda fit: fit.what)
def test_one_unit_is_one_millimetre(day: Day, fit: Fit) -> None:
    text = fit_svg(day, fit)
    assert text.startswith(HEAD)
    root = parsed(text)
    wide, deep = view_box(root)
    assert root.attrib["width"] == f"{wide:g}mm"
    assert root.attrib["height"] == f"{deep:g}mm"
    for each in root.iter():
        assert "scale" not in each.get("transform", "")


@pytest.mark.parametrize("fit", FITS, ids=lambda fit: fit.what)
def test_the_bar_is_100_mm_and_has_its_sentence(day: Day, fit: Fit) -> None:
    root = parsed(fit_svg(day, fit))
    bar = group(root, "scale_bar")
    shift(bar)  # moved only
    paths = [each.attrib["d"] for each in bar.iter(f"{SVG}path")]
    assert paths[0] == "M0 0H100"
    ticks = [float(found[1]) for each in paths[1:] if (found := re.match(r"M(\S+) ", each))]
    assert ticks == [10.0 * step for step in range(11)]
    assert "Print at 100 %, then measure the bar: 100 mm" in said(root)


@pytest.mark.parametrize("fit", [ON_PAN, ON_MAT], ids=lambda fit: fit.what)
def test_circles_stand_where_the_fit_has_them_with_their_numbers_in_order(
    day: Day, fit: Fit
) -> None:
    floor = group(parsed(fit_svg(day, fit)), "floor")
    circles = floor.findall(f"{SVG}circle")
    assert [(number(each, "cx"), number(each, "cy")) for each in circles] == [
        pytest.approx(place, abs=1e-3) for place in fit.at_mm
    ]
    assert {number(each, "r") for each in circles} == {36.0}
    numbers = [each for each in floor.findall(f"{SVG}text") if (each.text or "").isdigit()]
    assert [each.text for each in numbers] == [str(each + 1) for each in range(fit.count)]
    crosses = [each.attrib["d"] for each in floor.findall(f"{SVG}path") if "h" in each.attrib["d"]]
    assert len(crosses) == fit.count
    for text, cross, (x, y, *_) in zip(numbers, crosses, fit.at_mm, strict=True):
        assert number(text, "x") == pytest.approx(x, abs=1e-3)
        assert y - 36.0 / 2 < number(text, "y") < y
        found = re.fullmatch(r"M(\S+) (\S+)h(\S+)m(\S+) (\S+)v(\S+)", cross)
        assert found
        left, level, across, back, up, down = (float(each) for each in found.groups())
        assert left + across / 2 == pytest.approx(x, abs=1e-3)
        assert (level, across, back) == pytest.approx((y, -2 * up, up), abs=1e-3)
        assert down == across


def rectangles(floor: ET.Element) -> list[tuple[float, float, float, float]]:
    return [
        (number(each, "x"), number(each, "y"), number(each, "width"), number(each, "height"))
        for each in floor.findall(f"{SVG}rect")
    ]


def test_a_pan_has_its_outside_and_its_floor_with_their_sizes(day: Day) -> None:
    root = parsed(fit_svg(day, ON_PAN))
    outside, inside = rectangles(group(root, "floor"))
    assert outside == (-7.5, -7.5, 297.0, 221.0)
    assert inside == (0.0, 0.0, 282.0, 206.0)
    words = [each.text for each in group(root, "floor").iter(f"{SVG}text")]
    assert {"282 mm", "206 mm", "Ø 72 mm"} <= set(words)


def test_pans_on_a_shelf_stand_as_they_are_turned(day: Day) -> None:
    root = parsed(fit_svg(day, ON_SHELF))
    shelf, *pans = rectangles(group(root, "floor"))
    assert shelf == (0.0, 0.0, 362.0, 292.0)
    assert pans == [
        (25.0, 25.0, 100.0, 80.0),
        (150.0, 25.0, 80.0, 100.0),
        (25.0, 150.5, 100.0, 80.0),
    ]
    words = said(root)
    assert "Turned a quarter: pan 2." in words
    # walls: 25 on the left; pans 1 and 2 are 25 apart, 1 and 3 45.5.
    assert "Least air as placed: 25 mm to a wall, 25 mm between pans (25 mm asked for)" in words
    assert "3 fit, no more can" in words


def test_the_smallest_gaps_are_those_of_the_places(day: Day) -> None:
    words = said(parsed(fit_svg(day, ON_PAN)))
    rim = min(
        min(x, y, 282.0 - x, 206.0 - y) - 36.0 for x, y in ((x, y) for x, y, *_ in ON_PAN.at_mm)
    )
    pairs = {
        math.dist(one[:2], two[:2]) - 72.0: (index, other)
        for other, two in enumerate(ON_PAN.at_mm, start=1)
        for index, one in enumerate(ON_PAN.at_mm[: other - 1], start=1)
    }
    near = min(pairs)
    assert f"{rim:.1f} mm to the rim (2 mm asked for), tin 1" in words
    first, second = pairs[near]
    assert f"{near:.1f} mm between tins {first} and {second} (6 mm asked for)" in words
    assert "too many" not in words


def test_places_that_overlap_are_drawn_as_they_are_and_said(day: Day) -> None:
    tight = replace(ON_PAN, count=2, by="maker", at_mm=((36.0, 36.0), (106.0, 36.0)))
    root = parsed(fit_svg(day, tight))
    assert len(group(root, "floor").findall(f"{SVG}circle")) == 2
    assert "-2 mm between tins 1 and 2" in said(root)
    assert "it is too many: measure again" in said(root)


def test_one_tin_has_no_neighbour(day: Day) -> None:
    words = said(parsed(fit_svg(day, replace(ON_PAN, count=1, at_mm=((36.5, 40.0),)))))
    assert "0.5 mm to the rim" in words
    assert "between" not in words


def test_words_are_in_the_maker_s_units_and_the_drawing_is_not(day: Day) -> None:
    american = parsed(fit_svg(replace(day, display=Display("us", 12)), ON_PAN))
    words = said(american)
    assert "floor 11.1 in × 8.11 in" in words
    assert "100 mm (3.94 in)" in words
    metric = parsed(fit_svg(day, ON_PAN))
    assert not re.search(r"\d in\b", said(metric))
    assert rectangles(group(american, "floor")) == rectangles(group(metric, "floor"))


# ISO 216: A4 is 210 mm × 297 mm, A3 297 mm × 420 mm. ANSI Y14.1: size A is 8.5 in × 11 in, size B
# 11 in × 17 in.
@pytest.mark.parametrize(
    ("outside", "words"),
    [
        ((150.0, 110.0), "This page fits on A4 and Letter."),
        ((190.0, 135.0), "This page fits on A4 and Letter."),
        ((180.0, 200.0), "This page fits on A4 and Letter."),
        ((180.0, 219.0), "This page fits on A4."),
        ((275.0, 205.0), "larger than A4 and Letter: print it on A3 or Tabloid, or on several"),
        ((380.0, 230.0), "larger than A4 and Letter: print it on A3, or on several sheets"),
        ((600.0, 400.0), "larger than A4 and Letter: print it on larger paper, or on several"),
    ],
)
def test_it_says_which_paper_it_needs(day: Day, outside: tuple[float, float], words: str) -> None:
    inside = (outside[0] - 15.0, outside[1] - 15.0)
    wide = replace(day, pans={"small": Pan("small", inside, outside)})
    root = parsed(fit_svg(wide, replace(ON_PAN, count=1, at_mm=((40.0, 40.0),))))
    assert words in said(root)
    wide_mm, deep_mm = sorted(view_box(root))
    assert ("A4" in words and "larger" not in words) == (wide_mm <= 210 and deep_mm <= 297)
    assert ("A3" in words) == (not (wide_mm <= 210 and deep_mm <= 297)) * (
        wide_mm <= 297 and deep_mm <= 420
    )


def hostile_day(day: Day, long: str, size: float = 1.0) -> tuple[Day, tuple[Fit, ...]]:
    """A day whose every name is unpleasant, and its fits; ``size`` scales the small pan."""
    floor = (80.0 * size, 75.0 * size)
    named = replace(
        day,
        tins={long: Tin(long, 72.0 * size, 19.0)},
        pans={long: Pan(long, floor, (floor[0] + 6.0, floor[1] + 6.0))},
        ovens={long: Oven(long, (362.0, 292.0))},
        cooling=Cooling("mat", 1, (100.0 * size, 90.0 * size)),
    )
    at_mm = ((40.0 * size, 37.0 * size),)
    return named, (
        Fit("tins on pan", 1, 1, "rows", long, long, at_mm=at_mm),
        Fit("pans on shelf", 1, 1, "rows", None, long, long, at_mm=((25.0, 25.0, True),)),
        Fit("tins on mat", 1, None, "rows", long, at_mm=at_mm),
    )


def test_names_hostile_to_xml_are_text_all_the_same(day: Day) -> None:
    named, fits = hostile_day(day, HOSTILE)
    for fit in fits:
        text = fit_svg(named, fit)
        assert "<&" not in text
        # What XML 1.0 cannot hold (section 2.2, Char) is shown as a question mark.
        assert "<&\"'>]]>?? 冬 &amp;" in said(parsed(text))


@pytest.mark.parametrize("name", ["p", HOSTILE, "冬" * 80, "a word " * 30, "W" * 200])
@pytest.mark.parametrize("size", [0.16, 1.0, 3.0])
@pytest.mark.parametrize("system", ["metric", "us"])
def test_all_words_are_on_the_page_and_off_the_circles(
    day: Day, name: str, size: float, system: str
) -> None:
    named, fits = hostile_day(replace(day, display=Display(system)), name, size)
    for fit in (*fits, *(() if name != "p" else FITS)):
        root = parsed(fit_svg(day if fit in FITS else named, fit))
        wide, deep = view_box(root)
        floor = group(root, "floor")
        x, y = shift(floor)
        left, top = min((x + box[0], y + box[1]) for box in rectangles(floor))
        right, bottom = (
            max(x + box[0] + box[2] for box in rectangles(floor)),
            max(y + box[1] + box[3] for box in rectangles(floor)),
        )
        assert 0 <= left < right <= wide
        assert 0 <= top < bottom <= deep
        inside = {each.text for each in floor.iter(f"{SVG}text")}
        for words, *box in boxes_of_text(root):
            assert MARGIN <= box[0] <= box[2] <= wide - MARGIN, words
            assert MARGIN <= box[1] <= box[3] <= deep - MARGIN, words
            if words not in inside:
                assert box[3] <= top or box[1] >= bottom, words


def test_a_number_is_inside_its_circle_however_small(day: Day) -> None:
    named, (fit, _, _) = hostile_day(day, "p", 0.16)
    many = replace(fit, count=1000, at_mm=fit.at_mm * 1000)
    root = parsed(fit_svg(named, many))
    x, y = shift(group(root, "floor"))
    radius, (centre_x, centre_y) = 72.0 * 0.16 / 2, fit.at_mm[0][:2]
    inside = [box for box in boxes_of_text(root) if box[0].isdigit() or box[0].startswith("Ø")]
    assert len(inside) >= 1000
    for words, left, top, right, bottom in inside:
        high = (bottom - top) / 1.25
        for corner in ((left, top + 0.25 * high), (right, bottom - 0.25 * high)):  # digits' own box
            assert math.dist(corner, (x + centre_x, y + centre_y)) < radius, words


def test_every_fit_has_a_file_of_its_own(day: Day) -> None:
    names = [
        "Small",
        "small",
        "SMALL",
        "s m/a:l",
        "s-m.a l",
        "../..",
        "",
        "..",
        "冬",
        "con",
        "ß",
        "SS",
    ]
    names += ["x" * 300, "x" * 299, "é", "e\u0301", "small_2"]
    pans = {name: Pan(name, (282.0, 206.0), (297.0, 221.0)) for name in names}
    fits = [replace(ON_PAN, pan=name) for name in names]
    drawn, left_out = fit_svgs(replace(day, pans=pans), fits)
    assert left_out == ()
    assert len(drawn) == len({name.casefold() for name in drawn}) == len(names)
    for name, pan in zip(drawn, names, strict=True):
        assert re.fullmatch(r"[\w-]+\.svg", name), name
        assert len(name.encode()) <= 200
        assert drawn[name] == fit_svg(replace(day, pans=pans), replace(ON_PAN, pan=pan))


def test_kinds_of_fit_never_share_a_file(day: Day) -> None:
    drawn, _ = fit_svgs(day, FITS)
    assert list(drawn) == [
        "tin_low-72_on_pan_small.svg",
        "pan_narrow_on_shelf_countertop.svg",
        "tin_low-72_on_mat.svg",
    ]


def test_what_has_no_places_is_left_out_and_said(day: Day) -> None:
    own = Fit("tins on mat", 40, None, "maker", "low 72")
    none = Fit("pans on shelf", 0, 0, "rows", None, "small", "countertop")
    drawn, left_out = fit_svgs(day, [own, ON_PAN, none])
    assert list(drawn) == ["tin_low-72_on_pan_small.svg"]
    assert left_out == (
        "Not drawn: low 72 on the mat (40 fit, as you say): your own number says no places.",
        "Not drawn: pan small on a shelf of countertop (0 fit, no more can): "
        "there is nothing to place.",
    )


def test_cautions_are_where_paper_could_burn(day: Day) -> None:
    for fit in (ON_PAN, ON_SHELF):
        assert "paper never goes into an oven" in said(parsed(fit_svg(day, fit))).lower()
    assert "hot tins do not stand on paper" in said(parsed(fit_svg(day, ON_MAT)))

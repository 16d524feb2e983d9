"""A fit as a drawing in true millimetres: printed at 100 % it is a template for setting down.

One unit of every drawing is one millimetre, and what stands on a floor is drawn in a group whose
origin is that floor's corner, so that its numbers are those of the fit. Black on white, and the
only font is the plain monospaced one, whose letters are all known to be equally wide.
"""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from xml.etree import ElementTree as ET

from benchplan import units
from benchplan.model import Day, Fit
from benchplan.model.words import fit_words, list_words
from benchplan.papers import svg
from benchplan.papers.fit_text import what_words

HEAD = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    "<!-- drawn by benchplan fit; one unit is one millimetre -->\n"
)
"""What every drawing begins with, and nothing else does: so it is known again."""

BAR_MM = 100.0

_MARGIN = 8.0  # white all around: few printers reach nearer to the edge
_LEAST_WIDE = 134.0  # room for words and bar beside or below the smallest floor
_TITLE, _WORDS, _SIZES = 5.0, 3.2, 3.5  # letters, mm high
_DIMENSION = 8.0  # beside the drawing: a line with its length written along it
_OVERLAP = 0.05  # mm; less than this is rounding


@dataclass(frozen=True, slots=True)
class _Scene:
    """What is drawn and said: a floor, ``rim`` around it (each way), tins or pans on it."""

    floor_mm: tuple[float, float]
    rim_mm: tuple[float, float]
    words: tuple[str, ...]


def fit_svgs(day: Day, fits: Sequence[Fit]) -> tuple[dict[str, str], tuple[str, ...]]:
    """Return a drawing under a file name of its own for each fit, and what cannot be drawn.

    File names differ in more than upper and lower case, and hold letters, digits, ``-`` and ``_``
    only. What has no places is said in a sentence each.
    """
    drawn: dict[str, str] = {}
    taken: set[str] = set()
    left_out = []
    for fit in fits:
        if not fit.at_mm:
            why = "your own number says no places" if fit.count else "there is nothing to place"
            left_out.append(f"Not drawn: {what_words(fit)} ({fit_words(fit)}): {why}.")
            continue
        stem, again = _stem(fit), 1
        name = stem
        while _folded(name) in taken:
            again += 1
            name = f"{stem}_{again}"
        taken.add(_folded(name))
        drawn[f"{name}.svg"] = fit_svg(day, fit)
    return drawn, tuple(left_out)


def fit_svg(day: Day, fit: Fit) -> str:
    """Return one fit that has places as the text of an SVG file, one unit a millimetre."""
    scene = _shelf_scene(day, fit) if fit.what == "pans on shelf" else _tins_scene(day, fit)
    rim_x, rim_y = scene.rim_mm
    wide = scene.floor_mm[0] + 2 * rim_x
    deep = scene.floor_mm[1] + 2 * rim_y
    room = max(_DIMENSION + wide, _LEAST_WIDE)
    page_wide = math.ceil(room + 2 * _MARGIN)

    title = f"{what_words(fit)}: {fit_words(fit)}"
    words = ET.Element("g", id="words")
    below = svg.write(words, [title], _MARGIN, _MARGIN, room, _TITLE)
    below = svg.write(words, scene.words, _MARGIN, below + 1.0, room, _WORDS)
    top = below + 1.0 + _DIMENSION
    bar_at = top + deep + 5.0
    foot_at = bar_at + 3.0
    page_deep, foot, lines = 0, "", 1
    while page_deep == 0 or len(svg.lines(foot, room, _WORDS)) > lines:  # the page names its size
        lines = len(svg.lines(foot, room, _WORDS)) or 1
        page_deep = math.ceil(foot_at + lines * svg.LINE * _WORDS + _MARGIN)
        foot = _foot_words(day, page_wide, page_deep)
    svg.write(words, [foot], _MARGIN, foot_at, room, _WORDS)

    page = svg.page(page_wide, page_deep, title)
    page.append(words)
    floor = svg.group(page, "floor", _MARGIN + _DIMENSION + rim_x, top + rim_y)
    _draw_floor(floor, scene, day.display.units)
    if fit.what == "pans on shelf":
        _draw_pans(floor, day, fit)
    else:
        _draw_tins(floor, day, fit)
    _draw_bar(svg.group(page, "scale_bar", _MARGIN, bar_at))
    ET.indent(page)
    return HEAD + ET.tostring(page, encoding="unicode") + "\n"


# --- what is said ---------------------------------------------------------------------------------


def _tins_scene(day: Day, fit: Fit) -> _Scene:
    system = day.display.units
    tin = day.tins[fit.tin or ""]
    if fit.what == "tins on pan":
        pan = day.pans[fit.pan or ""]
        floor, gap, outside = pan.inside_mm, pan.gap_mm, pan.outside_mm
        rim = (max(outside[0] - floor[0], 0.0) / 2, max(outside[1] - floor[1], 0.0) / 2)
        sizes = f"Pan {pan.name}: floor {_area(floor, system)}, outside {_area(outside, system)}."
        edge = f" ({_length(pan.edge_mm, system)} asked for)"
        lines = "Solid line: the floor, to cut along. Dashed: the outside."
        mind = "Mark the places, then take the paper away: paper never goes into an oven."
        border = "rim"
    else:
        floor, gap, rim = day.cooling.mat_mm or (0.0, 0.0), day.cooling.gap_mm, (0.0, 0.0)
        sizes, edge = f"Mat {_area(floor, system)}.", ""
        lines = "Solid line: the mat."
        mind = "Mark the places, then take the paper away: hot tins do not stand on paper."
        border = "edge of the mat"
    sizes += f" Tin {tin.name}: {_length(tin.diameter_mm, system)} across."
    centres = [(place[0], place[1]) for place in fit.at_mm]
    near, pair = _nearest_tins(centres, tin.diameter_mm)
    clear, lone = min(
        (round(min(x, y, floor[0] - x, floor[1] - y) - tin.diameter_mm / 2, 6), number)
        for number, (x, y) in enumerate(centres, start=1)
    )
    said = f"Smallest gap as placed: {_length(clear, system)} to the {border}{edge}, tin {lone}"
    if pair:
        said += f"; {_length(near, system)} between tins {pair[0]} and {pair[1]}"
        said += f" ({_length(gap, system)} asked for)"
    found = [f"{sizes} {said}."]
    if near < -_OVERLAP or clear < -_OVERLAP:
        found.append("Your own number is drawn, and at these sizes it is too many: measure again.")
    lines += " Numbers: the order of setting down."
    return _Scene(floor, rim, (*found, lines, mind))


def _shelf_scene(day: Day, fit: Fit) -> _Scene:
    system = day.display.units
    pan, oven = day.pans[fit.pan or ""], day.ovens[fit.oven or ""]
    boxes = _boxes(day, fit)
    walls = min(
        min(x, y, oven.shelf_mm[0] - x - wide, oven.shelf_mm[1] - y - deep)
        for x, y, wide, deep in boxes
    )
    said = f"Least air as placed: {_length(walls, system)} to a wall"
    if len(boxes) > 1:
        between = min(
            max(x - u - w, u - x - wide, y - v - d, v - y - deep)
            for index, (x, y, wide, deep) in enumerate(boxes)
            for u, v, w, d in boxes[:index]
        )
        said += f", {_length(between, system)} between pans"
    turned = [
        str(number) for number, place in enumerate(fit.at_mm, start=1) if place[2:] == (True,)
    ]
    words = [
        f"Shelf of {oven.name} {_area(oven.shelf_mm, system)}. "
        f"Pan {pan.name}: outside {_area(pan.outside_mm, system)}.",
        f"{said} ({_length(oven.air_mm, system)} asked for).",
    ]
    if turned:
        words.append(
            f"Turned a quarter: {'pan' if len(turned) == 1 else 'pans'} {list_words(turned)}."
        )
    words.append("Solid line: the shelf. Paper never goes into an oven.")
    return _Scene(oven.shelf_mm, (0.0, 0.0), tuple(words))


def _foot_words(day: Day, wide: float, deep: float) -> str:
    """Say how to print a page of this size, and on what paper."""
    system = day.display.units
    bar = "100 mm" if system != "us" else f"100 mm ({_length(BAR_MM, system)})"
    first = f"Print at 100 %, then measure the bar: {bar}."
    fit_on = svg.papers(wide, deep)
    common = [name for name in fit_on if name in ("A4", "Letter")]
    if common:
        return f"{first} This page fits on {list_words(common)}."
    page = f"This page is {_area((wide, deep), system)}, larger than A4 and Letter"
    larger = f"print it on {' or '.join(fit_on)}" if fit_on else "print it on larger paper"
    return f"{first} {page}: {larger}, or on several sheets put together."


def _length(mm: float, system: str) -> str:
    return units.show_length(mm, system)


def _area(mm: tuple[float, float], system: str) -> str:
    return f"{_length(mm[0], system)} × {_length(mm[1], system)}"


# --- what is drawn --------------------------------------------------------------------------------


def _draw_floor(floor: ET.Element, scene: _Scene, system: str) -> None:
    """Draw the outside, the floor, and the floor's length and width beside them."""
    wide, deep = scene.floor_mm
    rim_x, rim_y = scene.rim_mm
    if rim_x or rim_y:
        faint = {"stroke": "#888888", "stroke-width": "0.3", "stroke-dasharray": "3 2"}
        svg.box(floor, -rim_x, -rim_y, wide + 2 * rim_x, deep + 2 * rim_y, **faint)
    svg.box(floor, 0.0, 0.0, wide, deep)
    across, along = -rim_x - 4.0, -rim_y - 4.0
    for end in (0.0, wide):
        svg.line(floor, f"M{svg.mm(end)} {svg.mm(along - 1.5)}V-1", 0.15)
    svg.line(floor, f"M0 {svg.mm(along)}H{svg.mm(wide)}")
    svg.text(floor, _length(wide, system), wide / 2, along - 1.2, _SIZES)
    for end in (0.0, deep):
        svg.line(floor, f"M{svg.mm(across - 1.5)} {svg.mm(end)}H-1", 0.15)
    svg.line(floor, f"M{svg.mm(across)} 0V{svg.mm(deep)}")
    turn = f"rotate(-90 {svg.mm(across - 1.2)} {svg.mm(deep / 2)})"
    svg.text(floor, _length(deep, system), across - 1.2, deep / 2, _SIZES, transform=turn)


def _draw_tins(floor: ET.Element, day: Day, fit: Fit) -> None:
    diameter = day.tins[fit.tin or ""].diameter_mm
    for number, place in enumerate(fit.at_mm, start=1):
        x, y = place[0], place[1]
        svg.circle(floor, x, y, diameter)
        _centre(floor, number, x, y, diameter)
    x, y = fit.at_mm[0][0], fit.at_mm[0][1]
    _under_cross(floor, f"Ø {_length(diameter, day.display.units)}", x, y, diameter)


def _draw_pans(floor: ET.Element, day: Day, fit: Fit) -> None:
    size = _area(day.pans[fit.pan or ""].outside_mm, day.display.units)
    for number, (x, y, wide, deep) in enumerate(_boxes(day, fit), start=1):
        svg.box(floor, x, y, wide, deep)
        x, y = x + wide / 2, y + deep / 2
        _centre(floor, number, x, y, min(wide, deep))
        if number == 1:
            _under_cross(floor, size, x, y, min(wide, deep))


def _centre(floor: ET.Element, number: int, x: float, y: float, across: float) -> None:
    """Draw the cross at a centre, and its number above it, so that both can be seen."""
    arm = min(3.0, 0.1 * across)
    path = f"M{x - arm:.4f} {y:.4f}h{2 * arm:.4f}m{-arm:.4f} {-arm:.4f}v{2 * arm:.4f}"
    svg.line(floor, path, 0.3)
    svg.text(floor, str(number), x, y - arm - 0.03 * across, min(7.0, 0.2 * across))


def _under_cross(floor: ET.Element, size: str, x: float, y: float, across: float) -> None:
    """Write a size under the cross of the first tin or pan, where it stays inside its circle."""
    high = min(_SIZES, 0.14 * across)
    below = min(3.0, 0.1 * across) + 0.03 * across + high
    if math.hypot(svg.width(size, high) / 2, below) < 0.48 * across:
        svg.text(floor, size, x, y + below, high)


def _draw_bar(group: ET.Element) -> None:
    """Draw the bar that shows whether a print is true: 100 mm, a tick each 10 mm."""
    svg.line(group, f"M0 0H{svg.mm(BAR_MM)}", 0.5)
    for tick in range(0, int(BAR_MM) + 1, 10):
        svg.line(group, f"M{tick} {'-2V2' if tick % 50 == 0 else '-1V1'}", 0.2)
    svg.text(group, f"{BAR_MM:g} mm", BAR_MM + 3.0, 1.2, _SIZES, "start")


# --- small sums -----------------------------------------------------------------------------------


def _boxes(day: Day, fit: Fit) -> list[tuple[float, float, float, float]]:
    """Return x, y, length and depth of each pan on a shelf as it stands there."""
    wide, deep = day.pans[fit.pan or ""].outside_mm
    return [
        (place[0], place[1], *((deep, wide) if place[2:] == (True,) else (wide, deep)))
        for place in fit.at_mm
    ]


def _nearest_tins(
    centres: Sequence[tuple[float, float]], diameter: float
) -> tuple[float, tuple[int, int] | None]:
    """Return the smallest gap between two tins and their numbers; no two tins, no pair."""
    order = sorted((x, y, number) for number, (x, y) in enumerate(centres, start=1))
    best, pair = math.inf, None
    for index, (x, y, number) in enumerate(order):
        for other_x, other_y, other in order[index + 1 :]:
            if other_x - x >= best:
                break
            apart = math.hypot(other_x - x, other_y - y)
            if apart < best - 1e-6:  # of gaps that are equal but for rounding, the first
                best, pair = apart, (min(number, other), max(number, other))
    return best - diameter, pair


def _stem(fit: Fit) -> str:
    """Return a file name without its ending: ``tin_round-60_on_pan_small``."""
    if fit.what == "tins on pan":
        return f"tin_{_safe(fit.tin)}_on_pan_{_safe(fit.pan)}"
    if fit.what == "pans on shelf":
        return f"pan_{_safe(fit.pan)}_on_shelf_{_safe(fit.oven)}"
    return f"tin_{_safe(fit.tin)}_on_mat"


def _safe(name: str | None) -> str:
    """Return a name in letters, digits and ``-``, 60 bytes at most."""
    text = unicodedata.normalize("NFKC", name or "")
    kept = "".join(char if unicodedata.category(char)[0] in "LNM" else " " for char in text)
    short = "-".join(kept.split()).encode("utf-8")[:60].decode("utf-8", "ignore").strip("-")
    return short or "unnamed"


def _folded(name: str) -> str:
    """Return what two names share that are one file where case does not count."""
    return unicodedata.normalize("NFKC", name.casefold())

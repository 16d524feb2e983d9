"""The few pieces that a drawing of ours is made of: groups, lines, boxes, text, all in millimetres.

Black on white. The only font is the plain monospaced one, whose letters are all known to be equally
wide, so that what is written is known to have room.
"""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree import ElementTree as ET

from benchplan.model.cells import cells
from benchplan.papers.page import paragraph

LETTER = 0.61
"""A monospaced letter's width by its height."""

LINE = 1.35
"""From line to line, by the letters' height."""

# ISO 216 (A4, A3) and ANSI Y14.1 (Letter is size A, Tabloid size B), upright, in mm.
_PAPERS = {
    "A4": (210.0, 297.0),
    "Letter": (215.9, 279.4),
    "A3": (297.0, 420.0),
    "Tabloid": (279.4, 431.8),
}


def papers(wide: float, deep: float) -> list[str]:
    """Return the papers that a page of this size fits on at 100 %, the smallest ones first."""
    flat = sorted((wide, deep))
    return [name for name, paper in _PAPERS.items() if flat[0] <= paper[0] and flat[1] <= paper[1]]


def page(wide: float, deep: float, title: str) -> ET.Element:
    """Return an empty white page of this size, one unit a millimetre, printed at 100 %."""
    size = {"width": f"{mm(wide)}mm", "height": f"{mm(deep)}mm"}
    found = ET.Element("svg", {"xmlns": "http://www.w3.org/2000/svg", **size})
    found.set("viewBox", f"0 0 {mm(wide)} {mm(deep)}")
    found.set("font-family", "monospace")
    ET.SubElement(found, "title").text = plain(title)
    ET.SubElement(found, "rect", width=mm(wide), height=mm(deep), fill="white")
    return found


def group(parent: ET.Element, name: str, x: float, y: float) -> ET.Element:
    """Return a group whose origin is at this place of the page."""
    return ET.SubElement(parent, "g", id=name, transform=f"translate({mm(x)} {mm(y)})")


def write(
    parent: ET.Element, paragraphs: Sequence[str], x: float, top: float, room: float, high: float
) -> float:
    """Write paragraphs from ``x`` below ``top``, wrapped to ``room``; return where they end."""
    for each in paragraphs:
        for words in lines(each, room, high):
            text(parent, words, x, top + high, high, "start")
            top += LINE * high
    return top


def lines(words: str, room: float, high: float) -> list[str]:
    """Return a text wrapped to ``room`` for letters of this height."""
    return paragraph(plain(words), int(room / (high * LETTER)), "")


def text(
    parent: ET.Element,
    words: str,
    x: float,
    y: float,
    high: float,
    anchor: str = "middle",
    **more: str,
) -> None:
    """Write one line; ``y`` is the line that its letters stand on."""
    marks = {"x": mm(x), "y": mm(y), "font-size": mm(high), "text-anchor": anchor}
    ET.SubElement(parent, "text", {**marks, **more}).text = words


def width(words: str, high: float) -> float:
    """Return how wide a line of letters of this height is, in mm."""
    return cells(words) * LETTER * high


def line(parent: ET.Element, path: str, pen: float = 0.2, **more: str) -> None:
    """Draw a path with a pen of this width."""
    marks = {"d": path, "stroke": "black", "stroke-width": mm(pen)}
    ET.SubElement(parent, "path", {**marks, **more})


def box(
    parent: ET.Element, x: float, y: float, wide: float, deep: float, **more: str
) -> ET.Element:
    """Draw an empty rectangle from its corner at the top left."""
    sides = {"x": mm(x), "y": mm(y), "width": mm(wide), "height": mm(deep)}
    pen = {"fill": "none", "stroke": "black", "stroke-width": "0.4"}
    return ET.SubElement(parent, "rect", {**sides, **pen, **more})


def circle(parent: ET.Element, x: float, y: float, diameter: float) -> None:
    """Draw an empty circle around its centre."""
    round_it = {"cx": mm(x), "cy": mm(y), "r": mm(diameter / 2)}
    pen = {"fill": "none", "stroke": "black", "stroke-width": "0.3"}
    ET.SubElement(parent, "circle", {**round_it, **pen})


def mm(value: float) -> str:
    """Return a length to a tenth of a micrometre, with no zeros to no purpose."""
    shown = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if shown in ("-0", "") else shown


def plain(words: str) -> str:
    """Return a text without the characters that no XML file may hold."""
    return "".join(char if char.isprintable() else " " if char.isspace() else "?" for char in words)

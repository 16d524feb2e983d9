"""Make docs/pictures/*.svg: the six screens on the fair sample, the Bench in the middle of a run.

Run by hand from anywhere: ``python tests/bench/make_pictures.py``. The app itself draws; its
lines are written as plain SVG text that needs no font from elsewhere.
"""

from __future__ import annotations

import asyncio
import json
import os
import re
import sys
import tempfile
from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta
from html import escape
from pathlib import Path

from rich.segment import Segment
from rich.style import Style

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "screens")]

from screen_world import World, world  # noqa: E402

from benchplan import files  # noqa: E402
from benchplan.book import BenchBook  # noqa: E402
from benchplan.live import actions  # noqa: E402
from benchplan.model import Mark  # noqa: E402
from benchplan.papers.plan_json import plan_to_dict  # noqa: E402

SAMPLE = ROOT / "sample_runs" / "winter_fair.toml"
FOLDER = ROOT / "docs" / "pictures"
SIZE = (120, 40)
MORNING = datetime(2026, 12, 11, 8, 58, tzinfo=UTC)
JARS = (("Fig and ash", date(2026, 12, 1)), ("Pine tar", date(2026, 12, 8)))
INTO_S = 75 * 60  # how far into the day the picture of the Bench is

WIDE, HIGH, SIZE_PX = 8.4, 17.0, 14
BRAILLE_ORDER = ((0, 0), (0, 1), (0, 2), (1, 0), (1, 1), (1, 2), (0, 3), (1, 3))
FONTS = "'DejaVu Sans Mono', 'Menlo', 'Consolas', 'Liberation Mono', monospace"


def svg(lines: Iterable[list[Segment]], title: str, paper: str) -> str:
    """Return lines of styled text as an SVG picture; braille becomes dots, whatever the font."""
    rows = list(lines)
    width, height = SIZE[0] * WIDE, len(rows) * HIGH
    backs: list[str] = []
    texts: list[str] = []
    dots: dict[str, list[str]] = {}
    lines_of: dict[str, list[str]] = {}
    for number, segments in enumerate(rows):
        at = 0
        for segment in segments:
            ink, back, bold = _style(segment.style or Style(), paper)
            x, y, length = at * WIDE, number * HIGH, segment.cell_length
            if back != paper:
                backs.append(
                    f'<rect x="{x:.1f}" y="{y:.0f}" width="{length * WIDE:.1f}" '
                    f'height="{HIGH:.0f}" fill="{back}"/>'
                )
            texts += _words(segment.text, x, y, ink, bold)
            for place, char in enumerate(segment.text):
                if char == "│":
                    middle = x + (place + 0.5) * WIDE
                    lines_of.setdefault(ink, []).append(f"M{middle:.1f} {y:.0f}v{HIGH:.0f}")
                elif "\u2800" <= char <= "\u28ff":
                    dots.setdefault(ink, []).append(_dots(char, x + place * WIDE, y))
            at += length
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.0f} {height:.0f}" '
            f'role="img" aria-label="{escape(title)}">',
            f"<title>{escape(title)}</title>",
            f'<g shape-rendering="crispEdges"><rect width="100%" height="100%" fill="{paper}"/>',
            *backs,
            f'</g><g font-family="{FONTS}" font-size="{SIZE_PX}">',
            *texts,
            '</g><g stroke-width="1.2" fill="none">',
            *(f'<path stroke="{ink}" d="{"".join(found)}"/>' for ink, found in lines_of.items()),
            '</g><g stroke-width="1.9" stroke-linecap="round" fill="none">',
            *(f'<path stroke="{ink}" d="{"".join(found)}"/>' for ink, found in dots.items()),
            "</g></svg>",
            "",
        ]
    )


def _style(style: Style, paper: str) -> tuple[str, str, bool]:
    ink, back = _colour(style.color), _colour(style.bgcolor) or paper
    return (back, ink, bool(style.bold)) if style.reverse else (ink, back, bool(style.bold))


def _words(text: str, x: float, y: float, ink: str, bold: bool) -> list[str]:
    """Return the words of a text, each held to its own cells."""
    weight = ' font-weight="bold"' if bold else ""
    return [
        f'<text x="{x + word.start() * WIDE:.1f}" y="{y + HIGH * 0.76:.1f}" fill="{ink}"{weight} '
        f'textLength="{len(word[0]) * WIDE:.1f}" lengthAdjust="spacingAndGlyphs">'
        f"{escape(word[0])}</text>"
        for word in re.finditer(r"[^\s│\u2800-\u28ff]+(?: [^\s│\u2800-\u28ff]+)*", text)
    ]


def _dots(char: str, x: float, y: float) -> str:
    """Return a braille cell as the moves of a path: a stroke of no length is a dot."""
    bits = ord(char) - 0x2800
    return "".join(
        f"M{x + (across + 0.5) * WIDE / 2:.1f} {y + (down + 0.5) * HIGH / 4:.1f}h0"
        for bit, (across, down) in enumerate(BRAILLE_ORDER)
        if bits >> bit & 1
    )


def _colour(colour: object) -> str:
    triplet = getattr(colour, "triplet", None)
    return triplet.hex if triplet is not None else ""


def keep(there: World, name: str, title: str) -> None:
    """Write the screen that is open as a picture."""
    strips = there.app.screen._compositor.render_strips()
    paper = there.app.theme_variables["paper"]
    FOLDER.mkdir(parents=True, exist_ok=True)
    (FOLDER / f"{name}.svg").write_text(
        svg((list(strip) for strip in strips), f"benchplan: {title}", paper), encoding="utf-8"
    )


async def show(there: World, key: str, *more: str) -> None:
    """Press keys and wait until what they ask for is on the screen."""
    await there.press(key, *more)
    await there.quiet()


def keep_past_runs(there: World, book: BenchBook) -> None:
    """Write runs of this plan into the book: a rehearsal, and real ones with slower packing."""
    day, plan, plan_file = there.session.day, there.session.base_plan, there.session.plan_file
    assert day is not None
    assert plan is not None
    assert plan_file is not None
    told = json.dumps(plan_to_dict(day, plan))
    for days_ago, slower_s, rehearsal in ((21, 0, True), (20, 20, False), (6, 9, False)):
        begun = day.begun_at(day.start - timedelta(days=days_ago))
        text = files.snapshot(plan_file, begun)
        run = book.start_run(
            day.name, "", begun.start, text, told, rehearsal, 60 if rehearsal else 1
        )
        last = late = 0
        for each in sorted(actions(plan), key=lambda planned: planned.end_s):
            late += slower_s if each.action.what == "pack" else 0
            last = each.end_s + late
            book.add_mark(run, Mark("done", last, last, each.action, person=each.person))
        book.end_run(run, "complete", last)


async def main() -> None:
    """Open the sample, visit each screen, and carry the day out as far as the Bench's picture."""
    with tempfile.TemporaryDirectory() as home:
        os.environ["BENCHPLAN_HOME"] = home
        book = BenchBook.open(Path(home))
        for scent, started in JARS:
            book.add_jar(scent, started)
        async with world(SAMPLE, 1.0, SIZE, MORNING) as there:
            await there.planned()
            keep_past_runs(there, book)
            book.close()
            await show(there, "1", "tab", "down", "down")
            keep(there, "orders", "what must be ready, and the queue of trays")
            await show(there, "2")
            keep(there, "fit", "tins on a pan, drawn to scale")
            await show(there, "3", "plus", "down", "down", *["right"] * 5)
            keep(there, "flow", "the day as lanes by clock time")
            await show(there, "5")
            keep(there, "jars", "the jars that the day needs")
            await show(there, "6")
            await there.until(lambda: "in the bench book" in there.text(), "read")
            keep(there, "book", "past runs and learned times")
            await there.begin()
            while there.state.now_s < INTO_S or not there.card.checklist:
                await there.mark()
            await there.press("space")
            keep(there, "bench", "the run, with one next thing and all countdowns")


if __name__ == "__main__":
    asyncio.run(main())

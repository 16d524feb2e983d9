"""The Fit screen: how many fit on pan, shelf and mat, drawn to scale."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from benchplan import units
from benchplan.model import Day, Fit, Margins, Plan, Tray
from benchplan.model.words import count_words, fit_words
from benchplan.papers.margin_words import margin_words
from benchplan.views.drawing import BRAILLE, FILLS, Box, Round, draw, has_room, scale_for
from benchplan.views.gaps import gap_notes, gap_words
from benchplan.views.rows import BLANK, Piece, Row, beside, clip, cut, listed, row, runs, wrap_rows

GROUPS = (
    ("tins on pan", "Tins on a pan"),
    ("pans on shelf", "Pans on an oven shelf"),
    ("tins on mat", "Tins on the mat"),
)


@dataclass(frozen=True, slots=True)
class Drawing:
    """What is drawn: the whole, what stands on it, and how wide and deep the whole is in mm."""

    boxes: tuple[Box, ...]
    rounds: tuple[Round, ...]


@dataclass(frozen=True, slots=True)
class Look:
    """What is looked at: number ``at`` of the list; ``sight`` 0 is the full fit, above that what
    the plan puts there, from 1; ``gaps`` in place of the sizes; what is ``searching`` meanwhile.

    ``margins`` are those of the full fit, as soon as they are known.
    """

    at: int = 0
    sight: int = 0
    gaps: bool = False
    searching: str = ""
    margins: Margins | None = None


def choices(fits: Sequence[Fit]) -> tuple[Fit, ...]:
    """Return the fits in the order of the list: pans, then shelves, then the mat."""
    return tuple(fit for what, _ in GROUPS for fit in fits if fit.what == what)


def group_step(fits: Sequence[Fit], at: int, by: int) -> int:
    """Return where the next (or last) group of ``choices`` begins, seen from number ``at``."""
    shown = choices(fits)
    if not shown:
        return 0
    kinds = list(dict.fromkeys(fit.what for fit in shown))
    now = kinds.index(shown[min(at, len(shown) - 1)].what)
    kind = kinds[min(len(kinds) - 1, max(0, now + by))]
    return next(number for number, fit in enumerate(shown) if fit.what == kind)


def sights(fit: Fit, day: Day, plan: Plan | None) -> tuple[tuple[Tray, ...], ...]:
    """Return what the plan really puts there: each tray of a pan, each shelf of an oven's loads."""
    if plan is None:
        return ()
    trays = {tray.number: tray for tray in plan.trays if tray.pan == fit.pan}
    if fit.what == "tins on pan":
        return tuple((tray,) for tray in trays.values() if day.recipes[tray.recipe].tin == fit.tin)
    found: list[tuple[Tray, ...]] = []
    for load in plan.loads if fit.what == "pans on shelf" else ():
        if load.oven == fit.oven:
            own = [trays[number] for number in load.trays if number in trays]
            each = max(1, fit.count)
            found += [tuple(own[at : at + each]) for at in range(0, len(own), each)]
    return tuple(found)


def page(
    day: Day,
    fits: Sequence[Fit],
    plan: Plan | None,
    look: Look,
    width: int,
    height: int,
    mode: str = BRAILLE,
) -> list[Row]:
    """Return the whole screen: the list of fits and, for the chosen one, words and a drawing."""
    shown = choices(fits)
    if not shown:
        return wrap_rows("Nothing is fitted yet: the plan is on its way.", width, "quiet")
    at = min(max(look.at, 0), len(shown) - 1)
    fit = shown[at]
    real = sights(fit, day, plan)
    trays = real[min(look.sight, len(real)) - 1] if look.sight > 0 and real else ()
    side = min(42, max(34, width * 2 // 5))
    drawn, legend = drawing(day, fits, fit, trays), ""
    if look.gaps:
        drawn, legend = _noted(day, fit, drawn, width - side - 2, height - 1)
    text = _words(day, fit, trays, len(real), look, legend, side)
    more = margin_words(day, fit, look.margins) if look.margins and not trays else ()
    margins = [wrap_rows(sentence, side) for sentence in more]
    if look.gaps:  # asked for: the list makes room
        text += (line for lines in margins for line in lines)
    listing = _list(shown, at, side, max(3, height - len(text) - 1))
    for lines in () if look.gaps else margins:  # the least of the words: only where there is room
        if len(listing) + 1 + len(text) + len(lines) <= height:
            text += lines
    first = [*listing, BLANK, *text][:height]
    return beside(first, picture(day, fit, drawn, width - side - 2, height, mode), side)


def _list(shown: Sequence[Fit], at: int, width: int, height: int) -> list[Row]:
    lines: list[Row] = []
    cursor = 0
    for what, title in GROUPS:
        own = [(number, fit) for number, fit in enumerate(shown) if fit.what == what]
        if own:
            lines.append(row(Piece(title, "head")))
        for number, fit in own:
            if number == at:
                cursor = len(lines)
            lines.append(row(cut(f"{fit.count:>3} {name_of(fit)}", width - 2)))
    return listed(lines, cursor, width, height)


def name_of(fit: Fit) -> str:
    """Return what stands on what: "low 72 on small"."""
    if fit.what == "tins on pan":
        return f"{fit.tin} on {fit.pan}"
    if fit.what == "pans on shelf":
        return f"{fit.pan} in {fit.oven}"
    return f"{fit.tin} on the mat"


def _words(
    day: Day, fit: Fit, trays: tuple[Tray, ...], real: int, look: Look, legend: str, width: int
) -> list[Row]:
    rows: list[Row] = []
    for tray in trays:
        rows += wrap_rows(f"Tray {tray.number}: {_scents(tray)}.", width, "strong", "  ")
    if not trays:
        rows += wrap_rows(fit_words(fit) + ".", width, "strong")
        if look.searching:
            rows += wrap_rows(f"Still {look.searching}.", width, "quiet")
    for sentence in (*gaps(day, fit, trays), legend) if look.gaps else details(day, fit):
        rows += wrap_rows(sentence, width) if sentence else []
    if real and not trays:
        what = count_words(real, "tray" if fit.what == "tins on pan" else "load")
        rows += wrap_rows(f"The plan has {what} of these: Right shows them.", width, "quiet")
    return rows


def gaps(day: Day, fit: Fit, trays: tuple[Tray, ...]) -> tuple[str, ...]:
    """Return how near the tins stand that are drawn."""
    if fit.what == "pans on shelf":
        return ("Gaps are shown for tins.",)
    inside = day.pans[fit.pan].inside_mm if fit.pan else day.cooling.mat_mm
    places = trays[0].at_mm if trays else fit.at_mm
    if inside is None or not places:
        return ("Without places there are no gaps.",)
    size = day.tins[fit.tin or ""].diameter_mm
    return gap_words(day.display.units, size, inside, places, _side(fit))


def _side(fit: Fit) -> str:
    return "rim" if fit.pan else "border"


def _noted(
    day: Day, fit: Fit, drawn: Drawing | None, width: int, height: int
) -> tuple[Drawing | None, str]:
    """Return a drawing with the gaps of each tin written in it, and a sentence that says so.

    Where tins have no room for that, the drawing is as it was and the sentence is empty.
    """
    if drawn is None or fit.what == "pans on shelf":
        return drawn, ""
    whole, tins = drawn.boxes[0], drawn.rounds
    mm = scale_for(whole.wide, whole.deep, width, height)
    inside, places = (whole.wide, whole.deep), [(tin.x, tin.y) for tin in tins]
    notes = gap_notes(day.display.units, tins[0].diameter, inside, places)
    bare = tuple((near.split()[0], rim.split()[0]) for near, rim in notes)
    for lines, unit in (
        (notes, ""),
        (bare, ", in inches" if day.display.units == "us" else ", in mm"),
    ):
        rounds = tuple(replace(tin, notes=each) for tin, each in zip(tins, lines, strict=False))
        if rounds and all(has_room(tin, mm) for tin in rounds):
            legend = f"Below each number: how near the next tin and the {_side(fit)} are{unit}."
            return replace(drawn, rounds=rounds), legend
    return drawn, ""


def _scents(tray: Tray) -> str:
    """Return a tray's tins and scent; with several scents, the numbers of the tins of each."""
    if len(tray.scent_names) == 1:
        return f"{count_words(tray.tins, 'tin')} of {tray.scents[0]}"
    each = [
        (runs([at for at, scent in enumerate(tray.scents, 1) if scent == name]), name)
        for name in tray.scent_names
    ]
    return "tins " + "; ".join(f"{numbers} {name}" for numbers, name in each)


def details(day: Day, fit: Fit) -> tuple[str, ...]:
    """Return the sizes behind a fit in sentences, in the maker's units."""
    if fit.what == "pans on shelf" and fit.pan and fit.oven:
        return _shelf_details(day, fit)
    tin = day.tins[fit.tin or ""]
    across = f"{_long(day, tin.diameter_mm)} across, {_long(day, tin.height_mm)} high"
    if fit.what == "tins on pan":
        pan = day.pans[fit.pan or ""]
        found = [
            f"Floor {_area(day, pan.inside_mm)}; tins {across}.",
            f"{_long(day, pan.gap_mm)} between tins, {_long(day, pan.edge_mm)} to the rim.",
        ]
        if fit.most_possible is not None and fit.by != "maker" and fit.most_possible > fit.count:
            found.append(f"More than {fit.most_possible} is proven impossible.")
        return (*found, _how(fit, pan.pattern))
    mat = day.cooling
    size = [f"Mat {_area(day, mat.mat_mm)}; tins {across}."] if mat.mat_mm else [f"Tins {across}."]
    if mat.mat_mm:
        size.append(f"{_long(day, mat.gap_mm)} between tins.")
    return tuple(size)


def _shelf_details(day: Day, fit: Fit) -> tuple[str, ...]:
    oven, pan = day.ovens[fit.oven or ""], day.pans[fit.pan or ""]
    found = [
        f"Shelf {_area(day, oven.shelf_mm)}; pan {_area(day, pan.outside_mm)} outside.",
        f"{_long(day, oven.air_mm)} of air round each pan.",
        f"{_long(day, oven.headroom_mm)} of headroom.",
    ]
    if oven.shelves > 1:
        load = count_words(fit.count * oven.shelves, "pan")
        found.append(f"{oven.shelves} shelves: {load} in a load.")
    if oven.most_tins is not None:
        found.append(f"At most {oven.most_tins} tins in a load, as you say.")
    return tuple(found)


def _how(fit: Fit, pattern: str) -> str:
    if fit.by == "maker":
        return "Your own number wins over the search."
    rows = "Found in rows" if fit.by == "rows" else "Found by search"
    return f"{rows}; rows only, as you say." if pattern == "tidy" else f"{rows}."


def _long(day: Day, mm: float) -> str:
    return units.show_length(mm, day.display.units)


def _area(day: Day, size: tuple[float, float]) -> str:
    return f"{_long(day, size[0])} by {_long(day, size[1])}"


def picture(
    day: Day, fit: Fit, drawn: Drawing | None, width: int, height: int, mode: str = BRAILLE
) -> list[Row]:
    """Return the drawing with a ruler below it, or words where there is nothing to draw."""
    if drawn is None:
        words = "Your own number: where each one stands is yours to say."
        return wrap_rows(words if fit.count else "Not one of them fits.", width, "quiet")
    whole = drawn.boxes[0]
    lines = draw(drawn.boxes, drawn.rounds, width, height - 1, mode)
    mm = scale_for(whole.wide, whole.deep, width, height - 1)
    return [*lines, ruler(mm, width, day.display.units)] if lines else []


def drawing(
    day: Day, fits: Sequence[Fit], fit: Fit, trays: tuple[Tray, ...] = ()
) -> Drawing | None:
    """Return what there is to draw of a fit, or of ``trays`` on it; None without centres."""
    if fit.what == "pans on shelf":
        return _shelf(day, fits, fit, trays)
    tin = day.tins[fit.tin or ""]
    if fit.what == "tins on mat":
        size = day.cooling.mat_mm
        return _drawn(size, _rounds(fit, tin.diameter_mm, "cool")) if size else None
    pan = day.pans[fit.pan or ""]
    if trays:
        return _drawn(pan.inside_mm, _tray_rounds(trays[0], tin.diameter_mm))
    return _drawn(pan.inside_mm, _rounds(fit, tin.diameter_mm))


def _drawn(size: tuple[float, float], rounds: tuple[Round, ...]) -> Drawing | None:
    return Drawing((Box(0, 0, *size),), rounds) if rounds else None


def _rounds(fit: Fit, diameter: float, tone: str = "strong") -> tuple[Round, ...]:
    return tuple(
        Round(at[0], at[1], diameter, str(number), tone, FILLS[0])
        for number, at in enumerate(fit.at_mm, 1)
    )


def _tray_rounds(tray: Tray, diameter: float) -> tuple[Round, ...]:
    """Number a tray's tins in fill order; in a mixed one every second scent is filled ``:``."""
    names = tray.scent_names
    return tuple(
        Round(x, y, diameter, str(number), "strong", FILLS[names.index(scent) % 2])
        for number, ((x, y), scent) in enumerate(zip(tray.at_mm, tray.scents, strict=False), 1)
    )


def _shelf(day: Day, fits: Sequence[Fit], fit: Fit, trays: tuple[Tray, ...]) -> Drawing | None:
    """Draw the pans with full fits on them, or with the tins of the given trays."""
    oven, pan = day.ovens[fit.oven or ""], day.pans[fit.pan or ""]
    full = next((each for each in fits if each.pan == pan.name and each.tin and each.at_mm), None)
    rim = [(out - floor) / 2 for out, floor in zip(pan.outside_mm, pan.inside_mm, strict=True)]
    boxes = [Box(0, 0, *oven.shelf_mm)]
    rounds: list[Round] = []
    for number, place in enumerate(fit.at_mm):
        x, y, turned = place[0], place[1], len(place) > 2 and bool(place[2])
        size = pan.outside_mm[::-1] if turned else pan.outside_mm
        own: tuple[Round, ...] = ()
        label = f"pan {number + 1}"
        if number < len(trays):
            tray, label = trays[number], f"tray {trays[number].number}"
            own = _tray_rounds(tray, day.tins[day.recipes[tray.recipe].tin].diameter_mm)
        elif trays:
            continue
        elif full is not None:
            own = _rounds(full, day.tins[full.tin or ""].diameter_mm)
        boxes.append(Box(x, y, *size, label, "hot"))
        for tin in own:
            along, across = tin.x + rim[0], tin.y + rim[1]
            spot = (x + across, y + along) if turned else (x + along, y + across)
            rounds.append(Round(*spot, tin.diameter, tin.label, tin.tone, tin.fill))
    return Drawing(tuple(boxes), tuple(rounds)) if fit.at_mm else None


def ruler(mm_a_cell: float, width: int, system: str) -> Row:
    """Return a line of a round length, drawn to the same scale, with that length in words."""
    one, choice = (25.4, (24, 12, 8, 4, 2, 1)) if system == "us" else (10.0, (50, 20, 10, 5, 2, 1))
    for count in choice:
        length = math.floor(count * one / mm_a_cell + 0.5)
        if 2 <= length <= max(2, width // 3):
            words = units.show_length(count * one, system)
            return clip(row(Piece("├" + "─" * (length - 2) + "┤ " + words, "quiet")), width)
    return BLANK

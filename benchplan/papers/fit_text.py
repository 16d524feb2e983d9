"""What fits on what, and what a file leaves to the usual values, in words."""

from __future__ import annotations

from collections.abc import Sequence

from benchplan import clock, units
from benchplan.model import Day, Fit, Margins
from benchplan.model.cells import wrap
from benchplan.model.words import at_clock, count_words, fit_words
from benchplan.papers.cautions import day_cautions
from benchplan.papers.margin_words import margin_words
from benchplan.papers.page import date_words, day_words, paragraph


def fits_text(
    day: Day, fits: Sequence[Fit], margins: Sequence[Margins | None], width: int = 80
) -> str:
    """Return every fit with the sizes that it comes from, and its margins where it has any."""
    lines = [day.name, ""]
    for fit, margin in zip(fits, margins, strict=True):
        lines += paragraph(f"{what_words(fit)}: {fit_words(fit)}.", width, "")
        lines += paragraph(_sizes(day, fit), width, "    ")
        for sentence in margin_words(day, fit, margin) if margin else ():
            lines += paragraph(sentence, width, "    ")
    lines += ["", *wrap("To print where each one stands: benchplan fit FILE --svg DIR.", width)]
    return "\n".join(lines) + "\n"


def check_text(
    day: Day,
    fits: Sequence[Fit],
    possible: bool = True,
    width: int = 80,
    warnings: Sequence[str] = (),
) -> str:
    """Return what was read, what fits, what is left to usual values, and what is next.

    ``warnings`` are sentences about values that are past a limit.
    """
    lines = [
        *wrap(day.name, width),
        *wrap(f"{date_words(day)} from {at_clock(day, 0)}", width),
        *wrap(
            f"{count_words(day.tins_wanted, 'tin')} in "
            f"{count_words(len({order.scent for order in day.orders}), 'scent')}: {day_words(day)}",
            width,
        ),
        "",
        "WHAT FITS",
        *(
            line
            for fit in fits
            for line in paragraph(f"{what_words(fit)}: {fit_words(fit)}", width)
        ),
    ]
    mind = [f"! {each}" for each in warnings] + list(day_cautions(day))
    if mind:
        lines += ["", "MIND", *(line for each in mind for line in paragraph(each, width))]
    if day.defaults:
        lines += ["", "LEFT OUT OF THE FILE, SO TAKEN AS USUAL"]
        lines += [line for each in default_lines(day) for line in paragraph(each, width)]
    if possible:
        said = "Nothing here stands in the way."
        if warnings:
            said = (
                f"{count_words(len(warnings), 'value')} past a limit: read what MIND says. You "
                "are asked about each before the first real run."
            )
        lines += ["", *wrap(f"{said} Next: benchplan plan FILE.", width)]
    return "\n".join(lines) + "\n"


def what_words(fit: Fit) -> str:
    """Say what is on what: "low 72 on pan small", "low 72 on the mat"."""
    if fit.what == "tins on pan":
        return f"{fit.tin} on pan {fit.pan}"
    if fit.what == "pans on shelf":
        return f"pan {fit.pan} on a shelf of {fit.oven}"
    return f"{fit.tin} on the mat"


def _sizes(day: Day, fit: Fit) -> str:
    """Say the sizes that decide a fit, in the day's own units."""
    system = day.display.units

    def length(mm: float) -> str:
        return units.show_length(mm, system)

    def area(mm: tuple[float, float]) -> str:
        return f"{length(mm[0])} by {length(mm[1])}"

    if fit.what == "tins on pan" and fit.pan and fit.tin:
        pan = day.pans[fit.pan]
        return (
            f"tin {length(day.tins[fit.tin].diameter_mm)} across, floor {area(pan.inside_mm)}, "
            f"{length(pan.gap_mm)} between tins, {length(pan.edge_mm)} to the rim"
        )
    if fit.what == "pans on shelf" and fit.pan and fit.oven:
        oven = day.ovens[fit.oven]
        most = f", at most {count_words(oven.most_tins, 'tin')} a load" if oven.most_tins else ""
        return (
            f"pan {area(day.pans[fit.pan].outside_mm)} outside, shelf {area(oven.shelf_mm)}, "
            f"{length(oven.air_mm)} of air, {count_words(oven.shelves, 'shelf', 'shelves')}{most}"
        )
    cooling = day.cooling
    if cooling.mat_mm is None or fit.tin is None:
        return "your own number"
    return (
        f"tin {length(day.tins[fit.tin].diameter_mm)} across, mat {area(cooling.mat_mm)}, "
        f"{length(cooling.gap_mm)} between tins"
    )


def default_lines(day: Day) -> list[str]:
    """Return the defaults that a day leans on, a line for each table of the file."""
    tables: dict[str, list[str]] = {}
    for key in day.defaults:
        table, _, name = key.rpartition(".")
        tables.setdefault(table, []).append(f"{name} {_default(day, table, name)}".rstrip())
    return [f"{table or 'top'}: {', '.join(said)}" for table, said in tables.items()]


def _default(day: Day, table: str, name: str) -> str:
    """Return the value that a key without a value was given, or nothing where none is to show."""
    kind, _, owner = table.partition(".")
    owner = owner.strip("\"'")
    record: object = {
        "day": day,
        "cooling": day.cooling,
        "times": day.times,
        "display": day.display,
        "pans": day.pans.get(owner),
        "ovens": day.ovens.get(owner),
        "recipes": day.recipes.get(owner),
        "tins": day.tins.get(owner),
        "scents": day.scents.get(owner),
    }.get(kind, day)
    system = day.display.units
    for suffix in ("", "_mm", "_s", "_c", "_g", "_ml"):
        value = getattr(record, name + suffix, None)
        if value is None:
            continue
        if suffix == "_s" or name == "per_kelvin":
            return clock.show_span(value)
        if suffix == "_c":
            return units.show_temperature(value, system)
        if suffix == "_mm" and isinstance(value, tuple):
            return " by ".join(units.show_length(each, system) for each in value)
        if suffix == "_mm":
            return units.show_length(value, system)
        if isinstance(value, bool):
            return "yes" if value else "no"
        if isinstance(value, (int, str)):
            return str(value)
        return "none" if value == () else ""
    return "estimated" if name == "cool_for" else ""

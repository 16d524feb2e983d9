"""What a fit could spare, and what one more tin would need, in words.

Lengths are rounded to the safe side: what is spare never up, what is needed never down.
"""

from __future__ import annotations

from benchplan import units
from benchplan.model import Day, Fit, Margins
from benchplan.model.words import either_words


def margin_words(day: Day, fit: Fit, margins: Margins) -> tuple[str, ...]:
    """Return the sentences of a fit's margins, in the day's units."""
    system = day.display.units
    spare = [
        (margins.larger_tin, "tins up to {} larger"),
        (margins.shorter, "a floor up to {} shorter"),
        (margins.narrower, "a floor up to {} narrower"),
    ]
    needs = [
        (margins.longer, "{} more length", units.show_at_least),
        (margins.wider, "{} more width", units.show_at_least),
        (margins.gap, "a gap of {}", units.show_at_most),
        (margins.smaller_tin, "tins {} smaller", units.show_at_least),
    ]
    shown = [(units.show_at_most(mm, system), words) for mm, words in spare]
    kept = [words.format(length) for length, words in shown if not length.startswith("0 ")]
    asked = [words.format(show(mm, system)) for mm, words, show in needs if mm is not None]
    still = f"With {either_words(kept)}, still {fit.count}."
    return (
        still if kept else "With this layout there is nothing to spare.",
        *([f"One more, in rows, needs {either_words(asked)}."] if asked else []),
    )

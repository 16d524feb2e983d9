"""Every text on every background reads at 7:1 or better, in every look."""

from __future__ import annotations

import itertools
import re
from pathlib import Path

import pytest
import wcag_contrast_ratio as wcag

from benchplan.screens import theme as looks

LEAST = 7.0
FOLDER = Path(looks.__file__).parent


def rgb(colour: str) -> tuple[float, float, float]:
    red, green, blue = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    return red, green, blue


def contrast(one: str, other: str) -> float:
    found: float = wcag.rgb(rgb(one), rgb(other))
    return found


def test_the_measure_agrees_with_published_values() -> None:
    # W3C, WCAG 2.x: black on white is 21:1. #767676 is the lightest grey of 4.5:1 on white and
    # #777777 is not (4.5422 and 4.4781), #595959 is the one of 7:1 (7.0047): values as given in
    # accessibility guides, computed with (L1 + 0.05) / (L2 + 0.05).
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.5422, abs=1e-3)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.4781, abs=1e-3)
    assert contrast("#595959", "#ffffff") == pytest.approx(7.0047, abs=1e-3)


@pytest.mark.parametrize(
    ("look", "pair"), list(itertools.product(looks.LOOKS, looks.PAIRS)), ids=str
)
def test_every_pair_reads(look: str, pair: tuple[str, str]) -> None:
    colours = looks.LOOKS[look]
    assert contrast(colours[pair[0]], colours[pair[1]]) >= LEAST


@pytest.mark.parametrize("look", looks.LOOKS)
def test_a_look_has_every_colour(look: str) -> None:
    assert looks.LOOKS[look].keys() == looks.DARK.keys()


def test_the_look_without_colour_has_none() -> None:
    assert set(looks.MONO.values()) == {"#000000", "#ffffff"}


def test_style_sheets_use_our_colours_only_and_no_ids() -> None:
    sheets = sorted(FOLDER.glob("*.tcss"))
    assert sheets
    for sheet in sheets:
        text = sheet.read_text()
        for value in re.findall(r"(?:color|background|border|background-tint):([^;]*);", text):
            words = [word for word in value.split() if word not in PLAIN]
            for word in words:
                assert word.startswith("$"), f"{sheet.name}: {value}"
                assert word[1:] in looks.DARK, f"{sheet.name}: {value}"
        assert "#" not in text, f"{sheet.name}: colours and ids are given by class only"


PLAIN = {"solid", "none", "transparent"}

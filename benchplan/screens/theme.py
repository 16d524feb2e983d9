"""The looks of the app: dark, light and without colour, all our own.

Every pair of text and background below has a contrast of at least 7:1 (WCAG 2.2, level AAA).
Style sheets use these names only, so a pair that is not listed here cannot be put on a screen.
"""

from __future__ import annotations

from textual.theme import Theme

# Text name -> background name, as the style sheets pair them.
PAIRS = (
    ("ink", "paper"),
    ("quiet", "paper"),
    ("head", "paper"),
    ("good", "paper"),
    ("warn", "paper"),
    ("hot", "paper"),
    ("cool", "paper"),
    ("hands", "paper"),
    ("away", "paper"),
    ("late-ink", "late-paper"),
    ("soon-ink", "soon-paper"),
    ("tell-ink", "tell-paper"),
    ("pick-ink", "pick-paper"),
    ("bar-ink", "bar-paper"),
    ("bar-quiet", "bar-paper"),
    ("ink", "box-paper"),
    ("quiet", "box-paper"),
    ("head", "box-paper"),
    ("good", "box-paper"),
    ("warn", "box-paper"),
    ("hot", "box-paper"),
    ("cool", "box-paper"),
    ("hands", "box-paper"),
    ("away", "box-paper"),
)

DARK = {
    "paper": "#12100e",
    "ink": "#f4ede4",
    "quiet": "#bdb3a7",
    "head": "#e9c98f",
    "good": "#93d99a",
    "warn": "#ffd166",
    "hot": "#ffb27a",
    "cool": "#98cfff",
    "hands": "#dcc6ff",
    "away": "#bdb3a7",
    "late-ink": "#ffffff",
    "late-paper": "#8f1212",
    "soon-ink": "#12100e",
    "soon-paper": "#ffd166",
    "tell-ink": "#12100e",
    "tell-paper": "#98cfff",
    "pick-ink": "#12100e",
    "pick-paper": "#e9c98f",
    "bar-ink": "#fff8ee",
    "bar-quiet": "#d3c9bd",
    "bar-paper": "#2c2620",
    "box-paper": "#1d1a17",
    "rule": "#7d7367",
}

LIGHT = {
    "paper": "#fcf8f1",
    "ink": "#1c1713",
    "quiet": "#544a40",
    "head": "#5c3a00",
    "good": "#0c531d",
    "warn": "#663f00",
    "hot": "#7e2a00",
    "cool": "#0b4674",
    "hands": "#552a80",
    "away": "#544a40",
    "late-ink": "#ffffff",
    "late-paper": "#8f1212",
    "soon-ink": "#1c1713",
    "soon-paper": "#ffcf5a",
    "tell-ink": "#ffffff",
    "tell-paper": "#0b4674",
    "pick-ink": "#ffffff",
    "pick-paper": "#5c3a00",
    "bar-ink": "#1c1713",
    "bar-quiet": "#41382f",
    "bar-paper": "#e6dccd",
    "box-paper": "#f4eee4",
    "rule": "#877b6d",
}

_BLACK, _WHITE = "#000000", "#ffffff"
MONO = {
    name: _WHITE
    if name.endswith("paper") and name.split("-")[0] in ("late", "soon", "tell", "pick", "bar")
    else _BLACK
    if name.endswith("paper") or name.split("-")[0] in ("late", "soon", "tell", "pick", "bar")
    else _WHITE
    for name in DARK
}

LOOKS = {"dark": DARK, "light": LIGHT, "without colour": MONO}


def theme(name: str) -> Theme:
    """Return one of ``LOOKS`` as a Textual theme."""
    colours = LOOKS[name]
    return Theme(
        name=name,
        primary=colours["head"],
        secondary=colours["cool"],
        accent=colours["head"],
        warning=colours["warn"],
        error=colours["late-paper"],
        success=colours["good"],
        foreground=colours["ink"],
        background=colours["paper"],
        surface=colours["box-paper"],
        panel=colours["bar-paper"],
        dark=name != "light",
        text_alpha=1.0,
        variables=colours
        | {
            "input-cursor-background": colours["ink"],
            "input-cursor-foreground": colours["paper"],
            "input-selection-background": colours["pick-paper"],
            "input-selection-foreground": colours["pick-ink"],
            "scrollbar": colours["rule"],
            "scrollbar-background": colours["paper"],
            "scrollbar-corner-color": colours["paper"],
        },
    )

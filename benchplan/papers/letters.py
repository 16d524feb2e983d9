"""Letters for terminals that cannot show all of them."""

from __future__ import annotations

import unicodedata

from benchplan.errors import printable

_STAND_INS = {
    "°": "deg ", "×": "x", "·": "-", "–": "-", "—": "-", "‘": "'", "’": "'", "“": '"', "”": '"',
    "…": "...", "½": "1/2", "¼": "1/4", "¾": "3/4", "→": "->", "←": "<-", "≤": "<=", "≥": ">=",
    "±": "+/-", "≈": "~", "•": "*", "\u00a0": " ", "\u202f": " ", "ß": "ss", "æ": "ae", "œ": "oe",
    "ø": "o", "đ": "d", "ł": "l", "Æ": "AE", "Œ": "OE", "Ø": "O", "Đ": "D", "Ł": "L",
}  # fmt: skip


def spelled_for(text: str, encoding: str | None) -> str:
    """Return a text with every letter that ``encoding`` lacks replaced by the nearest it has.

    An unknown or missing encoding counts as ASCII. What has no near letter becomes ``?``, and so
    does what is no letter.
    """
    text = printable(text)
    try:
        text.encode(encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return "".join(_letter(char, encoding or "ascii") for char in text)
    return text


def _letter(char: str, encoding: str) -> str:
    try:
        char.encode(encoding)
    except UnicodeEncodeError:
        plain = unicodedata.normalize("NFKD", char)
        plain = "".join(each for each in plain if each.isascii())
        return _STAND_INS.get(char) or plain or "?"
    except LookupError:
        return _letter(char, "ascii")
    return char

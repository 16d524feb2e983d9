"""What people type for a length, a mass or a time, and how it is shown; only here is Pint known.

Everything inside the program is millimetres, grams, millilitres, degrees Celsius, seconds and
fractions. The list of spellings is closed on purpose: a library that knows every unit reads
"fl oz" as femtolitre ounces and "m" as metres; here an unknown word is answered with those that
would do. Pint knows what each unit is worth; it is imported when the first quantity is read, and
counts in exact fractions, so that "2.9 in" is 73.66 mm to the last digit.
"""

from __future__ import annotations

import math
import os
import re
import threading
import unicodedata
from collections.abc import Callable
from fractions import Fraction
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, Any

from benchplan.errors import BenchplanError
from benchplan.home import home

if TYPE_CHECKING:
    import pint

# kind -> Pint's name of a unit -> how people write it (a word of three letters or more may have
# an "s" at its end; case, dots, spaces and hyphens do not matter).
SPELLINGS: dict[str, dict[str, str]] = {
    "length": {
        "millimeter": "mm millimetre millimeter",
        "centimeter": "cm centimetre centimeter",
        "meter": "m metre meter",
        "inch": "in inch inches \" ''",
        "foot": "ft foot feet '",
    },
    "mass": {
        "gram": "g gram gramme",
        "kilogram": "kg kilo kilogram kilogramme",
        "milligram": "mg milligram milligramme",
        "ounce": "oz ounce",
        "pound": "lb lbs pound",
    },
    "volume": {
        "milliliter": "ml millilitre milliliter cc",
        "centiliter": "cl centilitre centiliter",
        "deciliter": "dl decilitre deciliter",
        "liter": "l litre liter",
        "fluid_ounce": "floz fluidoz fluidounce usfloz",
        "teaspoon": "tsp teaspoon",
        "tablespoon": "tbsp tbs tablespoon",
        "cup": "cup",
        "pint": "pt pint",
        "quart": "qt quart",
        "gallon": "gal gallon",
    },
    "temperature": {
        "degree_Celsius": "c degc degreec celsius degcelsius degreecelsius centigrade",
        "degree_Fahrenheit": "f degf degreef fahrenheit degfahrenheit degreefahrenheit",
        "kelvin": "k kelvin",
    },
    "duration": {
        "second": "s sec second",
        "minute": "min minute",
        "hour": "h hr hour",
        "day": "d day",
        "week": "wk week",
    },
    "share": {"percent": "% pct percent"},
}
# kind -> (Pint's name of the unit kept inside, what would do, units to offer for a bare number)
KINDS: dict[str, tuple[str, str, tuple[str, ...]]] = {
    "length": ("millimeter", '"72 mm", "7.2 cm" or "2.9 in"', ("mm", "cm", "in")),
    "mass": ("gram", '"31 g", "1.1 oz" or "2 lb"', ("g", "oz")),
    "volume": ("milliliter", '"65 ml", "2.2 floz" or "1/4 tsp"', ("ml", "floz", "tsp")),
    "temperature": ("degree_Celsius", '"158 degC" or "330 degF"', ("degC", "degF")),
    "duration": ("second", '"90 s", "9 min", "1 h 30 min" or "2 day"', ("s", "min", "h")),
    "share": ("dimensionless", '"18 %"', ("%",)),
}
# The least and the most that is no slip of the pen, in the unit kept inside.
LIMITS: dict[str, tuple[float, float]] = {
    "length": (0.0, 100_000.0),
    "mass": (0.0, 1_000_000.0),
    "volume": (0.0, 1_000_000.0),
    "temperature": (-273.15, 2_000.0),
    "duration": (0.0, 1_000 * 86_400.0),
    "share": (0.0, 1.0),
}
LONGEST = 60  # characters of one quantity

# Exact: NIST Handbook 44, Appendix C. Only for showing, so that a screen needs no registry.
_MM_PER_INCH = 25.4
_G_PER_OUNCE = 28.349523125
_ML_PER_FLUID_OUNCE = 29.5735295625
_ML_PER_TEASPOON = 4.92892159375

_NUMBER = re.compile(r"(?:\d+(?:\s+|-))?\d+\s*/\s*\d+|[\d.,]*\d[\d.,]*")
_CLOCK = re.compile(r"(\d+):([0-5]\d)(?::([0-5]\d))?")
_LOCK = threading.Lock()


class UnitProblem(ValueError):  # noqa: N818
    """A text that is no quantity of the kind asked for: ``what`` is wrong, ``cure`` would do."""

    def __init__(self, what: str, cure: str) -> None:
        super().__init__(f"{what} {cure}")
        self.what = what
        self.cure = cure


def parse(text: str, kind: str) -> float:
    """Return the quantity ``text`` in the unit kept inside for its ``kind``.

    "length" gives mm, "mass" g, "volume" ml, "temperature" degrees Celsius (a point on the
    scale, never a difference), "duration" seconds, "share" a fraction from 0 to 1. Raises
    ``UnitProblem`` with a sentence and a cure.
    """
    plain = _plain(text)
    shown = f'"{_short(text)}"'
    if not plain:
        raise UnitProblem(f"Nothing is written here; a {kind} is needed.", _like(kind))
    if len(plain) > LONGEST:
        raise UnitProblem(f"{shown} is too long for a {kind}.", _like(kind))
    if kind == "duration" and (clock := _CLOCK.fullmatch(plain)):
        return _clock_seconds(clock, shown)
    if re.search(r"\d'\d{3}", plain):
        what = f'The "\'" in {shown} may stand for feet or for "thousand".'
        raise UnitProblem(what, 'Write it like "1000 mm" or "1 ft".')
    negative, plain = plain[0] in "-−", plain.lstrip("-−").lstrip()
    parts = _parts(plain, kind, shown, "-" if negative and kind == "temperature" else "")
    if kind in ("temperature", "share") and len(parts) > 1:
        raise UnitProblem(f"{shown} is more than one {kind}.", _like(kind))
    if kind == "temperature":
        number, unit = parts[0]
        value = float(_convert(-number if negative else number, unit, kind))
    else:
        sizes = [_factor(unit, kind) for _, unit in parts]
        if any(later >= size for size, later in pairwise(sizes)):
            raise UnitProblem(f"{shown} does not go from large to small.", _like(kind))
        value = float(sum(each * size for (each, _), size in zip(parts, sizes, strict=True)))
        if negative and value:
            raise UnitProblem(f"{shown} is less than nothing.", f"A {kind} is 0 or more.")
    least, most = LIMITS[kind]
    if not least <= value <= most:
        end = "low" if value < least else "high"
        raise UnitProblem(f"{shown} is too {end} for a {kind}.", _like(kind))
    return value


def offers(number: str, kind: str) -> str:
    """Return what would do for a bare ``number``: ``"72 mm", "72 cm" or "72 in"``."""
    written = [f'"{number} {unit}"' for unit in KINDS[kind][2]]
    return written[0] if len(written) == 1 else ", ".join(written[:-1]) + " or " + written[-1]


def _like(kind: str) -> str:
    return f"Write it like {KINDS[kind][1]}."


def _short(text: str) -> str:
    shown = " ".join(each for each in text.split() if each)
    shown = "".join(each if each.isprintable() else "?" for each in shown)
    return shown if len(shown) <= LONGEST else shown[: LONGEST - 1] + "…"


def _plain(text: str) -> str:
    """Return ``text`` in one form: ½ as 1/2, one sign for degrees, ³ and odd spaces plain."""
    found = []
    for each in text[: 4 * LONGEST]:
        if each in "º˚":
            each = "°"
        elif each in "″”“":
            each = '"'
        elif each in "′’":
            each = "'"
        elif unicodedata.category(each) == "No" and "⁄" in unicodedata.normalize("NFKC", each):
            each = " " + unicodedata.normalize("NFKC", each)
        found.append(each)
    plain = unicodedata.normalize("NFKC", "".join(found)).replace("⁄", "/")
    plain = re.sub(r"\bcm\s?\^?3\b|(?<=\d)cm\^?3\b", "cc", plain, flags=re.IGNORECASE)
    return " ".join(plain.split())


def _clock_seconds(clock: re.Match[str], shown: str) -> float:
    first, second, third = clock.groups()
    if third is None:
        raise UnitProblem(
            f"{shown} may be minutes and seconds, or hours and minutes.",
            f'Write "{int(first)} min {int(second)} s" or "{int(first)} h {int(second)} min".',
        )
    seconds = float(int(first) * 3600 + int(second) * 60 + int(third))
    if seconds > LIMITS["duration"][1]:
        raise UnitProblem(f"{shown} is too high for a duration.", _like("duration"))
    return seconds


def _parts(plain: str, kind: str, shown: str, sign: str) -> list[tuple[Fraction, str]]:
    """Split "1 h 30 min" into numbers and Pint's names of their units; ``sign`` is for messages."""
    numbers = list(_NUMBER.finditer(plain))
    if not numbers or numbers[0].start() > 0:
        raise UnitProblem(f"{shown} does not begin with a number.", _like(kind))
    ends = [number.start() for number in numbers[1:]] + [len(plain)]
    words = [plain[n.end() : end].strip() for n, end in zip(numbers, ends, strict=True)]
    parts: list[tuple[Fraction, str]] = []
    for place, (number, word) in enumerate(zip(numbers, words, strict=True)):
        if place < len(numbers) - 1:
            word = re.sub(r"\s*(?:,|&|\+|\band)$", "", word)
        value, written = _number(number[0], shown), sign + number[0]
        if not word:
            raise UnitProblem(
                f"{shown} has {'no' if len(numbers) == 1 else 'a number without a'} unit.",
                f"Write {offers(written, kind)}." if len(numbers) == 1 else _like(kind),
            )
        after_hours = bool(parts) and parts[-1][1] == "hour"
        if kind == "duration" and word.lower() == "m" and after_hours:
            word = "min"  # "1 h 30 m" can be nothing else
        parts.append((value, _unit(word, kind, written, shown)))
    return parts


def _number(written: str, shown: str) -> Fraction:
    """Return a number as people write it: 66, 2.6, 2,6, 1/32, 1 1/2, 1-1/2."""
    if "/" in written:
        *whole, over, under = (int(each) for each in re.findall(r"\d+", written))
        if under == 0:
            raise UnitProblem(f"{shown} divides by zero.", 'Write a fraction like "1/2".')
        return sum(whole) + Fraction(over, under)
    if re.fullmatch(r"\d+\.?|\d*\.\d+", written):
        return Fraction(written.rstrip("."))
    if comma := re.fullmatch(r"(\d+),(\d+)", written):
        first, second = comma.groups()
        if len(second) != 3 or int(first) == 0:
            return Fraction(f"{first}.{second}")
        raise UnitProblem(
            f'The comma in {shown} may stand for a decimal point or for "thousand".',
            f"Write {first}.{second.rstrip('0') or '0'} or {first}{second}.",
        )
    raise UnitProblem(f'"{written}" in {shown} is not a number.', 'Write it like "1250" or "2.5".')


@cache
def _spelt(kind: str) -> dict[str, str]:
    """Return spelling -> Pint's name for one kind."""
    found = {}
    for unit, spellings in SPELLINGS[kind].items():
        for word in spellings.split():
            found[word] = unit
            if len(word) > 2:
                found[word + "s"] = unit
    return found


def _unit(word: str, kind: str, number: str, shown: str) -> str:
    """Return Pint's name of the unit that ``word`` means for this kind."""
    plain = re.sub(r"[\s._-]+", "", word.lower())
    if kind == "temperature":
        plain = plain.replace("degrees", "degree").replace("°", "deg")
    if plain in (spelt := _spelt(kind)):
        return spelt[plain]
    if kind == "volume" and _spelt("mass").get(plain) == "ounce":
        raise UnitProblem(
            f"{shown} is a mass; a volume is needed.",
            f'For US fluid ounces write "{number} floz".',
        )
    if kind == "mass" and _spelt("volume").get(plain) == "fluid_ounce":
        raise UnitProblem(
            f"{shown} is a volume; a mass is needed.",
            f'For ounces by weight write "{number} oz".',
        )
    if kind == "duration" and plain == "m":
        raise UnitProblem(
            f'"m" in {shown} stands for metres.', f'For minutes write "{number} min".'
        )
    if kind == "temperature" and plain in ("deg", "degree"):
        raise UnitProblem(
            f"{shown} does not say which degrees.",
            f'Write "{number} degC" or "{number} degF".',
        )
    for other in SPELLINGS:
        if plain in _spelt(other):
            raise UnitProblem(f"{shown} is a {other}; a {kind} is needed.", _like(kind))
    raise UnitProblem(
        f'"{_short(word)}" in {shown} is not a unit of {kind} known here.', _like(kind)
    )


@cache
def _factor(unit: str, kind: str) -> Fraction:
    return _convert(Fraction(1), unit, kind)


def _convert(value: Fraction, unit: str, kind: str) -> Fraction:
    with _LOCK:  # a worker and the screen may both read their first quantity
        registry = _registry()
    return Fraction(registry.convert(value, unit, KINDS[kind][0]))


def cache_folder() -> Path:
    """Return the folder in which the prepared table of units is kept; BENCHPLAN_HOME overrides."""
    if os.environ.get("BENCHPLAN_HOME", "").strip():
        return home() / "cache" / "units"
    import platformdirs

    return platformdirs.user_cache_path("benchplan", appauthor=False) / "units"


@cache
def _registry() -> pint.UnitRegistry[Any]:
    """Build Pint's registry once, with its table kept on disk; without where that cannot be."""
    import pint

    try:
        folder = cache_folder()
    except BenchplanError:  # whoever needs the data folder says so
        return pint.UnitRegistry(cache_folder=None, non_int_type=Fraction)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        if os.access(folder, os.W_OK):
            return pint.UnitRegistry(cache_folder=folder, non_int_type=Fraction)
    except Exception:
        # No folder, a full disk, a table cut short: do without; the next start makes it anew.
        import shutil

        shutil.rmtree(folder, ignore_errors=True)
    return pint.UnitRegistry(cache_folder=None, non_int_type=Fraction)


def show_length(mm: float, units: str) -> str:
    """Return a length: "72 mm", or in inches to the eighth ("2 7/8 in") or two decimals."""
    if units != "us":
        return f"{_decimal(mm, 1)} mm"
    inches = mm / _MM_PER_INCH
    return f"{_fraction(inches, 8, 0.0025) or _decimal(inches, 2)} in"


def show_at_most(mm: float, units: str) -> str:
    """Return the longest length that is shown and no longer: to 0.1 mm, or 0.01 in."""
    return _stepped(mm, units, math.floor)


def show_at_least(mm: float, units: str) -> str:
    """Return the shortest length that is shown and no shorter: to 0.1 mm, or 0.01 in."""
    return _stepped(mm, units, math.ceil)


def _stepped(mm: float, units: str, whole: Callable[[float], int]) -> str:
    unit, size, places = ("in", _MM_PER_INCH, 2) if units == "us" else ("mm", 1.0, 1)
    steps = whole(round(mm / size * 10**places, 6))  # 1.1 mm are eleven tenths, not a hair more
    return f"{_decimal(steps / 10**places, places)} {unit}"


def show_mass(g: float, units: str) -> str:
    """Return a mass: "31 g", "1.25 kg"; in ounces with one decimal, more below a tenth."""
    if units != "us":
        if abs(g) >= 1000:
            return f"{_decimal(g / 1000, 3)} kg"
        return f"{_decimal(g, 1 if abs(g) >= 1 else 2)} g"
    ounces = g / _G_PER_OUNCE
    return f"{_decimal(ounces, 1 if abs(ounces) >= 0.1 else 3)} oz"


def show_volume(ml: float, units: str) -> str:
    """Return a volume: "65 ml", "1.5 l"; "2.2 fl oz", and teaspoons below one of them."""
    if units != "us":
        if abs(ml) >= 1000:
            return f"{_decimal(ml / 1000, 3)} l"
        return f"{_decimal(ml, 1 if abs(ml) >= 1 else 2)} ml"
    spoons = ml / _ML_PER_TEASPOON
    if 0 < spoons < 1:
        return f"{_fraction(spoons, 32, 0.002) or _decimal(spoons, 2)} tsp"
    return f"{_decimal(ml / _ML_PER_FLUID_OUNCE, 1)} fl oz"


def show_temperature(c: float, units: str) -> str:
    """Return a temperature: "158 °C", "316 °F" (whole degrees Fahrenheit)."""
    return f"{_decimal(c * 9 / 5 + 32, 0)} °F" if units == "us" else f"{_decimal(c, 1)} °C"


def _decimal(value: float, places: int) -> str:
    shown = f"{value:.{places}f}"
    if "." in shown:
        shown = shown.rstrip("0").rstrip(".")
    return "0" if shown == "-0" else shown


def _fraction(value: float, parts: int, miss: float) -> str:
    """Return "2 5/8" where ``value`` is within ``miss`` of a whole number of ``parts``, else ""."""
    count = round(value * parts)
    if count <= 0 or abs(value - count / parts) > miss:
        return ""
    whole, rest = divmod(count, parts)
    while rest and rest % 2 == 0:
        rest, parts = rest // 2, parts // 2
    shown = [str(whole)] if whole else []
    return " ".join([*shown, f"{rest}/{parts}"] if rest else shown)

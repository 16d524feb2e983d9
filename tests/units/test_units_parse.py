"""What people type is read, exactly, or answered with what would do."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchplan import units

READ = [
    ("length", "72mm", 72.0),
    ("length", "72 mm", 72.0),
    ("length", "72 MM", 72.0),
    ("length", "7.2 cm", 72.0),
    ("length", "2,5 cm", 25.0),
    ("length", "0,125 in", 3.175),
    ("length", "2.9 in", 73.66),
    ("length", "1 1/2 in", 38.1),
    ("length", "1-1/2 in", 38.1),
    ("length", "1½ in", 38.1),
    ("length", "½in", 12.7),
    ("length", '2 1/2"', 63.5),
    ("length", "2 7/8 inches", 73.025),
    ("length", "2 ft 3 in", 685.8),
    ("length", "72\u00a0mm", 72.0),
    ("length", "７２ mm", 72.0),
    ("length", "72.", None),
    ("length", "72. mm", 72.0),
    ("mass", "31g", 31.0),
    ("mass", "1 lb 4 oz", 566.9904625),
    ("mass", "0 g", 0.0),
    ("volume", "2 fl oz", 59.147059125),
    ("volume", "2 floz", 59.147059125),
    ("volume", "2 fl. oz.", 59.147059125),
    ("volume", "2 fluid ounces", 59.147059125),
    ("volume", "2 US fl oz", 59.147059125),
    ("volume", "1/32 tsp", 0.1540287998046875),
    ("volume", "60 cm³", 60.0),
    ("volume", "60cm3", 60.0),
    ("volume", "60 cc", 60.0),
    ("temperature", "330 F", 1490 / 9),
    ("temperature", "330 °F", 1490 / 9),
    ("temperature", "330 ºF", 1490 / 9),
    ("temperature", "330 degF", 1490 / 9),
    ("temperature", "330 deg F", 1490 / 9),
    ("temperature", "330 degrees F", 1490 / 9),
    ("temperature", "330℉", 1490 / 9),
    ("temperature", "158 C", 158.0),
    ("temperature", "158 °C", 158.0),
    ("temperature", "158 celsius", 158.0),
    ("temperature", "-5 C", -5.0),
    ("temperature", "−5 C", -5.0),
    ("duration", "20 min", 1200.0),
    ("duration", "1 h 30 min", 5400.0),
    ("duration", "1h30min", 5400.0),
    ("duration", "1h30m", 5400.0),
    ("duration", "1 h, 30 min", 5400.0),
    ("duration", "1 hour and 30 minutes", 5400.0),
    ("duration", "1 1/2 h", 5400.0),
    ("duration", "90 s", 90.0),
    ("duration", "90 secs", 90.0),
    ("duration", "1:30:00", 5400.0),
    ("duration", "2 day", 172_800.0),
    ("duration", "0 s", 0.0),
    ("share", "18 %", 0.18),
    ("share", "18%", 0.18),
    ("share", "18 per cent", 0.18),
]


@pytest.mark.parametrize(("kind", "text", "value"), READ)
def test_what_people_type(kind: str, text: str, value: float | None) -> None:
    if value is None:
        with pytest.raises(units.UnitProblem):
            units.parse(text, kind)
    else:
        assert units.parse(text, kind) == value


# text, kind, a word that the message must hold
REFUSED = [
    ("2 oz", "volume", '"2 floz"'),
    ("2 ounces", "volume", '"2 floz"'),
    ("2 fl oz", "mass", '"2 oz"'),
    ("31 g", "volume", "is a mass"),
    ("65 ml", "mass", "is a volume"),
    ("72 mm", "mass", "is a length"),
    ("20 m", "duration", '"20 min"'),
    ("72", "length", '"72 mm", "72 cm" or "72 in"'),
    ("330", "temperature", '"330 degC" or "330 degF"'),
    ("330 °", "temperature", '"330 degF"'),
    ("-40", "temperature", '"-40 degC" or "-40 degF"'),
    ("−40 °", "temperature", '"-40 degF"'),
    ("5 delta_degC", "temperature", "delta_degC"),
    ("1 degC 3 degC", "temperature", "more than one"),
    ("-300 C", "temperature", "too low"),
    ("1:30", "duration", '"1 min 30 s" or "1 h 30 min"'),
    ("1 h 30", "duration", "without a unit"),
    ("30 min 1 h", "duration", "large to small"),
    ("20 min 20 min", "duration", "large to small"),
    ("-3 mm", "length", "less than nothing"),
    ("1,500 mm", "length", "1.5 or 1500"),
    ("1'000 mm", "length", '"1000 mm" or "1 ft"'),
    ("1’500 g", "mass", "feet or for"),
    ("1.2.3 mm", "length", "is not a number"),
    ("1/0 mm", "length", "divides by zero"),
    ("nan mm", "length", "number"),
    ("inf mm", "length", "number"),
    ("1e9 mm", "length", '"e"'),
    ("999999999 mm", "length", "too high"),
    ("9" * 57 + " g", "mass", "too high"),
    ("9" * 5000 + " g", "mass", "too long"),
    ("120 %", "share", "too high"),
    ("0.18", "share", '"0.18 %"'),
    ("72 furlongs", "length", '"72 mm"'),
    ("", "length", '"72 mm"'),
    ("   ", "duration", '"9 min"'),
    ("mm", "length", "number"),
]


@pytest.mark.parametrize(("text", "kind", "says"), REFUSED)
def test_what_is_refused_says_what_would_do(text: str, kind: str, says: str) -> None:
    with pytest.raises(units.UnitProblem) as caught:
        units.parse(text, kind)
    assert says in str(caught.value)
    assert caught.value.what.endswith(".")
    assert caught.value.cure.endswith(".")
    assert len(str(caught.value)) < 250


# NIST Handbook 44 (2024), Appendix C, "General Tables of Units of Measurement": exact values.
# NIST SP 811 (2008), Appendix B.8: degree Fahrenheit to degree Celsius, t/°C = (t/°F - 32)/1.8.
NIST = [
    ("mass", "1 oz", 28.349523125),
    ("mass", "1 lb", 453.59237),
    ("volume", "1 floz", 29.5735295625),
    ("volume", "1 tsp", 4.92892159375),
    ("volume", "1 tbsp", 14.78676478125),
    ("volume", "1 cup", 236.5882365),
    ("volume", "1 pt", 473.176473),
    ("volume", "1 qt", 946.352946),
    ("volume", "1 gal", 3785.411784),
    ("length", "1 in", 25.4),
    ("length", "1 ft", 304.8),
    ("temperature", "330 F", (330 - 32) / 1.8),
    ("temperature", "-40 F", -40.0),
    ("temperature", "32 F", 0.0),
    ("temperature", "212 F", 100.0),
]


@pytest.mark.parametrize(("kind", "text", "value"), NIST)
def test_units_agree_with_nist(kind: str, text: str, value: float) -> None:
    assert units.parse(text, kind) == pytest.approx(value, rel=1e-12, abs=1e-12)


def test_a_temperature_is_a_point_and_never_a_difference() -> None:
    # NIST SP 811, B.8: an interval of 9 °F is 5 °C, but the point 9 °F is -12.78 °C.
    assert units.parse("9 F", "temperature") == pytest.approx(-12.7777777778, rel=1e-10)


@pytest.mark.parametrize("kind", units.KINDS)
def test_every_spelling_is_read_as_its_own_unit_only(kind: str) -> None:
    seen: dict[str, str] = {}
    for unit, spellings in units.SPELLINGS[kind].items():
        for word in spellings.split():
            assert seen.setdefault(word, unit) == unit
            first = spellings.split()[0]
            assert units.parse(f"1 {word}", kind) == units.parse(f"1 {first}", kind)
            if len(word) > 2:
                assert units.parse(f"1 {word}s", kind) == units.parse(f"1 {first}", kind)
            assert units.parse(f"1{word.upper()}", kind) == units.parse(f"1 {first}", kind)


@pytest.mark.parametrize("kind", units.KINDS)
def test_each_example_in_a_message_would_do(kind: str) -> None:
    for example in units.KINDS[kind][1].replace(" or ", ", ").split(", "):
        assert units.parse(example.strip('"'), kind) > 0
    for example in units.offers("3", kind).replace(" or ", ", ").split(", "):
        assert math.isfinite(units.parse(example.strip('"'), kind))


WORDS = '1 2 0 1/2 ½ 1,5 1.5 - mm in oz fl h min m ° F C deg % cm3 ³ : 30 , and " tsp g 999999'
PIECES = st.sampled_from(WORDS.split())


@given(
    st.text(max_size=80) | st.lists(PIECES | st.just(" "), max_size=8).map("".join),
    st.sampled_from(sorted(units.KINDS)),
)
def test_any_text_is_read_or_answered(text: str, kind: str) -> None:
    least, most = units.LIMITS[kind]
    said = ""
    try:
        value = units.parse(text, kind)
    except units.UnitProblem as problem:
        said = str(problem)
        value = least
    assert said.isprintable()
    assert least <= value <= most


@settings(max_examples=50)
@given(st.integers(0, 10_000), st.integers(1, 64))
def test_fractions_and_decimals_of_one_value_are_equal(whole: int, parts: int) -> None:
    decimal = whole + 3 / parts
    assert units.parse(f"{whole} 3/{parts} g", "mass") == pytest.approx(decimal, rel=1e-15)

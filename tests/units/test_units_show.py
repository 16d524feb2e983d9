"""Quantities are shown in the maker's units, and what is shown can be typed."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchplan import units

SHOWN = [
    (units.show_length, 72.0, "72 mm", "2.83 in"),
    (units.show_length, 73.025, "73 mm", "2 7/8 in"),
    (units.show_length, 19.05, "19.1 mm", "3/4 in"),
    (units.show_length, 254.0, "254 mm", "10 in"),
    (units.show_length, 0.0, "0 mm", "0 in"),
    (units.show_mass, 31.0, "31 g", "1.1 oz"),
    (units.show_mass, 36.85, "36.9 g", "1.3 oz"),
    (units.show_mass, 0.05, "0.05 g", "0.002 oz"),
    (units.show_mass, 1250.0, "1.25 kg", "44.1 oz"),
    (units.show_volume, 65.0, "65 ml", "2.2 fl oz"),
    (units.show_volume, 0.1540288, "0.15 ml", "1/32 tsp"),
    (units.show_volume, 1500.0, "1.5 l", "50.7 fl oz"),
    (units.show_temperature, 158.0, "158 °C", "316 °F"),
    (units.show_temperature, 1490 / 9, "165.6 °C", "330 °F"),
    (units.show_temperature, -0.04, "0 °C", "32 °F"),
]


@pytest.mark.parametrize(("show", "value", "metric", "us"), SHOWN)
def test_shown(show: object, value: float, metric: str, us: str) -> None:
    assert callable(show)
    assert show(value, "metric") == metric
    assert show(value, "us") == us


@given(st.floats(0.1, 5000), st.sampled_from(["metric", "us"]))
def test_what_is_shown_reads_back_as_near_as_it_is_shown(value: float, system: str) -> None:
    for show, kind, miss in (
        (units.show_length, "length", 0.13),  # half of 0.01 in
        (units.show_mass, "mass", 1.5),  # half of 0.1 oz
        (units.show_volume, "volume", 1.5),  # half of 0.1 fl oz
    ):
        assert units.parse(show(value, system), kind) == pytest.approx(value, abs=miss)


@given(st.floats(-50, 400), st.sampled_from(["metric", "us"]))
def test_a_shown_temperature_reads_back(value: float, system: str) -> None:
    read = units.parse(units.show_temperature(value, system), "temperature")
    assert read == pytest.approx(value, abs=0.3)


@pytest.mark.parametrize(
    ("mm", "system", "most", "least"),
    [
        (1.6, "metric", "1.6 mm", "1.6 mm"),
        (1.1 * 3, "metric", "3.3 mm", "3.3 mm"),  # 3.3000000000000003
        (1.66, "metric", "1.6 mm", "1.7 mm"),
        (0.04, "metric", "0 mm", "0.1 mm"),
        (25.4, "us", "1 in", "1 in"),
        (26.6, "us", "1.04 in", "1.05 in"),  # 1.0472 in
        (0.2, "us", "0 in", "0.01 in"),
        (0.0, "us", "0 in", "0 in"),
    ],
)
def test_lengths_to_the_safe_side(mm: float, system: str, most: str, least: str) -> None:
    assert units.show_at_most(mm, system) == most
    assert units.show_at_least(mm, system) == least

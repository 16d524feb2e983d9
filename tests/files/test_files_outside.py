"""Checks from outside: what NIST says of units, through a plan file; what a locale stands for."""

from __future__ import annotations

import pytest
from plan_examples import LEAST, document, read

from benchplan.files.machine import machine_display

HB44 = "NIST Handbook 44 (2024), Appendix C"  # exact values
SP811 = "NIST SP 811 (2008), B.8: t/°C = (t/°F - 32)/1.8"
FROM_NIST = [
    ("recipes.plain.fill", "1 oz", "fill_g", 28.349523125, HB44),  # avoirdupois
    ("recipes.plain.fill", "1 lb", "fill_g", 453.59237, HB44),
    ("recipes.plain.bake_at", "330 degF", "bake_at_c", (330 - 32) / 1.8, SP811),
    ("recipes.plain.bake_at", "212 °F", "bake_at_c", 100.0, SP811),
    ("tins.low 72.holds", "2.2 fl oz", "holds_ml", 2.2 * 29.5735295625, HB44),
    ("tins.low 72.holds", "1 tsp", "holds_ml", 4.92892159375, HB44),
    ("tins.low 72.holds", "1/32 tsp", "holds_ml", 4.92892159375 / 32, HB44),
    ("tins.low 72.holds", "1 cup", "holds_ml", 236.5882365, HB44),
    ("tins.low 72.diameter", "2.9 in", "diameter_mm", 2.9 * 25.4, HB44),
    ("tins.low 72.diameter", "1 in", "diameter_mm", 25.4, HB44),
    ("tins.low 72.mass", "0.5 oz", "mass_g", 28.349523125 / 2, HB44),
    ("scents.Quince.flash_point", "-40 F", "flash_point_c", -40.0, SP811),
    ("scents.Quince.flash_point", "200 F", "flash_point_c", (200 - 32) / 1.8, SP811),
]


@pytest.mark.parametrize(("key", "text", "attr", "value", "source"), FROM_NIST)
def test_units_of_a_plan_file_agree_with_nist(
    key: str, text: str, attr: str, value: float, source: str
) -> None:
    table, name, field = key.split(".")
    data = document(LEAST)
    data.setdefault(table, {}).setdefault(name, {})[field] = text
    record = getattr(read(data).day, table)[name]
    assert getattr(record, attr) == pytest.approx(value, rel=1e-12), source


def test_us_and_metric_units_of_one_size_give_one_day() -> None:
    data = document(LEAST)
    data["pans"]["small"]["inside"] = ["254 mm", "190.5 mm"]
    metric = read(data).day
    data["pans"]["small"]["inside"] = ["10 in", "7 1/2 in"]
    assert read(data).day == metric


# Unicode CLDR, common/supplemental/supplementalData.xml: US measures in the United States, Liberia
# and Myanmar; twelve hours preferred in the United States, Canada and Australia. From memory.
@pytest.mark.parametrize(
    ("environ", "units", "clock"),
    [
        ({"LANG": "en_US.UTF-8"}, "us", 12),
        ({"LANG": "en_CA.UTF-8"}, "metric", 12),
        ({"LANG": "en_GB.UTF-8"}, "metric", 24),
        ({"LANG": "de_DE@euro"}, "metric", 24),
        ({"LANG": "C.UTF-8"}, "metric", 24),
        ({"LANG": "POSIX"}, "metric", 24),
        ({}, "metric", 24),
        ({"LANG": "en_US.UTF-8", "LC_MEASUREMENT": "en_GB.UTF-8"}, "metric", 12),
        ({"LANG": "en_US.UTF-8", "LC_TIME": "de_DE.UTF-8"}, "us", 24),
        ({"LC_ALL": "fr_FR.UTF-8", "LANG": "en_US.UTF-8"}, "metric", 24),
        ({"LANG": "English_United States.1252"}, "us", 12),
    ],
)
def test_units_and_clock_of_a_machine(environ: dict[str, str], units: str, clock: int) -> None:
    found = machine_display(environ)
    assert (found.units, found.clock) == (units, clock)


def test_a_file_without_display_is_shown_by_the_machine(monkeypatch: pytest.MonkeyPatch) -> None:
    from benchplan.files import read_text

    for name in ("LC_ALL", "LC_TIME", "LC_MEASUREMENT"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("LANG", "en_US.UTF-8")
    assert read_text(LEAST, "plan.toml").day.display.units == "us"
    metric = LEAST + '[display]\nunits = "metric"\n'
    assert read_text(metric, "plan.toml").day.display.units == "metric"
    assert read_text(metric, "plan.toml").day.display.clock == 12

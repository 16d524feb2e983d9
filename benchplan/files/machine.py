"""What a machine's settings say about units and clock, for a plan that says nothing itself."""

from __future__ import annotations

import locale
import os
from collections.abc import Mapping

from benchplan.model import Display

# Countries whose everyday measures are not metric, and those whose clocks show am and pm:
# Unicode CLDR, supplemental data (measurementData; timeData, preferred "h"). From memory.
US_UNITS = frozenset({"US", "LR", "MM"})
TWELVE_HOURS = frozenset(
    ("US", "CA", "AU", "NZ", "IN", "PK", "BD", "EG", "SA", "MY", "PH", "CO", "KR", "HK", "SG")
)


def machine_display(environ: Mapping[str, str] | None = None) -> Display:
    """Return units and clock by the machine's locale; metric and 24 hours where it says nothing.

    ``environ`` stands in for the machine's own environment.
    """
    given = os.environ if environ is None else environ
    units = _country(given, "LC_MEASUREMENT")
    hours = _country(given, "LC_TIME")
    if environ is None and not (units or hours):
        units = hours = _country_of(locale.getlocale()[0] or "")
    return Display(
        units="us" if units in US_UNITS else "metric",
        clock=12 if hours in TWELVE_HOURS else 24,
    )


def _country(environ: Mapping[str, str], category: str) -> str:
    for name in ("LC_ALL", category, "LANG"):
        if environ.get(name):
            return _country_of(environ[name])
    return ""


def _country_of(name: str) -> str:
    """Return the country in ``en_US.UTF-8``, or in the words ``English_United States.1252``."""
    place = name.partition(".")[0].partition("@")[0].replace("-", "_").rpartition("_")[2]
    return "US" if place == "United States" else place.upper() if len(place) == 2 else ""

"""What a maker works with and rarely changes: tins, pans, ovens, the cooling place, recipes, times.

Lengths are millimetres, masses grams, volumes millilitres, temperatures degrees Celsius (a
difference is kelvin) and durations whole seconds, as the names say.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

COOL_WHERE = ("mat", "pan")
PATTERNS = ("most", "tidy")
SURFACES = ("mat", "rack", "fan")
HOT_BAKE_C = 200.0
"""A bake above this is warned of; docs/rules.md says where both numbers come from."""
MOST_BAKE_C = 235.0
"""A bake above this is refused."""


@dataclass(frozen=True, slots=True)
class Tin:
    """A shallow round tin."""

    name: str
    diameter_mm: float
    height_mm: float
    holds_ml: float | None = None
    mass_g: float | None = None


@dataclass(frozen=True, slots=True)
class Pan:
    """A kind of pan: ``inside_mm`` is the flat floor tins stand on, ``count`` how many there are.

    ``tins`` is the maker's own count of a kind of tin on it, by the tin's name.
    """

    name: str
    inside_mm: tuple[float, float]
    outside_mm: tuple[float, float]
    height_mm: float = 20.0
    count: int = 1
    gap_mm: float = 6.0
    edge_mm: float = 2.0
    pattern: str = "most"
    tins: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Oven:
    """An oven: ``headroom_mm`` is the clear height above each shelf.

    ``recover_s`` is the time from door shut to back at temperature, ``per_kelvin_s`` the extra
    time between loads for each kelvin that the set temperature changes (the only duration that
    keeps a fraction), ``most_tins`` the maker's own limit for one load.
    """

    name: str
    shelf_mm: tuple[float, float]
    shelves: int = 1
    headroom_mm: float = 80.0
    air_mm: float = 25.0
    preheat_s: int = 660
    recover_s: int = 90
    per_kelvin_s: float = 6.0
    most_tins: int | None = None


@dataclass(frozen=True, slots=True)
class Cooling:
    """Where hot tins go. ``where`` is "mat" or "pan"; with "mat" either size or ``mat_tins``."""

    where: str = "mat"
    stand: int = 1
    mat_mm: tuple[float, float] | None = None
    mat_tins: int | None = None
    gap_mm: float = 10.0
    surface: str = "mat"
    room_c: float = 22.0
    pan_for_s: int = 0


@dataclass(frozen=True, slots=True)
class Recipe:
    """How one kind of filled tin is baked and cooled; ``cool_for_s`` None means "estimate it"."""

    name: str
    tin: str
    fill_g: float
    bake_at_c: float
    bake_for_s: int
    bake_late_s: int = 30
    rest_for_s: int = 120
    cool_for_s: int | None = None
    pan: str | None = None


@dataclass(frozen=True, slots=True)
class Scent:
    """What is known of a scent. ``drying_s``: how long its jars took (shortest, longest)."""

    name: str
    flash_point_c: float | None = None
    strength: int = 3
    drying_s: tuple[int, int] | None = None


@dataclass(frozen=True, slots=True)
class Times:
    """Hand work in seconds: fill, set, transfer, pack and clear a tin; load and unload a pan."""

    fill_s: int = 20
    set_s: int = 3
    ready_s: int = 0
    load_s: int = 15
    unload_s: int = 15
    transfer_s: int = 6
    pack_s: int = 17
    clear_s: int = 3
    change_scent_s: int = 240


@dataclass(frozen=True, slots=True)
class Settings:
    """What is the maker's alone, whatever plan file is open.

    ``alarm_command`` is a program with its words after it, ``keys`` the screens' names of the keys
    that an action has instead of the usual ones, ``confirmed`` the values past a limit that were
    confirmed: a sentence by fingerprint.
    """

    alarm_command: tuple[str, ...] = ()
    keys: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    confirmed: Mapping[str, str] = field(default_factory=dict)

    def lacking(self, asked: Settings) -> Settings:
        """Return what ``asked`` says and these settings do not."""
        command = () if asked.alarm_command == self.alarm_command else asked.alarm_command
        keys = {name: each for name, each in asked.keys.items() if self.keys.get(name) != each}
        return Settings(command, keys)

    @property
    def empty(self) -> bool:
        """Whether these say nothing of a command or of keys."""
        return not self.alarm_command and not self.keys


@dataclass(frozen=True, slots=True)
class Display:
    """How numbers are shown: ``units`` "metric" or "us", ``clock`` 24 or 12."""

    units: str = "metric"
    clock: int = 24

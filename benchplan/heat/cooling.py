"""How long a baked tin cools: our own estimates, computed and never measured.

They are for a 60 ml tin in still air of 22 °C, until four tins out of five have a wall of 45 °C.
They were computed beforehand from a two-dimensional model of the tin with its latent heat (a tin of
beads is too thick a body for one temperature). By the same model the hottest bead inside takes 10
to 15 minutes longer. A tin that has had its time is called hot until somebody has checked it.
"""

from __future__ import annotations

from itertools import pairwise
from typing import NamedTuple

from benchplan.model.kit import Cooling, Tin

TIN_ML = 60.0
MINUTES = {"mat": 33, "rack": 27, "pan": 23, "fan": 17}
WHERE = {
    "mat": "on an insulating mat",
    "rack": "on a wire rack",
    "pan": "left on its pan on an open stand",
    "fan": "on a mat with a fan",
}
ROOM = ((16.0, 0.8), (22.0, 1.0), (28.0, 1.3), (32.0, 1.6))


class Estimate(NamedTuple):
    """A time in whole ``seconds``, and in ``words`` where it comes from."""

    seconds: int
    words: str


def cool_for_s(tin: Tin, cooling: Cooling) -> int:
    """Return the seconds that a baked tin cools; 1980 on a mat in a room of 22 °C."""
    return cooling_estimate(tin, cooling).seconds


def cooling_estimate(tin: Tin, cooling: Cooling) -> Estimate:
    """Estimate how long a baked tin cools from the moment it stands still.

    The room counts by straight lines between the table's temperatures; below the coldest the
    coldest counts, above the hottest the last line goes on. The size of the tin does not count
    yet, and the words say so.
    """
    place = "pan" if cooling.where == "pan" else cooling.surface
    minutes = MINUTES.get(place, MINUTES["mat"])
    words = f"our estimate (computed, not measured): 60 ml tin {WHERE.get(place, WHERE['mat'])}"
    if cooling.room_c != 22.0:
        words += f", room at {cooling.room_c:g} °C"
    if cooling.room_c > ROOM[-1][0]:
        words += f" (the table ends at {ROOM[-1][0]:g} °C, so this is a guess)"
    if tin.holds_ml is not None and abs(tin.holds_ml - TIN_ML) > TIN_ML / 10:
        words += f"; {tin.name} holds {tin.holds_ml:g} ml and will differ"
    return Estimate(round(minutes * 60 * room_factor(cooling.room_c)), words)


def room_factor(room_c: float) -> float:
    """Return how much longer than at 22 °C a tin cools in a room."""
    if room_c <= ROOM[0][0]:
        return ROOM[0][1]
    for (low, less), (high, more) in pairwise(ROOM):
        if room_c <= high or high == ROOM[-1][0]:
            return less + (more - less) * (room_c - low) / (high - low)
    raise AssertionError("the last line has no end")

"""How the bars of the lanes look on a screen; which there are is in ``model.lanes``."""

from __future__ import annotations

from benchplan.model.lanes import NAMES, Bar, Lane, Level, lanes, levels, most_level

__all__ = ["KINDS", "Bar", "Lane", "Level", "lanes", "levels", "most_level"]

_LOOKS = {
    "fill": ("hands", "─"),
    "set": ("hands", "─"),
    "load": ("hot", "─"),
    "bake": ("hot", "▒"),
    "unload": ("hot", "─"),
    "transfer": ("hot", "─"),
    "pack": ("hands", "─"),
    "stand": ("cool", "·"),
    "cool": ("cool", "·"),
    "preheat": ("hot", "░"),
    "change_scent": ("away", "─"),
    "break": ("away", "═"),
}

# What a bar is -> its letter, its short word, its tone, and what its body is drawn with.
KINDS = {kind: (*NAMES[kind], *looks) for kind, looks in _LOOKS.items()}

"""What fits on what: tins on a pan, pans on a shelf, tins on the mat, with proven bounds."""

from benchplan.packing.margins import margins
from benchplan.packing.packer import Packed, pack_mat, pack_tins, search_key, spread
from benchplan.packing.search import StopFor, usual_stop
from benchplan.packing.shelf import pack_pans

__all__ = [
    "Packed", "StopFor", "margins", "pack_mat", "pack_pans", "pack_tins", "search_key", "spread",
    "usual_stop",
]  # fmt: skip

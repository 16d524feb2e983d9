"""The one registry of keys: bindings, footer, help screen and the docs table come from it.

It knows nothing of Textual, so that a file which renames keys is checked where it is read.
"""

from benchplan.keys.names import keys_named, words_of
from benchplan.keys.registry import (
    ACTIONS,
    DIALOG,
    EVERYWHERE,
    SCREENS,
    SHEET,
    KeyAction,
)
from benchplan.keys.renamed import (
    NAMES,
    USUAL,
    Renamed,
    actions_of,
    faults,
    footer_of,
    key_of,
    shared_footer,
)

__all__ = [
    "ACTIONS", "DIALOG", "EVERYWHERE", "NAMES", "SCREENS", "SHEET", "USUAL", "KeyAction", "Renamed",
    "actions_of", "faults", "footer_of", "key_of", "keys_named", "shared_footer", "words_of",
]  # fmt: skip

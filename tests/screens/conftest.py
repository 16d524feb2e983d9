"""What the tests of the screens share: the small day made by hand for the views."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "views"))

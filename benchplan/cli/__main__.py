"""``python -m benchplan.cli`` is the same as the ``benchplan`` command."""

import sys

from benchplan.cli import main

if __name__ == "__main__":
    sys.exit(main())

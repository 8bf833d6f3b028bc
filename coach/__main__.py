"""`python -m coach` is `coach`."""

import sys

from coach.cli import main

if __name__ == "__main__":  # a speech worker that is spawned imports this module again
    sys.exit(main())

"""Long values are built without a look through all of them again and again.

A pattern is read and worked into trees of tuples without cycles, so the garbage collector finds nothing in them; yet
each time they have grown by a quarter it looks through the whole, and a page of 100,000 lines takes a fifth longer.
"""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def uncollected() -> Iterator[None]:
    """No collection of cycles while it lasts; afterwards the collector is on again, if it was. Also a decorator."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.freeze()
            gc.unfreeze()  # to the oldest generation at once: else the youngest, which is all of it, is looked through
            gc.enable()

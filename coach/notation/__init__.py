"""Written text → `Pattern`: parts, rounds, steps, each with its span in the source, and what could not be read as
faults.
"""

from coach.notation.model import Fault, Pattern
from coach.notation.reader import read

__all__ = ["Fault", "Pattern", "read"]

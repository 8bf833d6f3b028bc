"""Works a `Pattern`: what each round takes up and makes, where each step lands, and the faults of its arithmetic."""

from coach.fabric.model import Chunk, Fabric, Worked, WorkedPart
from coach.fabric.work import work

__all__ = ["Chunk", "Fabric", "Worked", "WorkedPart", "work"]

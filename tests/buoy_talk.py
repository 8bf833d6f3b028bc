"""What tests of conversations share: our buoy, the English phrasebook, a coach that has finished speaking."""

from __future__ import annotations

from pathlib import Path

from coach import fabric, notation
from coach.conversation import TAIL, Conversation
from coach.events import Save, SpeechDone, TimePassed
from coach.language.phrasebook import load

ROOT = Path(__file__).parents[1]
BUOY = fabric.work(notation.read((ROOT / "patterns/buoy.md").read_text("utf-8")))
ENGLISH = load("en")


def hush(conversation: Conversation) -> None:
    """The coach speaks to the end, and the room becomes quiet."""
    conversation.take(SpeechDone(conversation.number))
    conversation.take(TimePassed(TAIL))


def requests(actions) -> list[str]:
    """The names of the requests that were written down."""
    return [a.request.name for a in actions if isinstance(a, Save)]

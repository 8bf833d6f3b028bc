"""What a maker is told is a sentence, and a hint where there is one; every room's kind of error is told the same way."""

from __future__ import annotations

import pytest

from coach.commands.files import Unreadable
from coach.errors import CoachError
from coach.page.address import PageError
from coach.sheets.errors import SheetError
from coach.sound.errors import NoModel, SoundError


@pytest.mark.parametrize("kind", [Unreadable, PageError, SheetError, SoundError, NoModel])
def test_every_rooms_error_is_told_with_its_hint(kind):
    with pytest.raises(CoachError) as caught:
        raise kind("The net is torn.", "Mend it first.")
    assert (caught.value.message, caught.value.hint) == ("The net is torn.", "Mend it first.")
    assert str(caught.value) == "The net is torn. Mend it first."


def test_where_nothing_helps_there_is_no_hint():
    assert str(CoachError("The tide is out.")) == "The tide is out."

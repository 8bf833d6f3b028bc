"""Reading and working leave the collector as it was, and nothing for it to find."""

from __future__ import annotations

import gc

import pytest

from coach.fabric import work
from coach.notation import read
from coach.notation.uncollected import uncollected

PAGE = """## Buoy

Rnd 1: 6 sc in magic ring. (6)
Rnd 2: 2 sc in each st around. (12)
Rnd 3: *Sc in next st, inc; rep from * around. (18)
Rnd 4: (Sc in next 2 sts, inc 6 times. (24)
Rnd 5: (((((wurble.

## Sail

Ch 13.
Row 1: Dc in 4th ch from hook and in each ch across, turn. (11)
Row 2: Ch 3 (counts as dc), sk first st, (2 dc, ch 2, 2 dc) in next st, dc in each st across, turn.
Row 3: Work even for 3 rows.
"""


@pytest.fixture(params=[True, False], ids=["collector on", "collector off"])
def switch(request):
    was = gc.isenabled()
    gc.enable() if request.param else gc.disable()
    yield request.param
    gc.enable() if was else gc.disable()


class TestTheSwitch:
    def test_it_is_off_inside_and_as_before_afterwards(self, switch):
        with uncollected():
            assert not gc.isenabled()
            with uncollected():
                assert not gc.isenabled()
            assert not gc.isenabled()
        assert gc.isenabled() == switch

    def test_it_is_as_before_after_an_error(self, switch):
        with pytest.raises(ZeroDivisionError), uncollected():
            1 / 0
        assert gc.isenabled() == switch

    def test_reading_and_working_leave_it_as_it_was(self, switch):
        work(read(PAGE))
        assert gc.isenabled() == switch


class TestNothingIsLostByIt:
    """What is read and worked has no cycles: it goes as soon as nobody holds it."""

    @pytest.mark.parametrize("text", [PAGE, PAGE * 20, "", "no pattern at all", "(" * 500, "Rnd 1: " + "*sc; rep from * " * 50])
    def test_reading_and_working_leave_no_cycles(self, text):
        work(read(text))  # what is looked up once
        gc.collect()
        with uncollected():
            work(read(text))
            assert gc.collect() == 0

    def test_what_was_made_is_not_looked_through_as_if_it_were_new(self):
        page = read(PAGE)
        assert any(found is page for found in gc.get_objects(generation=2))

    def test_cycles_that_others_left_are_found_later(self):
        with uncollected():
            buoy: list = []
            buoy.append(buoy)
            del buoy
        assert gc.collect() >= 1

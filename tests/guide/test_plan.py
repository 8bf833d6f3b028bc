"""Planning by voice: honest ranges, and what they rest on."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.fabric import work
from coach.fabric.needs import Range, Swatch
from coach.guide import plan
from coach.guide.machine import answer, begin
from coach.guide.model import Place, Request, State
from coach.memory.states import from_json, to_json
from coach.notation import read

BUOY = work(read("""# Buoy

## Materials
- Worsted yarn (weight 4)

## Gauge
10 sc and 10 rounds to 5 cm

## Buoy (make 2)
Rnd 1: 6 sc in magic ring. (6)
Rnd 2: Inc x 6. (12)
Rnds 3-12: Sc in each st around. (12)
Stuff it firmly.
Rnd 13: Dec x 6. (6)
"""))
EACH = 6 + 12 + 120 + 6


def told(state: State, name: str, value: object = None) -> list[str]:
    return [m.key for m in answer(BUOY, state, Request(name, value))[1].messages]


class TestHowBig:
    def test_the_part_and_what_it_rests_on(self):
        assert told(State(), "how_big", "part") == ["part", "size_round", "by_the_gauge"]

    def test_after_all_parts_it_is_the_whole(self):
        assert told(State(Place(1)), "how_big", "part") == ["part", "size_round", "by_the_gauge"]

    def test_a_part_without_stitches_has_no_size(self):
        empty = work(read("# Buoy\n\n## Gauge\n10 sc to 5 cm\n\n## Rope\nRow 1: Turn.\n"))
        _, reply = answer(empty, State(), Request("how_big", "part"))
        assert [m.key for m in reply.messages] == ["no_size"]

    @pytest.mark.parametrize("cm, said", [(5.3, 5.5), (5.2, 5.0), (0.1, 0.5), (9.99, 10.0), (22.4, 22.0), (22.6, 23.0)])
    def test_to_the_half_centimetre_and_larger_ones_to_the_whole(self, cm, said):
        assert plan._halves(cm) == said

    def test_with_another_gauge_it_grows(self):
        usual = answer(BUOY, State(), Request("how_big", "part"))[1].messages[1].values
        own = answer(BUOY, State(), Request("gauge", "5 sc and 5 rounds to 5 cm"))[1].messages
        assert own[0].key == "kept_that" and own[-1].key == "by_own_gauge"
        assert own[2].values["width"] == pytest.approx(2 * usual["width"], abs=0.5)

    def test_a_gauge_in_the_terms_that_the_maker_hears_or_in_the_patterns(self):
        for text in ("10 dc to 5 cm", "10 sc to 5 cm"):
            assert told(State(terms="UK"), "gauge", text)[0] == "kept_that"


class TestOtherGauge:
    """What if I use another yarn or hook? The size is said at once, and with what it rests on."""

    def asked(self, *values: object) -> State:
        state = State()
        for value in values:
            state, _ = answer(BUOY, state, Request("gauge", value))
        return state

    def test_a_number_is_stitches_to_ten_centimetres(self):
        assert plan.planned(BUOY, self.asked(10)).gauge.width == pytest.approx(1.0)
        assert told(State(), "gauge", 10) == ["kept_that", "part", "size_round", "by_own_gauge"]

    def test_another_yarn(self):
        assert told(State(), "gauge", "jumbo yarn")[-1] == "by_yarn"
        assert plan.planned(BUOY, self.asked("jumbo yarn")).gauge.width > plan.planned(BUOY, State()).gauge.width

    def test_its_weight_is_of_that_yarn(self):
        thick, thin = (plan.planned(BUOY, self.asked(f"{name} yarn")) for name in ("jumbo", "sock"))
        assert thick.grams.low > thin.grams.high

    def test_another_hook(self):
        assert told(State(), "gauge", "8 mm hook") == ["kept_that", "part", "size_round", "by_hook"]
        small, large = (plan.planned(BUOY, self.asked(f"{mm} mm hook")).gauge.width for mm in (4, 8))
        assert large == pytest.approx(2 * small)

    def test_a_hook_goes_with_the_yarn_that_was_named_before(self):
        assert self.asked("dk yarn", "4 mm hook").gauge == "4 mm hook, dk yarn"
        assert self.asked("dk yarn", "4 mm hook", "5 mm hook").gauge == "5 mm hook, dk yarn"
        assert plan.planned(BUOY, self.asked("jumbo yarn and a 20 mm hook", "15 mm hook")).gauge == plan.planned(
            BUOY, self.asked("jumbo yarn", "15 mm hook")).gauge
        assert self.asked("dk yarn", "4 mm hook", "sport yarn").gauge == "sport yarn"

    def test_a_swatch_in_the_own_yarn_says_nothing_of_another(self):
        swatch, _ = answer(BUOY, State(), Request("swatch", 9))
        other, _ = answer(BUOY, swatch, Request("gauge", "dk yarn"))
        assert told(swatch, "yarn")[-1] == "by_swatch" and told(other, "yarn")[-1] == "by_yarn"

    def test_stitches_counted_in_another_yarn_are_of_that_yarn(self):
        counted = self.asked("jumbo yarn", "8 stitches to 10 cm")
        found, own = plan.planned(BUOY, counted), plan.planned(BUOY, self.asked("8 stitches to 10 cm"))
        assert found.gauge == own.gauge and found.gauge.said == "own"
        assert found.weight == plan.planned(BUOY, self.asked("jumbo yarn")).weight != own.weight
        assert told(counted, "how_big")[-1] == "by_own_gauge"
        assert plan.planned(BUOY, self.asked("jumbo yarn", 8, "dk yarn")).gauge.said == "yarn"  # not counted in that one

    def test_a_swatch_made_in_another_yarn_counts_for_it_and_for_no_other(self):
        state = self.asked("jumbo yarn")
        state, reply = answer(BUOY, state, Request("swatch", 15))
        assert reply.messages[0].key == "kept_that" and reply.messages[-1].key == "by_swatch"
        assert plan._swatch(BUOY, from_json(to_json(state))) == Swatch(20, 20, 15.0)
        for value, counts in (("dk yarn", False), ("8 mm hook", False), ("10 stitches to 10 cm", True)):
            after, _ = answer(BUOY, state, Request("gauge", value))
            assert (plan._swatch(BUOY, after) is not None) is counts, value
        back, _ = answer(BUOY, answer(BUOY, state, Request("gauge", "dk yarn"))[0], Request("gauge", "jumbo yarn"))
        assert told(back, "yarn")[-1] == "by_swatch"

    def test_a_swatch_is_of_the_hook_too(self):
        state, _ = answer(BUOY, self.asked("8 mm hook"), Request("swatch", "20 by 20 took 15 metres"))
        assert told(state, "yarn")[-1] == "by_swatch"
        assert told(answer(BUOY, state, Request("gauge", "5 mm hook"))[0], "yarn")[-1] == "by_hook"

    def test_a_hook_where_nothing_is_known(self):
        bare = work(read("# Buoy\n\n## Buoy\nRnd 1: 6 sc in magic ring. (6)\n"))
        _, reply = answer(bare, State(), Request("gauge", "5 mm hook"))
        assert [m.key for m in reply.messages] == ["which_gauge"]


class TestYarn:
    @given(st.floats(0.01, 5000), st.floats(1, 2))
    def test_a_range_is_rounded_outward(self, low, wider):
        said = plan._whole(Range(low, low * wider))
        assert said["low"] <= low and low * wider <= said["high"]

    def test_yarn_weight_filling_and_what_it_rests_on(self):
        assert told(State(), "yarn") == ["yarn", "grams", "filling", "by_the_gauge"]

    @pytest.mark.parametrize("value", [9, "took 9 metres", "20 by 20 took 9 metres"])
    def test_a_swatch_of_twenty_by_twenty_is_meant(self, value):
        state, _ = answer(BUOY, State(), Request("swatch", value))
        assert plan._swatch(BUOY, state) == Swatch(20, 20, 9.0)

    def test_a_swatch_is_kept_and_undone(self):
        state, _ = answer(BUOY, State(), Request("swatch", "20 by 20 took 9 metres"))
        assert from_json(to_json(state)).swatch == "20 by 20 took 9 metres"
        assert told(state, "yarn")[-1] == "by_swatch"
        assert answer(BUOY, state, Request("undo"))[0].swatch == ""

    @pytest.mark.parametrize("name", ["swatch", "gauge"])
    @pytest.mark.parametrize("text", [None, "", "too tight"])
    def test_what_is_none_changes_nothing(self, name, text):
        after, reply = answer(BUOY, State(), Request(name, text))
        assert [m.key for m in reply.messages] == [f"which_{name}"] and after.before is None


class TestHowLong:
    def at(self, round_: int, minutes: float) -> State:
        return begin(BUOY, State(Place(0, 1, round_), worked=minutes * 60))[0]

    def test_what_is_left_gets_less(self):
        first, later = (answer(BUOY, s, Request("how_long"))[1].messages[0].values["high"] for s in (self.at(0, 0), self.at(12, 0)))
        assert later < first

    def test_stitches_of_every_piece_count(self):
        assert plan.made_so_far(BUOY, self.at(2, 0)) == EACH + 18
        left = State(Place(0, 1, 2), left=((Place(0, 0, 1), 0),), made=())
        assert plan.made_so_far(BUOY, left) == 6 + 18

    def test_the_makers_own_pace(self):
        state = self.at(2, 20)  # 162 stitches in 20 minutes
        assert plan.own_pace(BUOY, state) == pytest.approx((EACH + 18) / 20)
        assert told(state, "how_long") == ["minutes_left", "by_own_pace", "without_making_up"]
        low, high = (answer(BUOY, state, Request("how_long"))[1].messages[0].values[end] for end in ("low", "high"))
        assert low <= (EACH - 18) / plan.own_pace(BUOY, state) <= high

    @pytest.mark.parametrize("round_, minutes", [(2, 5), (2, 600), (0, 0)])
    def test_where_too_little_is_known_or_it_was_no_steady_work_it_is_the_usual(self, round_, minutes):
        state = self.at(round_, minutes)
        assert plan.own_pace(BUOY, state) is None
        assert told(state, "how_long")[1] == "by_usual_pace"

    def test_few_stitches_in_a_long_time_are_no_pace_yet(self):
        assert plan.own_pace(BUOY, State(Place(0, 0, 1), worked=1200)) is None

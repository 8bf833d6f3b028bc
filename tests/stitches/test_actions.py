"""Each stitch is worked, action by action, on a hook that only counts its loops.

The hook below knows the reference vocabulary and nothing of the catalogue, so a wrong `through:N` is caught by the
loops that it leaves, and by the tables of the published sources in ../shared/reference/stitches.toml.
"""

from __future__ import annotations

import pytest

from coach.stitches.catalogue import catalogue

WORKED = [s for s in catalogue().stitch if s.actions]

# our id -> id in the reference table, where they differ
REFERENCE_ID = {"inc": "sc_inc", "inc3": "sc3inc", "cl": "cl3dc", "bobble": "bobble5", "puff": "puff3", "popcorn": "popcorn5",
                "shell": "shell5", "picot": "picot3", "ldc": "linked_dc", "standingsc": "standing_sc",
                "standingdc": "standing_dc"}


def loops(actions: tuple[str, ...], on_hook: int = 1) -> list[int]:
    """Loops on the hook after each action. Raises ValueError for what a hand cannot do."""
    seen = []
    dropped = False
    for action in actions:
        verb, _, rest = action.partition(":")
        if verb in ("yo", "draw_up", "pick_up_loop"):
            on_hook += 1
        elif verb in ("through", "through_stitch_and"):
            if int(rest) > on_hook:
                raise ValueError(f"{action}: only {on_hook} on the hook")
            on_hook -= int(rest) - 1
        elif verb == "slip_knot":
            on_hook = 1
        elif verb == "drop_loop":
            on_hook, dropped = on_hook - 1, True
        elif verb == "pull_dropped_through":
            if not dropped:
                raise ValueError("no loop was dropped")
            on_hook, dropped = on_hook + 1, False
        elif not verb.startswith("insert"):
            raise ValueError(f"no such action: {action}")
        seen.append(on_hook)
    return seen


def test_the_hook_of_these_tests_refuses_what_a_hand_cannot_do():
    with pytest.raises(ValueError, match="only 2 on the hook"):
        loops(("insert", "draw_up", "through:3"))
    with pytest.raises(ValueError, match="no loop was dropped"):
        loops(("pull_dropped_through",))
    with pytest.raises(ValueError, match="no such action"):
        loops(("knit",))


@pytest.mark.parametrize("stitch", WORKED, ids=lambda s: s.id)
def test_every_stitch_ends_with_one_loop_on_the_hook(stitch):
    assert loops(stitch.actions)[-1] == 1


def test_the_plain_stitches_by_hand():
    # Handbook of Wool Knitting and Crochet, 1918 (seen): a treble is three loops, through two, through two; a half treble
    # has three loops and goes through all three; double treble four loops, triple treble five, two at a time.
    c = catalogue()
    assert loops(c["sc"].actions) == [1, 2, 1]
    assert loops(c["hdc"].actions) == [2, 2, 3, 1]
    assert loops(c["dc"].actions) == [2, 2, 3, 2, 1]
    assert max(loops(c["tr"].actions)) == 4
    assert max(loops(c["dtr"].actions)) == 5


@pytest.mark.parametrize(("taller", "shorter"), [("tr", "dc"), ("dtr", "tr"), ("trtr", "dtr"), ("quadtr", "trtr")])
def test_each_taller_stitch_has_one_wrap_and_one_draw_more(taller, shorter):
    # the same book's rule
    c = catalogue()
    assert c[taller].actions == ("yo", *c[shorter].actions, "through:2")
    assert c[taller].turning_chain == c[shorter].turning_chain + 1


@pytest.mark.parametrize(("together", "plain"), [("sc2tog", "sc"), ("sc3tog", "sc"), ("hdc2tog", "hdc"), ("hdc3tog", "hdc"),
                                                 ("dc2tog", "dc"), ("dc3tog", "dc"), ("tr2tog", "tr"), ("tr3tog", "tr")])
def test_stitches_together_are_unfinished_stitches_closed_by_one_last_draw(together, plain):
    # Common practice, no source: each leg stops before the last draw of the plain stitch; one draw takes all loops.
    c = catalogue()
    legs = c[together].takes
    *leg, _last = c[plain].actions
    *worked, last = c[together].actions
    assert worked == leg * legs
    assert last == f"through:{loops(tuple(worked))[-1]}"
    assert c[together].makes == 1


@pytest.mark.parametrize("post", ["fpsc", "bpsc", "fphdc", "bphdc", "fpdc", "bpdc", "fptr", "bptr", "fpdtr", "bpdtr"])
def test_a_post_stitch_is_the_plain_one_with_the_hook_round_the_post(post):
    # designer's stitch notes (seen for FPdc): as the plain stitch, but round the post
    c = catalogue()
    side = "front-back-front" if post.startswith("fp") else "back-front-back"
    plain = tuple(f"insert_post:{side}" if a == "insert" else a for a in c[post[2:]].actions)
    assert c[post].actions == plain


@pytest.mark.parametrize("stitch", WORKED, ids=lambda s: s.id)
def test_a_stitch_goes_into_the_fabric_once_for_each_stitch_it_takes(stitch):
    places = [a for a in stitch.actions if a == "insert" or a.startswith(("insert_flo", "insert_right", "insert_below"))]
    if stitch.takes > 1 and stitch.id != "star":
        assert len(places) == stitch.takes
    if stitch.takes == 0 and stitch.kind != "decoration":
        assert not places


def test_loops_after_every_action_as_in_the_reference(reference):
    # ../shared/reference/stitches.toml: Handbook of Wool Knitting and Crochet 1918 and teaching pages, status for each there
    table = {s["id"]: s for s in reference("stitches.toml")["stitch"]}
    compared = 0
    for stitch in WORKED:
        theirs = table.get(REFERENCE_ID.get(stitch.id, stitch.id))
        if theirs is None:
            continue
        compared += 1
        assert list(stitch.actions) == theirs["actions"], stitch.id
        assert loops(stitch.actions, theirs["start_loops"]) == theirs["loops"], stitch.id
        assert max(loops(stitch.actions)) == theirs["max_loops"], stitch.id
    assert compared >= 38


def test_the_reference_lists_no_stitch_that_the_coach_lacks(reference):
    ours = {REFERENCE_ID.get(s.id, s.id) for s in catalogue().stitch}
    missing = {s["id"] for s in reference("stitches.toml")["stitch"]} - ours
    assert missing == {"sc_blo", "sc_flo"}  # these are sc with the loop named, see the next test


@pytest.mark.parametrize("loop", ["blo", "flo"])
def test_one_loop_only_is_the_plain_stitch_with_the_hook_elsewhere(reference, loop):
    theirs = next(s for s in reference("stitches.toml")["stitch"] if s["id"] == f"sc_{loop}")
    ours = [f"insert_{loop}" if a == "insert" else a for a in catalogue()["sc"].actions]
    assert ours == theirs["actions"]

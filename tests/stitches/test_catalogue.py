"""The catalogue's numbers: what a stitch takes and makes, its tops, its turning chain, its entry as data."""

from __future__ import annotations

import pytest
from pydantic import ValidationError
from test_actions import REFERENCE_ID

from coach.stitches.catalogue import Catalogue, Stitch, catalogue

ALL = catalogue().stitch
KINDS = {"stitch", "increase", "decrease", "group", "decoration", "start", "technique"}


def tops(stitch: Stitch) -> tuple[str, ...]:
    return stitch.tops or (stitch.id,) * stitch.makes


def test_ids_are_unique_and_plain():
    ids = [s.id for s in ALL]
    assert len(ids) == len(set(ids))
    assert all(i.isascii() and i.isalnum() and i.islower() for i in ids)


def test_an_entry_is_found_by_id_and_an_unknown_one_is_none():
    c = catalogue()
    assert c["sc"].us == "single crochet"
    assert "sc" in c and "purl" not in c
    assert c.get("purl") is None
    with pytest.raises(KeyError):
        c["purl"]


def test_names_follow_the_terms():
    sc = catalogue()["sc"]
    assert (sc.name(), sc.abbreviation()) == ("single crochet", "sc")
    assert (sc.name("UK"), sc.abbreviation("UK")) == ("double crochet", "dc")


@pytest.mark.parametrize("stitch", ALL, ids=lambda s: s.id)
def test_kinds_and_shaping(stitch):
    assert stitch.kind in KINDS
    if stitch.kind == "increase":
        assert stitch.makes > stitch.takes == 1
    if stitch.kind == "decrease":
        assert stitch.makes == 1 < stitch.takes
    if stitch.kind in ("technique", "decoration", "start"):
        assert stitch.makes == 0 and stitch.takes == 0
    if stitch.kind == "stitch" and stitch.id not in ("ch", "fsc", "fhdc", "fdc"):
        assert (stitch.takes, stitch.makes) == (1, 1)


@pytest.mark.parametrize("stitch", ALL, ids=lambda s: s.id)
def test_tops_are_the_stitches_made_and_the_spaces_between(stitch):
    stitches = [t for t in tops(stitch) if not t.startswith("space ")]
    assert len(stitches) == stitch.makes
    assert all(t in catalogue() for t in stitches)
    assert stitch.of is None or stitch.of in catalogue()


@pytest.mark.parametrize("stitch", [s for s in ALL if s.kind in ("increase", "decrease")], ids=lambda s: s.id)
def test_shaping_leaves_plain_stitches_to_work_into(stitch):
    # so "(18 sc)" at the end of a round counts a decrease as one of them: common practice, no source
    assert set(tops(stitch)) == {stitch.of}


def test_takes_and_makes_as_in_the_reference(reference):
    # ../shared/reference/stitches.toml; it counts each chain as one made, the trade counts a chain space as none
    table = {s["id"]: s for s in reference("stitches.toml")["stitch"]}
    compared = 0
    for stitch in ALL:
        theirs = table.get(REFERENCE_ID.get(stitch.id, stitch.id))
        if theirs is None:
            continue
        compared += 1
        chains = sum(int(t.split()[1]) for t in stitch.tops if t.startswith("space "))
        assert stitch.takes == theirs["consumes"], stitch.id
        assert stitch.makes + chains == theirs["produces"], stitch.id
    assert compared >= 38


@pytest.mark.parametrize(("stitch", "chains", "counts"), [
    # Crochet Guild of America lesson 1997 (seen): 4 treble, 3 double, 2 half double, 1 single, 0 slip stitch
    ("slst", 0, False), ("sc", 1, False), ("hdc", 2, False), ("dc", 3, True), ("tr", 4, True),
    # Handbook of Wool Knitting and Crochet 1918 (seen): double 1, half treble 2, treble 3, double treble 4, triple treble 5
    ("dtr", 5, True),
    ("trtr", 6, True),  # from memory: one more than the stitch before
])
def test_turning_chains(stitch, chains, counts):
    entry = catalogue()[stitch]
    assert (entry.turning_chain, entry.counts) == (chains, counts)


def test_turning_chains_as_in_the_reference(reference):
    # ../shared/reference/stitches.toml [[turning_chain]]; "varies" (hdc) is not counting until the pattern says so
    words = catalogue().words("US")
    for row in reference("stitches.toml")["turning_chain"]:
        entry = catalogue()[words[row["stitch"]]]
        assert entry.turning_chain == row["height_ch"], row["stitch"]
        assert entry.counts == row["counts_as_stitch"].startswith("yes"), row["stitch"]
        first = int("".join(c for c in row["first_ch_from_hook"].split()[0] if c.isdigit()))
        assert first == max(entry.turning_chain, 1) + 1, row["stitch"]  # the first stitch goes past its own height


def test_heights_rise_with_the_turning_chain():
    plain = [catalogue()[i] for i in ("slst", "sc", "hdc", "dc", "tr", "dtr", "trtr", "quadtr")]
    assert [s.height for s in plain] == sorted({s.height for s in plain})
    assert all(s.height == s.turning_chain for s in plain)


@pytest.mark.parametrize("stitch", ALL, ids=lambda s: s.id)
def test_every_entry_says_where_it_comes_from(stitch):
    assert stitch.source.startswith(("seen: ", "memory: "))
    assert stitch.symbol or stitch.kind in ("technique", "start")


def test_status_of_the_source_as_in_the_reference(reference):
    table = {s["id"]: s for s in reference("stitches.toml")["stitch"]}
    for stitch in ALL:
        theirs = table.get(REFERENCE_ID.get(stitch.id, stitch.id))
        if theirs is not None:
            assert stitch.source.startswith(theirs["status"]), stitch.id


def test_symbols_follow_the_slashes_of_the_standard(reference):
    # ../shared/reference/chart_symbols.toml, conventions (seen): slashes on the stem = wraps before the hook goes in
    assert "number of slashes" in reference("chart_symbols.toml")["conventions"]["slashes"]
    numbers = ("no", "one", "two", "three", "four", "five")
    for id in ("dc", "tr", "dtr", "trtr", "quadtr"):
        stitch = catalogue()[id]
        assert f"{numbers[stitch.actions.count('yo')]} slash" in stitch.symbol
    assert catalogue()["hdc"].symbol == "T"


def test_a_mistaken_entry_is_refused():
    with pytest.raises(ValidationError, match="height_in_cm"):
        Catalogue.model_validate({"stitch": [{
            "id": "sc", "us": "single crochet", "us_abbreviations": ["sc"], "uk": "double crochet",
            "uk_abbreviations": ["dc"], "takes": 1, "makes": 1, "height_in_cm": 1}]})
    with pytest.raises(ValidationError, match="takes"):
        Stitch(id="sc", us="s", us_abbreviations=("sc",), uk="d", uk_abbreviations=("dc",), takes=-1, makes=1)

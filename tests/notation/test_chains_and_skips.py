"""Chains, skips, and shaping that is only counted."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from passages import around, body, cursor, inc, rest
from passages import st as stitch

from coach.notation.model import Chain, Evenly, Skip
from coach.notation.steps import read_chain, read_skip


@pytest.mark.parametrize(("text", "chain"), [
    ("ch 3", Chain(3)), ("3 ch", Chain(3)), ("3ch", Chain(3)), ("chain 3", Chain(3)), ("chain three", Chain(3)),
    ("ch", Chain(1)), ("ch-3", Chain(3)),
    ("chain of 54 stitches", Chain(54)), ("ch 3 (counts as dc)", Chain(3, True, "dc")),
    ("ch 3 (does not count as st)", Chain(3, False)),
    ("ch 3, counts as first dc", Chain(3, True, "dc")), ("ch 50 (54, 58)", Chain((50, 54, 58))),
    ("3 ch for a dc", Chain(3, True, "dc")),
    ("3 ch for first dc", Chain(3, True, "dc")),
])
def test_chains(text, chain):
    c = cursor(text)
    (found,) = read_chain(c)
    assert (found.count, found.counts, found.stands_for) == (chain.count, chain.counts, chain.stands_for)
    assert c.done, rest(c)


@pytest.mark.parametrize("text", ["ch-3 sp", "sc", "3 sc", "", "3-ch loop"])
def test_no_chain(text):
    assert read_chain(cursor(text)) is None


@given(st.integers(1, 10**6))
def test_any_number_of_chains(n):
    assert read_chain(cursor(f"ch {n}"))[0].count == read_chain(cursor(f"{n}ch"))[0].count == n


@pytest.mark.parametrize(("text", "skip"), [
    ("sk next st", Skip(1)), ("sk 2", Skip(2)), ("skip 2 sts", Skip(2)), ("miss next 2 sts", Skip(2)),
    ("sk next 3 dc", Skip(3)), ("skip one stitch", Skip(1)),
    ("sk first st", Skip(1, first=True)), ("sk 1st st", Skip(1, first=True)), ("sk next ch-1 sp", Skip(1, "space")),
    ("sk next sp", Skip(1, "space")),
    ("sk next 2 chs", Skip(2, "chain")), ("sk tch", Skip(0, "tch")),
    ("sk turning ch", Skip(0, "tch")),
    ("leave remaining sts unworked", Skip(0, "rest")),
    ("leaving last 4 sts unworked", Skip(4, "rest")), ("sk next 2 (3, 4) sts", Skip((2, 3, 4))),
])
def test_skips(text, skip):
    c = cursor(text)
    (found,) = read_skip(c)
    assert (found.count, found.what, found.first) == (skip.count, skip.what, skip.first)
    assert c.done, rest(c)


@pytest.mark.parametrize("text", ["sc", "leave a long tail", "next st", ""])
def test_no_skip(text):
    c = cursor(text)
    assert read_skip(c) is None or not c.done


# round → nodes
SHAPING = [
    ("Inc 6 sts evenly around.", [Evenly("inc", 6)]),
    ("Inc 6 evenly.", [Evenly("inc", 6)]),
    ("Inc 3 sts evenly around.", [Evenly("inc", 3)]),
    ("Dec 4 sts evenly spaced.", [Evenly("dec", 4)]),
    ("Increase six stitches evenly around.", [Evenly("inc", 6)]),
    ("Sc in each st around, inc 6 sts evenly.", [Evenly("inc", 6)]),
    ("Sc around, increasing 6 sts evenly.", [Evenly("inc", 6)]),
    ("Hdc in each st around, working 6 increases evenly spaced.", [Evenly("inc", 6, "hdc")]),
    ("Inc 6 (8, 10) sts evenly around.", [Evenly("inc", (6, 8, 10))]),
    ("Sc in each st around, working 2 sc in every other st.", [around(stitch("sc"), inc())]),
    ("Sc in each st across, increasing at each end.", [inc(), around(stitch("sc")), inc()]),
    ("Sc in each st across, dec 1 at each end.", [stitch("sc2tog"), around(stitch("sc")), stitch("sc2tog")]),
]


@pytest.mark.parametrize(("line", "nodes"), SHAPING)
def test_shaping_that_is_only_counted(line, nodes):
    assert list(body(line)) == nodes

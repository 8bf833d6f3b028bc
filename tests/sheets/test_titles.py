"""What charts, profiles and lists are called: with the size where there are several, since each shows one only."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from coach.fabric import work
from coach.notation import read
from coach.sheets.chart import chart
from coach.sheets.profile import profile
from coach.sheets.titles import titled

ROOT = Path(__file__).parents[2]


def fabric(name: str, size: int = 0):
    return work(read((ROOT / "patterns" / f"{name}.md").read_text("utf-8")), size)


@pytest.mark.parametrize(("size", "name"), list(enumerate("SML")))
def test_drawings_name_the_size_that_they_show(size, name):
    cap = fabric("cap", size)
    assert titled(cap) == f"Harbour cap, size {name}"
    for drawn, of in ((chart(cap), "stitch chart"), (profile(cap), "size and shape")):
        assert re.search(r"<title [^>]*>(.+)</title>", drawn)[1] == f"Harbour cap, size {name}: {of}"
        assert f">Harbour cap, size {name}" in re.search(r'<text class="title".+</text>', drawn)[0]


def test_a_pattern_of_one_size_has_its_title_only():
    assert titled(fabric("seal")) == "Harbour seal"
    assert titled(work(read("Rnd 1: 6 sc in magic ring (6)"))) == "Pattern"
    assert '<title id="chart-title">Harbour seal: stitch chart</title>' in chart(fabric("seal"))

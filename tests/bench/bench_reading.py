"""How long reading and working a pattern takes for each line: at 1,000 and 100,000 lines, and beside a bare lark parse.

    python tests/bench/bench_reading.py [LINES]

All figures are of one run on one machine, so that the ratios mean something where the times do not. The lark grammar
covers only the lines that this page has: it gives trees, and no spans, notes, counts or faults.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable

from lark import Lark

from coach.fabric import work
from coach.notation import read

PART = """## Part {n}

Rnd 1: 6 sc in magic ring. (6)
Rnd 2: 2 sc in each st around. (12)
Rnd 3: (Sc in next st, 2 sc in next st) x 6. (18)
Rnd 4: *Sc 2, inc; rep from * around. (24)
Rnd 5: Sc in each st around. (24)
Rnd 6: (Sc 2, sc2tog) 6 times. (18)
Rnd 7: Ch 1, sc in next 2 sts, sc2tog, *sc in next 4 sts, sc2tog; rep from * to last 2 sts, sc in last 2 sts. (15)
"""
GRAMMAR = r"""
    start: (heading | round | _NL)*
    heading: "##" WORD INT _NL
    round: "Rnd" INT ":" items "." count _NL
    count: "(" INT ")"
    items: item (("," | ";") item)*
    ?item: repeat | bracket | from_star | stitch | chain
    bracket: "(" items ")" ("x" INT | INT "times")
    repeat: "*" item ("," item)*
    from_star: "rep"i "from" "*" ("around" | "to" "last" INT "sts")
    chain: "ch"i INT
    stitch: INT? NAME INT? place?
    place: "in" ("magic" "ring" | "next" INT? ("st" | "sts") | "each" "st" "around" | "last" INT "sts")
    NAME: /sc2tog|sc|inc/i
    _NL: /\n/
    %import common.WORD
    %import common.INT
    %ignore " "
"""


def page(lines: int) -> str:
    """A page of that many lines."""
    each = PART.count("\n")
    return "".join(PART.format(n=n) for n in range(lines // each))


def per_line(run: Callable[[str], object], text: str, times: int) -> float:
    """Microseconds a line, the best of some runs."""
    best = float("inf")
    for _ in range(times):
        start = time.perf_counter()
        run(text)
        best = min(best, time.perf_counter() - start)
    return best / text.count("\n") * 1e6


def check(text: str) -> None:
    fabric = work(read(text))
    assert not fabric.faults


def main(many: int) -> None:
    parser = Lark(GRAMMAR, parser="lalr")
    short, long, pattern = page(1_000), page(many), page(45)
    check(pattern), parser.parse(pattern)  # what is loaded and looked up once
    few = per_line(check, short, 5)
    lots = per_line(check, long, 1)
    lark = per_line(parser.parse, short, 5)
    print(f"whole check, 1,000 lines:      {few:7.0f} us a line")
    print(
        f"whole check, {many:,} lines:    {lots:7.0f} us a line, {lots / few:.2f} times that at 1,000 (wanted: at "
        f"most 1.3)"
    )
    print(f"reading alone, 1,000 lines:    {per_line(read, short, 5):7.0f} us a line")
    print(
        f"bare lark LALR, 1,000 lines:   {lark:7.0f} us a line; the whole check takes {few / lark:.2f} times as long "
        f"(wanted: at most 3)"
    )
    rounds = pattern.count("Rnd")
    print(
        f"a pattern of {rounds} rounds:       {per_line(check, pattern, 5) * pattern.count(chr(10)) / 1000:7.1f} ms "
        f"(wanted: well under 50)"
    )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 100_000)

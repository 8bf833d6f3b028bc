"""How long reading and working a pattern takes for each line: at 1,000 and 100,000 lines, and beside a bare lark parse.

    python tests/bench/bench_reading.py [LINES]

All figures are of one run on one machine, so that the ratios mean something where the times do not: in turn, the best of
some rounds each. The page has parts of three sorts (a spiral, rows on a chain, a joined square), with other numbers in
each, so that hardly a line comes twice. The lark grammar reads what these lines have and what such lines commonly have:
headings and labels, five stitches, increases and decreases, loops, chains with what they count for, skips, places,
brackets with times or a place, repeats from a star, turning, joining and counts. It gives bare trees: no places in the
text, other wordings, typographic variants, notes, second readings, counts or faults.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable

from lark import Lark

from coach.fabric import work
from coach.notation import read

SPIRAL = """## Float {n}

Rnd 1: {a} sc in magic ring. ({a})
Rnd 2: 2 sc in each st around. ({a2})
Rnd 3: (Sc in next st, 2 sc in next st) x {a}. ({a3})
Rnd 4: *Sc 2, inc; rep from * around. ({a4})
Rnd 5: Hdc in each st around. ({a4})
Rnd 6: (Sc 2, sc2tog) {a} times. ({a3})
Rnd 7: Sc in BLO of each st around. ({a3})
Rnd 8: *Sc in next st, sc2tog; rep from * to last 6 sts, sc in last 6 sts. ({a2and2})

"""
ROWS = """## Sail {n}

Ch {c1}.
Row 1: Sc in 2nd ch from hook and in each ch across, turn. ({c})
Row 2: Ch 1, sc in next 2 sts, 2 sc in next st, sc in each st across, turn. ({cand1})
Row 3: Ch 3 (counts as dc), sk first st, dc in each st across, turn. ({cand1})
Row 4: Ch 1, sc in next {c2} sts, sc2tog, sc in next 3 sts, turn. ({cless})

"""
SQUARE = """## Signal flag {n}

Rnd 1: ({s} dc in ring, ch 2) 4 times, join. ({s4})
Rnd 2: *Dc in next {s} sts, (2 dc, ch 2, 2 dc) in next ch-2 sp; rep from * around, join. ({sand16})
Rnd 3: *Dc in next {sand2} sts, (2 dc, ch 2, 2 dc) in next ch-2 sp, dc in next 2 sts; rep from * around, join. ({sand32})

"""
PARTS = SPIRAL + ROWS + SQUARE
GRAMMAR = r"""
    start: _NL* (heading | foundation | round)*
    heading: "##" WORD+ INT _NL
    foundation: chain "." _NL
    round: label ":" items "." count _NL
    label: ("Rnd" | "Row") INT
    count: "(" INT ")"
    items: item ("," item)*
    ?item: stitch | chain | skip | bracket | from_star | TURN | JOIN
    stitch: INT? NAME INT? place*
    chain: CHAIN INT counts?
    counts: "(" "counts" "as" NAME ")"
    skip: "sk"i which
    bracket: "(" items ")" (("x" INT) | (INT "times") | place)
    from_star: "*" items ";" "rep" "from" "*" extent
    extent: ROUND | "to" "last" INT "sts"
    place: "and"? "in" (LOOP "of")? where
    ?where: "magic"? "ring" -> ring | which | "each" NOUN ROUND -> each | ORDINAL "ch" "from" "hook" -> hook | "next" SPACE "sp" -> space
    which: ("next" | "first" | "last") INT? NOUN
    NAME.2: /(sc|hdc|dc|tr)([2-9]tog)?|sl st|inc|dec/i
    CHAIN.2: /ch/i
    SPACE.3: /ch-\d+/
    ORDINAL.3: /\d+(st|nd|rd|th)/
    NOUN: "sts" | "st" | "ch" "s"?
    LOOP: "BLO" | "FLO"
    ROUND: "around" | "across"
    TURN: "turn"
    JOIN: "join"
    _NL: /\n+/
    %import common.WORD
    %import common.INT
    %ignore " "
"""


def part(n: int) -> str:
    """The three parts, in numbers of their own."""
    a, c, s = 5 + n % 47, 12 + n % 53, 2 + n % 31
    return PARTS.format(
        n=n, a=a, a2=2 * a, a3=3 * a, a4=4 * a, a2and2=2 * a + 2, c=c, c1=c + 1, c2=c - 4, cand1=c + 1, cless=c,
        s=s, s4=4 * s, sand2=s + 2, sand16=4 * s + 16, sand32=4 * s + 32,
    )  # fmt: skip


def page(lines: int) -> str:
    """A page of about that many lines."""
    return "".join(part(n) for n in range(max(lines // PARTS.count("\n"), 1)))


def per_line(runs: dict[str, tuple[Callable[[str], object], str]], times: int) -> dict[str, float]:
    """Microseconds of processor time a line: the runs in turn, the best of so many."""
    best = dict.fromkeys(runs, float("inf"))
    for _ in range(times):
        for name, (run, text) in runs.items():
            start = time.process_time()
            run(text)
            best[name] = min(best[name], (time.process_time() - start) / text.count("\n") * 1e6)
    return best


def check(text: str) -> None:
    assert not work(read(text)).faults


def main(many: int) -> None:
    bare, placed = Lark(GRAMMAR, parser="lalr"), Lark(GRAMMAR, parser="lalr", propagate_positions=True)
    short, long, pattern = page(1_000), page(many), page(70)
    check(pattern), bare.parse(pattern), placed.parse(pattern)  # what is loaded and looked up once
    few = per_line(
        {
            "whole": (check, short),
            "read": (read, short),
            "bare": (bare.parse, short),
            "placed": (placed.parse, short),
            "pattern": (check, pattern),
        },
        15,
    )
    lots = per_line({"whole": (check, long)}, 1)["whole"]
    rounds = sum(len(part.rounds) for part in read(pattern).parts)
    print(f"whole check, 1,000 lines:      {few['whole']:6.0f} us a line; reading alone {few['read']:.0f}")
    print(f"whole check, {many:,} lines:    {lots:6.0f} us a line, {lots / few['whole']:.2f} times that at 1,000 (wanted: at most 1.3)")
    print(f"bare lark LALR, 1,000 lines:   {few['bare']:6.0f} us a line; the whole check takes {few['whole'] / few['bare']:.2f} times as long (wanted: at most 3)")
    print(f"lark with places in the text:  {few['placed']:6.0f} us a line; {few['whole'] / few['placed']:.2f} times as long")
    print(f"a pattern of {rounds} rounds:       {few['pattern'] * pattern.count(chr(10)) / 1000:6.1f} ms (wanted: well under 50)")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 100_000)

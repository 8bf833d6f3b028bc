"""The vocabulary of written patterns: numbers in words, synonyms, and the names of stitches as token sequences."""

from __future__ import annotations

import difflib
import re
from functools import cache

from coach.stitches.catalogue import catalogue
from coach.stitches.catalogue import stitch as catalogued

_ONES = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen "
    "eighteen "
    "nineteen"
).split()
_TENS = "twenty thirty forty fifty sixty seventy eighty ninety".split()
NUMBER_WORDS = (
    {w: i for i, w in enumerate(_ONES)} | {w: 20 + 10 * i for i, w in enumerate(_TENS)} | {"dozen": 12, "hundred": 100}
)
_ORDINALS = (
    "first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth thirteenth fourteenth fifteenth "
    "sixteenth seventeenth eighteenth nineteenth twentieth"
).split()
ORDINAL_WORDS = {w: i + 1 for i, w in enumerate(_ORDINALS)}

_SYNONYM_GROUPS = {
    "st": "st sts stitch stitches",
    "ch": "ch chs chain chains",
    "sp": "sp sps space spaces chsp chsps ch-sp ch-sps chain-space chain-spaces",
    "next": "next nxt following foll",
    "rep": "rep rpt reps repeat repeats repeating repeated",
    "times": "times time workings",
    "in": "in into inside",
    "skip": "skip sk skipping skipped miss missing missed omit omitting omits",
    "each": "each every ea",
    "around": "around round rounds",
    "across": "across along",
    "first": "first beginning beg begin starting",
    "last": "last",
    "end": "end ends",
    "ending": "ending",
    "turn": "turn turning t tn",
    "join": "join joining",
    "remain": "remain remaining rem remains left",
    "same": "same",
    "together": "together tog",
    "lp": "lp lps loop loops",
    "blo": "blo bl tbl",
    "flo": "flo fl tfl",
    "tch": "tch t-ch turning-ch",
    "work": "work working worked make making",
    "place": "place placing",
    "evenly": "evenly even",
    "ring": "ring circle",
    "corner": "corner corners",
    "color": "color colour yarn",
    "marker": "marker marked m markers",
    "x": "x",
    "rnd": "rnd rnds rd rds",
    "row": "row rows",
    "once": "once",
    "twice": "twice",
    "thrice": "thrice",
    "finish": "finish finishing",
    "inc": "inc incs increase increases increasing widen widening",
    "dec": "dec decs decrease decreases decreasing narrow narrowing",
    "picot": "picot picots p purl",
    "other": "other others opposite alternate alt",
    "vein": "vein veins",
    "shell": "shell shells",
    "center": "center centre",
    "counts": "counts count counting counted",
    "between": "between btw bet",
    "hook": "hook hk",
    "until": "until till",
}
SYNONYMS = {word: canonical for canonical, words in _SYNONYM_GROUPS.items() for word in words.split()}
CANONICAL = frozenset(_SYNONYM_GROUPS)
# nouns of the fabric and words of grammar are never part of a stitch's name on their own
_NEVER_A_STITCH = {"ch", "chain", "chains", "inc", "dec", "turn", "p", "m", "ring", "marker", "join", "tch"}
_KINDS = ("stitch", "increase", "decrease", "group", "decoration")


_ENDS = " "  # no word


class Phrases:
    """Names of stitches as sequences of canonical words, in a tree: word -> tree, _ENDS -> what the words so far
    name."""

    def __init__(self, names: dict[str, str]):
        self.tree: dict = {}
        self.words: set[str] = set()
        self.led: dict[str, str] = {}  # names that begin with a number: "3-dc cl"
        for name, id in names.items():
            form = _form(name)
            if not form:
                continue
            self.words.add(" ".join(form))
            if form[0].isdigit():
                self.led[" ".join(form)] = id
                continue
            branch = self.tree
            for word in form:
                branch = branch.setdefault(word, {})
            glued = form[-1].isdigit() and " " not in name  # "dc3": no space may come before the number
            branch.setdefault(_ENDS, []).append((glued, id))
        self.first = frozenset(
            word + s for word in self.tree for s in ("", "s")
        )  # the words that a name can start with
        self.vocabulary = {word for name in self.words for word in name.split()}

    def longest(self, found: list, i: int) -> tuple[int, str]:
        """(tokens taken, stitch id) of the longest name that starts at token i; (0, "") when none does."""
        taken, id = 0, ""
        branch = self.tree
        for j in range(i, len(found)):
            word = str(found[j].value)
            further = branch.get(word)
            ends = further.get(_ENDS, ()) if further else ()
            if word.endswith("s") and (one := branch.get(word[:-1])):  # "bobbles"
                ends = (*ends, *one.get(_ENDS, ()))
            for glued, named in ends:
                if not glued or j == i or found[j].start == found[j - 1].end:
                    taken, id = j - i + 1, named
                    break
            if not further:
                break
            branch = further
        return taken, id

    def led_by_number(self, name: str) -> str | None:
        """The stitch that `3-dc cluster` is: the group of its noun, with its number and stitch."""
        number, of, noun = re.match(r"(\d+)[- ]?([a-z]+)[- ](\w+)", name).groups()
        ids = [
            next((id for _, id in self.tree.get(word, {}).get(_ENDS, ())), None)
            for word in (noun, noun.removesuffix("s"))
        ]
        id = ids[0] or ids[1]
        stitch = next((id for _, id in self.tree.get(of, {}).get(_ENDS, ())), of)
        numbered = f"{number}-{stitch} {id}"
        return numbered if id and catalogued(numbered) else id

    def nearest(self, word: str, n: int = 3) -> list[str]:
        """The known words most like this one: those of the same letters alone, where there are any (`dce`, `hlaf`)."""
        swapped = self._by_letters().get("".join(sorted(word)), [])
        return swapped[:n] or difflib.get_close_matches(word[:60], self._known(), n, 0.6)

    @cache  # noqa: B019 - there are a handful of these, kept for good
    def _known(self) -> list[str]:
        return sorted({*self.words, *self.vocabulary, *SYNONYMS})

    @cache  # noqa: B019
    def _by_letters(self) -> dict[str, list[str]]:
        found: dict[str, list[str]] = {}
        for word in self._known():
            found.setdefault("".join(sorted(word)), []).append(word)
        return found


def _form(name: str) -> tuple[str, ...]:
    pattern = r"[a-z0-9.]+" if re.search(r"\dtog\b", name) else r"[a-z.]+|\d+"
    words = [SYNONYMS.get(w, w) for w in re.findall(pattern, name.lower().replace("-", " "))]
    if (
        not words
        or (len(words) == 1 and (words[0] in _NEVER_A_STITCH or words[0].isdigit()))
        or re.search(r" \d$", name)
    ):
        return ()
    return tuple(words)


@cache
def own_phrases(names: frozenset[str]) -> Phrases:
    """The names that a pattern defines itself."""
    return Phrases({name: name for name in names})


@cache
def phrases(terms: str) -> Phrases:
    """The names of stitches in these terms."""
    stitches = catalogue()
    names = {}
    for name, id in stitches.words(terms).items():
        entry = stitches[id]
        if entry.kind in _KINDS and id not in ("ch", "inc", "dec"):
            names[name] = id
    ours = {"sc": ("sc", "dc"), "hdc": ("hdc", "htr"), "dc": ("dc", "tr"), "tr": ("tr", "dtr"), "dtr": ("dtr", "trtr")}
    for id, (us, uk) in ours.items():
        stem = uk if terms == "UK" else us
        for n in range(2, 13):
            names.setdefault(f"{stem}{n}tog", f"{id}{n}tog")
        names.setdefault(f"{stem} dec", f"{id}2tog")
    for extra, id in _EXTRA.items():
        names.setdefault(extra, id)
    own = _OLD_UK if terms == "UK" else _OLD_US
    other = _ONLY_US if terms == "UK" else _ONLY_UK  # a fault, but what it means is known
    for name, id in {**own, **other}.items():
        names.setdefault(name, id)
    return Phrases(names)


_OLD_US = {
    "single crochets": "sc",
    "double crochets": "dc",
    "half double": "hdc",
    "half doubles": "hdc",
    "reverse sc": "revsc",
    "long stitch": "dc",
}
_OLD_UK = {
    "plain": "sc",
    "double": "sc",
    "doubles": "sc",
    "single": "slst",
    "long stitch": "dc",
    "reverse dc": "revsc",
    "trebles": "dc",
    "long treble": "tr",
    "long trebles": "tr",
    "long double": "hdc",
    "short treble": "hdc",
}
_ONLY_US = {
    "sc": "sc",
    "hdc": "hdc",
    "single crochet": "sc",
    "half double crochet": "hdc",
    "sc2tog": "sc2tog",
    "hdc2tog": "hdc2tog",
}
_ONLY_UK = {"htr": "hdc", "half treble": "hdc", "half treble crochet": "hdc", "htr2tog": "hdc2tog"}
_EXTRA = {
    "sl st": "slst",
    "slip st": "slst",
    "slst": "slst",
    "ss": "slst",
    "sl": "slst",
    "slip stitch": "slst",
    "inv dec": "invdec",
    "invdec": "invdec",
    "invisible decrease": "invdec",
    "invisible dec": "invdec",
    "idec": "invdec",
    "invis dec": "invdec",
    "fpdc": "fpdc",
    "bpdc": "bpdc",
}

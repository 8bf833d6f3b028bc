"""How a page may be set, which changes nothing: functions of the text of its rounds."""

from __future__ import annotations

import re
from functools import partial

_COUNT = re.compile(r"\. \((.+)\)$", re.MULTILINE)

VARIANTS = {
    "capitals": str.upper,
    "small letters": str.lower,
    "wide spaces": partial(re.sub, " ", "   "),
    "no-break spaces": partial(re.sub, " ", "\u00a0"),
    "space before commas": partial(re.sub, ",", " ,"),
    "no space behind commas": partial(re.sub, ", ", ","),
    "times sign": partial(re.sub, r"\) x (?=\d)", ") × "),
    "times close up": partial(re.sub, r"\) x (?=\d)", ") x"),
    "square brackets": lambda text: text.translate(str.maketrans("()", "[]")),
    "full-width digits": lambda text: text.translate(str.maketrans("0123456789", "０１２３４５６７８９")),
    "no stop before the count": partial(_COUNT.sub, r" (\1)"),
    "count behind a dash": partial(_COUNT.sub, r" — \1"),
    "count behind an equals sign": partial(_COUNT.sub, r" = \1"),
    "empty lines between rounds": partial(re.sub, "\n", "\n\n"),
    "bold labels": partial(re.sub, r"^((?:Rnd|Row) \d+[^:\n]*:)", r"**\1**", flags=re.MULTILINE),
}

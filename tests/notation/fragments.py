"""Words, marks and phrases of the trade, good and bad, to be put together in any order."""

FRAGMENTS = [
    "Rnd 1:", "Row 2:", "Rnds 3-9:", "R7", "1st row (WS):", "Rows 2, 4 and 6:", "Next rnd:", "Foundation row:",
    "Sizes M and L only:", "4.", "Rnd 999999:", "# Seal", "## Fin (make 2)", "Body", "Special stitches",
    "Abbreviations:", "Assembly", "Sizes: S (M, L)", "UK terms", "Materials", "Notes", "sc", "dc", "hdc", "tr", "htr",
    "sl st", "inc", "dec", "inv dec", "sc2tog", "dc3tog", "picot", "shell", "bobble", "3-dc cl", "fpdc", "treble",
    "double", "X", "V", "s", "l.", "3 s", "sc in", "2 sc in", "in next st", "in next 3 sts", "in each st", "in each of next 2 sts",
    "in same sp", "in ring", "in magic ring", "in 2nd ch from hook", "in last ch", "in next ch-2 sp", "in corner sp",
    "between next 2 dc", "in BLO", "in top of tch", "around first leg", "of 12 sts", "in 3rd st", "in first st",
    "around", "across", "to end", "to last 2 sts", "to next corner", "until 9 sts remain",
    "along the other side of the chain", "evenly around", "every 2nd st", "ch 3", "Ch 12.", "3ch", "ch-5",
    "(counts as dc)", "(does not count)", "(skipped chs count as dc)", "sk next st", "skip tch",
    "leave remaining sts unworked", "join", "join with sl st in first sc", "turn", "Fasten off.", "PM", "change to B",
    "With A,", "MR 6", "Magic ring,", "form a ring", "do not join", "rotate", "(", ")", "[", "]", "{", "}", "<", ">",
    "*", "**", "†", ",", ";", ".", ":", "-", "—", "=", "→", "x", "x 6", "6 times", "twice", "3 more times",
    "6 (7, 8)", "(18)", "[24]", "= 12", "(12 dc, 4 ch-2 sps)", "rep from * around", "rep from * 6 times",
    "ending last rep at **", "repeat between *s twice", "Rep Rows 2 and 3 twice.", "Work even for 6 rows.",
    "Same as Row 2.", "Rep Row 2 until piece measures 15 cm.", "inc 6 sts evenly",
    "Dec 1 st at each end of next 4 rows.", "making 12 loops in all", "Stuff firmly.", "Tip: count.", "page 3",
    "blorp", "limpet stitch", "don't", "é", "½", "10½ cm", "3.5 mm", "０", "“", '\xad', '\u200b', 'cro-\nchet', "0",
    "1", "9" * 30, "Shell: 5 dc in same st.", "inc = 3 sc in same st", "the", "and", "then", "of", "from", '\n',
    '\n\n', " ", '\t', "- ", "1. ", "| ", "_", "__", "\\*", "#", "=", "(sc, (dc, [tr",
]

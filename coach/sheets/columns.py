"""Text as it lies on a page → reading order: columns one after the other, lines across the page where they stand."""

from __future__ import annotations

from collections.abc import Iterator

GAP = 3  # blank characters between columns at least
LINES = 4  # that each column has at least
SHARE = 0.15  # of the lines may cross the gap, like a title
NARROWEST = 16  # characters of the widest line of a column
LABELS = 0.3  # a left column whose usual line is this short of its widest is labels beside their text


def in_reading_order(page: str) -> str:
    """page: one line of text for each line on the page, with blanks where it is blank."""
    return "\n".join(_ordered(page.expandtabs(4).split("\n")))


def _ordered(lines: list[str]) -> list[str]:
    gap = _gap(lines)
    if gap is None:
        return lines
    out: list[str] = []
    for across, block in _blocks(lines, gap):
        if across:
            out += block
            continue
        left, right = [line[:gap].rstrip() for line in block], [line[gap:] for line in block]
        out += (
            _trimmed(_ordered(left))
            + ([""] if any(map(str.strip, right)) else [])
            + _trimmed(_ordered(_outdented(right)))
        )
    return out


def _blocks(lines: list[str], gap: int) -> Iterator[tuple[bool, list[str]]]:
    """(across the page, lines) in turn."""
    block: list[str] = []
    was = False
    for line in lines:
        across = _crosses(line, gap)
        if across != was and block:
            yield was, block
            block = []
        was = across
        block.append(line)
    if block:
        yield was, block


def _crosses(line: str, gap: int) -> bool:
    """Whether a line runs over the place where the right column starts."""
    before, after = line[:gap], line[gap:]
    return bool(after.strip()) and len(before) == gap and bool(before[-GAP:].strip())


def _gap(lines: list[str]) -> int | None:
    """Where the right column starts: with the fewest lines across, and enough of them on either side."""
    written = [line for line in lines if line.strip()]
    if len(written) < LINES:
        return None
    width = max(map(len, written))
    best: tuple[int, int] | None = None
    for gap in range(NARROWEST, width - NARROWEST // 2):
        across = sum(_crosses(line, gap) for line in written)
        right = [line for line in written if line[gap:].strip() and not _crosses(line, gap)]
        left = [line for line in written if line[:gap].strip() and not _crosses(line, gap)]
        starts = sum(not line[gap - GAP : gap].strip() and line[gap] != " " for line in right)
        if across > max(1, SHARE * len(written)) or len(right) < LINES or len(left) < LINES or starts < len(right) / 2:
            continue
        lengths = sorted(len(line[:gap].strip()) for line in left)
        if lengths[-1] < NARROWEST or lengths[len(lengths) // 2] < LABELS * gap:
            continue
        if best is None or (-across, starts) > best:
            best, found = (-across, starts), gap
    return None if best is None else found


def _outdented(lines: list[str]) -> list[str]:
    margin = min((len(line) - len(line.lstrip()) for line in lines if line.strip()), default=0)
    return [line[margin:] for line in lines]


def _trimmed(lines: list[str]) -> list[str]:
    while lines and not lines[-1].strip():
        lines = lines[:-1]
    return lines

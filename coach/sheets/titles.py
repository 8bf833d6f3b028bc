"""What a sheet of a pattern is called."""

from __future__ import annotations

from coach.fabric.model import Fabric


def titled(fabric: Fabric) -> str:
    """The pattern's title, with the size that is drawn or told where it has several: "Harbour cap, size M"."""
    title, sizes = fabric.pattern.title or "Pattern", fabric.pattern.sizes
    return f"{title}, size {sizes[fabric.size]}" if len(sizes) > 1 else title

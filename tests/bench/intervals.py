"""What a figure of a bench may truly be: intervals of 95 %, in words."""

from __future__ import annotations

from math import sqrt


def rate(count: int, hours: float) -> str:
    """An hourly rate and what it may truly be (Poisson)."""
    from scipy.stats import chi2

    low = chi2.ppf(0.025, 2 * count) / 2 if count else 0.0
    return f"{count / hours:.1f} an hour ({low / hours:.1f} to {chi2.ppf(0.975, 2 * count + 2) / 2 / hours:.1f})"


def share(count: int, of: int) -> str:
    """What a share may truly be, in percent (Wilson)."""
    z, p = 1.96, count / of
    middle, spread = p + z * z / 2 / of, z * sqrt(p * (1 - p) / of + z * z / 4 / of / of)
    return f"({100 * (middle - spread) / (1 + z * z / of):.0f} to {100 * (middle + spread) / (1 + z * z / of):.0f})"

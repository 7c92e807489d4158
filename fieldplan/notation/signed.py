"""Numbers with their sign, and nothing that reads as less than nothing."""

from __future__ import annotations


def signed(value: float, places: int = 1) -> str:
    """ "+2.5", "-0.3"; "0.0" for what rounds to nothing."""
    told = f"{value:+.{places}f}"
    return told[1:] if float(told) == 0.0 else told


def unsigned_zero(value: float, places: int = 1) -> str:
    """ "2.5", "-0.3"; "0.0" for what rounds to nothing, whatever its sign."""
    told = f"{value:.{places}f}"
    return told.lstrip("-") if float(told) == 0.0 else told

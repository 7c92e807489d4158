"""What was typed on the Moon & sun page as it is kept: the texts, and what one look at the disc came to."""

from __future__ import annotations

from collections.abc import Mapping

from fieldplan.planner.sightings import Corrected
from fieldplan.sky.aims import Correction
from fieldplan.sky.geocentric import Body


def kept_of(texts: Mapping[str, str], look: Corrected | None) -> dict[str, str | float]:
    """What is put on disk: the texts, and what the look came to, which the text alone does not tell."""
    kept: dict[str, str | float] = {key: text for key, text in texts.items()
                                   if text and key not in ("look", "here")}  # fmt: skip
    if look is not None and texts.get("look"):
        kept |= {
            "look": texts["look"], "look_landmark": look.landmark, "look_viewpoint": look.viewpoint,
            "look_body": look.body, "look_ut_s": look.ut_s, "look_across_deg": look.correction.across_deg,
            "look_up_deg": look.correction.up_deg, "look_error_deg": look.error_deg,
        }  # fmt: skip
        if look.also:
            kept["look_also"] = "\n".join(look.also)
    return kept


def look_of(kept: Mapping[str, str | float]) -> Corrected | None:
    """The look, read back; None where any part of it is missing."""
    names = [kept.get(f"look_{name}") for name in ("landmark", "viewpoint", "body")]
    numbers = [kept.get(f"look_{name}") for name in ("ut_s", "across_deg", "up_deg")]
    landmark, viewpoint, body = names
    ut_s, across, up = numbers
    if not (isinstance(landmark, str) and isinstance(viewpoint, str) and body in ("moon", "sun")):
        return None
    if isinstance(ut_s, str) or isinstance(across, str) or isinstance(up, str):
        return None
    if ut_s is None or across is None or up is None or max(abs(across), abs(up)) > 10.0:
        return None
    which: Body = "moon" if body == "moon" else "sun"
    error = kept.get("look_error_deg")
    stated = float(error) if isinstance(error, float | int) and error >= 0.0 else 0.0
    also = kept.get("look_also")
    names_too = tuple(also.split("\n")) if isinstance(also, str) else ()
    return Corrected(landmark, viewpoint, which, ut_s, Correction(across, up), stated, names_too)

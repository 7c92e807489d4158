"""What goes into the bag, with its weight; and ISO over shutter for the light at hand."""

from __future__ import annotations

from fieldplan.model.gear import Item, Profile
from fieldplan.notation.numbers import trimmed
from fieldplan.optics.exposure import iso_for, iso_third_up, time_third_faster
from fieldplan.planner.answers import Answer, Light
from fieldplan.planner.tables import ExposureTable, KitLine

_STOPS_SHOWN = 7
_LEAST_ISO = 49.0  # lower ones are on few bodies


def line_of(kind: str, item: Item) -> KitLine:
    """A thing as a line of the kit list."""
    weight = None if item.weight is None else float(item.weight)
    return KitLine(kind, item.name, weight, item.owned, item.rent)


def kit_list(profile: Profile, as_written: Profile | None = None) -> tuple[KitLine, ...]:
    """Everything owned, in the order of the profile.

    as_written: the profile of which this one is what is carried; it says what of that is not owned.
    """
    groups = (("body", profile.bodies), ("lens", profile.lenses), ("converter", profile.converters),
              ("tube", profile.tubes), ("close-up lens", profile.close_up_lenses), ("flash", profile.flashes),
              ("support", profile.supports), ("bag", profile.bags), ("extra", profile.extras))  # fmt: skip
    lines = tuple(line_of(kind, item) for kind, items in groups for item in items if item.owned)
    if as_written is None:
        return lines
    theirs = {(line.kind, line.name) for line in kit_list(as_written)}
    return tuple(line._replace(owned=(line.kind, line.name) in theirs) for line in lines)


def kind_text(line: KitLine) -> str:
    """ "lens"; of what is not owned "lens, to rent 70", or "lens, not owned" where its rent is not known."""
    if line.owned:
        return line.kind
    return f"{line.kind}, {'not owned' if line.rent is None else f'to rent {trimmed(line.rent, 0)}'}"


def total_weight_kg(lines: tuple[KitLine, ...]) -> float | None:
    """Sum of the known weights [kg]; None when none is known."""
    known = [line.weight_kg for line in lines if line.weight_kg is not None]
    return sum(known) if known else None


def exposure_table(answer: Answer, light: Light | None, shot: str, fastest_s: float = 0.0) -> ExposureTable | None:
    """ISO for whole stops of shutter round the one chosen, at the chosen f-number; from the lowest ISO up.

    fastest_s: the body's fastest shutter [s], beyond which nothing is offered.
    """
    if light is None or answer.iso is None or answer.shutter_s is None or answer.effective_f_number is None:
        return None
    assert answer.f_number is not None and answer.iso_ceiling is not None
    middle = time_third_faster(answer.shutter_s)
    rows: list[tuple[float, float]] = []
    for stop in range(-_STOPS_SHOWN // 2, _STOPS_SHOWN + 1):
        time = middle * 2.0**-stop
        iso = iso_third_up(iso_for(answer.effective_f_number, time, light.ev100))
        if iso >= _LEAST_ISO and len(rows) < _STOPS_SHOWN and time >= fastest_s * 0.97:
            rows.append((time, iso))
    return ExposureTable(shot, answer.f_number, answer.effective_f_number, tuple(rows), answer.iso_ceiling)

"""The kit decision in words: the table of bags, what each choice gains, the lightest bag, what reaches what."""

from __future__ import annotations

from typing import NamedTuple

from fieldplan.notation.display import size_text, span_text, weight_text
from fieldplan.notation.marks import iso_mark, stops_text
from fieldplan.notation.numbers import trimmed
from fieldplan.notation.signed import signed
from fieldplan.planner.answers import Answer
from fieldplan.planner.bags import Bag, Lightest, Money
from fieldplan.planner.coverage import Row, as_owned, how_well, owned_only
from fieldplan.planner.gaining import LEAST_PIXELS, LEAST_STOPS, Choice, PictureGain
from fieldplan.planner.inpart import PARTLY
from fieldplan.planner.kitdecision import KitDecision
from fieldplan.planner.ranking import ranked
from fieldplan.planner.rigs import Kit
from fieldplan.planner.trip import TripShot

Line = tuple[str, str]
LEGEND = "st: stops more light on the subject; x: times the pixels along it; *: must"
_WAYS_TOLD = 3  # bodies and lenses told for one picture


class Grid(NamedTuple):
    """Choices across, pictures down, then totals. Each row begins with its name; the head names the choices."""

    head: tuple[str, ...]
    pictures: tuple[tuple[str, ...], ...]
    totals: tuple[tuple[str, ...], ...]


def gain_text(gain: PictureGain) -> str:
    """ "+1.2 st 1.5x", "gained", "lost", "nearly", "partly", "same", "-"."""
    if gain.word != "changed":
        return {"neither": "-"}.get(gain.word, gain.word)
    parts = []
    if gain.light_stops is not None and abs(gain.light_stops) >= LEAST_STOPS:
        parts.append(f"{signed(gain.light_stops)} st")
    if gain.pixels is not None and abs(gain.pixels - 1.0) >= LEAST_PIXELS:
        parts.append(f"{figures_of(gain.pixels)}x")
    return " ".join(parts)


def figures_of(ratio: float) -> str:
    """A ratio to two figures."""
    return trimmed(ratio, 1 if ratio >= 0.95 else 2)


def _as_is(gain: PictureGain) -> str:
    """How the first choice takes a picture."""
    if gain.answer is None:
        return gain.part or "-"
    return f"ISO {iso_mark(gain.answer.iso)}" if gain.answer.iso else "yes"


def _buy(money: Money) -> str:
    if not money.names:
        return "-"
    if len(money.no_price) == len(money.names):
        return "?"
    return trimmed(money.buy, 0) + (" + ?" if money.no_price else "")


def _rent(money: Money) -> str:
    if not money.names:
        return "-"
    if len(money.no_rent) == len(money.names):
        return "?"
    return trimmed(money.rent, 0) + (" + ?" if money.no_rent else "")


def _weight(bag: Bag, units: str) -> str:
    """Weight of a bag; "+ ?" where that of something in it is not known."""
    return weight_text(bag.weight_kg, units) + (" + ?" if bag.unweighed else "")


def grid(decision: KitDecision) -> Grid:
    """Bags side by side: how each picture is taken, how many, weight, money. Over the limit, the best within counts."""
    choices, units = decision.choices, decision.units
    count = len(choices[0].pictures)
    pictures = []
    for at in range(count):
        first = choices[0].pictures[at]
        mark = "*" if first.must else " "
        pictures.append((f"{mark} {first.shot}", _as_is(first), *(gain_text(c.pictures[at]) for c in choices[1:])))
    totals = [("pictures", *(f"{len(c.bag.kept)} of {count}" for c in choices))]
    musts = sum(p.must for p in choices[0].pictures)
    if 0 < musts < count:
        totals.append(("of the musts", *(f"{sum(p.must and p.answer is not None for p in c.pictures)} of {musts}"
                                         for c in choices)))  # fmt: skip
    limit = decision.limit_kg
    named = "weight" if limit is None else f"weight, limit {weight_text(limit, units)}"
    totals.append((named, *(_weight(c.bag, units) for c in choices)))
    if not all(c.whole for c in choices):
        totals.append(("with all of it", *(_weight(c.side.whole, units) for c in choices)))
    if decision.candidates:
        totals.append(("to buy", *(_buy(c.bag.money) for c in choices)))
    if any(len(c.bag.money.no_rent) < len(c.bag.money.names) for c in choices):
        totals.append(("to rent, a trip", *(_rent(c.bag.money) for c in choices)))
    return Grid(tuple(c.name for c in choices), tuple(pictures), tuple(totals))


def choice_lines(choice: Choice, first: Choice, decision: KitDecision) -> tuple[Line, ...]:
    """One bag against the first one: pictures by name, stops, pixels, weight, money, what it drags along."""
    lines: list[Line] = []
    if choice is not first:
        lines.append(("gains", ", ".join(choice.named("gained")) or "no picture"))
        if choice.named("lost"):
            lines.append(("gives up", ", ".join(choice.named("lost"))))
        lines += _better(choice)
    lines += _lost(choice.bag)
    lines.append(("weight", weight_line(choice, decision)))
    if choice.bag.money.text:
        lines.append(("money", choice.bag.money.text))
    dragged: dict[str, list[str]] = {}
    for name, what in choice.bag.drags:
        dragged.setdefault(name, []).append(what)
    lines += [("with it", f"{name}: {'; '.join(texts)}") for name, texts in dragged.items()]
    return tuple(lines)


def _lost(bag: Bag) -> list[Line]:
    """Pictures that a bag has in part, and those that it has not at all."""
    in_part = [f"{shot} {word}" for shot, word in bag.in_part]
    partly = {shot for shot, _ in bag.in_part}
    lost = [f"{shot} (must)" for shot in bag.lost_must if shot not in partly]
    lost += [shot for shot in bag.lost_nice if shot not in partly]
    return [("in part", ", ".join(in_part))] * bool(in_part) + [("not taken", ", ".join(lost))] * bool(lost)


def _better(choice: Choice) -> list[Line]:
    lines = []
    light, pixels = choice.most_stops, choice.most_pixels
    if light is not None and light.answer is not None and light.base is not None:
        assert light.light_stops is not None
        lines.append(("light", f"up to {stops_text(light.light_stops)} more on the subject: {light.shot} "
                               f"({_how(light.base, light.answer)})"))  # fmt: skip
    if pixels is not None and pixels.answer is not None and pixels.base is not None:
        have, had = pixels.answer.pixels_on_subject or 0.0, pixels.base.pixels_on_subject or 0.0
        lines.append(("pixels", f"up to {figures_of(pixels.pixels or 1.0)} times along the subject: {pixels.shot} "
                                f"({size_text(have)} instead of {size_text(had)})"))  # fmt: skip
    return lines


def _how(before: Answer, after: Answer) -> str:
    """ "ISO 100 instead of 400, drawn 1.4 times as large, by crop body + 150-600"."""
    parts = []
    if before.iso and after.iso:
        same = iso_mark(before.iso) == iso_mark(after.iso)
        parts.append(f"ISO {iso_mark(after.iso)}" + (" as before" if same else f" instead of {iso_mark(before.iso)}"))
    ratio = (after.magnification or 1.0) / (before.magnification or 1.0)
    if abs(ratio - 1.0) >= LEAST_PIXELS:
        parts.append(f"drawn {figures_of(ratio)} times as large")
    if after.label != before.label:
        parts.append(f"by {after.label} instead of {before.label}")
    return ", ".join(parts)


def weight_line(choice: Choice, decision: KitDecision) -> str:
    """Weight against the limit; where the whole is over it, what then stays behind."""
    units, bag, whole = decision.units, choice.bag, choice.side.whole
    limit = "" if bag.limit_kg is None else f" of {weight_text(bag.limit_kg, units)}"
    unknown = f"; weight not known: {', '.join(bag.unweighed)}" if bag.unweighed else ""
    if choice.side.within is None and whole.over_kg:
        return f"{weight_text(whole.weight_kg, units)}{limit}: what is insisted on is over it by itself{unknown}"
    if choice.whole:
        return f"{weight_text(bag.weight_kg, units)}{limit}{unknown}"
    names = {line.name for line in bag.lines}
    left = ", ".join(line.name for line in whole.lines if line.name not in names)
    sure = "" if bag.proven else " (search cut short: a better one may exist)"
    return (f"all of it {weight_text(whole.weight_kg, units)}, {weight_text(whole.over_kg, units)} over; the best "
            f"within the limit is {weight_text(bag.weight_kg, units)}{sure}, without: {left}{unknown}")  # fmt: skip


def bag_text(bag: Bag) -> str:
    """What is in a bag, and its weight against the limit."""
    limit = "" if bag.limit_kg is None else f" of {weight_text(bag.limit_kg, bag.units)}"
    over = f", {weight_text(bag.over_kg, bag.units)} over" if bag.over_kg > 5e-4 else ""
    names = ", ".join(line.name for line in bag.lines) or "nothing"
    return f"{names}; {weight_text(bag.weight_kg, bag.units)}{limit}{over}"


def lightest_lines(found: Lightest) -> tuple[Line, ...]:
    """The lightest bag for the musts, what it loses, what nothing takes, and what each further item buys."""
    bag = found.bag
    takes = bool(bag.kept or bag.in_part)
    lines: list[Line] = [("pack", bag_text(bag) if takes or bag.items else "nothing, for nothing here takes a picture")]
    if bag.money.text:
        lines.append(("money", bag.money.text))
    if found.impossible:
        lines.append(("no way", f"nothing takes {', '.join(found.impossible)}"))
    known = set(found.impossible)
    lines += [(label, text) for label, text in _lost(bag._replace(lost_must=(), lost_nice=tuple(
        shot for shot in bag.lost_nice if shot not in known)))]  # fmt: skip
    if bag.unweighed:
        lines.append(("unknown", f"weight of {', '.join(bag.unweighed)}, counted as nothing"))
    lines += [("more", further.text) for further in found.further if further.gains or further.better]
    idle = [" + ".join(further.items) for further in found.further if not further.gains and not further.better]
    if idle:
        lines.append(("no more", f"nothing for these pictures is bought by {', '.join(idle)}"))
    lines += [("note", note) for note in found.notes]
    return tuple(lines)


BEST = "the best within the limit, of what is owned"
AIM = "most pictures (musts first), then the supports that they name, then most light on them, then least weight"


def best_lines(bag: Bag | None) -> tuple[Line, ...]:
    """The best bag within the limit, what it loses, and what best means; None: what is insisted on is over it."""
    if bag is None:
        return (("pack", "no bag: what is insisted on is over the limit by itself"),)
    sure = () if bag.proven else (("note", "search cut short: a better one may exist"),)
    return (("pack", bag_text(bag)), *(_lost(bag) or [("loses", "nothing")]), ("best", AIM), *sure)


def lightest_title(found: Lightest, bought: bool) -> str:
    """Heading of the lightest bag."""
    what = "every picture, none being marked must," if found.all_count else "every must picture"
    part = " that can be had" if found.impossible else ""
    if found.others_count:
        what, part = "the other pictures, for no must can be had", ""
    elif not found.bag.kept and not found.bag.in_part:
        what, part = "the pictures", ": none can be had"
    return f"lightest bag for {what}{part}" + (", with what might be bought" if bought else "")


def reach_lines(row: Row, shot: TripShot, kit: Kit) -> tuple[Line, ...]:
    """How one picture is reached: by what is owned, by what is not, or the gap and what would close it."""
    if row.problem is not None:
        return (("no answer", row.problem),)
    lines: list[Line] = []
    if row.part is not None:
        span = row.part.distance_m if row.part.word == PARTLY else None
        where = "" if span is None else f"at {span_text(*span, shot.plan.units)}: "
        lines.append((row.part.word, f"{row.part.answer.label}: {where}{how_well(row.part.answer)}"))
    if row.gap is None:
        ways = ranked([a for a in owned_only(as_owned(shot, kit), kit) if a.verdict == "works"])
        found = {(a.body, a.lens): a for a in reversed(ways)}
        told = [a for a in ways if found[a.body, a.lens] is a]
    else:
        lines += [("gap", row.gap.lines[0]), *(("to close", text) for text in row.gap.lines[1:])]
        told = [cell.answer for cell in row.cells if cell.does and cell.answer is not None]
    word = "works" if row.gap is None else "not owned"
    lines += [(word, f"{a.body} + {a.lens}: {how_well(a)}") for a in told[:_WAYS_TOLD]]
    if len(told) > _WAYS_TOLD:
        lines.append(("", f"and {len(told) - _WAYS_TOLD} more"))
    return tuple(lines)

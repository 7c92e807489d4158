"""The kit decision in words: the table of bags, what each choice gains, the lightest bag, what reaches what."""

from __future__ import annotations

from typing import NamedTuple

from fieldplan.notation.display import size_text, weight_text
from fieldplan.notation.marks import iso_mark, stops_text
from fieldplan.notation.numbers import trimmed
from fieldplan.planner.answers import Answer
from fieldplan.planner.bags import Bag, Lightest, Money
from fieldplan.planner.coverage import Row, as_owned, how_well, owned_only
from fieldplan.planner.gaining import LEAST_PIXELS, LEAST_STOPS, Choice, PictureGain
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
    """ "+1.2 st 1.5x", "gained", "lost", "same", "-"."""
    if gain.word != "changed":
        return {"neither": "-"}.get(gain.word, gain.word)
    parts = []
    if gain.light_stops is not None and abs(gain.light_stops) >= LEAST_STOPS:
        parts.append(f"{gain.light_stops:+.1f} st")
    if gain.pixels is not None and abs(gain.pixels - 1.0) >= LEAST_PIXELS:
        parts.append(f"{figures_of(gain.pixels)}x")
    return " ".join(parts)


def figures_of(ratio: float) -> str:
    """A ratio to two figures."""
    return trimmed(ratio, 1 if ratio >= 0.95 else 2)


def _as_is(gain: PictureGain) -> str:
    """How the first choice takes a picture."""
    if gain.answer is None:
        return "-"
    return f"ISO {iso_mark(gain.answer.iso)}" if gain.answer.iso else "yes"


def _buy(money: Money) -> str:
    if not money.names:
        return "-"
    if len(money.no_price) == len(money.names):
        return "?"
    return trimmed(money.buy, 0) + (" + ?" if money.no_price else "")


def _rent(money: Money) -> str:
    return "-" if not money.names else "?" if money.no_rent else trimmed(money.rent, 0)


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
        totals.append(("of the musts", *(f"{musts - len(c.bag.lost_must)} of {musts}" for c in choices)))
    limit = decision.limit_kg
    named = "weight" if limit is None else f"weight, limit {weight_text(limit, units)}"
    totals.append((named, *(weight_text(c.bag.weight_kg, units) for c in choices)))
    if not all(c.whole for c in choices):
        totals.append(("with all of it", *(weight_text(c.side.whole.weight_kg, units) for c in choices)))
    if decision.candidates:
        totals.append(("to buy", *(_buy(c.side.whole.money) for c in choices)))
    if any(c.side.whole.money.names and not c.side.whole.money.no_rent for c in choices):
        totals.append(("to rent, a trip", *(_rent(c.side.whole.money) for c in choices)))
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
    if choice.side.whole.money.text:
        lines.append(("money", choice.side.whole.money.text))
    dragged: dict[str, list[str]] = {}
    for text in choice.side.whole.drags:
        name, _, what = text.partition(": ")
        dragged.setdefault(name, []).append(what)
    lines += [("with it", f"{name}: {'; '.join(what)}") for name, what in dragged.items()]
    return tuple(lines)


def _lost(bag: Bag) -> list[Line]:
    lost = [f"{shot} (must)" for shot in bag.lost_must] + list(bag.lost_nice)
    return [("not taken", ", ".join(lost))] if lost else []


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
    return f"{', '.join(line.name for line in bag.lines)}; {weight_text(bag.weight_kg, bag.units)}{limit}{over}"


def lightest_lines(found: Lightest) -> tuple[Line, ...]:
    """The lightest bag for the musts, what it loses, what nothing takes, and what each further item buys."""
    lines: list[Line] = [("pack", bag_text(found.bag))]
    if found.bag.money.text:
        lines.append(("money", found.bag.money.text))
    if found.impossible:
        lines.append(("no way", f"nothing takes {', '.join(found.impossible)}"))
    if found.bag.lost_nice:
        lines.append(("loses", ", ".join(found.bag.lost_nice)))
    if found.bag.unweighed:
        lines.append(("unknown", f"weight of {', '.join(found.bag.unweighed)}, counted as nothing"))
    lines += [("more", further.text) for further in found.further]
    lines += [("note", note) for note in found.notes]
    return tuple(lines)


def best_lines(bag: Bag) -> tuple[Line, ...]:
    """What the best bag within the limit loses."""
    return (("pack", bag_text(bag)), ("loses", ", ".join((*bag.lost_must, *bag.lost_nice)) or "nothing"))


def lightest_title(found: Lightest, bought: bool) -> str:
    """Heading of the lightest bag."""
    what = "every picture, none being marked must," if found.all_count else "every must picture"
    part = " that can be had" if found.impossible else ""
    return f"lightest bag for {what}{part}" + (", with what might be bought" if bought else "")


def reach_lines(row: Row, shot: TripShot, kit: Kit) -> tuple[Line, ...]:
    """How one picture is reached: by what is owned, by what is not, or the gap and what would close it."""
    if row.problem is not None:
        return (("no answer", row.problem),)
    lines: list[Line] = []
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

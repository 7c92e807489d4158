"""What a purchase drags along: lenses that cover too little, other mounts, adapters, things to be bought with it."""

from __future__ import annotations

from fieldplan.model.gear import Body, CloseUpLens, Converter, Item, Lens, Profile, Tube
from fieldplan.notation.quantity import Pair
from fieldplan.planner.combining import recorded_frame


def _mm(frame: tuple[float, float]) -> str:
    return "x".join(f"{side * 1000:.1f}".removesuffix(".0") for side in frame) + " mm"


def _and(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def drags_along(item: Item, profile: Profile) -> tuple[str, ...]:
    """Sentences on what comes with an item that is not owned, set against what is owned."""
    match item:
        case Body():
            return _body(item, profile)
        case Lens():
            return _lens(item, profile)
        case Converter() | Tube():
            return _behind(item, profile)
        case CloseUpLens():
            return ("check that its thread fits the lens: threads are not in the profile",)
    return ()


def _mounted(body: Body, lens: Lens) -> str | None:
    """None where a lens fits a body straight; "adapter" where by adapter; "mount" where not at all."""
    if lens.mount == body.mount:
        return None
    return "adapter" if lens.mount in body.also_takes else "mount"


def _together(pairs: list[tuple[Body, Lens]], of_the_lens: bool, nothing: str, some: tuple[str, str]) -> list[str]:
    """What mounts and coverage say of one body and every lens owned; of_the_lens: of one lens and every body owned.

    nothing: said where none of them fits; some: before and after the names of those that do not.
    """
    ways = [_mounted(*pair) for pair in pairs]
    others = [body.name if of_the_lens else lens.name for body, lens in pairs]
    wrong = [name for name, way in zip(others, ways, strict=True) if way == "mount"]
    adapted = [name for name, way in zip(others, ways, strict=True) if way == "adapter"]
    said = []
    if pairs and len(wrong) == len(pairs):
        said.append(nothing)
    elif wrong:
        said.append(f"{some[0]}{_and(wrong)}{some[1]}")
    if adapted:
        on = "on " if of_the_lens else ""
        said.append(f"{on}{_and(adapted)} only by adapter: its weight and price are not counted")
    for (body, lens), way in zip(pairs, ways, strict=True):
        said += [] if way == "mount" else _covering(body, lens, of_the_lens)
    return said


def _body(body: Body, profile: Profile) -> tuple[str, ...]:
    pairs = [(body, lens) for lens in profile.lenses if lens.owned]
    nothing = "no lens owned fits it: a lens must be bought too"
    said = _together(pairs, False, nothing, ("another mount: ", " will not fit it"))
    return (*said, *_extras(body.name, profile))


def _covering(body: Body, lens: Lens, of_the_lens: bool = False) -> list[str]:
    """What is lost where a lens covers less than the body's whole frame; said of the body or of the lens."""
    frame = recorded_frame(body, lens)
    where = f"on {body.name} it" if of_the_lens else lens.name
    if frame is None:
        return [f"{where} covers too little ({_covered(lens.covers)}), and no smaller frame is recorded"]
    if frame[0] >= body.sensor.width * (1.0 - 1e-9):
        return []
    share = (frame[0] * frame[1]) / (body.sensor.width * body.sensor.height)
    megapixels = body.pixels.width * body.pixels.height * share / 1e6
    return [f"{where} covers only {_covered(lens.covers)}: {_mm(frame)} is recorded, {megapixels:.1f} megapixels"]


def _covered(covers: Pair | None) -> str:
    return "any frame" if covers is None else _mm((covers.width, covers.height))


def _lens(lens: Lens, profile: Profile) -> tuple[str, ...]:
    pairs = [(body, lens) for body in profile.bodies if body.owned]
    nothing = f"fits no body owned: it wants a body with mount {lens.mount}"
    said = _together(pairs, True, nothing, ("will not fit ", f": mount {lens.mount}"))
    unfit = [c.name for c in profile.converters if c.owned and (c.name not in lens.converters or c.mount != lens.mount)]
    if unfit:
        said.append(f"takes no {_and(unfit)}")
    said += _extras(lens.name, profile)
    return tuple(said)


def _behind(item: Converter | Tube, profile: Profile) -> tuple[str, ...]:
    lenses = [lens for lens in profile.lenses if lens.owned]
    fitting = [lens.name for lens in lenses
               if lens.mount == item.mount and (isinstance(item, Tube) or item.name in lens.converters)]  # fmt: skip
    if not fitting:
        return ("fits no lens owned",)
    return (f"fits {_and(fitting)} only",) if len(fitting) < len(lenses) else ()


def _extras(name: str, profile: Profile) -> list[str]:
    wanted = [extra.name for extra in profile.extras if extra.for_body == name and not extra.owned]
    return [f"to be bought with it: {_and(wanted)}"] if wanted else []

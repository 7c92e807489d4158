"""The Gear page, drawn and driven without a terminal."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from fieldplan.model.gear import LISTS
from fieldplan.pictures.cells import Row, text_cells
from fieldplan.tui.commands import EVERYWHERE, clashes
from fieldplan.tui.desk import Desk
from fieldplan.tui.pages.gear import GearPage

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def desk(untouched: Desk) -> Desk:
    return untouched


def words(rows: tuple[Row, ...]) -> str:
    return "\n".join("".join(text for text, _ in row) for row in rows)


def go_to(page: GearPage, kind: str, at: int | None = 0) -> None:
    for _ in range(60):
        if page.place == (kind, at):
            return
        page.do_next_record()
    raise AssertionError(f"the list never comes to {kind} {at}")


@pytest.mark.parametrize("size", [(80, 21), (60, 12), (120, 26), (140, 40), (200, 60)])
def test_every_size_is_filled_and_nothing_is_wider_than_the_screen(desk: Desk, size: tuple[int, int]) -> None:
    page = GearPage(desk)
    for _ in range(20):
        rows = page.draw(*size)
        assert len(rows) == size[1]
        assert all(sum(text_cells(text) for text, _ in row) <= size[0] for row in rows)
        page.do_next_record()


def test_weight_of_everything_owned_stands_against_the_bag_limit(desk: Desk) -> None:
    # Added up here from the profile's own text: every weight is written in kg there.
    data = tomllib.loads((ROOT / "profiles" / "two-bodies.toml").read_text(encoding="utf-8"))
    items = [item for key in LISTS for item in data.get(key, [])]
    total = sum(float(item["weight"].removesuffix(" kg")) for item in items)
    limit = float(data["photographer"]["bag_limit"].removesuffix(" kg"))
    text = words(GearPage(desk).draw(120, 30))
    assert f"owned: {len(items)} things, {total:.2f} kg; bag limit {limit:g} kg" in text
    assert f", {total - limit:.2f} kg too much" in text


def test_reach_of_each_body_and_what_it_frames_like(desk: Desk) -> None:
    # 600 mm behind a 1.4x converter is 840 mm; the diagonals of 36x24 and 23.5x15.6 mm are 43.27 and 28.21 mm.
    text = words(GearPage(desk).draw(120, 30))
    assert "full-frame body: 24 mm to 840 mm (150-600 + 1.4x)\n" in text
    assert f"crop body: 24 mm to 840 mm (150-600 + 1.4x), as wide as {840 * 43.27 / 28.21:.0f} mm" in text


def test_the_highlight_goes_round_and_the_form_follows(desk: Desk) -> None:
    page = GearPage(desk)
    go_to(page, "lens", 3)
    text = words(page.draw(80, 21))
    assert "> lens           150-600             150-600 mm f/5-6.3" in text
    assert "-- lens 150-600" in text and "closest focus" in text
    page.do_previous_record()
    assert "-- lens 100 macro" in words(page.draw(80, 21))
    start = GearPage(desk)
    start.do_previous_record()
    assert start.place.kind == "extra"


@pytest.mark.parametrize("kind", sorted(LISTS))
def test_a_record_of_every_kind_can_be_added_copied_and_deleted(desk: Desk, kind: str) -> None:
    page = GearPage(desk)
    held = getattr(desk.gear.value, LISTS[kind][0])
    go_to(page, kind, 0 if held else None)
    page.do_add()
    page.do_add()
    assert page.message == ""
    after = getattr(desk.gear.value, LISTS[kind][0])
    assert len(after) == len(held) + 2 and len({item.name for item in after}) == len(after)
    page.do_copy()
    assert len(getattr(desk.gear.value, LISTS[kind][0])) == len(held) + 3
    for _ in range(3):
        page.do_remove()
    assert "u takes it back" in page.message
    assert len(getattr(desk.gear.value, LISTS[kind][0])) == len(held)
    assert desk.undo() and len(getattr(desk.gear.value, LISTS[kind][0])) == len(held) + 1
    page.draw(80, 21)


def test_the_first_edit_of_a_starter_goes_into_a_copy(desk: Desk, tmp_path: Path) -> None:
    starter = (ROOT / "profiles" / "two-bodies.toml").read_bytes()
    page = GearPage(desk)
    assert "a starter" in words(page.draw(80, 21))
    go_to(page, "lens", 1)
    page.do_add()
    desk.flush()
    assert desk.gear.path == tmp_path / "mine" / "profiles" / "two-bodies.toml"
    assert any("your copy is" in notice for notice in desk.notices)
    assert 'name = "new lens"' in desk.gear.path.read_text(encoding="utf-8")
    assert (ROOT / "profiles" / "two-bodies.toml").read_bytes() == starter
    assert "a starter" not in words(page.draw(80, 21))


def test_a_field_of_the_highlighted_record_is_edited_in_the_profile(desk: Desk) -> None:
    page = GearPage(desk)
    go_to(page, "lens", 3)
    page.draw(80, 21)
    page.form.select_key("weight")
    page.do_open()
    for _ in range(8):
        page.form.type_key("backspace", None)
    for character in "2.5 kg":
        page.form.type_key(character, character)
    page.form.type_key("enter", None)
    assert not page.typing
    assert float(desk.gear.value.lenses[3].weight or 0.0) == 2.5


def test_the_next_profile_comes_onto_the_desk_and_the_plan_keeps_its_own(desk: Desk) -> None:
    page = GearPage(desk)
    seen = [desk.gear.value.name]
    for _ in range(7):
        page.do_next_profile()
        seen.append(desk.gear.value.name)
        assert desk.gear.value.name in words(page.draw(80, 21)).splitlines()[0]
    assert len(set(seen)) == 7 and seen[0] == seen[-1]
    assert desk.plan.value.profile == "two-bodies"


def test_a_name_with_control_characters_reaches_no_terminal(desk: Desk) -> None:
    desk.edit(desk.gear, lambda gear: gear.set(("lens", 0, "name"), "24\u202e-70"))
    assert "\u202e" not in words(GearPage(desk).draw(80, 21))


def test_keys_of_the_page_are_taken_by_nothing_else(desk: Desk) -> None:
    assert clashes((*GearPage(desk).live_commands(), *EVERYWHERE)) == []

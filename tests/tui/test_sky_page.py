"""The Moon & sun page, drawn and driven without a terminal, and once through the whole screen."""

from __future__ import annotations

import datetime as dt
import math
import re
from pathlib import Path
from zoneinfo import ZoneInfo

import ephem
import pytest
from geographiclib.geodesic import Geodesic

from fieldplan.notation.position import read_position
from fieldplan.pictures.cells import Row, text_cells
from fieldplan.tui.app import FieldplanApp
from fieldplan.tui.desk import Desk
from fieldplan.tui.pages.sky import SkyPage

from .conftest import lines

ROOT = Path(__file__).resolve().parents[2]
BERLIN = ZoneInfo("Europe/Berlin")
CHAPEL, HIDE = (53.4296, 12.7711), (53.43, 12.75)
HIT = r"> \w{3} (\d{4}-\d\d-\d\d \d\d:\d\d) +([\d.]+) +(\d+|\d\.\d)?%? +([+-]?[\d.]+)"


@pytest.fixture
def desk(untouched: Desk) -> Desk:
    return untouched


@pytest.fixture
def page(desk: Desk) -> SkyPage:
    return SkyPage(desk)


def words(rows: tuple[Row, ...]) -> str:
    return "\n".join("".join(text for text, _ in row) for row in rows)


def shown(page: SkyPage) -> str:
    return words(page.draw(80, 20))


def found(pattern: str, text: str) -> re.Match[str]:
    match = re.search(pattern, text)
    assert match is not None, f"{pattern} is not in\n{text}"
    return match


def reference(body: str, when: dt.datetime) -> tuple[float, float, float]:
    """Azimuth, apparent altitude, diameter [deg] by PyEphem (from XEphem), lifted by Saemundsson's refraction."""
    there = ephem.Observer()
    there.lat, there.lon, there.elevation, there.pressure = str(HIDE[0]), str(HIDE[1]), 63.6, 0
    there.date = ephem.Date(when.astimezone(dt.UTC).replace(tzinfo=None))
    disc = ephem.Moon(there) if body == "moon" else ephem.Sun(there)
    altitude = math.degrees(disc.alt)
    lift = 1.02 / 60 / math.tan(math.radians(altitude + 10.3 / (altitude + 5.11)))  # Meeus 16.4
    return math.degrees(disc.az), altitude + lift, 2.0 * math.degrees(disc.radius)


@pytest.mark.parametrize("size", [(80, 20), (60, 13), (40, 8), (120, 26), (140, 36), (200, 60)])
@pytest.mark.parametrize("body", ["moon", "sun"])
def test_every_size_is_filled_and_nothing_is_wider(page: SkyPage, size: tuple[int, int], body: str) -> None:
    if body == "sun":
        page.do_body()
    rows = page.draw(*size)
    assert len(rows) == size[1]
    assert all(sum(text_cells(text) for text, _ in row) <= size[0] for row in rows)


@pytest.mark.parametrize("body", ["moon", "sun"])
def test_a_hit_is_where_a_reference_sees_the_disc(page: SkyPage, body: str) -> None:
    if body == "sun":
        page.do_body()
    for _ in range(5):
        text = shown(page)
        hit = page.search.shown()
        assert hit is not None
        when = dt.datetime.fromtimestamp(hit[2].ut_s, tz=BERLIN)
        clock = found(r"best (\d\d:\d\d):", text)[1]  # to the minute, which is about its error
        assert found(HIT, text)[1] == f"{when + dt.timedelta(seconds=30):%Y-%m-%d} {clock}"
        assert clock == f"{when + dt.timedelta(seconds=30):%H:%M}"
        azimuth, altitude, wide = reference(body, when)
        told = found(rf"{body} ([\d.]+) deg, seen ([\d.-]+) high, ([\d.]+) wide", text)
        assert float(told[1]) == pytest.approx(azimuth, abs=0.08)
        assert float(told[2]) == pytest.approx(altitude, abs=0.04)
        assert float(told[3]) == pytest.approx(wide, abs=0.006)
        page.do_next_hit()


def test_the_line_of_sight_stands_above_with_its_magnetic_bearing(page: SkyPage) -> None:
    # geographiclib for bearing and distance; magnetic = true less an eastern variation of 4.5 degrees.
    line = Geodesic.WGS84.Inverse(*HIDE, *CHAPEL)
    true = line["azi1"] % 360
    assert f"bearing {true:03.0f} (magnetic {true - 4.5:03.0f}), {line['s12']:.0f} m off" in shown(page)


def test_the_arrows_step_the_time_and_the_disc_moves(page: SkyPage) -> None:
    first = found(r"\n(\d\d:\d\d) moon ([\d.]+) deg", shown(page))
    for _ in range(4):
        page.do_later()
    later = found(r"\n(\d\d:\d\d) moon ([\d.]+) deg", shown(page))
    minutes = [int(m[1][:2]) * 60 + int(m[1][3:]) for m in (first, later)]
    # The sky turns by 15 degrees an hour; at 53 degrees north a low moon goes about 0.8 of that along the horizon.
    assert minutes[1] - minutes[0] == 4 and 0.6 < float(later[2]) - float(first[2]) < 1.0
    page.do_earlier()
    page.do_best()
    assert found(r"\n(\d\d:\d\d) moon", shown(page))[1] == first[1]


def test_the_spot_lies_on_the_line_from_the_landmark_away_from_the_disc(page: SkyPage) -> None:
    text = shown(page)
    spot = read_position(found(r"spot +(-?[\d.]+, -?[\d.]+): walk", text)[1])
    told = found(r": walk (\d+) m towards (\d{3}); (\d+) m off", text)
    azimuth = float(found(r"moon ([\d.]+) deg", text)[1])
    # Karney's geodesic: how far and whither from the hide, and from the spot to the chapel.
    walk = Geodesic.WGS84.Inverse(*HIDE, spot.latitude_deg, spot.longitude_deg)
    facing = Geodesic.WGS84.Inverse(spot.latitude_deg, spot.longitude_deg, *CHAPEL)
    assert float(told[1]) == pytest.approx(walk["s12"], abs=1.5)
    assert float(told[2]) == pytest.approx(walk["azi1"] % 360, abs=1.0)
    assert float(told[3]) == pytest.approx(facing["s12"], abs=1.5)
    assert facing["azi1"] % 360 == pytest.approx(azimuth, abs=0.15)


def test_the_sun_is_never_shown_without_its_caution_first(page: SkyPage) -> None:
    page.do_body()
    for _ in range(3):
        assert shown(page).startswith("Sun: never through an optical finder")
        page.do_next_hit()
    for _ in range(9):
        page.do_light()
        assert shown(page).startswith("Sun: never through an optical finder")


def test_choices_narrow_the_list_and_say_so(page: SkyPage) -> None:
    def counts() -> tuple[int, int]:
        match = found(r"(\d+) of (\d+) hits", shown(page))
        return int(match[1]), int(match[2])

    left, all_hits = counts()
    assert left == all_hits > 5
    page.do_lit()
    assert 0 < counts()[0] < all_hits and "50 % lit or more" in shown(page)
    page.do_more()
    assert counts()[1] > 1.5 * all_hits and "24 months" in shown(page)
    page.do_wider()
    assert counts()[1] > 3 * all_hits and "within 3 deg" in shown(page)
    page.do_order()
    misses = []
    for _ in range(6):
        misses.append(float(found(HIT, shown(page))[2]))
        page.do_next_hit()
    assert misses == sorted(misses)


def test_placing_and_viewpoint_change_the_search(page: SkyPage) -> None:
    first = shown(page)
    page.do_placing()
    assert "resting on top with chapel" in shown(page) and found(HIT, shown(page))[0] != found(HIT, first)[0]
    page.do_viewpoint()
    text = shown(page)
    assert "from east dam" in text and "footpath, open to all" in words(page.draw(80, 24))


@pytest.mark.parametrize(
    ("path", "said"),
    [(("site", "landmark", 0), "[[site.landmark]]"), (("date",), "give the plan a date")],
)
def test_what_the_plan_lacks_is_said(desk: Desk, page: SkyPage, path: tuple[str | int, ...], said: str) -> None:
    if path == ("site", "landmark", 0):
        assert desk.edit(desk.plan, lambda plan: plan.remove(("shot", 0))) == ""
    assert desk.edit(desk.plan, lambda plan: plan.remove(path)) == ""
    assert said in " ".join(shown(page).split())
    for command in page.commands:
        getattr(page, f"do_{command.id}")()
    assert said in " ".join(shown(page).split())


def test_a_landmark_without_height_says_what_to_write(desk: Desk, page: SkyPage) -> None:
    assert desk.edit(desk.plan, lambda plan: plan.set(("site", "landmark", 0, "height"), "")) == ""
    assert 'has no height; write for example height = "31 m"' in " ".join(shown(page).split())


def test_a_bearing_that_is_never_reached_gives_the_reason(desk: Desk, page: SkyPage) -> None:
    # Due north at 53 degrees: the declination needed, some 37 degrees, is beyond the moon's 28.7 (Meeus, ch. 55).
    assert desk.edit(desk.plan, lambda plan: plan.set(("site", "landmark", 0, "position"), "53.4426, 12.75")) == ""
    assert "The moon never stands there" in " ".join(shown(page).split())


def test_a_hit_becomes_a_shot_and_a_spot_becomes_a_viewpoint(desk: Desk, page: SkyPage) -> None:
    text = shown(page)
    page.do_shot()
    page.do_spot()
    shot, view = desk.plan.value.shots[-1], desk.plan.value.site
    assert shot.date is not None and shot.time is not None and view is not None
    listed = dt.datetime.fromisoformat(found(HIT, text)[1])
    assert abs(dt.datetime.combine(shot.date, shot.time) - listed) <= dt.timedelta(seconds=30), "to the nearest minute"
    assert getattr(shot.subject, "behind", None) == "chapel"
    kept = view.viewpoints[-1].position
    told = found(r"sideways walk (\d+) m towards (\d+): at \d", text)
    walk = Geodesic.WGS84.Inverse(*HIDE, kept.latitude_deg, kept.longitude_deg)  # Karney's geodesic
    assert walk["s12"] == pytest.approx(float(told[1]), abs=1.5), "the short walk sideways is what is kept"
    assert walk["azi1"] % 360.0 == pytest.approx(float(told[2]), abs=3.0)
    assert shot.viewpoint is None, "from the site itself"
    page.do_shot()
    assert desk.plan.value.shots[-1].name.endswith(" 2"), "names stay different"
    assert found(HIT, shown(page))[1] == found(HIT, text)[1], "the hit in hand stays"
    desk.undo()
    desk.undo()
    desk.undo()
    assert desk.plan.value.shots[-1].name == "shore stones to the far bank"


def test_a_shot_with_the_disc_at_a_side_says_that_the_cards_spots_are_centred(desk: Desk, page: SkyPage) -> None:
    page.do_shot()
    assert desk.plan.value.shots[-1].note is None
    page.do_placing()
    shown(page)
    page.do_shot()
    assert "resting on top; the card's spots have it centred" in (desk.plan.value.shots[-1].note or "")


def test_a_shot_keeps_the_viewpoint_that_it_was_found_from(desk: Desk, page: SkyPage) -> None:
    page.do_viewpoint()
    name = found(r"from (.+)", shown(page))[1].strip()
    page.do_shot()
    shot, site = desk.plan.value.shots[-1], desk.plan.value.site
    assert site is not None and shot.viewpoint == name != site.name
    bearing = found(r"bearing (\d{3})", shown(page))[1]
    assert shot.aim is not None and abs(shot.aim - float(bearing)) < 3.0
    desk.shot_index = len(desk.plan.value.shots) - 1
    answers = desk.answers()
    assert answers is not None and answers.notes[0].startswith(f"from {name}:")


def test_within_the_error_one_stays(page: SkyPage) -> None:
    from fieldplan.tui.pages.skylines import step_row

    shown(page)
    hit = page.search.shown()
    assert hit is not None
    sight, up, _ = hit
    error_m = sight.seen.top.line_m * math.tan(math.radians(up.error_deg))
    near, far = (up._replace(miss_m=share * error_m) for share in (0.9, 1.1))
    assert "within the standard error" in words((step_row(sight, near, None, BERLIN, "metric"),))
    assert "within the standard error" not in words((step_row(sight, far, None, BERLIN, "metric"),))


def test_the_walk_sideways_puts_the_disc_where_a_reference_sees_it(page: SkyPage) -> None:
    """The kept spot at its own second: PyEphem's azimuth is the geodesic's, its altitude that of the line of sight."""
    shown(page)
    hit = page.search.shown()
    assert hit is not None
    walk = page.search.step(hit[0], hit[1])
    assert walk is not None
    there = ephem.Observer()
    there.lat, there.lon = str(walk.place.latitude_deg), str(walk.place.longitude_deg)
    there.elevation, there.pressure = walk.place.elevation_m, 0
    there.date = ephem.Date(dt.datetime.fromtimestamp(walk.ut_s, tz=dt.UTC).replace(tzinfo=None))
    moon = ephem.Moon(there)
    line = Geodesic.WGS84.Inverse(walk.place.latitude_deg, walk.place.longitude_deg, *CHAPEL)
    assert math.degrees(moon.az) == pytest.approx(line["azi1"] % 360.0, abs=0.03)
    assert line["s12"] == pytest.approx(Geodesic.WGS84.Inverse(*HIDE, *CHAPEL)["s12"], abs=0.1), "at the same distance"
    altitude = math.degrees(moon.alt)
    lift = 1.02 / 60 / math.tan(math.radians(altitude + 10.3 / (altitude + 5.11)))  # Meeus 16.4
    assert altitude + lift == pytest.approx(hit[0].seen.top.apparent_altitude_deg, abs=0.02)


def test_the_same_walk_is_told_by_the_page_and_by_the_command(page: SkyPage) -> None:
    from fieldplan.notation.display import bearing_text
    from fieldplan.planner.hitspots import hit_spots

    sight = page.search.sight()
    hits = page.search.hits(sight)
    told = 0
    for up, spot in zip(hits, hit_spots("moon", sight.eye, sight.top, hits), strict=True):
        walk = page.search.step(sight, up)
        if walk is None or not spot.sideways:
            continue
        told += 1
        assert walk.ut_s == spot.ut_s == round(walk.ut_s)
        assert bearing_text(walk.bearing_deg) == bearing_text(spot.walk_deg)
        assert walk.distance_m == pytest.approx(spot.walk_m, abs=0.01)
    assert told > 5


def test_the_list_marks_what_is_hidden_dim_thin_or_by_day(page: SkyPage) -> None:
    hits = page.search.hits(page.search.sight())
    wide = words(page.draw(140, 36))
    for up in hits:
        when = dt.datetime.fromtimestamp(round(up.hit.ut_s), tz=BERLIN).strftime("%Y-%m-%d %H:%M")
        row = next((line for line in wide.splitlines() if when in line), "")
        if row and up.hit.apparent_altitude_deg - up.hit.disc_deg / 2.0 > 3.0 and -6.0 < up.sun_altitude_deg < 5.0:
            assert "dim" not in row and "by day" not in row
        if row and up.sun_altitude_deg > 7.0:
            assert "by day" in row or "ground" in row or "new" in row


@pytest.mark.parametrize(
    ("error_s", "told"), [(2.0, "17:46:58"), (5.0, "17:46:58"), (8.0, "17:47:00"), (50.0, "17:47:00"), (60.0, "17:47")]
)
def test_a_moment_is_told_as_finely_as_its_error_allows(error_s: float, told: str) -> None:
    from fieldplan.tui.pages.skylines import fine_clock

    moment = dt.datetime(2027, 3, 21, 17, 46, 58, tzinfo=BERLIN).timestamp()
    assert fine_clock(moment, BERLIN, error_s) == told


def test_the_error_on_the_clock_is_the_angle_over_the_pace(page: SkyPage) -> None:
    """0.24 deg at 0.24 deg a minute is a minute: by division of the figures told."""
    text = shown(page)
    told = found(r"moves ([\d.]+) deg .*/min; standard error ([\d.]+) deg", text)
    hit = page.search.shown()
    assert hit is not None
    assert hit[1].error_s == pytest.approx(60.0 * float(told[2]) / float(told[1]), rel=0.05)


def test_every_figure_of_the_lists_has_its_unit_in_the_head(page: SkyPage) -> None:
    for width in (80, 140):
        text = words(page.draw(width, 36))
        assert found(r"\n  when +miss discs lit sun deg", text) and "% " in text
    page.do_fails()
    text = words(page.draw(80, 20))
    head = next(line for line in text.splitlines() if line.startswith("  when ") and "why" in line)
    row = next(line for line in text.splitlines() if "the next day" in line)
    ends = [head.index(word) + len(word) for word in ("discs", "deg")]
    figures = re.search(r"\d\d:\d\d +([\d.]+) +([-+]?[\d.]+) ", row)
    assert figures is not None and all(abs(figures.end(n + 1) - ends[n]) <= 1 for n in range(2)), "under their heads"
    narrow = words(page.draw(60, 13))
    assert re.search(r"sun [-+]?[\d.]+ deg", narrow), "told in full, each figure has its unit beside it"


def test_why_there_is_no_hit_comes_with_what_helps(page: SkyPage, monkeypatch: pytest.MonkeyPatch) -> None:
    from fieldplan.tui.pages.skytold import none_text

    shown(page)
    sight = page.search.sight()
    first = page.search.searched(sight, 0)[0]
    ways = {
        "hidden": ("v looks", "w looks"), "never": ("w looks", "M searches"), "span": ("M searches", "S forgets"),
        "down": ("S forgets", "M searches"),
    }  # fmt: skip
    for hindrance, (said, not_said) in ways.items():
        none = first._replace(found=(), reason="Nothing, said in any words.", hindrance=hindrance)
        monkeypatch.setattr(page.search, "searched", lambda *_, none=none: [none])
        told = none_text(page.search, sight)
        assert said in told and not_said not in told and "v looks from elsewhere" in told


async def test_it_is_page_four_of_the_screen(app: FieldplanApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("4")
        screen = lines(app)
        assert "[4 Moon & sun]" in screen[0] and "chapel" in screen[1]
        first = found(HIT, "\n".join(screen))[1]
        await pilot.press("j")
        assert found(HIT, "\n".join(lines(app)))[1] != first
        await pilot.press("b")
        assert lines(app)[1].startswith("Sun: never through an optical finder")
        assert all(text_cells(line) <= 80 for line in lines(app))

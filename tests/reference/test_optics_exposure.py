"""Exposure, illuminance and close-up loss against colour-hdri, ISO, ANSI and published tables."""

from __future__ import annotations

import itertools
import math
import warnings

import pytest

from fieldplan.optics import exposure

with warnings.catch_warnings():  # colour warns at import about plotting extras that no test uses
    warnings.simplefilter("ignore")
    import colour_hdri


@pytest.mark.parametrize("iso", [100.0, 400.0, 6400.0])
@pytest.mark.parametrize("light", [0.01, 2.5, 820.0, 90000.0])
def test_light_to_exposure_value_agrees_with_colour_hdri(light: float, iso: float) -> None:
    # colour-hdri: illuminance_to_exposure_value (C 250) and luminance_to_exposure_value (K 12.5).
    gain = math.log2(iso / 100.0)
    lux = float(colour_hdri.illuminance_to_exposure_value(light, iso))
    assert exposure.ev100_of_lux(light) + gain == pytest.approx(lux)
    luminance = float(colour_hdri.luminance_to_exposure_value(light, iso))
    assert exposure.ev100_of_luminance(light) + gain == pytest.approx(luminance)


@pytest.mark.parametrize(("f_number", "time_s", "iso"), [(8.0, 1.0, 100.0), (5.6, 1 / 500, 6400.0), (1.4, 30.0, 800.0)])
def test_settings_to_light_agree_with_colour_hdri(f_number: float, time_s: float, iso: float) -> None:
    # colour-hdri: average_illuminance, average_luminance and exposure_value_100 for the same settings.
    ev100 = exposure.exposure_value(f_number, time_s, iso)
    lux = float(colour_hdri.average_illuminance(f_number, time_s, iso))
    assert exposure.illuminance_lux(ev100) == pytest.approx(lux)
    luminance = float(colour_hdri.average_luminance(f_number, time_s, iso))
    assert exposure.luminance_cd_m2(ev100) == pytest.approx(luminance)
    assert ev100 == pytest.approx(float(colour_hdri.exposure_value_100(f_number, time_s, iso)))


def test_documented_example_of_colour_hdri() -> None:
    # colour-hdri documentation, exposure_value_100(8, 1/250, 400).
    assert exposure.exposure_value(8.0, 1 / 250, 400.0) == pytest.approx(11.9657842, abs=1e-7)


@pytest.mark.parametrize(("ev", "lux"), [(-4, 0.156), (0, 2.5), (10, 2560), (12, 10240), (14, 40960)])
def test_illuminance_table(ev: float, lux: float) -> None:
    # Wikipedia, Exposure value, table 3 (ISO 100, C 250).
    assert exposure.illuminance_lux(ev) == pytest.approx(lux, rel=2e-3)
    assert exposure.ev100_of_lux(lux) == pytest.approx(ev, abs=3e-3)


@pytest.mark.parametrize(("ev", "cd_m2"), [(-4, 0.008), (0, 0.125), (10, 128), (14, 2048), (15, 4096)])
def test_luminance_table(ev: float, cd_m2: float) -> None:
    # Wikipedia, Exposure value, table 3 (ISO 100, K 12.5); the first row is printed to one digit.
    assert exposure.luminance_cd_m2(ev) == pytest.approx(cd_m2, rel=0.03 if ev == -4 else 1e-9)


@pytest.mark.parametrize(
    ("f_number", "time_s", "ev"),
    [
        pytest.param(1.0, 1.0, 0.0, id="Wikipedia, Exposure value: f/1 for 1 s is EV 0"),
        pytest.param(16.0, 1 / 100, 14.64, id="f/16 rule at 1/100 s, as marked"),
        pytest.param(16.0, 1 / 125, 14.97, id="f/16 rule at 1/125 s, as marked"),
    ],
)
def test_exposure_values(f_number: float, time_s: float, ev: float) -> None:
    assert exposure.exposure_value(f_number, time_s) == pytest.approx(ev, abs=0.006)


def test_f16_series_steps_by_a_stop() -> None:
    # US Navy 14262 p. 7-27: sun f/16, cloudy bright f/11, cloudy f/8, overcast or open shade f/5.6 at 1/ISO s;
    # the sunlit row is ANSI PH2.7's EV 15 within 0.4 stop.
    series = [exposure.exposure_value(n, 1 / 100) for n in (16.0, 11.0, 8.0, 5.6)]
    assert series[0] == pytest.approx(15.0, abs=0.4)
    steps = [a - b for a, b in itertools.pairwise(series)]
    assert steps == pytest.approx([1.0, 1.0, 1.0], abs=0.09)


def test_settings_need_this_light() -> None:
    # Derived: 1/500 s, f/5.6, ISO 6400 needs EV 7.94, 612 lx; on exact thirds EV 8.
    ev = exposure.exposure_value(5.6, 1 / 500, 6400.0)
    assert ev == pytest.approx(7.94, abs=0.005)
    assert exposure.illuminance_lux(ev) == pytest.approx(612.0, abs=1.0)
    assert exposure.exposure_value(2**2.5, 2**-9, 6400.0) == pytest.approx(8.0)


def test_mean_reflectance_of_the_meter_constants() -> None:
    # Derived from ISO 2720: a diffuse surface metered both ways reflects pi K/C = 15.7 %.
    reflectance = math.pi * exposure.luminance_cd_m2(9.0) / exposure.illuminance_lux(9.0)
    assert reflectance == pytest.approx(0.157, abs=5e-4)


@pytest.mark.parametrize(
    ("object_over_focal", "stops", "slack"),
    [
        pytest.param(9.2, 1 / 3, 0.005, id="photographic forum table, 1/3 stop"),
        pytest.param(3.4, 1.0, 0.01, id="photographic forum table, 1 stop"),
        pytest.param(2.0, 2.0, 1e-9, id="photographic forum table, 2 stops"),
        pytest.param(50.0, 0.058, 0.0006, id="ISO 517 scope: the mark holds to 50 f"),
    ],
)
def test_close_up_loss(object_over_focal: float, stops: float, slack: float) -> None:
    magnification = 1.0 / (object_over_focal - 1.0)
    assert exposure.close_up_loss_stops(magnification) == pytest.approx(stops, abs=slack)


def test_f11_at_life_size_is_f22() -> None:
    # Close-up handbooks: f/11 marked is f/22 effective at 1:1, two stops.
    assert exposure.effective_f_number(11.0, 1.0) == pytest.approx(22.0)
    assert exposure.stops_between(22.0**2, 11.0**2) == pytest.approx(exposure.close_up_loss_stops(1.0))


@pytest.mark.parametrize(
    ("mark", "exact", "error_ev"), [(1.2, 2 ** (1 / 3), 0.14), (5.6, 2**2.5, 0.03), (22.0, 2**4.5, 0.08)]
)
def test_f_number_marks_sit_near_exact_thirds(mark: float, exact: float, error_ev: float) -> None:
    # ISO 517 marks are rounded; the worst, f/1.2 for 2^(1/3) = 1.26, is 0.14 EV off.
    thirds = exposure.f_number_thirds(1.0, 32.0)
    nearest = min(thirds, key=lambda n: abs(math.log(n / mark)))
    assert nearest == pytest.approx(exact)
    assert abs(2 * math.log2(mark / nearest)) <= error_ev + 0.005


def test_worst_shutter_mark() -> None:
    # Common practice: 1/15 s stands for 1/16 s, 0.09 EV.
    assert exposure.time_third_faster(1 / 15) == pytest.approx(1 / 16)
    assert exposure.stops_between(1 / 15, exposure.time_third_faster(1 / 15)) == pytest.approx(0.09, abs=0.005)

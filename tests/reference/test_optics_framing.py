"""Framing against worked examples from textbooks, SymPy's Gaussian optics and the trade's own arithmetic."""

from __future__ import annotations

import math

import pytest
from sympy.physics.optics import FreeSpace, ThinLens, lens_formula, transverse_magnification

from fieldplan.optics import formats, framing
from fieldplan.optics.framing import LensLaw, focus_at, image_distance_m, optic, thin_lens_magnification

FULL = (0.036, 0.024)


@pytest.mark.parametrize(
    ("focal_mm", "object_mm", "image_mm", "half_digit_mm"),
    [
        pytest.param(35.0, 750.0, 36.7, 0.05, id="A1 OpenStax College Physics ch. 25, camera lens"),
        pytest.param(50.0, 3000.0, 50.8, 0.05, id="A2 OpenStax University Physics 3, thin lenses"),
        pytest.param(22.0, 66.0, 33.0, 0.05, id="A3 OpenStax College Physics ch. 25, slide 66.0 mm away"),
        pytest.param(500.0, 750.0, 1500.0, 0.5, id="OpenStax College Physics ex. 25.6, bulb and lens (from memory)"),
    ],
)
def test_image_distance(focal_mm: float, object_mm: float, image_mm: float, half_digit_mm: float) -> None:
    assert image_distance_m(focal_mm / 1000, object_mm / 1000) * 1000 == pytest.approx(image_mm, abs=half_digit_mm)


@pytest.mark.parametrize(
    ("focal_m", "object_m", "magnification"),
    [
        pytest.param(0.050, 3.0, 0.01695, id="A2 OpenStax University Physics 3"),
        pytest.param(0.022, 0.066, 0.500, id="A3 OpenStax College Physics"),
        pytest.param(0.500, 0.750, 2.00, id="OpenStax College Physics ex. 25.6 (from memory)"),
    ],
)
def test_magnification_from_the_object_distance(focal_m: float, object_m: float, magnification: float) -> None:
    image = image_distance_m(focal_m, object_m)
    assert image / object_m == pytest.approx(magnification, rel=5e-4)


def test_a_person_fits_the_film_a2() -> None:
    # A2, OpenStax University Physics 3: 36.0 mm of film at 3.00 m see 2.12 m, so that 1.75 m fits.
    lens = optic(LensLaw(0.05, 0.05), 0.05)
    focus = focus_at(lens, 3.0 + image_distance_m(0.05, 3.0))
    assert focus is not None
    assert FULL[0] / focus.magnification == pytest.approx(2.12, abs=0.005)
    assert focus.image_m == pytest.approx(0.0508, abs=5e-5)
    assert 1.75 * focus.magnification / FULL[0] < 1.0


@pytest.mark.parametrize(
    ("focal_m", "object_m", "extent_m", "image_m", "rel"),
    [
        pytest.param(0.1, 1.50e11, 1.40e9, 0.933e-3, 5e-4, id="A5 OpenStax, the Sun"),
        pytest.param(0.2, 12.5e3, 950.0, 1.52e-2, 1e-3, id="A7 worked answer to an OpenStax-style problem, mountain"),
        # IAU mean radius 1737.4 km and mean distance 384 400 km: the trade's "f / 110" for the Moon's image.
        pytest.param(0.110, 3.844e8, 2 * 1.7374e6, 1.0e-3, 1e-2, id="Moon's image f/110"),
    ],
)
def test_image_of_something_far(focal_m: float, object_m: float, extent_m: float, image_m: float, rel: float) -> None:
    focus = focus_at(optic(LensLaw(focal_m, focal_m), focal_m), object_m + focal_m)
    assert focus is not None
    assert focus.magnification * extent_m == pytest.approx(image_m, rel=rel)


@pytest.mark.parametrize(
    ("focal_mm", "horizontal", "vertical", "diagonal"),
    [
        pytest.param(50, 39.6, 27.0, 46.8, id="A10 course notes"),
        pytest.param(24, 73.7, 53.1, 84.1, id="Wikipedia, Angle of view, table (from memory)"),
        pytest.param(35, 54.4, 37.8, 63.4, id="Wikipedia, Angle of view, table (from memory) 35"),
        pytest.param(85, 23.9, 16.1, 28.6, id="Wikipedia, Angle of view, table (from memory) 85"),
        pytest.param(200, 10.3, 6.87, 12.3, id="Wikipedia, Angle of view, table (from memory) 200"),
    ],
)
def test_angle_of_view(focal_mm: float, horizontal: float, vertical: float, diagonal: float) -> None:
    sides = (*FULL, formats.diagonal_m(*FULL))
    seen = [framing.angle_of_view_deg(side, focal_mm / 1000) for side in sides]
    assert seen == pytest.approx([horizontal, vertical, diagonal], abs=0.06)


@pytest.mark.parametrize("object_mm", [110.0, 150.0, 200.0, 450.0, 3000.0, 1e6])
def test_thin_lens_agrees_with_sympy(object_mm: float) -> None:
    # SymPy, sympy.physics.optics.lens_formula and transverse_magnification; its object distances are negative.
    image_mm = float(lens_formula(focal_length=100.0, u=-object_mm))
    assert image_distance_m(0.1, object_mm / 1000) == pytest.approx(image_mm / 1000, rel=1e-9)
    if object_mm >= 200.0:  # the far root
        m = thin_lens_magnification(0.1, (object_mm + image_mm) / 1000)
        assert m == pytest.approx(-float(transverse_magnification(image_mm, object_mm)), rel=1e-6)


def test_close_up_lens_and_tube_agree_with_ray_matrices() -> None:
    # Two thin lenses in contact and the extension, as ABCD matrices by sympy.physics.optics: where the chain
    # images, B is 0 and A is the (negative) magnification.
    lens = optic(LensLaw(0.1, 0.1), 0.1, tube_m=0.025, power_d=2.0)
    focus = focus_at(lens, lens.nearest_m * 1.02)
    assert focus is not None
    chain = FreeSpace(focus.image_m) * ThinLens(0.1) * ThinLens(1 / 2.0) * FreeSpace(focus.object_m)
    assert float(chain.B) == pytest.approx(0.0, abs=1e-9)
    assert float(chain.A) == pytest.approx(-focus.magnification, rel=1e-9)


def test_converter_behind_a_tube_agrees_with_ray_matrices() -> None:
    # 100 mm lens at infinity on 25 mm of extension: image at 125 mm of an object at 500 mm. A diverging lens of
    # -100 mm, 50 mm before that image, throws it to 100 mm: a 2x converter (sympy.physics.optics matrices).
    chain = FreeSpace(100) * ThinLens(-100) * FreeSpace(75) * ThinLens(100) * FreeSpace(500)
    assert float(chain.B) == pytest.approx(0.0, abs=1e-9)
    lens = optic(LensLaw(0.1, 0.1), 0.1, factor=2.0, tube_m=0.025)
    focus = focus_at(lens, 0.625)
    assert focus is not None
    assert focus.magnification == pytest.approx(-float(chain.A), rel=1e-9)


@pytest.mark.parametrize(
    ("ratio", "focal_mm", "equivalent_mm"),
    [(1.6, 50, 80), (1.6, 100, 160), (1.6, 300, 480), (1.6, 18, 28.8), (1.6, 55, 88)],
)
def test_equivalent_focal_lengths(ratio: float, focal_mm: float, equivalent_mm: float) -> None:
    # Common practice, no source: the trade's own list for a crop of 1.6.
    side = 0.036 / ratio
    assert formats.crop_factor(side, 0.024 / ratio) * focal_mm == pytest.approx(equivalent_mm)
    assert framing.angle_of_view_deg(side, focal_mm / 1000) == pytest.approx(
        framing.angle_of_view_deg(0.036, equivalent_mm / 1000)
    )


def test_full_tube_and_close_up_rules() -> None:
    # Common practice: extension equal to the focal length makes life size; a 2-dioptre lens on a lens at infinity
    # focuses half a metre from itself, whatever the lens; a 2x converter draws twice as large.
    tube = optic(LensLaw(0.05, 0.05), 0.05, tube_m=0.05)
    assert framing.distance_for(tube, 1.0) == pytest.approx(0.2)
    for focal in (0.05, 0.1, 0.2):
        close = optic(LensLaw(focal, focal), focal, power_d=2.0)
        assert close.farthest_m - focal == pytest.approx(0.5)
        assert framing.distance_for(close, 2.0 * focal) == pytest.approx(close.farthest_m)
    law = LensLaw(0.4, 0.4, 2.5, 0.2)
    doubled = optic(law, 0.4, factor=2.0)
    assert framing.largest_magnification(doubled) == pytest.approx(0.4)
    assert math.isclose(doubled.nearest_m, 2.5)

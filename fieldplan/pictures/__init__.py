"""Small pictures in character cells, drawn to scale: for the screen, for paper and for tests.

Every function here is pure: numbers in, a tuple of rows out. Colours belong to the faces, which map role names to them.
Nothing is told by colour alone; every fact has a shape, a glyph or a word of its own.
"""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fieldplan.pictures.canvas import Canvas
    from fieldplan.pictures.cells import ROLES, Level, Picture, Row, Run, plain, plain_rows
    from fieldplan.pictures.curve import Band, Span, draw_curve
    from fieldplan.pictures.depth import draw_depth
    from fieldplan.pictures.frame import draw_frame
    from fieldplan.pictures.skyview import Disc, Landmark, draw_skyview

__all__ = [
    "ROLES",
    "Band",
    "Canvas",
    "Disc",
    "Landmark",
    "Level",
    "Picture",
    "Row",
    "Run",
    "Span",
    "draw_curve",
    "draw_depth",
    "draw_frame",
    "draw_skyview",
    "plain",
    "plain_rows",
]

_FROM = {
    "canvas": ("Canvas",),
    "cells": ("ROLES", "Level", "Picture", "Row", "Run", "plain", "plain_rows"),
    "curve": ("Band", "Span", "draw_curve"),
    "depth": ("draw_depth",),
    "frame": ("draw_frame",),
    "skyview": ("Disc", "Landmark", "draw_skyview"),
}


def __getattr__(name: str) -> object:
    """Each module is imported when something of it is asked for: a start wants no picture yet."""
    for module, names in _FROM.items():
        if name in names:
            return getattr(import_module(f"fieldplan.pictures.{module}"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")

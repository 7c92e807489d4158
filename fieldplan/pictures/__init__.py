"""Small pictures in character cells, drawn to scale: for the screen, for paper and for tests.

Every function here is pure: numbers in, a tuple of rows out. Colours belong to the faces, which map role names to them.
Nothing is told by colour alone; every fact has a shape, a glyph or a word of its own.
"""

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

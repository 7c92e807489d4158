"""JPL's DE421 through skyfield (a general reference library), loaded once for every test that looks at it."""

from __future__ import annotations

import functools
import warnings
from typing import Any


@functools.cache
def load_de421() -> tuple[Any, Any]:
    """The time scale and the bodies. Instants are to be built with ``ts.ut1``."""
    import skyfield_data
    from skyfield.api import Loader

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # the bundled table of earth rotation has passed its date; UT1 needs none
        load = Loader(skyfield_data.get_skyfield_data_path(), verbose=False)
        return load.timescale(builtin=True), load("de421.bsp")

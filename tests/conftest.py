"""What is open for the whole run is closed at its end."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from .de421 import load_de421


@pytest.fixture(scope="session", autouse=True)
def close_de421() -> Iterator[None]:
    yield
    if load_de421.cache_info().currsize:
        load_de421()[1].close()

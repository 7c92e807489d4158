"""What a form offers beside its fields' own examples."""

from __future__ import annotations

from fieldplan.tui.app import FieldplanApp

from .conftest import text


async def test_the_depth_field_tells_the_depths_that_the_subject_is_asked_for(app: FieldplanApp) -> None:
    """Those of the grey heron stand in data/subjects.toml, marked M."""
    async with app.run_test(size=(80, 24)) as pilot:
        for _ in range(60):
            await pilot.press("right")
            if "depth wanted:" in text(app):
                break
        assert "eye to tail 25-40 cm, head and bill 8-12 cm" in text(app)
        await pilot.press("left")
        assert "eye to tail" not in text(app)

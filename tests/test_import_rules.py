"""The floors of the house: arrows run down only, and what is heavy is imported only by the face that needs it."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parent.parent / "fieldplan"

# Each floor, and what of the project it may import.
MAY_IMPORT = {
    "notation": set(),
    "optics": set(),
    "sky": set(),
    "pictures": set(),
    "data": set(),
    "model": {"notation"},
    "planner": {"model", "notation", "optics", "sky"},
    "files": {"model", "notation", "planner", "data", "sky"},
    "card": {"files", "planner", "model", "notation", "pictures", "sky"},
    "tui": {"opening", "card", "files", "planner", "model", "notation", "pictures", "sky"},
}
# Third-party packages that a floor may use; the pure floors have short lists.
OUTSIDE = {
    "notation": {"utm"},
    "optics": set(),
    "pictures": set(),
    "sky": {"ephem", "tzfpy"},
    "model": {"pydantic", "pydantic_core"},
    "planner": {"pydantic"},
    "files": {"pydantic", "platformdirs", "tomli_w", "gpxpy", "astral", "exifread"},
    "card": {"reportlab", "segno"},
    "tui": {"textual", "rich", "pydantic"},
}
NO_CLOCK = ("optics", "sky", "notation", "model", "planner", "pictures")


def modules(floor: str) -> list[Path]:
    return sorted((PACKAGE / floor).rglob("*.py"))


def imported(path: Path) -> set[str]:
    names: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.level == 0 and node.module:
            names.add(node.module)
            names |= {f"{node.module}.{alias.name}" for alias in node.names if node.module == "fieldplan"}
    return names


@pytest.mark.parametrize("floor", sorted(MAY_IMPORT))
def test_arrows_run_down_only(floor: str) -> None:
    allowed = MAY_IMPORT[floor] | {floor}
    for path in modules(floor):
        floors = {name.split(".")[1] for name in imported(path) if name.startswith("fieldplan.")}
        assert floors <= allowed, f"{path.name} of {floor} imports {sorted(floors - allowed)}"


@pytest.mark.parametrize("floor", sorted(OUTSIDE))
def test_third_party_packages_stay_on_their_floor(floor: str) -> None:
    allowed = OUTSIDE[floor] | {"fieldplan"} | set(sys.stdlib_module_names)
    for path in modules(floor):
        tops = {name.split(".")[0] for name in imported(path)}
        assert tops <= allowed, f"{path.name} of {floor} imports {sorted(tops - allowed)}"


@pytest.mark.parametrize("floor", NO_CLOCK)
def test_pure_floors_have_no_clock_and_open_no_files(floor: str) -> None:
    forbidden = {("datetime", "now"), ("date", "today"), ("time", "time"), ("dt", "now")}
    for path in modules(floor):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call):
                continue
            called = node.func
            if isinstance(called, ast.Attribute) and isinstance(called.value, ast.Name):
                assert (called.value.id, called.attr) not in forbidden, f"{path}: {ast.unparse(called)}"
            assert not (isinstance(called, ast.Name) and called.id == "open"), f"{path} opens a file"


def test_no_module_is_an_all_purpose_drawer() -> None:
    for path in PACKAGE.rglob("*.py"):
        lines = path.read_text(encoding="utf-8").count("\n")
        assert lines <= 350, f"{path.relative_to(PACKAGE)} has {lines} lines: does it still have one reason to exist?"


def loaded_by(statement: str) -> set[str]:
    return {name.split(".")[0] for name in modules_loaded_by(statement)}


def modules_loaded_by(statement: str) -> set[str]:
    script = f"import sys; sys.argv = ['fieldplan']\n{statement}\nprint(' '.join(sys.modules), file=sys.stderr)"
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, timeout=60, check=False)
    assert done.returncode == 0, done.stderr[-2000:]
    return set(done.stderr.split())


def test_printing_a_card_does_not_load_the_terminal_toolkit() -> None:
    demo = PACKAGE.parent / "demo" / "lake-and-chapel.toml"
    loaded = loaded_by(f"from fieldplan.cli import main\nassert main(['card', {str(demo)!r}, '--as', 'json']) == 0")
    assert not loaded & {"textual", "rich", "reportlab"}


def test_the_command_line_itself_is_light() -> None:
    loaded = loaded_by("import fieldplan.cli")
    assert not loaded & {"textual", "pydantic", "ephem", "astral", "reportlab", "tomli_w"}


def test_a_start_imports_nothing_that_only_later_pages_and_the_card_need() -> None:
    loaded = modules_loaded_by("import fieldplan.opening, fieldplan.tui.app, fieldplan.tui.keeping")
    assert "fieldplan.planner.plans" in loaded
    assert not loaded & {"fieldplan.planner.shotmore", "fieldplan.pictures.curve", "fieldplan.card.sheet"}

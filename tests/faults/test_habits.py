"""What every program has: a version, help whose examples are right, and a log of faults that tells nobody's places."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

import fieldplan
from fieldplan import cli
from fieldplan.files.faultlog import fault_text, log_fault, log_file, tell_fault

EXAMPLES = [re.split(r"\s{3,}", line.strip())[0] for line in cli.EXAMPLES.splitlines() if line.startswith("  ")]


def fault(message: str) -> Exception:
    try:
        try:
            raise KeyError("reed hide")
        except KeyError as inner:
            raise RuntimeError(message) from inner
    except RuntimeError as wrong:
        return wrong


def test_the_version_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        cli.main(["--version"])
    assert left.value.code == 0
    assert capsys.readouterr().out == f"fieldplan {fieldplan.__version__}\n"


@pytest.mark.parametrize("example", EXAMPLES)
def test_every_example_of_the_help_can_be_typed(example: str) -> None:
    """POSIX shell words; the files need not be there."""
    first, *words = shlex.split(example)
    assert first == "fieldplan"
    if not words or words[0] not in cli.COMMANDS:
        words = ["open", *words]
    assert cli._parser().parse_args(words).command == words[0]


def test_the_help_shows_the_examples_as_they_stand(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        cli.main(["--help"])
    said = capsys.readouterr().out
    assert len(EXAMPLES) >= 6
    assert all(f"  {example}" in said for example in EXAMPLES)


def test_the_log_tells_where_but_no_positions_and_no_names() -> None:
    said = fault_text(fault('"Alder hide" at 53.43, 12.75 in /home/somebody'), "card")
    assert "RuntimeError" in said and "KeyError" in said and "test_habits.py:" in said
    for private in ("53.43", "12.75", "Alder", "reed hide"):
        assert private not in said
    assert f"fieldplan {fieldplan.__version__} card" in said


def test_asked_to_the_log_holds_messages_whole(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FIELDPLAN_LOG", "full")
    assert "53.43, 12.75" in fault_text(fault("at 53.43, 12.75"), "card")


def test_nothing_in_the_log_is_obeyed_by_a_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "x\x1b]0;y\x07")
    said = fault_text(fault("\x1b[31mred\x07\u202e"), "card", full=True)
    assert all(char.isprintable() or char == "\n" for char in said)


def test_the_log_is_for_its_owner_and_does_not_grow_without_end() -> None:
    for _ in range(3):
        path = log_fault(fault("x"), "card")
    assert path == log_file() and path is not None
    assert path.stat().st_mode & 0o777 == 0o600
    assert path.read_text().count("RuntimeError") == 3
    path.write_text("x" * 300_000)
    log_fault(fault("x"), "card")
    assert path.stat().st_size < 10_000
    assert path.with_name("fieldplan.log~").stat().st_size == 300_000


def test_a_fault_is_told_in_one_line(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    assert tell_fault(fault("x"), "card") == 1
    said = capsys.readouterr().err
    assert said.count("\n") == 1 and str(log_file()) in said
    (tmp_path / "blocked").write_text("")
    monkeypatch.setenv("FIELDPLAN_STATE", str(tmp_path / "blocked" / "state.json"))
    assert tell_fault(fault("x"), "card") == 1
    assert "could not be written down" in capsys.readouterr().err


def test_a_fault_of_a_command_is_no_traceback(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def fall(_: object) -> int:
        raise fault("at 53.43, 12.75")

    monkeypatch.setattr(cli, "_run", fall)
    monkeypatch.setattr(cli.sys, "argv", ["fieldplan", "check", "x.toml"])
    assert cli.start() == 1
    assert "Traceback" not in capsys.readouterr().err
    assert " check; " in log_file().read_text()

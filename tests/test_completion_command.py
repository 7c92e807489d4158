"""``fieldplan completion``: what a shell makes of the script that is printed."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from fieldplan.cli import COMMANDS, main

BASH = shutil.which("bash")
needs_bash = pytest.mark.skipif(BASH is None, reason="no bash here")


def script(shell: str, capsys: pytest.CaptureFixture[str]) -> str:
    assert main(["completion", shell]) == 0
    return capsys.readouterr().out


def offered(made: str, home: Path, *words: str) -> list[str]:
    """What bash offers after Tab on the last of the words, with the folder of plans and of profiles at home."""
    (home / "made.bash").write_text(made, encoding="utf-8")
    asked = 'source "$1" || exit 3; shift; COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); _shtab_fieldplan'
    told = 'for one in "${COMPREPLY[@]}"; do printf "%s\\n" "$one"; done'
    done = subprocess.run(
        [str(BASH), "--norc", "-c", f"{asked}; {told}", "bash", str(home / "made.bash"), "fieldplan", *words],
        cwd=home,
        env={"PATH": "", "FIELDPLAN_PLANS": str(home / "plans"), "FIELDPLAN_PROFILES": str(home / "profiles")},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")
    return done.stdout.splitlines()


@needs_bash
def test_bash_completes_commands_options_and_choices(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    made = script("bash", capsys)
    assert offered(made, tmp_path, "li") == ["light", "lineup"]
    assert sorted(offered(made, tmp_path, "")) == sorted(COMMANDS)
    assert offered(made, tmp_path, "card", "--wi") == ["--without-place"]
    assert offered(made, tmp_path, "card", "--as", "p") == ["pdf"]
    assert offered(made, tmp_path, "guide", "moo") == ["moon-and-sun"]
    assert offered(made, tmp_path, "lineup", "--body", "") == ["moon", "sun"]
    assert offered(made, tmp_path, "completion", "") == ["bash", "zsh", "fish"]


@needs_bash
def test_bash_completes_plans_and_profiles_by_file_and_by_name(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    for name in ("plans/moor walk.toml", "profiles/moorland.toml", "profiles/keys.toml", "moss.toml", "moss.txt"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).touch()
    made = script("bash", capsys)
    assert offered(made, tmp_path, "card", "mo") == ["moor walk", "moss.toml"]
    assert offered(made, tmp_path, "card", "lake") == ["lake-and-chapel"]  # a demo plan
    assert offered(made, tmp_path, "kit", "moor walk", "moss") == ["moss.toml"]
    assert offered(made, tmp_path, "card", "x", "--profile", "moo") == ["moorland"]
    assert offered(made, tmp_path, "card", "x", "--profile", "k") == []  # a list of one's own is no profile
    assert offered(made, tmp_path, "card", "x", "--plans", "pl") == ["plans"]


@needs_bash
def test_the_name_of_a_file_is_never_run(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    (tmp_path / "plans").mkdir()
    (tmp_path / "plans" / "$(echo gone >found).toml").touch()
    (tmp_path / "plans" / "`echo gone >found`.toml").touch()
    names = offered(script("bash", capsys), tmp_path, "card", "")
    assert "$(echo gone >found)" in names
    assert not (tmp_path / "found").exists()


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_every_shell_gets_a_script_that_it_can_read(
    shell: str, capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FIELDPLAN_PLANS", '/home/o\'hara "x"/$plans')
    made = script(shell, capsys)
    assert all(command in made for command in COMMANDS)
    found = shutil.which(shell)
    if found is not None:
        (tmp_path / "made").write_text(made, encoding="utf-8")
        done = subprocess.run([found, "-n", str(tmp_path / "made")], capture_output=True, text=True, check=False)
        assert (done.returncode, done.stderr) == (0, "")


def test_a_shell_that_is_not_known_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main(["completion", "cmd"])
    assert left.value.code == 2
    assert "bash" in capsys.readouterr().err


def test_what_writes_the_script_is_imported_by_that_command_alone() -> None:
    code = "import sys, fieldplan.cli as c\nc.main(['guide', 'card'])\nassert 'shtab' not in sys.modules"
    subprocess.run([sys.executable, "-c", code], check=True, stdout=subprocess.DEVNULL, timeout=60)

"""``fieldplan completion``: a script that lets the shell complete commands, options, files and names of plans.

shtab writes it from the parser of the command line; nothing of the program runs when Tab is pressed. The names of plans
and profiles are looked for by the shell itself, in the folders that the program would take.
"""

from __future__ import annotations

import argparse
import shlex
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from string import Template
from typing import Any, NamedTuple

import shtab

from fieldplan.files.guide import CHAPTERS
from fieldplan.files.keytable import NAME as KEYS
from fieldplan.files.places import OWN_LISTS, SUFFIX, plans_folder, profiles_folder, starters_folder
from fieldplan.files.savedplaces import NAME as PLACES

SHELLS = ("bash", "zsh", "fish")


class _Named(NamedTuple):
    """Files that go by a name as well. variable: of the environment, with their folder; lists: what else lies there."""

    word: str
    variable: str
    folder: Path
    starters: str
    lists: tuple[str, ...] = ()


# $word, $variable, $folder, $ready and $lists are filled in. The names of files are never expanded by the shell.
_BASH = Template("""
_fieldplan_glob_$word() {
  local name folder="$${$variable:-}"
  [ -n "$$folder" ] || folder=$folder
  for name in $ready "$$folder"/*.toml; do
    name="$${name##*/}"; name="$${name%.toml}"
    case "$$name" in '*'$lists) continue;; esac
    [[ "$$name" == "$$1"* ]] && printf '%s\\n' "$$name"
  done
  compgen -f -X '!*.toml' -- "$$1"
  compgen -d -- "$$1"
}
""")
_ZSH = Template("""
_fieldplan_$word() {
  local folder="$${$variable:-}"
  local -aU names
  [[ -n "$$folder" ]] || folder=$folder
  names=($ready $$folder/*.toml(N:t:r))
  names=($${names:#($lists)})
  compadd "$$@" -a names
  _files -g '*.toml'
}
""")
_FISH = Template("""
function __fieldplan_$word
  set -l folder $folder
  test -n "$$$variable"; and set folder $$$variable
  for name in $ready $$folder/*.toml
    set name (string replace -r '\\.toml$$' '' -- (string replace -r '.*/' '' -- $$name))
    contains -- $$name $lists; or echo $$name
  end
  __fish_complete_suffix .toml
end
""")


def run_completion(parser: argparse.ArgumentParser, shell: str) -> int:
    """Print the script of a shell, one of SHELLS, for the command line of that parser."""
    plans = _by_name(_Named("plans", "FIELDPLAN_PLANS", plans_folder(), "demo"))
    lists = (*OWN_LISTS, *(name.removesuffix(SUFFIX) for name in (PLACES, KEYS)))
    profiles = _by_name(_Named("profiles", "FIELDPLAN_PROFILES", profiles_folder(), "profiles", lists))
    wanted: dict[str, Any] = {
        **dict.fromkeys(("plan", "files", "what"), plans),
        **dict.fromkeys(("profiles", "plans", "folder"), shtab.DIRECTORY),
        "profile": profiles,
        "file": shtab.glob("*.gpx"),
        "output": shtab.FILE,
    }
    words: dict[str, Sequence[str]] = {"chapter": CHAPTERS, "body": ("moon", "sun"), "sort": ("date", "closeness")}
    for action in _actions(parser):
        if action.dest in wanted:
            action.complete = wanted[action.dest]  # type: ignore[attr-defined]
        elif action.dest in words:
            action.choices = words[action.dest]
    sys.stdout.write(shtab.complete(parser, shell).rstrip() + "\n")
    return 0


def _actions(parser: argparse.ArgumentParser) -> Iterator[argparse.Action]:
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            for command in action.choices.values():
                yield from _actions(command)
        else:
            yield action


def _by_name(named: _Named) -> dict[str, Any]:
    """How each shell completes a file or its name, in the form that shtab takes."""
    ready = sorted(path.stem for path in starters_folder(named.starters).glob(f"*{SUFFIX}"))
    parts = {"word": named.word, "variable": named.variable}
    usual = {**parts, "folder": shlex.quote(str(named.folder)), "ready": shlex.join(ready)}
    fish = {**parts, "folder": _fish_quoted(str(named.folder)), "ready": " ".join(map(_fish_quoted, ready))}
    return {
        "bash": f"_fieldplan_glob_{named.word}",
        "zsh": f"_fieldplan_{named.word}",
        "fish": f"(__fieldplan_{named.word})",
        "preamble": {
            "bash": _BASH.substitute(usual, lists="".join(f"|{name}" for name in named.lists)),
            "zsh": _ZSH.substitute(usual, lists="|".join(named.lists)),
            "fish": _FISH.substitute(fish, lists=" ".join(named.lists)),
        },
    }


def _fish_quoted(text: str) -> str:
    """A text in single quotes, in which fish knows two escapes (fish manual, "Quotes")."""
    escaped = text.replace("\\", "\\\\").replace("'", "\\'")
    return f"'{escaped}'"

"""Reads plans and gear profiles from TOML, and explains in plain words what cannot be read."""

from __future__ import annotations

import hashlib
import re
import stat
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Generic, TypeVar

from pydantic import ValidationError

from fieldplan.files import versions
from fieldplan.files.problems import ChangedOnDisk, FileProblem, plain_problem, system_problem, visible
from fieldplan.model.gear import UNITS, Profile
from fieldplan.model.plan import Plan
from fieldplan.model.problems import Problem, explain
from fieldplan.notation.numbers import shown

__all__ = ["ChangedOnDisk", "FileProblem", "Loaded", "digest_of", "load_plan", "load_profile", "parse", "read_bytes",
           "read_toml"]  # fmt: skip

LARGEST_FILE = 4 * 1024 * 1024  # bytes; a plan of a thousand shots is a tenth of it
_TOO_LARGE = "is larger than 4 MB, which no plan or profile is; is it the right file?"
Written = TypeVar("Written", Plan, Profile)
_AT = re.compile(r"\s*\(at (?:line (\d+), column (\d+)|end of document)\)")
_STRINGS = re.compile(r'"""(?:\\.|[^\\])*?"""|\'\'\'.*?\'\'\'|"(?:\\.|[^"\\\n])*"|\'[^\'\n]*\'|#', re.DOTALL)
_UNQUOTED = re.compile(r"\s*([\w.-]+)\s*=\s*([^\"'\[{#\s][^#\"'\n]*?)\s*(?:#.*)?")


@dataclass(frozen=True)
class Loaded(Generic[Written]):
    """A file as read: the typed value, the raw data, the text, and the digest by which a later change is noticed."""

    value: Written
    raw: Mapping[str, Any]
    text: str
    digest: str
    path: Path
    had_comments: bool
    version: int


def load_plan(path: Path | str) -> Loaded[Plan]:
    """A plan. Raises FileProblem."""
    return _load(Path(path), Plan, versions.PLAN_KEY)


def load_profile(path: Path | str) -> Loaded[Profile]:
    """A gear profile. Raises FileProblem."""
    return _load(Path(path), Profile, versions.PROFILE_KEY)


def read_bytes(path: Path, suffix: str = ".toml", most: int = LARGEST_FILE, too_large: str = _TOO_LARGE) -> bytes:
    """What a file of a sensible size holds. Raises FileProblem.

    suffix: the ending of the files that belong here; most: bytes; too_large: what to say of a larger one.
    """
    try:
        mode = path.stat().st_mode
        if not stat.S_ISREG(mode) and not stat.S_ISDIR(mode):
            raise plain_problem(path, f"is not an ordinary file; name a {suffix} file")
        with path.open("rb") as file:
            data = file.read(most + 1)
    except OSError as error:
        raise system_problem(path, error) from None
    except ValueError:
        raise plain_problem(path, "has a name that cannot be; write another") from None
    if len(data) > most:
        raise plain_problem(path, too_large)
    return data


def digest_of(data: bytes) -> str:
    """A fingerprint of a file's content."""
    return hashlib.sha256(data).hexdigest()


def has_comments(text: str) -> bool:
    """True when TOML text holds a comment: a # outside every string."""
    return any(match.group() == "#" for match in _STRINGS.finditer(text))


def _load(path: Path, root: type[Written], key: str) -> Loaded[Written]:
    data = read_bytes(path)
    text = _decoded(data, path)
    raw = parse(text, path)
    value, version = _typed(raw, root, key, path)
    return Loaded(value, raw, text, digest_of(data), path, has_comments(text), version)


def read_text(text: str, path: Path, root: type[Written]) -> Written:
    """A plan or profile from text that belongs in the file. Raises FileProblem."""
    key = versions.PLAN_KEY if root is Plan else versions.PROFILE_KEY
    return _typed(parse(text, path), root, key, path)[0]


def read_toml(path: Path) -> dict[str, Any]:
    """Any TOML file as raw data. Raises FileProblem."""
    return parse(_decoded(read_bytes(path), path), path)


def _decoded(data: bytes, path: Path) -> str:
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise plain_problem(path, "is not UTF-8 text; save it as UTF-8 in your editor", f"line {line}") from None


def parse(text: str, path: Path) -> dict[str, Any]:
    """TOML text as raw data. Raises FileProblem with line and column."""
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise _not_toml(text, path, str(error)) from None
    except (ValueError, RecursionError):
        raise plain_problem(
            path, "is not TOML that can be read: a number too long, or brackets nested too deep"
        ) from None


def _not_toml(text: str, path: Path, said: str) -> FileProblem:
    """Where the text stops being TOML, what stands there, and what is likeliest to mend it."""
    match = _AT.search(said)
    what = _AT.sub("", said).rstrip(".")
    what = what[:1].lower() + what[1:]
    lines = text.split("\n") if match and match[1] else text.rstrip().split("\n")
    number = int(match[1]) if match and match[1] else len(lines)
    column = int(match[2]) if match and match[2] else len(lines[-1]) + 1
    line = lines[number - 1].strip() if number <= len(lines) else ""
    return plain_problem(path, f"is not TOML: {what}: {shown(line)}{_hint(line)}", f"line {number}, column {column}")


def _hint(line: str) -> str:
    unquoted = _UNQUOTED.fullmatch(line)
    if unquoted:
        return f'; text and values with a unit go in quotes: {visible(unquoted[1])} = "{visible(unquoted[2])}"'
    if line.count('"') % 2:
        return '; a quote is not closed; inside one write an inch mark as \\"'
    return "; write one  key = value  to a line, text in quotes, and tables as [site] or [[shot]]"


def _typed(raw: dict[str, Any], root: type[Written], key: str, path: Path) -> tuple[Written, int]:
    found = versions.sort_of(raw)
    if key not in raw:
        wanted = versions.WORDS[key]
        if found:
            raise plain_problem(path, f"is {versions.WORDS[found]}, not {wanted}; name {wanted}")
        raise plain_problem(
            path, f"is not {wanted}: it lacks the line {key} = {versions.CURRENT[key]}; put it at the top"
        )
    try:
        data, version = versions.brought_up(raw, key, versions.CURRENT[key], versions.MIGRATIONS[key])
    except ValueError as error:
        raise plain_problem(path, str(error), key) from None
    try:
        return validated(data, root), version
    except ValidationError as error:
        raise FileProblem(path, in_order(explain(error, data, root))) from None


def validated(data: Mapping[str, Any], root: type[Written]) -> Written:
    """Raw data, or records in a raw table, as a typed value; bare numbers in the units that it names itself."""
    units = data.get("units", "metric")
    units = units.strip().lower() if isinstance(units, str) else "metric"
    context = {"units": units if units in UNITS else "metric"}
    return root.model_validate(dict(data), context=context, by_alias=True, by_name=False)


def in_order(problems: list[Problem]) -> list[Problem]:
    """Problems without repetitions."""
    return list(dict.fromkeys(problems))

"""The registry of keys: what each one does is told once, for the footer, the key screen and the keyboard itself."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from fieldplan.notation.keynames import key_name


@dataclass(frozen=True)
class Command:
    """One thing that keys do. keys: as the terminal names them, a printable one as itself.

    id: the method ``do_<id>`` of the page, or else of the app. label: a word or two for the footer, "" to leave it out
    there. help: a line for the key screen. rank: the order in the footer, small first. shown: keys for the footer,
    where not the first of ``keys``, of two commands that go together. opener: the command of the page whose keys close
    what it opened as well.
    """

    id: str
    keys: tuple[str, ...]
    label: str
    help: str
    rank: int = 50
    shown: str = ""
    opener: str = ""

    @property
    def keys_text(self) -> str:
        """The keys as a person reads them: "Enter or =", "Left"."""
        return " or ".join(key_name(key) for key in self.keys)


EVERYWHERE = (
    Command("page_1", ("1",), "", "Gear: what you have, and what reaches what"),
    Command("page_2", ("2",), "", "Shot: the subject, the distance, and the body and lens that do it"),
    Command("page_3", ("3",), "", "Light: the day, and how long each shot works"),
    Command("page_4", ("4",), "", "Moon & sun, with landmarks"),
    Command("page_5", ("5",), "", "Card: what goes in the pocket"),
    Command("undo", ("u",), "undo", "take back the last edit, as often as you like", 40),
    Command("redo", ("y",), "", "bring back the edit that was undone", 41),
    Command("now", ("n",), "now", "go to the shot that is next by the clock of this computer", 60),
    Command("skin", ("t",), "theme", "next theme: plain, night (dim red), sun (dark on light)", 70),
    Command("suspend", ("ctrl+z",), "", "to the shell for a while; fg brings it back", 75),
    Command("help", ("?",), "keys", "this list of keys; ? or Esc goes back, the arrows scroll it", 80),
    Command("guide", ("f1", "H"), "", "the guide to this page, the files and the formulas", 81),
    Command("quit", ("q", "ctrl+c"), "quit", "leave; everything is on disk already", 90),
)
FORM = (
    Command("open", ("enter", "="), "edit", "open the field; what you type from then on is its text", 10),
    Command("next_field", ("right", "tab"), "", "select the next field", 12),
    Command("previous_field", ("left", "shift+tab"), "", "select the field before", 13),
    Command("step_up", ("up",), "", "step the value of the selected field up, in its natural step", 14),
    Command("step_down", ("down",), "", "step it down", 15),
    Command("clear", ("x", "delete"), "", "empty the selected field", 45),
)
TYPING = (
    Command("keep", ("enter",), "keep", "keep the text; a text that cannot be read stays open, with the reason", 1),
    Command("restore", ("escape", "ctrl+g"), "as it was", "close the field as it was", 2),
    Command("complete", ("tab",), "complete", "take the word that is offered", 3),
    Command("type_up", ("up",), "", "step the text up", 4),
    Command("type_down", ("down",), "", "step it down", 5),
)
CONFLICT = (
    Command("reload", ("R",), "read again", "read a file again that another program changed (undo takes it back)", 5),
    Command("copy_mine", ("K",), "keep a copy", "put your edits in a file of their own, and go on there", 5),
    Command("compare", ("D",), "compare", "see where your edits differ from what another program wrote", 5),
    Command("over", ("O",), "save over", "save over what another program wrote; that stays beside it as NAME~", 6),
)


def find(commands: Iterable[Command], key: str) -> Command | None:
    """The command of a key, the first that has it."""
    return next((command for command in commands if key in command.keys), None)


def clashes(commands: Sequence[Command]) -> list[str]:
    """Keys that two of the commands want."""
    keys = [key for command in commands for key in command.keys]
    return sorted({key for key in keys if keys.count(key) > 1})

"""The command line: each face is imported only when it is asked for.

Exit 0 fine, 1 the answer is no (nothing found, file invalid), 2 wrong use. Answers on stdout, messages on stderr.
"""

from __future__ import annotations

import argparse
import gc
import io
import os
import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING, NoReturn

from fieldplan import afteroptions

if TYPE_CHECKING:
    from fieldplan.opening import Opened
    from fieldplan.planner.answers import PlanAnswers

COMMANDS = ("open", "new", "card", "kit", "light", "lineup", "places", "pictures", "learn", "check", "guide",
            "completion")  # fmt: skip
_USED = "fieldplan"
_GARBAGE = (100_000, 50, 100)  # what a command makes it needs until it ends; looking for garbage among it takes a tenth
EXAMPLES = """examples:
  fieldplan                                    the last plan, on screen
  fieldplan demo/lake-and-chapel.toml          this one
  fieldplan new "Lake at dawn" --on 2027-03-14 --at "52.3012, 4.9711"
  fieldplan card lake-and-chapel               its card, here
  fieldplan card lake-and-chapel --as pdf -o card.pdf
  fieldplan light --at "52.3012, 4.9711" --on 2027-03-14 --sky hazy
  fieldplan kit coast-weekend river-walk --limit "8 kg"
  fieldplan check *.toml

A plan is a path or a name in the plans folder. Each command has its own help: fieldplan card --help.
A fault of the program itself is written to fieldplan.log in the state folder, without positions or names, unless
FIELDPLAN_LOG=full. More in README.md.
"""


_COMPLETION = """Print a script that lets the shell complete commands, options, files and names of plans.

  bash:  fieldplan completion bash > ~/.local/share/bash-completion/completions/fieldplan
  zsh:   fieldplan completion zsh > ~/.zfunc/_fieldplan        (a folder of your fpath)
  fish:  fieldplan completion fish > ~/.config/fish/completions/fieldplan.fish

Make it anew after an update of the program.
"""


class _Help(argparse.RawDescriptionHelpFormatter):
    """The description wrapped to the width of the terminal, the examples as they stand."""

    def _fill_text(self, text: str, width: int, indent: str) -> str:
        lines = super()._fill_text(text, width, indent)
        return lines if "\n" in text else argparse.HelpFormatter._fill_text(self, text, width, indent)


class _Parser(argparse.ArgumentParser):
    """A parser whose messages hold nothing that a terminal would obey, whatever words they quote."""

    def error(self, message: str) -> NoReturn:
        from fieldplan.notation.numbers import obeyed_by_none

        super().error(obeyed_by_none(message)[:1000])


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog=_USED,
        description="Plan a photographic shoot on location: which body and lens, where from, at which settings, in "
        "which light. Without a command: opens the plan on screen; where there is no terminal, prints its card.",
        epilog=EXAMPLES,
        formatter_class=_Help,
    )
    places = _Parser(add_help=False)
    places.add_argument("--profile", help="gear profile to use instead of the plan's: a name or a path")
    places.add_argument("--profiles", metavar="FOLDER", help="folder of gear profiles (or FIELDPLAN_PROFILES)")
    places.add_argument("--plans", metavar="FOLDER", help="folder of plans (or FIELDPLAN_PLANS)")
    from fieldplan import __version__

    parser.add_argument("--version", action="version", version=f"fieldplan {__version__}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND")

    opened = commands.add_parser("open", parents=[places], help="open a plan on screen (the same as naming it alone)")
    opened.add_argument("plan", nargs="?", help="a plan file or a name; left out: the last one")

    from fieldplan.newcommand import add_new_command

    add_new_command(commands, places)
    card = commands.add_parser("card", parents=[places], help="print the card of a plan")
    card.add_argument("plan", help="a plan file or a name")
    card.add_argument("--as", dest="kind", default="text", choices=("text", "pdf", "html", "json", "ics", "gpx"))
    card.add_argument("--paper", default="a6", choices=("a6", "a4"), help="for pdf: pocket size, or four on a sheet")
    card.add_argument("-o", "--output", metavar="FILE", help="write to a file instead of stdout")
    card.add_argument("--without-place", action="store_true", help="leave out all that leads to the place")

    kit = commands.add_parser("kit", parents=[places], help="what to pack: what reaches what, and bags side by side")
    kit.add_argument("plan", nargs="+", metavar="PLAN", help="plan files or names; several make a trip")
    kit.add_argument("--limit", metavar="KG", help='of the bag, "8 kg" or "17 lb"; left out: the photographer\'s own')
    kit.add_argument("--insist", action="append", default=[], metavar="NAME", help="goes along in any case; repeatable")
    kit.add_argument("--bodies", default="0", metavar="N", help="so many bodies at least go along")
    kit.add_argument("--as", dest="kind", default="text", choices=("text", "json"))

    light = commands.add_parser("light", help="sun, moon and light through a day at a place")
    light.add_argument(
        "--at",
        required=True,
        metavar="POSITION",
        help='"52.3012, 4.9711" in any usual notation, a saved place, a city, or FILE.gpx#NAME',
    )
    light.add_argument("--on", required=True, metavar="DATE", help="2027-03-14")
    light.add_argument("--sky", default="clear", help="clear, hazy, thin cloud, cloudy bright, average cloud, ...")
    light.add_argument("--zone", help="time zone such as Europe/Amsterdam; left out: from the position")
    light.add_argument("--elevation", help="of the ground above the sea; left out: the place's own, else 0 m")
    light.add_argument("--as", dest="kind", default="text", choices=("text", "json"))

    from fieldplan.lineupoptions import add_lineup_options

    line = commands.add_parser("lineup", parents=[places], help="when moon or sun stands at the top of a landmark")
    add_lineup_options(line)

    listed = commands.add_parser("places", help="list saved places and cities, or the waypoints of a GPX file")
    listed.add_argument("file", nargs="?", metavar="FILE.gpx", help="a file of waypoints; left out: saved and cities")
    listed.add_argument("--find", metavar="TEXT", help="only places whose name, note or country holds the text")
    listed.add_argument("--profiles", metavar="FOLDER", help="folder of gear profiles, with places.toml beside them")

    check = commands.add_parser("check", help="say whether plans and profiles are sound, and explain what is not")
    check.add_argument("files", nargs="+", metavar="FILE", help="a plan, a gear profile, or a list of your own")
    check.add_argument("--profiles", metavar="FOLDER", help="folder of gear profiles, with your own lists beside them")
    check.add_argument("--plans", metavar="FOLDER", help="folder of plans")

    afteroptions.add_commands(commands, places)
    guide = commands.add_parser("guide", help="the guide: a short text for each page, the files, the formulas")
    guide.add_argument(
        "chapter",
        nargs="?",
        metavar="CHAPTER",
        help="gear, shot, light, moon-and-sun, card, files, fields or formulas; left out: all",
    )
    told = "print a script that lets the shell complete commands, options, files and names of plans"
    completion = commands.add_parser("completion", help=told, description=_COMPLETION, formatter_class=_Help)
    completion.add_argument("shell", choices=("bash", "zsh", "fish"))
    return parser


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit status."""
    words = list(sys.argv[1:] if argv is None else argv)
    first = next((w for w in words if not w.startswith("-")), None)
    if (first not in COMMANDS and not {"-h", "--help", "--version"} & set(words)) or not words:
        words = ["open", *words]
    options = _parser().parse_args(joined(words))
    if options.command is None:
        _parser().print_usage(sys.stderr)
        return 2
    try:
        return _run(options)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except KeyboardInterrupt:
        from fieldplan.stopping import STOPPED

        print("fieldplan: stopped", file=sys.stderr)
        return STOPPED
    except Exception as problem:
        if type(problem).__name__ not in ("FileProblem", "ChangedOnDisk", "NothingToWrite"):
            raise
        print(problem, file=sys.stderr)
        return 1


def start() -> int:
    """``main``, with a fault of the program itself written to the log and told in one line."""
    gc.set_threshold(*_GARBAGE)
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")  # looking for plugins takes longer than reading a plan
    if sys.stderr is None:
        sys.stderr = io.StringIO()
    if sys.stdout is None:
        print("fieldplan: standard output is closed; there is nowhere to answer to", file=sys.stderr)
        return 2
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")  # a terminal without a letter shows "?" for it
    try:
        return main()
    except Exception as fault:
        from fieldplan.files.faultlog import tell_fault

        return tell_fault(fault, next((word for word in sys.argv[1:] if word in COMMANDS), "open"))
    finally:
        gc.freeze()  # nothing of it is looked through once more before the process ends


def joined(words: Sequence[str]) -> list[str]:
    """Words with a position that begins with a minus joined to its option: --at -33.85,151.2 would else be taken for
    an option of its own. A plain number is understood as it stands."""
    found: list[str] = []
    for word in words:
        wanting = found and found[-1].startswith("--") and "=" not in found[-1]
        if wanting and word[:1] == "-" and word[1:2].isdigit() and not word[1:].replace(".", "", 1).isdigit():
            found[-1] += f"={word}"
        else:
            found.append(word)
    return found


def _run(options: argparse.Namespace) -> int:
    if options.command == "light":
        from fieldplan.lightcommand import run_light

        return run_light(options)
    if options.command == "kit":
        from fieldplan.kitcommand import run_kit

        return run_kit(options)
    if options.command == "lineup":
        from fieldplan.lineupcommand import run_lineup

        return run_lineup(options)
    if options.command == "places":
        from fieldplan.placescommand import run_places

        return run_places(options.file, options.find, options.profiles)
    if options.command in afteroptions.NAMES:
        return afteroptions.run(options)
    if options.command == "completion":
        from fieldplan.completioncommand import run_completion

        return run_completion(_parser(), options.shell)
    if options.command == "guide":
        return _guide(options.chapter)
    if options.command == "check":
        from fieldplan.checkcommand import run_check

        return run_check(options.files, options.profiles, options.plans)
    if options.command == "card":
        return _card(options, options.plan, options.kind, options.paper, options.output)
    on_screen = all(stream is not None and stream.isatty() for stream in (sys.stdout, sys.stdin))  # None: closed
    if options.command == "new":
        from fieldplan.newcommand import run_new

        status = run_new(options)
        if status or not on_screen:
            return status
    if not on_screen:
        if options.plan is None:
            print("fieldplan: name a plan; there is no terminal here to choose one on", file=sys.stderr)
            return 2
        return _card(options, options.plan, "text", "a6", None)
    from fieldplan.tui.launch import run

    return run(options.plan, options.profile, options.plans, options.profiles)


def _guide(chapter: str | None) -> int:
    from fieldplan.files.guide import CHAPTERS, read_chapter

    if chapter is not None and chapter not in CHAPTERS:
        from fieldplan.notation.numbers import shown

        print(f"fieldplan guide: there is no chapter {shown(chapter)}; there are: {', '.join(CHAPTERS)}",
              file=sys.stderr)  # fmt: skip
        return 2
    sys.stdout.write("\n".join(map(read_chapter, CHAPTERS if chapter is None else (chapter,))))
    return 0


def _without_place(opened: Opened, profiles: str | None) -> PlanAnswers:
    """Answers without their place; on stderr, what their texts still have in common with its names."""
    from fieldplan.files.problems import visible
    from fieldplan.opening import shared_answers

    answers, shared = shared_answers(opened, profiles)
    for line in shared:
        print(f"look again: {visible(line)}", file=sys.stderr)
    return answers


def _card(options: argparse.Namespace, plan: str, kind: str, paper: str, output: str | None) -> int:
    from fieldplan.card import render
    from fieldplan.opening import answers_to, open_plan

    opened = open_plan(plan, options.profile, options.plans, options.profiles)
    if getattr(options, "without_place", False):
        if kind == "gpx":
            print("fieldplan: waypoints are the place itself; take another form", file=sys.stderr)
            return 2
        answers = _without_place(opened, options.profiles)
    else:
        answers = answers_to(opened, options.profiles)
    made = render(answers, kind, paper)
    if output is not None:
        from fieldplan.files.saving import save_made

        save_made(output, made)
        return 0
    if isinstance(made, bytes):
        if sys.stdout.isatty():
            print("fieldplan: a PDF is not for the terminal; write -o FILE", file=sys.stderr)
            return 2
        sys.stdout.buffer.write(made)
        return 0
    sys.stdout.write(made if made.endswith("\n") else made + "\n")
    return 0


if __name__ == "__main__":
    sys.exit(start())

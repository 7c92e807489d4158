"""The words of ``fieldplan pictures`` and ``fieldplan learn``, for the time after a shoot; light to import."""

from __future__ import annotations

import argparse
from typing import Any

NAMES = ("pictures", "learn")


def add_commands(commands: Any, places: argparse.ArgumentParser) -> None:
    """Both commands to the subparsers of the command line; places: the options that say where files lie."""
    told = "which focal lengths and settings pictures were taken with, and pictures as the log of a plan"
    used = commands.add_parser("pictures", parents=[places], help=told)
    used.add_argument("folder", metavar="FOLDER", help="a folder of pictures, with all folders in it; or one picture")
    used.add_argument("--of", metavar="NAME", help="only pictures of this body or lens, as the files name it")
    used.add_argument("--plan", help="match the pictures to the shots of this plan by their times")
    used.add_argument("--write", action="store_true", help="add what was matched to the log of the plan")
    off = used.add_mutually_exclusive_group()
    off.add_argument(
        "--behind", metavar="TIME", help="the camera's clock is behind by so much: 1:00 (hours), 90 s, 3 min"
    )
    off.add_argument("--ahead", metavar="TIME", help="the camera's clock is ahead by so much")
    used.add_argument("--margin", default="15", metavar="TIME",
                      help="how far from a shot's time a picture may lie: 15 (minutes), 90 s, 1 h")  # fmt: skip
    used.add_argument("--as", dest="kind", default="text", choices=("text", "json"))

    learn = commands.add_parser("learn", parents=[places], help="what the logs of plans say of your own figures")
    learn.add_argument("what", nargs="*", metavar="FOLDER|PLAN", help="plans, or folders of them; left out: your plans")
    learn.add_argument(
        "--write", nargs="+", default=[], metavar="NAME", help="write these offered changes to the profile"
    )
    learn.add_argument("--as", dest="kind", default="text", choices=("text", "json"))


def run(options: argparse.Namespace) -> int:
    """Run either command; returns the exit status."""
    if options.command == "pictures":
        from fieldplan.picturescommand import run_pictures

        return run_pictures(options)
    from fieldplan.learncommand import run_learn

    return run_learn(options)

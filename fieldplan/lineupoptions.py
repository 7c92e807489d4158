"""The words of ``fieldplan lineup``."""

from __future__ import annotations

import argparse


def add_lineup_options(line: argparse.ArgumentParser) -> None:
    """Where from, where to, when, what is kept of it, and in which form."""
    where = line.add_argument_group("where: a plan, or two positions")
    where.add_argument("plan", nargs="?", help="a plan file or a name, whose site has the landmark")
    where.add_argument("--landmark", metavar="NAME", help="of the plan's site; left out: its first")
    where.add_argument("--viewpoint", metavar="NAME", help="of the plan's site; left out: the site itself")
    where.add_argument("--from", dest="from_position", metavar="POSITION",
                       help="where you stand: in any usual notation, a saved place, or FILE.gpx#NAME")  # fmt: skip
    where.add_argument("--from-level", metavar="M", help="of the eye above the sea; left out: 1.6 m over the place")
    where.add_argument("--to", metavar="POSITION", help="the landmark, in the same words")
    where.add_argument("--to-level", metavar="M", help="of the landmark's top above the sea")
    where.add_argument("--to-width", metavar="M", help="of the landmark, for the disc at its sides")
    where.add_argument("--zone", help="time zone; left out: the viewpoint's")

    when = line.add_argument_group("what to look for")
    when.add_argument("--body", default="moon", help="moon or sun")
    when.add_argument("--start", metavar="DATE", help="left out: the plan's date")
    when.add_argument("--end", metavar="DATE", help="included; left out with a plan: a year on")
    when.add_argument("--within", default="1", metavar="DEG", help="from the place wanted for the disc's centre")
    when.add_argument(
        "--place", default="centred", metavar="WHERE", help="centred (behind the top), resting (on it), left, right"
    )

    kept = line.add_argument_group("what to keep")
    kept.add_argument("--lit", metavar="SHARE", help='of the moon\'s disc: "90 %%" or more, or "30-60 %%"')
    kept.add_argument("--light", metavar="BAND", help='a band of light, such as "civil twilight"')
    kept.add_argument("--sun-altitude", nargs=2, metavar=("FROM", "TO"), help="degrees, such as -6 2")
    kept.add_argument("--hours", metavar="FROM-TO", help='on the local clock, such as "16:00-22:00"')
    kept.add_argument("--weekdays", metavar="DAYS", help='such as "Sat, Sun"')
    kept.add_argument("--clear", action="store_true", help="the whole disc over the skyline, or a level horizon")

    shown = line.add_argument_group("how to show it")
    shown.add_argument("--sky", default=None, help="for the light of the land; left out: the plan's, or clear")
    shown.add_argument("--sort", default="date", metavar="BY", help="date, or closeness")
    shown.add_argument("--limit", metavar="N", help="the first N only")
    shown.add_argument("--as", dest="kind", default="text", choices=("text", "json", "gpx"))

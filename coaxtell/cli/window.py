"""`coaxtell window`: everything in one window."""

from __future__ import annotations

import argparse

NAME = "window"
SCENES = ("name", "together", "life-size", "practise", "cable", "half", "beside", "papers", "photo")
HELP = "open the window: name a port, bring halves together, cable, practise, a half in the round, papers, photographs"


def configure(parser: argparse.ArgumentParser) -> None:
    """The window takes no arguments of its own."""
    parser.add_argument("--scene", choices=SCENES, default=None, help="the job to start with; else the last one")


def run(args: argparse.Namespace) -> int:
    """Open the window and stay until it is closed."""
    from coaxtell.window import screen

    return screen.run(args.tables, scene=args.scene)

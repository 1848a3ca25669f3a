"""The commands by moment of the job: where each is written, and in which part of the help."""

from __future__ import annotations

import importlib
import os
from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

import click


class CommandEntry(NamedTuple):
    """A command of the registry."""

    written_in: str
    """`module:function` below `tagbench.commands`."""
    help: str
    """What it is for: the first sentence of its own help, so that the list needs no module."""
    begins: bool = True
    """Whether it begins a book where there is none; one that only looks says that there is none."""


MOMENTS: Mapping[str, Mapping[str, CommandEntry]] = MappingProxyType(
    {
        "Before you start": {
            "demo": CommandEntry(
                "demo:demo",
                "Write the demo book (an invented three-wheeler in pieces) and open the screens.",
            ),
            "machine": CommandEntry("machine:machine", "The machines in this book."),
            "evening": CommandEntry(
                "evening:evening",
                "What was going on: last assembly, half-typed forms, what soaks, what is "
                "due; what is next.",
            ),
            "bins": CommandEntry("bins:bins", "Bags, boxes, trays, drawers and shelves."),
            "tags": CommandEntry(
                "tags:tags", "Print tags: those named, those queued, all, or spare ones."
            ),
            "printer": CommandEntry(
                "printer:printer",
                "Printers: which there are, how each is corrected, where the sheet was left.",
            ),
            "import": CommandEntry(
                "files:import_csv", "Take in parts from a CSV file, all of them or none."
            ),
        },
        "Strip": {
            "strip": CommandEntry(
                "strip:strip_command", "Record a part that came off and print its code."
            ),
            "edit": CommandEntry(
                "edit:edit_command",
                "Change what is written about a part; what is not named stays.",
                begins=False,
            ),
            "remove": CommandEntry(
                "edit:remove_command",
                "Take a part's record away (undo brings it back); its code is never "
                "given out again.",
                begins=False,
            ),
            "stays": CommandEntry(
                "whereabouts:stays",
                "Parts that are written down but never taken off, such as the half of "
                "a case that stays.",
                begins=False,
            ),
            "twin": CommandEntry(
                "composing:twin",
                "Left and right of the same thing: link CODE with OTHER, or write the other "
                "side down anew.",
            ),
            "stack": CommandEntry(
                "composing:stack",
                "Shims, washers, plates in their order: “from the nut: shim 0.3; 2x plate 3; "
                "24 rollers”.",
            ),
            "together": CommandEntry(
                "composing:together",
                "A sub-assembly stays in one piece, in one bag, under one tag.",
            ),
            "apart": CommandEntry(
                "composing:apart",
                "Take a sub-assembly apart: all its own parts get codes, or those of these NAMES.",
            ),
            "wires": CommandEntry(
                "composing:wires",
                "Pins of a connector or cable: “1 BN tail lamp; 2 BUYE horn (diagram GN)”; "
                "else the table.",
            ),
            "photos": CommandEntry(
                "photos:photos",
                "Pictures of parts: added, captioned, taken off, matched by time.",
                begins=False,
            ),
            "boltcard": CommandEntry(
                "printer:boltcard",
                "Print the card that a part's screws are pushed through until the rebuild.",
                begins=False,
            ),
        },
        "Find": {
            "find": CommandEntry(
                "find:find",
                "Find parts by any words: name, place, fasteners, number, bin, note.",
                begins=False,
            ),
            "show": CommandEntry(
                "look:show", "Show the whole record of a part or bin.", begins=False
            ),
            "scan": CommandEntry(
                "look:scan",
                "Open what a tag names: scanned text, a picture or PDF with one or many tags.",
                begins=False,
            ),
            "lost": CommandEntry(
                "whereabouts:lost", "A part cannot be found, or was found again.", begins=False
            ),
            "phone": CommandEntry(
                "phone:phone",
                "Serve the pages of the tags to paired phones until Ctrl+C.",
                begins=False,
            ),
        },
        "Clean and inspect": {
            "mark": CommandEntry(
                "care:mark_command",
                "Mark a step of care done to parts, or reuse or replace, as one change.",
                begins=False,
            ),
            "soak": CommandEntry(
                "care:soak_command", "Put parts to soak, or take them out again.", begins=False
            ),
            "care": CommandEntry("care:care", "List parts by the care they need.", begins=False),
            "inspect": CommandEntry(
                "inspect:inspect",
                "What to look for on a part, what to measure, and the cautions for it.",
                begins=False,
            ),
            "reading": CommandEntry(
                "inspect:reading",
                "Write down what was measured: CODE “lining thickness” 2.1 2.3 mm --low 2.",
                begins=False,
            ),
            "cautions": CommandEntry(
                "inspect:cautions",
                "All cautions with their sources; --seen acknowledges those named.",
            ),
            "finish": CommandEntry(
                "whereabouts:finish",
                "Parts were blasted, painted, plated, polished, or are to be: WHAT, or "
                "a step by its name.",
                begins=False,
            ),
            "away": CommandEntry(
                "away:away",
                "What is with someone else: the plater, the machinist, the painter.",
                begins=False,
            ),
        },
        "Buy and make": {
            "wants": CommandEntry(
                "buy:wants", "What is wanted, what it holds up, what it costs.", begins=False
            ),
            "stock": CommandEntry(
                "stock:stock",
                "What is in the drawer, and what the rebuild still wants of single-use items.",
            ),
            "number": CommandEntry(
                "number:number",
                "The part numbers of a part, which one to order, and where else it is used.",
                begins=False,
            ),
            "make": CommandEntry(
                "make:make", "A gasket to make: its measures, cut list and punches.", begins=False
            ),
            "old": CommandEntry(
                "whereabouts:old",
                "Where the old piece of a replaced part is: thrown out (gone), a "
                "pattern, given back.",
                begins=False,
            ),
        },
        "Build": {
            "build": CommandEntry(
                "build:build", "What is ready to go on, and what is held up and why.", begins=False
            ),
            "fit": CommandEntry("fit:fit", "Put a part on: snug, torqued or done.", begins=False),
            "reach": CommandEntry(
                "fit:reach",
                "What must come off again to get at a part, in order, and what that undoes.",
                begins=False,
            ),
            "settings": CommandEntry(
                "settings:settings", "The settings of the machine and where they stand."
            ),
        },
        "Count and close": {
            "count": CommandEntry(
                "count:count",
                "Count parts, fasteners, torques, settings and single-use items.",
                begins=False,
            ),
            "leftover": CommandEntry(
                "whereabouts:leftover",
                "What was found on the bench: TEXT as “M6 bolt 20 long, bench floor”; "
                "else the list.",
            ),
            "report": CommandEntry(
                "report:report", "Write a report; without -o as text on the screen.", begins=False
            ),
            "export": CommandEntry(
                "report:export",
                "Write the parts as CSV, or the whole book as JSON, for other programs.",
                begins=False,
            ),
        },
        "Workshop figures": {
            "thread": CommandEntry(
                "thread:thread",
                "Say all about a thread (M8, 1/4-20, #10-32, 1/4 BSW, 2BA), or name a "
                "measured one.",
            ),
            "torque": CommandEntry(
                "torque:torque",
                "Convert a torque (32-44 lbf·ft, 8 Nm), set the wrench for it, say how to give it.",
            ),
            "wear": CommandEntry(
                "wear:wear",
                "Hold READINGS (2.1 2.3 mm) against a limit: good, marginal or worn, "
                "and what is left.",
            ),
            "chain": CommandEntry(
                "chain:chain",
                "Say how much longer than new a chain is: LENGTH over so many links, pulled tight.",
            ),
            "usual": CommandEntry(
                "usual:usual",
                "Say what is usual for a RING GAP, POINTS GAP, …; or work out TIMING, "
                "TYRE 2319, COMPRESSION.",
            ),
            "gasket": CommandEntry(
                "gasket:gasket",
                "Say which punches and how much sheet a gasket takes; nothing is written down.",
            ),
            "mat": CommandEntry(
                "mat:mat",
                "Print the mat: lay a gasket or fasteners on it, photograph it, and "
                "they are measured.",
            ),
            "trace": CommandEntry(
                "trace:trace",
                "Trace a gasket from a picture: outer edge, bolt holes, openings; at "
                "1:1 as PDF, SVG, DXF.",
            ),
            "lay": CommandEntry(
                "lay:lay",
                "Count, measure and name fasteners laid apart on the mat or the scanner's glass.",
            ),
        },
        "The book": {
            "history": CommandEntry(
                "files:history",
                "What was done, newest first; with a code, what was done to that record.",
                begins=False,
            ),
            "undo": CommandEntry(
                "mending:undo",
                "Take back the last change, or the one with that number in the history.",
                begins=False,
            ),
            "redo": CommandEntry("mending:redo", "Put back what the last undo took.", begins=False),
            "check": CommandEntry(
                "mending:check",
                "Verify the book; put it right from its backups and history, or join "
                "it with another copy.",
                begins=False,
            ),
            "backups": CommandEntry(
                "mending:backups",
                "The copies of the book: what differs in each, and taking something back from one.",
                begins=False,
            ),
        },
    }
)
"""Moment of the job → its commands in the order of the work, each with module and function.

A module is read only when its command is called, so that each command starts quickly.
"""


ASKED_BY = "_TAGBENCH_COMPLETE"
"""The variable that the shell asks with what may follow."""


def _with_values(command: click.Command) -> click.Command:
    """The command with what the shell completes for its parameters."""
    from tagbench.commands.completion import offer_values

    return offer_values(command)


def begins_a_book(name: str) -> bool:
    """Whether a command begins a book where there is none; so do the screens, without a name."""
    return all(commands[name].begins for commands in MOMENTS.values() if name in commands)


class CommandsByMoment(click.Group):
    """A group whose commands are imported when they are called, and listed by moment of the job."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The names of all commands, moment by moment."""
        return [name for commands in MOMENTS.values() for name in commands]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of that name, or None."""
        for commands in MOMENTS.values():
            if cmd_name in commands:
                module, name = commands[cmd_name].written_in.split(":")
                command = getattr(importlib.import_module(f"tagbench.commands.{module}"), name)
                assert isinstance(command, click.Command)
                return _with_values(command) if ASKED_BY in os.environ else command
        return None

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """One section of the help for each moment."""
        for moment, commands in MOMENTS.items():
            with formatter.section(moment):
                formatter.write_dl([(name, entry.help) for name, entry in commands.items()])

"""`tagbench torque`: a torque in other units, on the wrench, on a castle nut, round a circle."""

from __future__ import annotations

from typing import Any, get_args

import click

from tagbench.commands.base import Workplace, book_command, print_answer
from tagbench.commands.figures import FigureCommand
from tagbench.commands.torque_asked import CASTLE_NUT, TorqueAnswer, TorqueQuestion, answer
from tagbench.trade.torque.stages import Pattern


@click.command(cls=FigureCommand)
@click.argument("figures", nargs=-1, metavar="[RANGE]")
@click.option("--in", "into", default="", help="Unit to show: N·m, lbf·ft, lbf·in, kgf·m, kgf·cm.")
@click.option("--wrench", default="", help="Torque wrench from drive to grip, e.g. 400mm.")
@click.option("--extension", default="", help="Extension from drive to fastener, e.g. 65mm.")
@click.option("--angle", default="", help="Of the extension: 0 straight on, 90 square, 180 back.")
@click.option("--set-to", is_flag=True, help="RANGE is what the wrench is set to, not the torque.")
@click.option("--scale", default="", help="Scale of the wrench, e.g. “20-100 N·m” or “100 N·m”.")
@click.option(
    "--castle-nut",
    is_flag=False,
    flag_value=CASTLE_NUT,
    default="",
    metavar="[NUT]",
    help="How to tighten a castle nut: M12x1.25, “8 slots”, “3/8-24, 6 slots, 2 holes”.",
)
@click.option("--slots", type=int, help="Slots of the castle nut; six without it.")
@click.option("--cross-holes", type=int, help="Holes through its bolt; one without it.")
@click.option("--bearing", is_flag=True, help="The castle nut sets a bearing or a cone.")
@click.option("--clamps", is_flag=True, help="The castle nut holds a joint tight.")
@click.option("--bolts", type=int, help="So many: the stages and their order.")
@click.option(
    "--pattern",
    type=click.Choice(get_args(Pattern)),
    default="circle",
    help="How the bolts sit; a circle without it.",
)
@click.option("--hole", multiple=True, help="Position of a bolt on an odd cover: “40 -5” in mm.")
@click.option("--estimate", default="", metavar="THREAD", help="No figure to be had: estimate it.")
@click.option("--grade", default="", help="Class or grade for --estimate: 8.8, grade 5; none: 4.6.")
@click.option("--friction", default="", help="For --estimate: oiled, dry, zinc, anti-seize, …")
@click.option("--metal", default="", help="For --estimate: what it screws into, e.g. aluminium.")
@click.option(
    "--engaged", default="", help="For --estimate: length of thread that holds, e.g. 12mm."
)
@click.option("--for", "used_on", default="", help="What the fastener holds, in words.")
@click.option(
    "--part",
    default="",
    metavar="CODE",
    help="The same, read from a part; its own torques stand in fit CODE --how.",
)
@book_command
def torque(workplace: Workplace, /, as_json: bool, part: str, **options: Any) -> None:
    """Convert a torque (32-44 lbf·ft, 8 Nm), set the wrench for it, say how to give it.

    A single value is a range of one. The unit must be typed; it is never guessed. The maker's
    manual takes precedence over everything that is said here.
    """
    found = answer(
        TorqueQuestion(**options, part=safety_words(workplace, part, options["estimate"]))
    )
    print_answer(as_json, torque_answer_json(found), found.lines())


def safety_words(workplace: Workplace, code: str, thread: str) -> tuple[str, ...]:
    """The words by which a part, and its fasteners of `thread`, are told to be dangerous or not."""
    if not code:
        return ()
    from tagbench.commands.chosen import part_meant
    from tagbench.trade.threads import parse_thread

    part = part_meant(workplace.book.records, code)
    wanted = parse_thread(thread).designation if thread else ""
    lines = [each for each in part.fasteners if each.thread == wanted]
    said = [text for each in lines for text in (each.kind, each.typed, each.place, each.note)]
    return part.name, part.kind, part.assembly, part.note, *said


def torque_answer_json(found: TorqueAnswer) -> dict[str, Any]:
    """`{"low", "high", "unit", "wrench_setting_low", "wrench_setting_high", …}`."""
    from msgspec import to_builtins

    told: dict[str, Any] = to_builtins(found.card, enc_hook=float)
    extra = {
        "estimate": found.estimate,
        "scale": found.scale,
        "castle_nut": found.castle_nut,
        "stages": found.stages,
    }
    return {**told, **{key: value for key, value in extra.items() if value is not None}}

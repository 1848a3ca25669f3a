"""`tagbench thread`: all about a thread, or the name of a measured one."""

from __future__ import annotations

import click

from tagbench.commands.base import json_option, print_answer
from tagbench.commands.figures import FigureCommand
from tagbench.errors import BadInput
from tagbench.reports.thread_text import named_lines, thread_lines
from tagbench.trade.threads.caliper import name_measured
from tagbench.trade.threads.card import thread_card

NEITHER = (
    "Name a thread, such as M8, 1/4-20 or 2BA, or say what was measured:"
    " thread --across 4.95mm --pitch 0.8."
)


@click.command(cls=FigureCommand)
@click.argument("designation", nargs=-1)
@click.option(
    "--across",
    multiple=True,
    help="Measured across the thread: 4.95mm, or several as “4.95 4.96 mm”; without unit in mm.",
)
@click.option("--pitch", default="", help="0.8 (mm), “20 tpi” or “10 threads in 12.5 mm”.")
@click.option("--tpi", default="", help="Threads per inch, instead of --pitch.")
@click.option("--uncertainty", default="", help="How far off the caliper may be; else 0.02 mm.")
@click.option("--angle", default="", help="Thread angle, if it was seen: 60, 55 or 47.5.")
@click.option("--internal", is_flag=True, help="--across is the inside of a threaded hole.")
@click.option("--year", type=int, help="Year of the machine: puts the hexagon of that time first.")
@json_option
def thread(
    designation: tuple[str, ...],
    across: tuple[str, ...],
    pitch: str,
    tpi: str,
    uncertainty: str,
    angle: str,
    internal: bool,
    year: int | None,
    as_json: bool,
) -> None:
    """Say all about a thread (M8, 1/4-20, #10-32, 1/4 BSW, 2BA), or name a measured one."""
    if across:
        if designation:
            raise BadInput("Give a designation or what was measured with --across, not both.")
        named = name_measured(
            "; ".join(across),
            pitch_text(pitch, tpi),
            angle=angle,
            uncertainty=uncertainty,
            internal=internal,
        )
        print_answer(as_json, named.candidates, named_lines(named))
        return
    if not designation:
        raise BadInput(NEITHER)
    if pitch or tpi or uncertainty or angle or internal:
        raise BadInput("These options go with --across; write the pitch into the name, as M8x1.25.")
    card = thread_card(" ".join(designation), year)
    print_answer(as_json, card, thread_lines(card))


def pitch_text(pitch: str, tpi: str) -> str:
    """The pitch as its reader takes it; BadInput when it was given twice or is no count."""
    if pitch and tpi:
        raise BadInput("Give --pitch or --tpi, not both.")
    if not tpi:
        return pitch
    count = tpi.lower().removesuffix("tpi").strip()
    if not count.replace(".", "", 1).isdecimal() or float(count) == 0:
        raise BadInput(f"“{tpi}” is not a number of threads per inch; write --tpi 20.")
    return f"{count} tpi"

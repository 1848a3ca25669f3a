"""`tagbench mat`: the page that pictures are measured on."""

from __future__ import annotations

from pathlib import Path

import click

from tagbench.commands.base import Workplace, book_command, print_answer
from tagbench.errors import BadInput


@click.command()
@click.option("--paper", type=click.Choice(("a4", "letter")), default="a4", help="Paper.")
@click.option("-o", "target", type=click.Path(path_type=Path), help="PDF (or PNG) file to write.")
@click.option("--printer", "name", default="", help="Printer to print on.")
@book_command
def mat(workplace: Workplace, paper: str, target: Path | None, name: str, as_json: bool) -> None:
    """Print the mat: lay a gasket or fasteners on it, photograph it, and they are measured.

    Its symbols say where in the picture each point of the page is; the middle, 150 x 200 mm, is
    plain. Print at 100 %, on white paper, and check its scale with a steel rule: a printer that is
    off is put right with the ruler page (see printer ruler). Then: trace, lay.
    """
    from tagbench.book.operations.pages import print_page_set
    from tagbench.measure.mat import (
        DOTS_PER_MM,
        LINES_APART_MM,
        PLAIN_HEIGHT,
        PLAIN_WIDTH,
        SCALE_MM,
        Paper,
        mat_page,
        mat_points,
    )

    if bool(target) == bool(name):
        raise BadInput("Say where to: -o FILE.pdf (or .png), or --printer NAME.")
    chosen: Paper = "letter" if paper == "letter" else "a4"
    print_page_set(
        workplace.book, [mat_page(chosen)], DOTS_PER_MM, target=target, printer=name, title="Mat"
    )
    print_answer(
        as_json,
        {
            "file": str(target or ""),
            "paper": paper,
            "points": len(mat_points(chosen)),
            "plain_width_mm": PLAIN_WIDTH,
            "plain_height_mm": PLAIN_HEIGHT,
            "scale_mm": SCALE_MM,
            "lines_apart_mm": LINES_APART_MM,
        },
        [
            f"Mat for {paper.upper() if paper == 'a4' else 'letter'}: {target or name}. Print it "
            f"at 100 %; a steel rule must find {SCALE_MM:g} mm along the scale and "
            f"{LINES_APART_MM:g} mm between the lines, else print the ruler page first "
            "(tagbench printer ruler)."
        ],
    )

"""`tagbench printer` and `boltcard`: how a printer is off, half-used sheets, bolt cards."""

from __future__ import annotations

from pathlib import Path

import click

from tagbench.book.operations import pages, tagging
from tagbench.commands.base import Workplace, book_command, pass_workplace, print_answer, print_json
from tagbench.errors import BadInput
from tagbench.rules.describe.phrases import plural
from tagbench.rules.scan import typed_part
from tagbench.trade.quantities.typed import parse_length


@click.group()
def printer() -> None:
    """Printers: which there are, how each is corrected, where the sheet was left."""


@printer.command("list")
@book_command
def list_printers(workplace: Workplace, as_json: bool) -> None:
    """List the printers that CUPS knows."""
    from labels.output.cups import known_printers

    fits = workplace.book.records.desk.printers
    rows = [
        {"name": one.name, "default": one.is_default, "measured": one.name in fits}
        for one in known_printers()
    ]
    if as_json:
        print_json(rows)
        return
    for row in rows:
        told = ", measured" if row["measured"] else ""
        click.echo(f"{row['name']}{' (default)' if row['default'] else ''}{told}")
    if not rows:
        click.echo("There is no printer set up; write tags to a file with -o FILE.pdf.")


@printer.command("ruler")
@click.option("--stock", default="", help="Label stock whose page is to be measured.")
@click.option("-o", "target", type=click.Path(path_type=Path), help="PDF or PNG file to write.")
@click.option("--printer", "name", default="", help="Printer to print on.")
@pass_workplace
def ruler(workplace: Workplace, stock: str, target: Path | None, name: str) -> None:
    """Print the ruler page, to be measured with a steel rule."""
    if bool(target) == bool(name):
        raise BadInput("Say where to: -o FILE.pdf (or .png), or --printer NAME.")
    book = workplace.book
    used = pages.print_ruler(book, stock or book.records.desk.stock, target=target, printer=name)
    click.echo(
        "Print it at 100 %. Measure from the paper's edge to the left line, from the left line "
        "to the right one, and the same from the top; then: tagbench printer measured "
        f"--stock {used.name} --left .. --across .. --top .. --down .."
    )


@printer.command("measured")
@click.option("--stock", default="", help="Label stock of the ruler page.")
@click.option("--printer", "name", default="", help="Printer; without it for files.")
@click.option("--left", required=True, help="Paper's left edge to the left line, e.g. 20.5mm.")
@click.option("--across", required=True, help="Left line to the right line.")
@click.option("--top", required=True, help="Paper's top edge to the top line.")
@click.option("--down", required=True, help="Top line to the bottom line.")
@book_command
def measured(
    workplace: Workplace,
    stock: str,
    name: str,
    left: str,
    across: str,
    top: str,
    down: str,
    as_json: bool,
) -> None:
    """Say what was measured on the ruler page; printing is corrected from now on."""
    book = workplace.book
    found = pages.measured_ruler(
        book,
        stock or book.records.desk.stock,
        name,
        left=typed_millimetres(left),
        across=typed_millimetres(across),
        top=typed_millimetres(top),
        down=typed_millimetres(down),
    )
    print_answer(
        as_json,
        {
            "shift_x_mm": found.shift_x,
            "shift_y_mm": found.shift_y,
            "scale_x": found.scale_x,
            "scale_y": found.scale_y,
        },
        [
            f"Corrected from now on: {found.shift_x:+.2f} mm right, {found.shift_y:+.2f} mm down, "
            f"widths × {found.scale_x:.4f}, heights × {found.scale_y:.4f}"
        ],
    )


def typed_millimetres(text: str) -> float:
    """A typed length in mm; a bare number is millimetres."""
    return parse_length(text, "mm").number("mm")


@printer.command("sheet")
@click.argument("stock")
@click.argument("first", type=int)
@pass_workplace
def sheet(workplace: Workplace, stock: str, first: int) -> None:
    """Say which label of the half-used sheet is the first free one (1 for a fresh sheet)."""
    tagging.set_sheet(workplace.book, stock, first)
    click.echo(f"{stock}: the next tag goes on label {first}.")


@click.command()
@click.argument("code")
@click.option(
    "--hole", "holes", multiple=True, help="“6 o'clock: M6x45”, “12.5 40: M6x45” (mm), “A: M6x45”."
)
@click.option(
    "--distances", default="", help="Between holes A, B …, mm: “A-B 80; A-C 100; B-C 60”."
)
@click.option("--circle", default="", help="Diameter of the bolt circle, for a card at 1:1.")
@click.option("--outline", default="", help="Corners in mm: “0 0; 80 0; 80 60; 0 60”.")
@click.option("--note", default="", help="A line on the card.")
@click.option("--face", default="", help="The face it is seen from, e.g. “outside, heads up”.")
@click.option("--mirror", is_flag=True, help="It was measured on the other face.")
@click.option("--stock", default=pages.CARD_STOCK, help="Label stock; a4 or letter for 1:1 pages.")
@click.option("-o", "target", type=click.Path(path_type=Path), help="PDF or PNG file to write.")
@click.option("--printer", "name", default="", help="Printer to print on.")
@book_command
def boltcard(
    workplace: Workplace,
    code: str,
    holes: tuple[str, ...],
    distances: str,
    circle: str,
    outline: str,
    note: str,
    face: str,
    mirror: bool,
    stock: str,
    target: Path | None,
    name: str,
    as_json: bool,
) -> None:
    """Print the card that a part's screws are pushed through until the rebuild."""
    from labels.boltcard.card import parse_hole, parse_place
    from labels.boltcard.sheets import CardSheets
    from tagbench.book.operations.strip import part_by_code

    if bool(target) == bool(name):
        raise BadInput("Say where to: -o FILE.pdf (or .png), or --printer NAME.")
    tables = workplace.book.records
    typed, residual = tuple(parse_hole(text) for text in holes), ""
    if distances:
        if not typed:
            raise BadInput("Name the holes in the order of their letters: --hole “A: M6x45” ….")
        typed, residual = pages.holes_by_distance(typed, distances)
    card = pages.bolt_card(
        tables,
        part_by_code(tables, typed_part(tables, code)),
        typed,
        circle_mm=typed_millimetres(circle) if circle else None,
        outline_mm=[parse_place(corner) for corner in outline.split(";") if corner.strip()],
        note=note,
        face=face,
        mirrored=mirror,
    )
    drawn = pages.print_bolt_card(
        workplace.book, card, stock, target=target, printer=name, residual=residual
    )
    count = len(drawn.pages) if isinstance(drawn, CardSheets) else 1
    on = f" on {plural(count, 'page')}" if count > 1 else ""
    place = f"sent to {name}" if name else f"{target}"
    lines = [f"Bolt card of {card.code}: {len(card.holes)} holes{on}, {place}", residual]
    if drawn.true_size:
        lines.append("Print at 100 %; check the bar and the distances on it with a steel rule.")
    print_answer(
        as_json,
        {
            "code": card.code,
            "file": str(target or ""),
            "holes": len(card.holes),
            "order": list(drawn.order),
            "true_size": drawn.true_size,
            "module_mm": round(drawn.fit.module_mm, 4),
            "level": drawn.fit.level,
            "pages": count,
            "residual": residual,
        },
        [line for line in lines if line],
    )

"""`tagbench lay`: the screws of a bag from one picture, counted, measured and named."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from tagbench.commands.base import json_option, print_answer
from tagbench.measure.extra import HONEST

if TYPE_CHECKING:
    from tagbench.measure.lay.laid import Laid, MeasuredPiece


@click.command()
@click.argument("picture", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--dpi", type=float, help="Dots per inch of a flatbed scan; else by the mat or file.")
@json_option
def lay(picture: Path, dpi: float | None, as_json: bool) -> None:
    """Count, measure and name fasteners laid apart on the mat or the scanner's glass.

    For each screw its length under the head (over all for countersunk heads and studs), diameter,
    head and pitch; for washers inside and outside, for nuts the width across flats; equal ones
    together. What touches, or is cut off, is pointed out and not guessed. It was tried on rendered
    pictures only: check one with the caliper.
    """
    from tagbench.measure.extra import need_extra

    need_extra()
    from tagbench.commands.progress import told_steps
    from tagbench.measure.lay.laid import measure_laid
    from tagbench.measure.picture import open_picture
    from tagbench.measure.rectification import straighten

    with told_steps() as told:
        told("opening the picture")
        sheet = straighten(open_picture(picture), dpi, told)
        laid = measure_laid(sheet, told)
    print_answer(as_json, laid_json(laid), laid_lines(laid))


def laid_json(laid: Laid) -> dict[str, Any]:
    """The shape that `lay --json` prints; keys that do not apply are null."""
    return {
        "pieces": [_piece_json(piece) for piece in laid.pieces],
        "fasteners": laid.fasteners,
        "unclear": [
            {"x_mm": round(one.x, 1), "y_mm": round(one.y, 1), "of": one.of, "why": one.why}
            for one in laid.unclear
        ],
        "residual_mm": round(laid.residual_mm, 4),
        "source": laid.source,
        "note": laid.note,
        "checked_on": "rendered pictures only",
        "check": HONEST,
    }


def _piece_json(piece: MeasuredPiece) -> dict[str, Any]:
    return {
        "kind": piece.kind,
        "name": piece.name,
        "x_mm": round(piece.x, 1),
        "y_mm": round(piece.y, 1),
        "length_mm": _figure(piece.length),
        "diameter_mm": _figure(piece.diameter),
        "pitch_mm": _figure(piece.pitch),
        "head": piece.head,
        "head_width_mm": _figure(piece.head_width),
        "head_height_mm": _figure(piece.head_height),
        "outside_mm": _figure(piece.outside),
        "inside_mm": _figure(piece.inside),
        "across_flats_mm": _figure(piece.across_flats),
        "uncertainty_mm": piece.uncertainty,
        "length_uncertainty_mm": piece.length_uncertainty,
        "candidates": list(piece.candidates),
        "note": piece.note,
        "source": "measured from a picture",
    }


def _figure(value: float | None) -> float | None:
    return None if value is None else round(float(value), 3)


def laid_lines(laid: Laid) -> list[str]:
    """What a person reads."""
    from tagbench.measure.lay.groups import not_measured

    lines = [laid.fasteners or "Nothing could be measured."]
    lines += [_words(number, piece) for number, piece in enumerate(laid.pieces, 1)]
    lines += not_measured(laid.unclear)
    if laid.note:
        lines.append(laid.note)
    return [*lines, HONEST]


def _words(number: int, piece: MeasuredPiece) -> str:
    figures = []
    if piece.length is not None:
        figures.append(f"{piece.length:.1f} ±{piece.length_uncertainty:g} mm long")
    if piece.diameter is not None:
        figures.append(f"{piece.diameter:.2f} ±{piece.uncertainty:g} mm across")
    if piece.pitch is not None:
        figures.append(f"pitch {piece.pitch:.2f} mm")
    if piece.inside is not None and piece.outside is not None:
        figures.append(f"{piece.inside:.2f} inside, {piece.outside:.2f} outside")
    if piece.kind == "nut" and piece.across_flats is not None:
        figures.append(f"{piece.across_flats:.2f} mm across flats")
    others = [one.designation for one in piece.candidates[1:4] if one.inside_limits]
    if others:
        figures.append(f"may also be {', '.join(others)}")
    if piece.note:
        figures.append(piece.note)
    return f"{number}: {piece.name} ({'; '.join(figures)})"

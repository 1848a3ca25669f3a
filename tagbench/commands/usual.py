"""`tagbench usual`: usual figures of small machines, timing, tyre dates, compression by height."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from typing import Any

import click
from msgspec import to_builtins

from tagbench.commands.base import JsonObject, json_option, print_answer
from tagbench.commands.figures import FigureCommand
from tagbench.errors import BadInput
from tagbench.trade.quantities.typed import parse_length, parse_number
from tagbench.trade.wear.belt import belt_run, belt_wear
from tagbench.trade.wear.float_height import float_height
from tagbench.trade.wear.pressure import compression
from tagbench.trade.wear.timing import timing
from tagbench.trade.wear.tyre import tyre_date
from tagbench.trade.wear.usual import (
    MAKER,
    piston_clearance,
    spring_loss,
    usual_figures,
)


@click.command(cls=FigureCommand)
@click.argument("what", nargs=-1, required=True)
@click.option("--bore", default="", help="Bore of the cylinder, e.g. 50mm.")
@click.option("--piston", default="", help="Piston across its skirt: the clearance from both.")
@click.option("--limit", default="", help="The maker's limit, e.g. 0.12mm.")
@click.option("--stroke", default="", help="Stroke for the timing, e.g. 50mm.")
@click.option("--rod", default="", help="Rod between its centres for the timing, e.g. 100mm.")
@click.option("--before", default="", help="Timing before top dead centre: 24deg or 2.7mm.")
@click.option("--new", default="", help="Free length of a spring when new.")
@click.option("--now", default="", help="Free length of a spring now.")
@click.option("--height", default="", help="Metres above sea level, for a compression reading.")
@click.option("--reading", default="", help="The compression read there, in any unit.")
@click.option("--centres", default="", help="Distance of two belt pulleys, e.g. 300mm.")
@click.option("--pulleys", default="", help="Diameters where the belt runs, e.g. 120x60mm.")
@click.option("--range", "span", default="", help="The maker's float height, e.g. 20-22mm.")
@click.option("--arms", default="", help="Pin to float and pin to needle, e.g. 35x8mm.")
@json_option
def usual(what: tuple[str, ...], as_json: bool, **typed: str) -> None:
    """Say what is usual for a RING GAP, POINTS GAP, …; or work out TIMING, TYRE 2319, COMPRESSION.

    A belt is worked out from --new and --now (its width), or from --pulleys and --centres; a float
    height from --reading and --range.

    The maker's figure takes precedence over every usual one.
    """
    words = " ".join(what).casefold()
    for name, work in _WORKED.items():
        if words.split()[0] == name:
            found = work(words.removeprefix(name).strip(), typed)
            print_answer(as_json, found, [found["sentence"]])
            return
    told = _usual(words, typed)
    print_answer(as_json, told, [*(one["sentence"] for one in told), MAKER])


def _usual(words: str, typed: dict[str, str]) -> list[JsonObject]:
    bore = _mm(typed["bore"])
    if words == "piston clearance" and typed["piston"]:
        if bore is None:
            raise BadInput("Give the bore with the piston: --bore 50.06mm --piston 50.00mm.")
        piston = _mm(typed["piston"]) or 0.0
        return [to_builtins(piston_clearance(bore, piston, _mm(typed["limit"])))]
    if words == "spring length" and (typed["new"] or typed["now"]):
        loss = spring_loss(_mm(typed["new"]) or 0.0, _mm(typed["now"]) or 0.0)
        said = {"loss_percent": loss, "sentence": f"{loss:.1f} % shorter than new."}
        return [said, *map(_plain, usual_figures(words))]
    if words == "belt" and (typed["new"] or typed["now"]):
        worn = belt_wear(_mm(typed["new"]) or 0.0, _mm(typed["now"]) or 0.0, _mm(typed["limit"]))
        return [to_builtins(worn)]
    if words == "belt" and (typed["pulleys"] or typed["centres"]):
        large, small = _two(typed["pulleys"], "--pulleys 120x60mm")
        return [to_builtins(belt_run(large, small, _mm(typed["centres"]) or 0.0))]
    if words == "float height" and typed["reading"]:
        return [_float_height(typed)]
    return [_plain(one) for one in usual_figures(words, bore)]


def _float_height(typed: dict[str, str]) -> JsonObject:
    low, high = _two(typed["span"], "--range 20-22mm")
    arms = _two(typed["arms"], "--arms 35x8mm") if typed["arms"] else None
    return dict(to_builtins(float_height(_mm(typed["reading"]) or 0.0, low, high, arms)))


def _two(text: str, such_as: str) -> tuple[float, float]:
    """Two lengths in mm, `120x60mm` or `20-22 mm`; one alone stands for both."""
    parts = [part for part in re.split(r"\s*(?:x|×|-|–|\bto\b)\s*", text.strip()) if part]
    if not 1 <= len(parts) <= 2:
        raise BadInput(f"Give two sizes, such as {such_as}.")
    sizes = [_mm(part) or 0.0 for part in parts]
    return sizes[0], sizes[-1]


def _plain(found: Any) -> JsonObject:
    told: JsonObject = to_builtins(found)
    return {**told, "sentence": found.sentence}


def _mm(text: str) -> float | None:
    return float(parse_length(text, "mm").to("mm").value) if text.strip() else None


def _timing(_rest: str, typed: dict[str, str]) -> JsonObject:
    stroke, rod = _mm(typed["stroke"]), _mm(typed["rod"])
    before = typed["before"].strip().casefold()
    if stroke is None or rod is None or not before:
        raise BadInput("Give --stroke 50mm --rod 100mm and --before 24deg (or 2.7mm).")
    bare = before.removesuffix("degrees").removesuffix("deg").removesuffix("°").strip()
    if bare != before:
        found = timing(stroke, rod, float(parse_number(bare)), None)
    else:
        found = timing(stroke, rod, None, _mm(before))
    told: JsonObject = to_builtins(found)
    return told


def _tyre(rest: str, _typed: dict[str, str]) -> JsonObject:
    told: JsonObject = to_builtins(tyre_date(rest, date.today()))
    return told


def _compression(_rest: str, typed: dict[str, str]) -> JsonObject:
    if not typed["height"]:
        raise BadInput("Give the height above sea level in metres: --height 650.")
    height = float(parse_number(typed["height"].casefold().removesuffix("m").strip()))
    reading = float(parse_number(typed["reading"])) if typed["reading"] else None
    told: JsonObject = to_builtins(compression(height, reading))
    return told


_WORKED: dict[str, Callable[[str, dict[str, str]], JsonObject]] = {
    "timing": _timing,
    "tyre": _tyre,
    "compression": _compression,
}
"""What is worked out; everything else is looked up among `items`."""

"""`tagbench wear`: what was measured against its limit; drums, linings, bores."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import get_args

import click
from msgspec import to_builtins

from tagbench.commands.base import JsonObject, json_option, print_json, print_lines
from tagbench.commands.figures import FigureCommand
from tagbench.errors import BadInput
from tagbench.rules.care.cautions import all_cautions, caution_lines
from tagbench.trade.quantities.lengths import parse_lengths
from tagbench.trade.quantities.shown import show_length
from tagbench.trade.quantities.typed import parse_length
from tagbench.trade.quantities.units import Quantity
from tagbench.trade.wear.bore import parse_levels, roundness
from tagbench.trade.wear.brakes import BrakeWear, Lining, drum_wear, lining_wear
from tagbench.trade.wear.limits import CALIPER, judge_all


@dataclass(frozen=True, slots=True)
class TypedLimits:
    """The limits as they were typed."""

    minimum: Quantity | None
    maximum: Quantity | None
    uncertainty: Quantity


@click.command(cls=FigureCommand)
@click.argument("readings", nargs=-1)
@click.option("--min", "minimum", default="", help="Smallest allowed, e.g. 2mm.")
@click.option("--max", "maximum", default="", help="Largest allowed, e.g. 111mm.")
@click.option("--uncertainty", default="", help="How far off the tool may be; else 0.02 mm.")
@click.option("--drum", default="", metavar="DIAMETER", help="A drum of this original diameter.")
@click.option(
    "--lining", type=click.Choice(get_args(Lining)), help="A lining; its usual limit without --min."
)
@click.option(
    "--level", multiple=True, help="A bore at one level: “top 52.03 52.05 mm”; give several."
)
@json_option
def wear(
    readings: tuple[str, ...],
    minimum: str,
    maximum: str,
    uncertainty: str,
    drum: str,
    lining: Lining | None,
    level: tuple[str, ...],
    as_json: bool,
) -> None:
    """Hold READINGS (2.1 2.3 mm) against a limit: good, marginal or worn, and what is left.

    Lengths without a unit are in mm. The maker's figure takes precedence over
    any usual limit.
    """
    if sum([bool(drum), bool(lining), bool(level)]) > 1:
        raise BadInput("Choose one: --drum, --lining or --level.")
    limits = TypedLimits(one(minimum), one(maximum), one(uncertainty) or CALIPER)
    if level:
        if readings:
            raise BadInput("With --level give all readings there: --level “top 52.03 52.05 mm”.")
        told = of_bore(level, limits)
    else:
        found = parse_lengths(" ".join(readings))
        told = of_brake(found, drum, lining, limits) if drum or lining else of_any(found, limits)
    if as_json:
        print_json(told)
        return
    print_lines(lines(told))
    if drum or lining:
        print_lines(f"! {line}" for line in caution_lines([all_cautions()["brake dust"]]))


def one(text: str) -> Quantity | None:
    """One length, in mm when no unit was typed; None for nothing typed."""
    return parse_length(text, "mm") if text.strip() else None


def of_any(readings: tuple[Quantity, ...], limits: TypedLimits) -> JsonObject:
    """Readings against the limits that were typed."""
    found = judge_all(readings, limits.minimum, limits.maximum, limits.uncertainty)
    told: JsonObject = to_builtins(found)
    return told


def of_brake(
    readings: tuple[Quantity, ...], drum: str, lining: Lining | None, limits: TypedLimits
) -> JsonObject:
    """A drum or a lining, with where its limit came from."""
    if lining:
        if limits.maximum:
            raise BadInput("A lining has a smallest thickness: give it with --min, not --max.")
        return brake_plain(lining_wear(readings, limits.minimum, lining, limits.uncertainty))
    if limits.minimum:
        raise BadInput("A drum has a largest diameter: give it with --max, not --min.")
    nominal = parse_length(drum, "mm")
    return brake_plain(drum_wear(readings, nominal, limits.maximum, limits.uncertainty))


def brake_plain(found: BrakeWear) -> JsonObject:
    """The verdict with the limit it was held against."""
    told: JsonObject = to_builtins(found.wear)
    limit = {"limit": found.limit.number(), "limit_unit": found.limit.unit}
    words = f"{found.sentence} Limit {show_length(found.limit)}."
    return {**told, **limit, "typical": found.typical, "sentence": words}


def of_bore(texts: tuple[str, ...], limits: TypedLimits) -> JsonObject:
    """Out-of-round and taper, and the verdict when there is a limit."""
    levels = parse_levels(texts)
    told: JsonObject = to_builtins(roundness(levels))
    if limits.minimum or limits.maximum:
        every = tuple(reading for row in levels.values() for reading in row)
        told["wear"] = of_any(every, limits)
    return told


def lines(told: JsonObject) -> Iterator[str]:
    """The sentences for a person."""
    yield told["sentence"]
    if "wear" in told:
        yield told["wear"]["sentence"]

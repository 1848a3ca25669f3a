"""Connectors and cables: pins with wire colours, as found against as the diagram says.

Typed as `1 BN tail lamp; 2 BK earth; 3 green/yellow horn (diagram GN)`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import NamedTuple

from tagbench.errors import BadInput
from tagbench.records import Part, Pin, Tables, Wiring, replace
from tagbench.trade.wire_colours import colour_words, is_colour, read_colour

PINS_EXAMPLE = "1 BN tail lamp; 2 BK earth; 3 BUYE horn (diagram GN)"
"""How pins are typed."""
_DRAWN = re.compile(
    r"\s*[(\[]\s*(?:the\s+)?(?:diagram|drawn|drawing)\s*(?:says|has|is)?\s*:?\s*(?P<drawn>[^)\]]*)[)\]]\s*$",
    re.IGNORECASE,
)
_PIN = re.compile(r"\s*(?:pin\s+)?(?P<pin>[^\s:]+)\s*:?\s+(?P<rest>\S.*)", re.IGNORECASE)


class PinRow(NamedTuple):
    """A row of the table of a connector."""

    pin: str
    """Number or name."""
    found: str
    """Colour as found, by its code."""
    words: str
    """The same in words: `blue with yellow`."""
    drawn: str
    """Colour as the diagram says, by its code; empty when that was not looked up."""
    goes_to: str
    """What the wire goes to."""
    differs: bool
    """Whether found and diagram say two things."""


def read_pins(text: str) -> tuple[Pin, ...]:
    """Pins as they are typed. BadInput for a pin twice, or what is no colour."""
    pins = tuple(_pin(one) for one in re.split(r"[;\n]", text) if one.strip())
    names = [one.pin.casefold() for one in pins]
    for name in names:
        if names.count(name) > 1:
            raise BadInput(f"Pin {name} is written twice; each pin once, such as: {PINS_EXAMPLE}.")
    return pins


def _pin(text: str) -> Pin:
    drawn = _DRAWN.search(text)
    body = text[: drawn.start()] if drawn else text
    found = _PIN.fullmatch(body.strip())
    if found is None:
        raise BadInput(
            f"“{text.strip()}” is not a pin; write pin, colour, where to: {PINS_EXAMPLE}."
        )
    colour, goes_to = _colour_first(found["rest"].split())
    if not colour:
        read_colour(found["rest"].split()[0])  # says which colours there are
    said = drawn["drawn"].strip() if drawn else ""
    return Pin(
        pin=found["pin"],
        colour=read_colour(colour),
        goes_to=goes_to,
        drawn=read_colour(said) if said else "",
    )


def _colour_first(words: list[str]) -> tuple[str, str]:
    """The longest run of first words that is a colour, and the rest: `blue with yellow horn`."""
    for many in range(min(len(words), 5), 0, -1):
        run = " ".join(words[:many])
        if is_colour(run) and is_colour(words[many - 1]):
            return run, " ".join(words[many:])
    return "", " ".join(words)


def spell_pins(pins: Iterable[Pin]) -> str:
    """Pins as they are typed; `read_pins` reads them back."""
    return "; ".join(
        " ".join(filter(None, [one.pin, one.colour, one.goes_to]))
        + (f" (diagram {one.drawn})" if one.drawn else "")
        for one in pins
    )


def pin_rows(wiring: Wiring) -> list[PinRow]:
    """The table of a connector, in the order of its pins."""
    return [
        PinRow(
            one.pin,
            one.colour,
            colour_words(one.colour),
            one.drawn,
            one.goes_to,
            bool(one.drawn) and one.drawn != one.colour,
        )
        for one in wiring.pins
    ]


def pin_words(row: PinRow) -> str:
    """`3 BUYE (blue with yellow) to the horn; the diagram says GN`."""
    to = f" to {row.goes_to}" if row.goes_to else ""
    drawn = f"; the diagram says {row.drawn}" if row.differs else ", as drawn" if row.drawn else ""
    return f"{row.pin}: {row.found} ({row.words}){to}{drawn}"


def written(part: Part, pins: str, routing: str, diagram: str) -> Part:
    """The part with its pins and routing as typed; without any when all is empty."""
    wiring = Wiring(
        pins=read_pins(pins),
        routing=" ".join(routing.split()),
        diagram=" ".join(diagram.split()),
    )
    if wiring.diagram and not any(one.drawn for one in wiring.pins):
        raise BadInput(
            "No pin says what the diagram has; write it after the pin: 3 BUYE horn (diagram GN)."
        )
    return replace(part, wiring=wiring if wiring.pins or wiring.routing else None)


def wired_parts(tables: Tables, mark: str) -> list[Part]:
    """The connectors and cables of a machine, in removal order."""
    return [part for part in tables.parts_of(mark) if part.wiring is not None]

"""A torque wrench and its extension as people type them."""

from __future__ import annotations

import re

from tagbench.errors import BadInput
from tagbench.trade.quantities.shown import show_length
from tagbench.trade.quantities.typed import parse_length, parse_number, read_figures
from tagbench.trade.torque.wrench import Lever

_DEGREES = re.compile(r"\s*(?:°|deg|degrees?)\s*$", re.IGNORECASE)
_WORDS = {"straight": "0", "square": "90", "back": "180", "folded back": "180"}


def parse_lever(wrench: str, extension: str, angle: str = "", default: str = "mm") -> Lever | None:
    """A lever from its typed lengths and angle; None when none of them is typed.

    A length without a unit has the unit of the other one, else both are in the `default` unit:
    the setting only depends on their ratio. The angle is in degrees, or straight, square, back.
    BadInput for an extension without its wrench, an angle without extension, and a lever that
    cannot be.
    """
    if not (wrench.strip() or extension.strip() or angle.strip()):
        return None
    if not wrench.strip():
        raise BadInput("Say how long the wrench is from its drive to the grip, such as 300 mm.")
    if angle.strip() and not extension.strip():
        raise BadInput("An angle goes with an extension; say how long that is, such as 50 mm.")
    lever = Lever(
        parse_length(wrench, _unit(extension, default)),
        parse_length(extension or "0", _unit(wrench, default)),
        parse_lever_angle(angle),
    )
    lever.factor()
    return lever


def _unit(other: str, default: str) -> str:
    """The unit of the other length, for one that was typed without."""
    if not other.strip() or not read_figures(other, "length").unit:
        return default
    return parse_length(other).unit


def parse_lever_angle(text: str) -> float:
    """Degrees between wrench and extension: `90`, `45°`, `square`; 0 for nothing typed."""
    word = _DEGREES.sub("", text).strip().lower()
    try:
        return float(parse_number(_WORDS.get(word, word) or "0"))
    except BadInput as error:
        raise BadInput(
            f"“{text}” is not an angle; write 0 (straight on), 90 (square) or 180 (folded back)."
        ) from error


def lever_words(lever: Lever) -> str:
    """`300 mm wrench with a 50 mm extension straight on`; the wrench alone without one."""
    wrench = f"{show_length(lever.wrench)} wrench"
    if lever.extension.value == 0:
        return wrench
    return f"{wrench} with a {show_length(lever.extension)} extension {_way(lever.angle_deg)}"


def _way(degrees: float) -> str:
    named = {0.0: "straight on", 90.0: "square to it", 180.0: "folded back"}
    return named.get(degrees, f"at {degrees:g}°")

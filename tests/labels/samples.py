"""Tags of the invented Tarnbrook Packman for drawing, printing and reading."""

from functools import cache

from labels.code import make_code
from labels.face.artwork import draw_tag
from labels.face.tagtext import TagKind, TagLine, TagText
from labels.symbols.payload import payload

ADDRESS = "garage.local:8017"
drawn_once = cache(draw_tag)
"""A tag on a stock, drawn once however many facts are asked of it; to be looked at only."""


def tag(
    serial: int = 17,
    title: str = "Backing plate screws",
    lines: tuple[TagLine, ...] | None = None,
    kind: TagKind = "part",
    heading: str = "",
    mark: str = "TP",
    address: str | None = ADDRESS,
) -> TagText:
    code = make_code(mark, serial)
    usual = (
        TagLine("came from", "Front wheel / Brake"),
        TagLine("position", "left, behind the drum"),
        TagLine("fasteners", "4 × M5x0.8x12 pan", bold=True),
        TagLine("sits how", "heads outward, lock washers under"),
    )
    shown = usual if lines is None else lines
    return TagText(code, title, shown, kind, heading, payload(code, address))


def spare(serial: int) -> TagText:
    captions = tuple(TagLine("caption", word) for word in ("what", "from", "fasteners"))
    return tag(serial, "", captions, "spare")


def bin_tag(serial: int = 4) -> TagText:
    inside = (TagLine("inside", "12 parts: backing plates, shoes, springs"),)
    return tag(serial, "Front brake, small parts", inside, "bin", "box", "BIN")


def long_tag(serial: int = 118) -> TagText:
    return tag(
        serial,
        "Kick start return spring with its long bent anchor pin and the brass bush",
        (
            TagLine("came from", "Engine / Kick start mechanism / Right-hand cover"),
            TagLine("position", "right, 5 o'clock, under the ratchet plate"),
            TagLine("fasteners", "1 × M8x1.25x55 hex 8.8, 2 × circlip 17, 1 × cotter pin 3.2x32"),
            TagLine("sits how", "long leg up, hook towards the gearbox, white paint at the top"),
        ),
    )


def many(count: int, first: int = 1) -> list[TagText]:
    """Tags as a real book has them: names differ, places and fasteners repeat."""
    places = ("Front wheel / Brake", "Engine / Carburettor", "Gearbox", "Chassis / Steering")
    sizes = ("M5x0.8x12 pan", "M6x1x20 hex", "M8x1.25x30 hex 8.8", "1/4-20 x 3/4 hex")
    return [
        tag(
            serial,
            f"Bracket {serial} of the {places[serial % 4].split('/')[0].strip().lower()}",
            (
                TagLine("came from", places[serial % 4]),
                TagLine(
                    "position", f"{'left' if serial % 2 else 'right'}, {serial % 12 + 1} o'clock"
                ),
                TagLine("fasteners", f"{serial % 5 + 1} × {sizes[serial % 4]}", bold=True),
                TagLine("sits how", "flat side to the frame"),
            ),
        )
        for serial in range(first, first + count)
    ]

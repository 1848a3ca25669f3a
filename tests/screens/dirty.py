"""A table of dirty parts, for the screens of the middle of the job."""

from __future__ import annotations

from tagbench.book import Book
from tagbench.book.operations.machines import add
from tagbench.book.operations.strip import StripForm, strip_part

BRAKE, DRIVE = "Front wheel / Brake", "Chain drive"


def dirty_table(book: Book) -> dict[str, str]:
    """Five parts of TP that just came off; name → code. The cam lies behind the shoe."""
    add(book, "Tarnbrook Packman", "TP")
    shoe = strip_part(book, StripForm(name="brake shoe", assembly=BRAKE, quantity=2)).code
    behind = (shoe,)
    codes = {
        "brake shoe": shoe,
        "brake cam": strip_part(
            book, StripForm(name="brake cam", assembly=BRAKE, behind=behind)
        ).code,
        "chain": strip_part(
            book, StripForm(name="chain", assembly=DRIVE, part_number="35-0300")
        ).code,
        "rear sprocket": strip_part(book, StripForm(name="rear sprocket", assembly=DRIVE)).code,
        "cover gasket": strip_part(book, StripForm(name="cover gasket", assembly="Engine")).code,
    }
    assert list(codes.values()) == [part.code for part in book.records.parts_of("TP")]
    return codes


def steps(book: Book, code: str) -> list[str]:
    """The care steps of a part."""
    return [step.step for step in book.records.parts[code].care]

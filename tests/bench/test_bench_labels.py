"""Labels: speed and memory against a peer in the same run, and the whole decode table."""

import subprocess
import sys
from pathlib import Path

import pytest
from qrcode import QRCode, constants

from labels.face import text
from labels.face.artwork import draw_tag
from labels.face.tagtext import TagText
from labels.output.files import write_tags
from labels.stock.catalogue import find_stock
from labels.symbols import symbol
from tests.bench.rows import TABLE, Row, Wanted, milliseconds, reached
from tests.labels.readers import READERS
from tests.labels.samples import many
from tests.labels.test_wear import CONDITIONS, smudged

pytestmark = pytest.mark.bench

ROOT = Path(__file__).parents[2]
SHEET = find_stock("a4-3x8-70x37")
LEVELS = {
    "M": constants.ERROR_CORRECT_M,
    "Q": constants.ERROR_CORRECT_Q,
    "H": constants.ERROR_CORRECT_H,
}
MOST_RATIO = 1.5


def forget_everything() -> None:
    """Empty every cache, so that each run starts cold."""
    symbol.make_symbol.cache_clear()
    symbol.version_for.cache_clear()
    text._piece.cache_clear()
    text._reference_width.cache_clear()
    text.text_width.cache_clear()


def bare_symbols(texts: list[TagText], level: str) -> None:
    """What the QR library alone needs for the same symbols: level as on the tags, best version
    and best mask chosen by the library, no picture drawn."""
    for tag in texts:
        code = QRCode(error_correction=LEVELS[level], border=4)
        code.add_data(tag.payload)
        code.make(fit=True)


def test_300_tags_to_pdf_against_the_bare_symbols(tmp_path: Path) -> None:
    """Cold caches for ours."""
    texts = many(300)
    level = draw_tag(texts[0], SHEET).fit.level

    def ours() -> None:
        forget_everything()
        write_tags(texts, SHEET, tmp_path / "tags.pdf")

    peer = milliseconds(lambda: bare_symbols(texts, level))
    wanted = Wanted(ratio=MOST_RATIO)
    reached(TABLE.compare("tags to PDF", "the bare symbols", 300, milliseconds(ours), peer, wanted))


RUN = """
import resource, sys
from pathlib import Path
from labels.output.files import write_tags
from labels.stock.catalogue import find_stock
from tests.labels.samples import many
write_tags(many(int(sys.argv[1])), find_stock("a4-3x8-70x37"), Path(sys.argv[2]))
print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
"""


def peak_kilobytes(tags: int, target: Path) -> int:
    """The most memory that a whole process needed for a run, read from the system."""
    done = subprocess.run(
        [sys.executable, "-c", RUN, str(tags), str(target)],
        capture_output=True, text=True, check=True, cwd=ROOT,
    )  # fmt: skip
    return int(done.stdout)


def test_memory_does_not_grow_with_the_pages(tmp_path: Path) -> None:
    """The peak of a process that writes 100 pages against one that writes 10 (the peer), both
    with tags of which no two are alike. Ten times the pages may need a tenth more."""
    ten = peak_kilobytes(240, tmp_path / "ten.pdf")
    hundred = peak_kilobytes(2400, tmp_path / "hundred.pdf")
    wanted = Wanted(ratio=1.1)
    row = Row("peak of 100 pages of tags", "10 pages", 2400, hundred / 1e3, ten / 1e3, "MB", wanted)
    reached(TABLE.add(row))


@pytest.mark.parametrize("name", ["roll-50x30-203", "roll-62x29-300", "a4-3x8-70x37"])
def test_every_tag_of_a_book_survives_a_garage(name: str) -> None:
    """Both readers read every seventh of 300 after each condition; with a tenth smudged, one does.

    Both readers take a third of a second for a tag in all its conditions, so not all are tried.
    """
    tags = many(300)[::7]
    drawn = [draw_tag(tag, find_stock(name)) for tag in tags]
    fewest = float(len(tags))
    print(f"\n{name}, module {drawn[0].fit.module_mm:.3f} mm, level {drawn[0].fit.level}")
    for condition, worn in {**CONDITIONS, "10 % smudged": smudged}.items():
        read = dict.fromkeys(READERS, 0)
        either = 0
        for one in drawn:
            picture = worn(one)
            good = [name for name, reader in READERS.items() if reader(picture) == one.text.payload]
            for reader in good:
                read[reader] += 1
            either += bool(good)
        rates = ", ".join(
            f"{reader} {100 * count / len(tags):.1f} %" for reader, count in read.items()
        )
        print(f"  {condition:17} {rates}, either {100 * either / len(tags):.1f} %")
        fewest = min(fewest, either if worn is smudged else min(read.values()))
    whole, wanted = float(len(tags)), Wanted(least=len(tags))
    what, unit = f"worn tags read, {name}", f"of {len(tags)}"
    reached(TABLE.add(Row(what, "all of them", len(tags), fewest, whole, unit, wanted)))

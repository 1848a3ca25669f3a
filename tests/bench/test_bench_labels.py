"""Labels: speed and memory against a peer in the same run."""

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
from tests.labels.samples import many

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
    what, against, timed = "tags to PDF", "the bare symbols", milliseconds(ours)
    reached(TABLE.compare(what, against, 300, timed, peer, wanted, turns=2))


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
    """The peak of a process that writes 50 pages against one that writes 5 (the peer), both
    with tags of which no two are alike. Ten times the pages may need a tenth more."""
    few = peak_kilobytes(120, tmp_path / "few.pdf")
    many = peak_kilobytes(1200, tmp_path / "many.pdf")
    wanted = Wanted(ratio=1.1)
    row = Row("peak of 50 pages of tags", "5 pages", 1200, many / 1e3, few / 1e3, "MB", wanted)
    reached(TABLE.add(row))

"""Labels: speed and memory against a peer in the same run, and the whole decode table."""

import gc
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from qrcode import QRCode, constants

from labels.face import text
from labels.face.artwork import draw_tag
from labels.face.tagtext import TagText
from labels.output.files import write_tags
from labels.stock.catalogue import find_stock
from labels.symbols import symbol
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


def seconds(job: Callable[[], object]) -> float:
    gc.collect()
    start = time.perf_counter()
    job()
    return time.perf_counter() - start


def bare_symbols(texts: list[TagText], level: str) -> None:
    """What the QR library alone needs for the same symbols: level as on the tags, best version
    and best mask chosen by the library, no picture drawn."""
    for tag in texts:
        code = QRCode(error_correction=LEVELS[level], border=4)
        code.add_data(tag.payload)
        code.make(fit=True)


def test_300_tags_to_pdf_against_the_bare_symbols(tmp_path: Path) -> None:
    """Five rounds of both, turn about, the best of each; cold caches for ours."""
    texts = many(300)
    level = draw_tag(texts[0], SHEET).fit.level
    ours, peer = [], []
    for _ in range(5):
        peer.append(seconds(lambda: bare_symbols(texts, level)))
        forget_everything()
        ours.append(seconds(lambda: write_tags(texts, SHEET, tmp_path / "tags.pdf")))
    ratio = min(ours) / min(peer)
    size = (tmp_path / "tags.pdf").stat().st_size
    print(
        f"\n300 tags to PDF {min(ours):.2f} s, bare symbols {min(peer):.2f} s, "
        f"ratio {ratio:.2f} (at most {MOST_RATIO}); {size / 1000:.0f} kB"
    )
    assert ratio <= MOST_RATIO


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
    size = (tmp_path / "hundred.pdf").stat().st_size
    print(
        f"\npeak memory: 10 pages {ten / 1000:.1f} MB, 100 pages {hundred / 1000:.1f} MB "
        f"(ratio {hundred / ten:.2f}); the long file is {size / 1e6:.1f} MB"
    )
    assert hundred <= 1.1 * ten


@pytest.mark.parametrize("name", ["roll-50x30-203", "roll-62x29-300", "a4-3x8-70x37"])
def test_every_tag_of_a_book_of_300_survives_a_garage(name: str) -> None:
    """Both readers read all 300 after each condition; with a tenth smudged, one at least does."""
    drawn = [draw_tag(tag, find_stock(name)) for tag in many(300)]
    print(f"\n{name}, module {drawn[0].fit.module_mm:.3f} mm, level {drawn[0].fit.level}")
    failed = []
    for condition, worn in {**CONDITIONS, "10 % smudged": smudged}.items():
        read = dict.fromkeys(READERS, 0)
        either = 0
        for one in drawn:
            picture = worn(one)
            good = [name for name, reader in READERS.items() if reader(picture) == one.text.payload]
            for reader in good:
                read[reader] += 1
            either += bool(good)
        rates = ", ".join(f"{reader} {count / 3:.1f} %" for reader, count in read.items())
        print(f"  {condition:17} {rates}, either {either / 3:.1f} %")
        enough = either == 300 if worn is smudged else min(read.values()) == 300
        if not enough:
            failed.append(condition)
    assert failed == []

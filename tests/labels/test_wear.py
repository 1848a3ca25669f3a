"""Tags that survive a garage: two independent readers, after everything a garage does.

Two readers that had no part in drawing: zxing-cpp and OpenCV's QRCodeDetector.
"""

from collections.abc import Callable

import pytest
from PIL import Image

from labels.face.artwork import TagArtwork
from labels.stock.catalogue import find_stock
from tests.labels import wear
from tests.labels.readers import READERS
from tests.labels.samples import drawn_once, many

CONDITIONS: dict[str, Callable[[TagArtwork], Image.Image]] = {
    "as printed": wear.on_paper,
    "ink spread 1 dot": lambda drawn: wear.ink_spread(wear.on_paper(drawn)),
    "blur 1 dot": lambda drawn: wear.blurred(wear.on_paper(drawn)),
    "turned 20°": lambda drawn: wear.turned(wear.on_paper(drawn)),
    "uneven light": lambda drawn: wear.uneven_light(wear.on_paper(drawn)),
}
STOCKS = ("roll-50x30-203", "roll-62x29-300", "a4-3x8-70x37")


def smudged(drawn: TagArtwork) -> Image.Image:
    return wear.smudged(drawn, seed=sum(map(ord, drawn.text.code)))


@pytest.mark.sampled(7)
@pytest.mark.parametrize("name", STOCKS)
@pytest.mark.parametrize("condition", CONDITIONS)
@pytest.mark.parametrize("reader", READERS)
def test_tags_are_read_after_what_a_garage_does(name: str, condition: str, reader: str) -> None:
    for text in many(2, first=31):
        picture = CONDITIONS[condition](drawn_once(text, find_stock(name)))
        assert READERS[reader](picture) == text.payload


@pytest.mark.sampled(9)
@pytest.mark.parametrize("name", STOCKS)
@pytest.mark.parametrize("first", [60, 62, 64])
def test_tags_with_a_tenth_smudged_away_are_read_by_one_reader_at_least(
    name: str, first: int
) -> None:
    for text in many(2, first=first):
        picture = smudged(drawn_once(text, find_stock(name)))
        assert any(reader(picture) == text.payload for reader in READERS.values())


@pytest.mark.long  # minutes of both readers; the ones above are a sample of it
@pytest.mark.timeout(900)
@pytest.mark.parametrize("name", STOCKS)
def test_every_tag_of_a_book_survives_a_garage(name: str) -> None:
    """Both read every seventh of 300 after each condition; with a tenth smudged, one does."""
    drawn = [drawn_once(text, find_stock(name)) for text in many(300)[::7]]
    unread = []
    for condition, worn in {**CONDITIONS, "10 % smudged": smudged}.items():
        enough = any if worn is smudged else all
        for one in drawn:
            picture = worn(one)
            if not enough(reader(picture) == one.text.payload for reader in READERS.values()):
                unread.append((condition, one.text.code))
    assert not unread

"""Symbols against the published capacities, the qrcode library's own choice, and segno."""

import random
from itertools import product

import pytest
import segno
import zxingcpp
from PIL import Image
from qrcode import QRCode, constants

from labels.code import ALPHABET, make_code
from labels.errors import FitError
from labels.symbols.payload import payload
from labels.symbols.symbol import (
    QUIET_MODULES,
    ErrorCorrection,
    best_level,
    make_symbol,
    version_for,
)
from tests.every import every
from tests.labels.published import rows

CAPACITY = rows("qr_capacity.csv")
LEVELS: tuple[ErrorCorrection, ...] = ("L", "M", "Q", "H")
LIBRARY = {
    "L": constants.ERROR_CORRECT_L,
    "M": constants.ERROR_CORRECT_M,
    "Q": constants.ERROR_CORRECT_Q,
    "H": constants.ERROR_CORRECT_H,
}
KINDS = {"numeric": "7", "alphanumeric": "A", "byte": "a"}


def level_of(row: dict[str, str]) -> ErrorCorrection:
    return next(level for level in LEVELS if level == row["ec_level"])


@every(product(CAPACITY, KINDS))
def test_a_version_holds_exactly_its_published_capacity(asked: tuple[dict[str, str], str]) -> None:
    """ISO/IEC 18004 capacities, versions 1 to 6, as restated in qr_capacity.csv."""
    row, kind = asked
    level, most = level_of(row), int(row[kind])
    assert version_for(KINDS[kind] * most, level) == int(row["version"])
    assert version_for(KINDS[kind] * (most + 1), level) == int(row["version"]) + 1


@every(CAPACITY)
def test_a_symbol_has_the_published_number_of_modules(row: dict[str, str]) -> None:
    symbol = make_symbol("A" * int(row["alphanumeric"]), level_of(row))
    assert symbol.modules == int(row["modules"])
    assert symbol.modules_with_quiet == int(row["modules_with_quiet_zone"])
    assert all(len(line) == symbol.modules for line in symbol.rows)


def test_the_quiet_zone_is_the_published_one() -> None:
    fact = next(row for row in rows("qr_facts.csv") if row["key"] == "quiet_zone")
    assert int(fact["value"]) == QUIET_MODULES


@pytest.mark.parametrize("level", LEVELS)
def test_segno_needs_the_same_version(level: ErrorCorrection) -> None:
    """Second opinion: segno, for the payloads that tags carry and for odd ones."""
    texts = [payload(make_code("TP", n), "garage.local:8017") for n in (1, 999, 12345)]
    texts += [make_code("A", 1), "A" * 90, "a" * 40, "1" * 100, "HTTP://X/" + "Z" * 200]
    for text in texts:
        theirs = segno.make_qr(text, error=level, boost_error=False).version
        assert version_for(text, level) == theirs
        assert make_symbol(text, level).version == theirs


def test_the_mask_is_the_one_the_library_would_choose() -> None:
    """Module for module what qrcode's own make() gives, which weighs the masks by itself."""
    random.seed(18004)
    for number in range(60):
        level = LEVELS[number % 4]
        text = "".join(random.choices(ALPHABET + "$%-./:", k=random.randint(1, 90)))
        theirs = QRCode(error_correction=LIBRARY[level], border=0)
        theirs.add_data(text, optimize=0)
        theirs.make(fit=True)
        ours = make_symbol(text, level)
        assert [list(line) for line in ours.rows] == [
            [int(bool(module)) for module in line] for line in theirs.modules
        ]


def test_a_symbol_decodes_to_its_payload() -> None:
    for level in LEVELS:
        symbol = make_symbol("HTTP://GARAGE.LOCAL:8017/TP-017-7", level)
        side = symbol.modules_with_quiet
        picture = Image.new("L", (side, side), 255)
        for y, line in enumerate(symbol.rows):
            for x, dark in enumerate(line):
                picture.putpixel((x + QUIET_MODULES, y + QUIET_MODULES), 0 if dark else 255)
        read = zxingcpp.read_barcode(picture.resize((side * 4, side * 4), Image.Resampling.NEAREST))
        assert read is not None
        assert read.text == symbol.payload
        assert read.ec_level == level


def test_h_is_used_where_it_costs_no_size() -> None:
    """33 characters: version 3 holds 47 at Q and 35 at H (qr_capacity.csv)."""
    assert best_level("HTTP://GARAGE.LOCAL:8017/TP-017-7") == ("H", 3)
    assert best_level("A" * 36) == ("Q", 3)


def test_m_is_used_only_when_q_is_too_large() -> None:
    text = "A" * 55
    assert best_level(text) == ("Q", 4)
    assert best_level(text, most_modules=33) == ("Q", 4)
    assert best_level(text, most_modules=29) == ("M", 3)


def test_more_than_any_symbol_holds_is_refused() -> None:
    with pytest.raises(FitError, match="too many for one symbol"):
        version_for("A" * 5000, "Q")

"""Payloads: written small, and understood by their code however they come back."""

from itertools import product

import pytest
from hypothesis import given, settings, strategies as st

from labels.code import ALPHABET, make_code
from labels.errors import AddressError, CodeError
from labels.symbols.payload import ALPHANUMERIC, code_in, payload
from tests.every import every
from tests.examples import examples
from tests.labels.published import rows

CODE = make_code("TP", 17)
LAYOUTS = rows("keyboard_layouts.csv")


def test_the_character_set_is_the_published_one() -> None:
    """ISO/IEC 18004 alphanumeric mode, as restated in qr_facts.csv."""
    fact = next(row for row in rows("qr_facts.csv") if row["key"] == "alphanumeric_set")
    assert set(fact["value"]) == ALPHANUMERIC
    assert len(ALPHANUMERIC) == 45


@pytest.mark.parametrize("address", [None, "", "  "])
def test_without_an_address_the_payload_is_the_bare_code(address: str | None) -> None:
    assert payload(CODE, address) == CODE


@pytest.mark.parametrize(
    ("address", "prefix"),
    [
        ("garage.local:8017", "HTTP://GARAGE.LOCAL:8017/"),
        ("http://garage.local:8017/", "HTTP://GARAGE.LOCAL:8017/"),
        ("https://192.168.1.20/tags/", "HTTPS://192.168.1.20/TAGS/"),
        ("garage", "HTTP://GARAGE/"),
        ("müller:80", "HTTP://XN--MLLER-KVA:80/"),
    ],
)
def test_an_address_stands_in_capitals_before_the_code(address: str, prefix: str) -> None:
    text = payload(CODE, address)
    assert text == prefix + CODE
    assert set(text) <= ALPHANUMERIC


@pytest.mark.parametrize(
    "address",
    ["ftp://garage.local", "http://", "garage.local:port", "garage.local:99999", "a b",
     "http://me@garage.local", "http://garage.local/?q=1", "http://garage.local/#x", "g_a.local",
     "[fe80::1]:80", "garage.local/a,b"],
)  # fmt: skip
def test_an_address_that_would_not_do_is_refused(address: str) -> None:
    with pytest.raises(AddressError):
        payload(CODE, address)


@pytest.mark.parametrize(
    "text",
    [
        "HTTP://GARAGE.LOCAL:8017/{}",
        "https://bench.example/{}",
        "http://192.168.1.20:8017/tags/{}/",
        "http://other.place/p/{}?from=phone",
        "http://garage.local/open?tag={}&x=1",
        "http%3A%2F%2Fgarage.local%2F{}",
        "http%253A%252F%252Fgarage.local%252F{}",
        "{}\r\n",
        "\t {} ",
        "]Q1{}",
        "]Q1HTTP://GARAGE.LOCAL/{}",
        "tag {} please",
        "//garage.local/{}",
    ],
)
@pytest.mark.parametrize("lower", [False, True])
def test_a_text_is_understood_by_its_code(text: str, lower: bool) -> None:
    scanned = text.format(CODE)
    assert code_in(scanned.lower() if lower else scanned) == CODE


def test_a_typed_code_without_hyphens_is_understood_too() -> None:
    assert code_in("tp0177") == CODE


def test_the_name_of_the_computer_is_never_taken_for_a_code() -> None:
    """`TP-017-7` as a host is no tag."""
    with pytest.raises(CodeError, match="no tag code"):
        code_in(f"http://{CODE}:8017/")


@pytest.mark.parametrize("text", ["", "zzz", "http://192.168.1.20:8017/", "4006381333931", "/"])
def test_a_text_without_a_code_is_refused(text: str) -> None:
    with pytest.raises(CodeError, match="There is no tag code in"):
        code_in(text)


def test_a_wrong_check_character_is_named_even_inside_an_address() -> None:
    with pytest.raises(CodeError, match="wrong check character") as caught:
        code_in("HTTP://GARAGE.LOCAL:8017/TP-017-K")
    assert caught.value.likely == CODE


def test_the_end_of_a_word_in_another_script_is_no_code() -> None:
    """Behind a letter of any script stands no code: on a Russian keyboard Ш is I."""
    assert code_in("Ш2-000-5", marks=["2"]) == "I2-000-5"


def damaged(text: str, row: dict[str, str]) -> str:
    """What arrives when scanner and computer disagree about the keyboard layout."""
    return text.translate(str.maketrans(row["meant"], row["came"]))


@every(LAYOUTS)
def test_a_wrong_keyboard_layout_is_undone(row: dict[str, str]) -> None:
    """Key tables of xkeyboard-config 2.35.1; 'computer' or 'scanner' is set to the layout."""
    for serial, address in product((17, 118, 359, 1090), (None, "garage.local:8017")):
        for mark in ("TP", "BIN", "ZY", "QWA", "M3"):
            code = make_code(mark, serial)
            scanned = damaged(payload(code, address), row)
            assert code_in(scanned, marks=["TP", "BIN", "ZY", "QWA", "M3"]) == code, scanned


@given(st.text(ALPHABET, min_size=1, max_size=3), st.integers(0, 9999), st.sampled_from(LAYOUTS))
@settings(max_examples=examples(120))
def test_a_damaged_payload_never_becomes_another_code_unnoticed(
    mark: str, serial: int, row: dict[str, str]
) -> None:
    """With the mark known, it is the code itself or a refusal."""
    code = make_code(mark, serial)
    try:
        assert code_in(damaged(payload(code, "garage.local"), row), marks=[mark]) == code
    except CodeError as error:
        assert not error.candidates or code in error.candidates or str(error)

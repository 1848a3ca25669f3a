"""Codes: the check character against published vectors, and forgiving reading."""

import random
from contextlib import suppress

import pytest
from hypothesis import example, given, settings, strategies as st
from stdnum.iso7064 import mod_37_36

from labels.code import (
    ALPHABET,
    check_character,
    is_code,
    make_code,
    next_code,
    parse_code,
    read_code,
)
from labels.errors import CodeError
from tests.examples import examples
from tests.labels.published import rows

MARKS = st.text(ALPHABET, min_size=1, max_size=3)
SERIALS = st.integers(0, 99_999)


@pytest.mark.parametrize(
    "row",
    [row for row in rows("check_characters.csv") if row["scheme"] == "MOD 37,36"],
    ids=lambda row: row["full"],
)
def test_check_character_is_the_published_one(row: dict[str, str]) -> None:
    """Worked examples printed in public guides to identifiers that use ISO 7064 MOD 37,36."""
    assert check_character(row["payload"]) == row["check"]


@given(st.text(ALPHABET, min_size=1, max_size=12))
@settings(max_examples=examples(100))
def test_check_character_agrees_with_python_stdnum(text: str) -> None:
    """Second opinion: python-stdnum's iso7064.mod_37_36."""
    assert check_character(text) == mod_37_36.calc_check_digit(text)


def test_every_single_wrong_character_is_caught() -> None:
    """ISO 7064 says so for MOD 37,36; check_scheme_facts.csv gives 100 %."""
    fact = next(r for r in rows("check_scheme_facts.csv") if r["scheme"] == "MOD 37,36")
    random.seed(7064)
    caught = tried = 0
    for _ in range(60):
        mark = "".join(random.choices(ALPHABET, k=random.randint(1, 3)))
        text = f"{mark}{random.randint(0, 9999):03d}"
        whole = text + check_character(text)
        for at, right in enumerate(whole):
            for wrong in ALPHABET.replace(right, ""):
                changed = whole[:at] + wrong + whole[at + 1 :]
                tried += 1
                caught += check_character(changed[:-1]) != changed[-1]
    assert f"{100 * caught / tried:.0f}" == fact["single_substitution_detected_pct"]


def test_exchanged_neighbours_are_caught_as_often_as_published() -> None:
    """check_scheme_facts.csv: 2 of the 1260 exchanges of two different letters go unnoticed."""
    missed = sum(
        check_character(a + b) == check_character(b + a)
        for a in ALPHABET
        for b in ALPHABET
        if a != b
    )
    assert missed == 2


@given(MARKS, SERIALS)
@settings(max_examples=examples(60))
def test_a_code_reads_back_as_itself(mark: str, serial: int) -> None:
    code = make_code(mark, serial)
    assert read_code(code) == code
    parts = parse_code(code)
    assert (parts.mark, parts.serial) == (mark, serial)


@given(MARKS, SERIALS, st.sampled_from(["-", " ", "–", " - ", ".", "_", "/"]))
@settings(max_examples=examples(60))
def test_case_and_what_stands_between_do_not_matter(mark: str, serial: int, between: str) -> None:
    code = make_code(mark, serial)
    assert read_code(f"  {between.join(code.split('-')).lower()}\n") == code


@given(MARKS, SERIALS)
@settings(max_examples=examples(60))
def test_without_hyphens_a_known_mark_decides(mark: str, serial: int) -> None:
    code = make_code(mark, serial)
    assert read_code(code.replace("-", "").lower(), marks=[mark]) == code


@given(st.text("ABCDEFGHJKMNPQRSTUVWXYZ", min_size=1, max_size=3), SERIALS)
@example("VDG", 786)
@settings(max_examples=examples(30))
def test_without_hyphens_a_mark_of_letters_needs_no_list(mark: str, serial: int) -> None:
    code = make_code(mark, serial)
    assert read_code(code.replace("-", "")) == code


@given(MARKS, SERIALS, st.data())
@settings(max_examples=examples(60))
def test_slips_in_the_digits_are_mended(mark: str, serial: int, data: st.DataObject) -> None:
    """O for 0, and I or l for 1, in any of the digits."""
    code = make_code(mark, serial)
    slips = {"0": "0Oo", "1": "1IilL"}
    digits = "".join(
        data.draw(st.sampled_from(slips.get(digit, digit))) for digit in code.split("-")[1]
    )
    assert read_code(f"{mark}-{digits}-{code[-1]}") == code


@given(MARKS, SERIALS, st.data())
@settings(max_examples=examples(100))
def test_one_wrong_character_never_gives_another_code(
    mark: str, serial: int, data: st.DataObject
) -> None:
    """Of all codes given out; an old code that ends in B or S reads as one in 8 or 5 too."""
    code = str(next_code(mark, serial))
    at = data.draw(st.sampled_from([place for place, c in enumerate(code) if c != "-"]))
    wrong = data.draw(st.sampled_from(ALPHABET.replace(code[at], "")))
    changed = code[:at] + wrong + code[at + 1 :]
    with suppress(CodeError):
        assert read_code(changed) == code


def test_a_letter_that_new_codes_end_in_is_no_digit_there() -> None:
    """L and D look like 1 and 0, but codes do end in them: NIE-293-1 must not be read."""
    assert read_code("NIL-293-L") == "NIL-293-L"
    with pytest.raises(CodeError):
        read_code("NIE-293-L")


@pytest.mark.parametrize(
    ("mark", "serial"), [("O1", 7), ("I0", 17), ("T2P", 110), ("1", 1), ("A1", 17), ("L", 100)]
)
def test_marks_that_look_like_digits_stay_as_they_are(mark: str, serial: int) -> None:
    code = make_code(mark, serial)
    assert read_code(code) == code


def test_a_slip_in_the_mark_is_mended_where_the_mark_is_known() -> None:
    code = make_code("TO", 12)
    assert read_code(code.replace("TO", "T0"), marks=["TP", "TO"]) == code
    with pytest.raises(CodeError):
        read_code(code.replace("TO", "T0"))


def test_letters_of_another_script_that_look_the_same_are_read() -> None:
    code = make_code("TP", 17)
    assert read_code(code.replace("TP", "ТР")) == code


def test_leading_zeros_may_be_left_out_between_hyphens() -> None:
    assert read_code(f"tp-17-{make_code('TP', 17)[-1]}") == make_code("TP", 17)


def test_a_wrong_check_character_is_refused_with_the_likely_code() -> None:
    with pytest.raises(CodeError, match=r"wrong check character.*TP-017-7") as caught:
        read_code("TP-017-K")
    assert caught.value.likely == "TP-017-7"
    assert caught.value.exit_code == 2


def test_a_missing_check_character_is_supplied() -> None:
    with pytest.raises(CodeError, match="lacks its check character") as caught:
        read_code("tp-o17")
    assert caught.value.likely == "TP-017-7"


def test_exchanged_digits_are_offered_too() -> None:
    with pytest.raises(CodeError) as caught:
        read_code("TP-071-7")
    assert "TP-017-7" in caught.value.candidates


@pytest.mark.parametrize(
    "text", ["", "hello", "TP", "4006381333931", "----", "TPXX-017-7", "TP-0A7-7", "ü"]
)
def test_what_is_no_code_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(CodeError, match="a code looks like TP-017-7") as caught:
        read_code(text)
    assert caught.value.likely is None


def test_two_known_marks_that_fit_are_not_guessed() -> None:
    """`A1017x` is mark A with 1017 or mark A1 with 017, and the check character is the same."""
    code = make_code("A", 1017)
    with pytest.raises(CodeError, match="type the code with its hyphens") as caught:
        read_code(code.replace("-", ""), marks=["A", "A1"])
    assert set(caught.value.candidates) == {code, make_code("A1", 17)}
    assert read_code(code.replace("-", "")) == code
    assert read_code(code.replace("-", ""), marks=["A1"]) == make_code("A1", 17)


@pytest.mark.parametrize(
    ("mark", "serial"), [("", 1), ("ABCD", 1), ("Ä", 1), ("A-B", 1), ("A", -1)]
)
def test_a_mark_or_serial_that_cannot_be_is_refused(mark: str, serial: int) -> None:
    with pytest.raises(CodeError, match="must be"):
        make_code(mark, serial)


def test_is_code_answers_without_raising() -> None:
    assert is_code("tp 017 7")
    assert not is_code("tp 017 8")


@given(MARKS, st.integers(0, 20_000))
@settings(max_examples=examples(60))
def test_no_new_code_ends_in_a_letter_that_looks_like_another_sign(mark: str, last: int) -> None:
    """O I S Z B G Q U are never the check character of a number that is given out."""
    serial = next_code(mark, last).serial
    assert serial > last
    assert make_code(mark, serial)[-1] not in "OISZBGQU"


@pytest.mark.parametrize("mark", ["A", "TP", "KR", "X9", "BIN"])
def test_of_two_numbers_that_a_swap_makes_alike_only_the_first_is_issued(mark: str) -> None:
    """Every exchange of two neighbours of an issued code is another sign, or no issued code."""
    serial, issued = 0, set()
    while serial < 3000:
        serial = next_code(mark, serial).serial
        issued.add(make_code(mark, serial).replace("-", ""))
    for code in issued:
        for at in range(len(mark), len(code) - 1):
            swapped = code[:at] + code[at + 1] + code[at] + code[at + 2 :]
            assert swapped == code or swapped not in issued


@given(MARKS.filter(str.isalpha), SERIALS.filter(lambda serial: serial > 99))
@settings(max_examples=examples(100))
def test_letters_typed_for_digits_are_read_as_the_digits(mark: str, serial: int) -> None:
    """O is 0, I is 1, Z is 2, S is 5, G is 6 and B is 8, anywhere in the number."""
    code = make_code(mark, serial)
    typed_mark, digits, check = code.split("-")
    letters = digits.translate(str.maketrans("012568", "OIZSGB"))
    assert read_code(f"{typed_mark}-{letters}-{check}", [mark]) == code


def test_a_written_digit_at_the_end_is_read_from_its_letter_too() -> None:
    """5 at the end reads from S; an old code that does end in S stays valid."""
    fives = next(n for n in range(1, 999) if make_code("TP", n).endswith("5"))
    old = next(n for n in range(1, 999) if make_code("TP", n).endswith("S"))
    assert read_code(make_code("TP", fives)[:-1] + "S") == make_code("TP", fives)
    assert read_code(make_code("TP", old)) == make_code("TP", old)

"""Thread designations in every usual spelling."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as st

from tagbench.errors import BadInput
from tagbench.trade.threads import Thread, all_threads, parse_thread
from tests.every import every


@every(all_threads())
def test_the_standard_spelling_reads_back(thread: Thread) -> None:
    assert parse_thread(thread.designation) == thread
    assert parse_thread(thread.designation.lower().replace(" ", "  ")) == thread
    assert parse_thread(thread.designation + " LH").left_hand


@pytest.mark.parametrize(
    ("standard", "spellings"),
    [
        ("M5x0.8", "M5|m5|M 5|M5×0,8|M5 x .8|M5 X 0.8|M5-0.8|M5x0.80|M5 coarse|M5x0.8-6g"),
        ("M6x1", "M6|M6x1|M6x1.0|M6 × 1,0|M6x1 - 6H|M6x1-4h6h"),
        ("M8x1.25", "M8|m8x1.25|M8×1,25"),
        ("M6x0.75", "M6 fine|M6x.75"),
        ("M30x2", "M30x2|M30 x 2"),
        ("M12x1.25 LH", "M12x1.25 LH|M12x1.25-LH|M12 × 1,25 left hand|M12x1.25 left-handed"),
        ("1/4-20 UNC", '1/4-20|1/4 UNC|1/4UNC|1/4"-20|1/4 - 20 UNC-2A|.250-20|UNC 1/4|¼-20'),
        ("1/4-20 UNC", "1/4 x 20|1/4x20 UNC|1/4-20 NC|1/4-20 tpi|1/4 20 unc|2/8-20"),
        ("#10-32 UNF", "#10-32|10-32|No. 10-32|No 10 - 32 UNF|no.10 UNF|10 UNF|# 10-32|0.190-32"),
        ("#1-64 UNC", "1-64|#1-64"),
        ("1-8 UNC", '1-8|1" UNC|1 UNC'),
        ("1-12 UNF", "1-12|1 UNF"),
        ("1-1/8-7 UNC", "1-1/8-7|1 1/8-7 UNC|1-1/8 UNC|1⅛-7"),
        ("1/4 BSW", '1/4W|1/4 W|1/4 whit|1/4" whit.|1/4 Whitworth|BSW 1/4|1/4 B.S.W.|1/4-20 BSW'),
        ("5/16 BSF", "5/16 BSF|5/16 B.S.F.|B.S.F. 5/16|5/16-22 bsf"),
        ("5/16-26 BSC", "5/16 cycle|5/16x26 CEI|5/16 x 26 C.E.I.|5/16-26 BSC|5/16 cycle thread"),
        ("2BA", "2BA|2 BA|No. 2 BA|BA2|BA 2|2 B.A.|2ba"),
        ("0BA", "0BA|No 0 BA"),
    ],
)
def test_spellings(standard: str, spellings: str) -> None:
    for spelling in spellings.split("|"):
        assert parse_thread(spelling).designation == standard, spelling


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "not a thread known here"),
        ("banana", "write it as M5x0.8, 1/4-20"),
        ("1/4", "not a thread known here"),
        ("#10", "#10-24 UNC or #10-32 UNF"),
        ("#19-32", "no number size #19"),
        ("M8 fine", "M8x1 or M8x0.75"),
        ("M99", "with its pitch"),
        ("M10x4", "no pitch of 4 mm"),
        ("M5x12", "“x12” after M5x0.8"),
        ("M5 pan", "“pan” after M5x0.8"),
        ("1/4-26", "1/4 BSF or 1/4-26 BSC"),
        ("1/2-12", "write 1/2 BSW"),
        ("7/16 cycle", "7/16-26 BSC or 7/16-20 BSC"),
        ("1/4-24 BSW", "There is no 1/4-24 BSW; write 1/4 BSW"),
        ("1/4-28 UNC", "write 1/4-20 UNC or 1/4-28 UNF"),
        ("1/4-2", "not a thread that can be cut"),
        ("1/0-20", "not a thread size"),
        ("20BA", "from 0BA to 16BA"),
        ("M", "not a thread known here"),
        ("M" * 500, "not a thread known here"),
    ],
)
def test_what_names_no_thread_is_refused_in_one_sentence(text: str, says: str) -> None:
    with pytest.raises(BadInput) as refusal:
        parse_thread(text)
    sentence = str(refusal.value)
    assert says in sentence
    assert sentence.endswith(".")
    assert len(sentence) < 250


@given(st.text(alphabet='M0123456789./-x# BASWFUNCEI"½,', max_size=14))
def test_near_designations_are_read_or_refused_never_a_crash(text: str) -> None:
    try:
        thread = parse_thread(text)
    except BadInput as refusal:
        assert str(refusal)
    else:
        assert parse_thread(thread.designation) == thread

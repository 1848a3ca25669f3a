"""A hand scanner in any field, and typing that is never taken for one."""

import random
from itertools import product

import pytest
from hypothesis import given, settings, strategies as st

from labels.code import make_code
from labels.scanning.scanner import (
    HOLD_S,
    LONGEST_GAP_S,
    PART,
    REPEAT_S,
    ScanListener,
    ScanResult,
)
from labels.symbols.payload import payload
from tests.every import every
from tests.examples import examples
from tests.labels.published import rows

CODE = make_code("TP", 17)
OTHER = make_code("TP", 18)
URL = payload(CODE, "garage.local:8017")
LAYOUTS = rows("keyboard_layouts.csv")


class Field:
    """A text field whose screen follows the listener as its description says."""

    def __init__(self, text: str = "", listener: ScanListener | None = None) -> None:
        self.text = text
        self.listener = listener or ScanListener(["TP", "BIN"])
        self.now = 100.0
        self.scans: list[str] = []
        self.bad: list[str] = []
        self.repeats = 0
        self.keys_seen: list[str] = []

    def act_on(self, verdict: ScanResult) -> None:
        if verdict.take_back:
            self.text = self.text[: -verdict.take_back]
        if verdict.kind == "scan":
            self.scans.append(verdict.code)
        elif verdict.kind == "repeat":
            self.repeats += 1
        elif verdict.kind in ("bad", "part"):
            self.bad.append(verdict.reason)

    def press(self, keys: str, gap: float, jitter: float = 0.0) -> None:
        for key in keys:
            self.now += max(0.0001, gap + random.uniform(-jitter, jitter))
            due = self.listener.due
            if due is not None and due <= self.now:
                self.act_on(self.listener.tick(due))
            verdict = self.listener.feed(key, self.now)
            self.act_on(verdict)
            if verdict.swallow:
                continue
            if key in "\r\n\t":
                self.keys_seen.append(key)
            else:
                self.text += key

    def wait(self, seconds: float = 0.5) -> None:
        self.now += seconds
        due = self.listener.due
        if due is not None:
            self.act_on(self.listener.tick(self.now))


@every(
    product(
        (0.002, 0.008, 0.016, 0.03),
        ("\r", "\n", "\r\n", "\t", ""),
        (CODE, URL, URL.lower(), f"]Q1{URL}"),
    )
)
def test_a_scan_in_the_middle_of_a_field_leaves_it_as_it_was(scan: tuple[float, str, str]) -> None:
    """Fast and slow scanners (2 to 30 ms a key), with every ending."""
    gap, end, text = scan
    field = Field("came off with ")
    field.press(text + end, gap)
    field.wait()
    assert field.scans == [CODE]
    assert field.text == "came off with "
    assert field.keys_seen == []


def test_a_slow_and_uneven_scanner_is_understood() -> None:
    random.seed(30)
    for _ in range(50):
        field = Field("x")
        field.press(URL + "\r", 0.03, jitter=0.02)
        field.wait()
        assert (field.scans, field.text) == ([CODE], "x")


@every(product(LAYOUTS, (CODE, URL)))
def test_a_wrong_keyboard_layout_does_not_matter(typed: tuple[dict[str, str], str]) -> None:
    """Key tables of xkeyboard-config 2.35.1."""
    row, text = typed
    damaged = text.translate(str.maketrans(row["meant"], row["came"]))
    field = Field("note: ")
    field.press(damaged + "\r", 0.015)
    assert (field.scans, field.text) == ([CODE], "note: ")


def test_the_same_tag_twice_in_a_moment_is_read_once() -> None:
    field = Field()
    field.press(URL + "\r", 0.01)
    field.press(URL + "\r", 0.01)
    assert (field.scans, field.repeats, field.text) == ([CODE], 1, "")
    field.wait(REPEAT_S + 0.1)
    field.press(URL + "\r", 0.01)
    assert field.scans == [CODE, CODE]


def test_two_tags_one_after_the_other_are_both_read() -> None:
    field = Field()
    field.press(f"{CODE}\r{OTHER}\r", 0.01)
    assert field.scans == [CODE, OTHER]
    assert field.text == ""


def test_typing_goes_on_after_a_scan() -> None:
    field = Field()
    field.press("four ", 0.12)
    field.press(f"{URL}\r", 0.01)
    field.wait(0.2)
    field.press("screws", 0.12)
    field.wait()
    assert (field.text, field.scans) == ("four screws", [CODE])


def test_a_scan_right_after_a_typed_letter_takes_back_only_the_scan() -> None:
    field = Field("scre")
    field.press("w", 0.2)
    field.now += 0.055
    field.press(f"{URL}\r", 0.008)
    assert (field.text, field.scans) == ("screw", [CODE])
    field.press("s", 0.2)
    field.now += 0.055
    field.press(f"{OTHER}\r", 0.008)
    assert (field.text, field.scans) == ("screws", [CODE, OTHER])


SENTENCES = (
    "backing plate screws, 4x M5x0.8x12 pan",
    "left, 6 o'clock, behind the drum http",
    "TP-017 is the one with the long M6x45",
    "lallalala loop root moss eerie assess",
)


@pytest.mark.parametrize("sentence", SENTENCES)
@pytest.mark.parametrize("seed", range(8))
def test_a_fast_typist_is_never_taken_for_a_scanner(sentence: str, seed: int) -> None:
    """80 to 100 ms a key, with rolls down to 40 ms for a few keys; every letter stays."""
    random.seed(seed)
    field = Field()
    at = 0
    while at < len(sentence):
        roll = random.random() < 0.2
        step = random.randint(2, 4) if roll else 1
        field.press(sentence[at : at + step], 0.042 if roll else random.uniform(0.08, 0.1))
        at += step
    field.press("\r", 0.09)
    field.wait()
    assert field.scans == []
    assert field.bad == []
    assert field.text == sentence
    assert field.keys_seen == ["\r"]


@pytest.mark.parametrize("text", [CODE, CODE.lower(), "TP0177", URL])
@pytest.mark.parametrize("gap", [0.08, 0.1, 0.2])
def test_a_code_typed_by_hand_stays_typed(text: str, gap: float) -> None:
    field = Field()
    field.press(text + "\r", gap)
    field.wait()
    assert (field.scans, field.text, field.keys_seen) == ([], text, ["\r"])


@pytest.mark.parametrize("key", ["a", "-", "0", "T", "/"])
def test_key_repeat_is_typing(key: str) -> None:
    field = Field()
    field.press(key * 60, 0.03)
    field.press("\r", 0.03)
    field.wait()
    assert (field.text, field.scans, field.bad) == (key * 60, [], [])
    assert field.keys_seen == ["\r"]


@pytest.mark.parametrize("text", [URL, CODE])
def test_a_code_that_is_pasted_acts_like_a_scan(text: str) -> None:
    """In a terminal that does not mark pastes."""
    field = Field("was ")
    field.press(text, 0.0)
    field.wait()
    assert (field.text, field.scans) == ("was ", [CODE])


@pytest.mark.parametrize("text", [f"see {CODE} and {OTHER}", "4x M5x0.8x12 pan" * 9])
def test_a_paste_that_comes_all_at_once_is_no_scan(text: str) -> None:
    field = Field("was ")
    for key in text:
        verdict = field.listener.feed(key, field.now)
        field.act_on(verdict)
        field.text += key
    field.wait()
    assert (field.text, field.scans) == (f"was {text}", [])


@pytest.mark.parametrize("text", ["4006381333931", "hello world", "brake shoes left", "12345678"])
def test_fast_text_that_is_no_payload_is_typing(text: str) -> None:
    field = Field()
    field.press(text + "\r", 0.01)
    field.wait()
    assert (field.text, field.scans, field.bad) == (text, [], [])
    assert field.keys_seen == ["\r"]


def test_a_scan_that_is_no_tag_says_what_is_wrong() -> None:
    field = Field("x")
    field.press("HTTP://GARAGE.LOCAL:8017/TP-017-K\r", 0.01)
    assert "wrong check character" in field.bad[0]
    assert CODE in field.bad[0]
    field.press("HTTPS://EXAMPLE.COM/MENU\r", 0.01)
    assert "no tag code" in field.bad[1]
    field.press("TP-017-K\r", 0.01)
    assert "likely to be TP-017-7" in field.bad[2]
    assert (field.text, field.scans) == ("x", [])


def test_an_address_that_is_pasted_at_once_is_left_as_typed() -> None:
    """Only a return, or the pace of a scanner, shows that a scanner sent it."""
    field = Field()
    field.press("https://example.com/menu", 0.0)
    field.wait()
    assert (field.text, field.bad) == ("https://example.com/menu", [])
    field.press("https://example.com/menu", 0.01)
    field.wait()
    assert (field.text, field.bad) == ("https://example.com/menu", [PART])


class Line:
    """A slow line: when each key of a scanner arrives, in order.

    It takes keys every `gap` seconds, each up to `jitter` later, one pause up to `stall` longer,
    and hands on what has come in once every `flush` seconds.
    """

    def __init__(self, seed: int) -> None:
        dice = random.Random(seed)
        self.dice = dice
        self.gap = dice.uniform(0.005, 0.06)
        self.jitter = dice.choice([0.0, 0.0, self.gap])
        self.stall = dice.choice([0.0, 0.1, 0.2])
        self.flush = dice.choice([0.0, 0.0, 0.03, 0.07, 0.15])

    def arrivals(self, keys: int, start: float) -> list[float]:
        """Seconds at which the keys arrive."""
        stalled, at = self.dice.randrange(keys), start
        times: list[float] = []
        for key in range(keys):
            at += self.gap + (self.stall if key == stalled else 0.0)
            late = at + self.dice.uniform(0.0, self.jitter)
            if self.flush:
                late = (late // self.flush + 1) * self.flush
            times.append(max([late, *times[-1:]]))
        return times


def through(
    line: Line, listener: ScanListener, text: str, command: bool, now: float
) -> list[ScanResult]:
    """What the listener says when a text comes over a line, until long after it."""
    said = []
    for key, at in zip(text, line.arrivals(len(text), now), strict=True):
        due = listener.due
        if due is not None and due <= at:
            said.append(listener.tick(due))
        said.append(listener.feed(key, at, command=command))
    said.append(listener.tick(at + 10))
    return [verdict for verdict in said if verdict.kind != "hold" or verdict.swallow]


@pytest.mark.sampled(5)
@pytest.mark.parametrize("first", range(0, 1000, 200))
@pytest.mark.parametrize("command", [True, False], ids=["letters are keys", "in a field"])
def test_scans_over_a_slow_line_are_understood_and_give_out_no_key(
    command: bool, first: int
) -> None:
    """5 to 60 ms a key, stalls to 200 ms, chunks to 150 ms: 99 of 100, and never a letter."""
    understood = 0
    for seed in range(first, first + 200):
        listener = ScanListener(["TP", "BIN"])
        text = (CODE, URL, CODE.lower())[seed % 3] + ("\r", "\t", "")[seed // 3 % 3]
        said = through(Line(seed), listener, text, command, 100.0)
        whole = [verdict.code for verdict in said if verdict.kind == "scan"] == [CODE]
        understood += whole
        if command:
            assert "".join(verdict.typed for verdict in said) == "", (seed, said)
        elif whole and text[-1] in "\r\t":
            assert any(verdict.swallow for verdict in said), (seed, said)
    assert understood >= 198


@pytest.mark.parametrize("command", [True, False], ids=["letters are keys", "in a field"])
def test_a_broken_scan_is_dropped_with_its_end_key(command: bool) -> None:
    """Cut off anywhere, with and without an end: no letter is given out, and a sentence is said."""
    for seed, cut in product(range(40), range(4, 8)):
        listener = ScanListener(["TP", "BIN"])
        line = Line(seed)
        line.stall = line.jitter = line.flush = 0.0
        said = through(line, listener, CODE[:cut] + ("\r", "")[seed % 2], command, 100.0)
        assert [verdict.kind for verdict in said] == ["part"], (cut, said)
        assert (said[0].typed, said[0].text) == ("", CODE[:cut])
        assert said[0].swallow == (seed % 2 == 0)


def test_the_rest_of_a_broken_scan_is_dropped_too() -> None:
    """The line stalled for most of a second: neither half does anything, nor the end key."""
    listener = ScanListener(["TP", "BIN"])
    said = [listener.feed(key, 100 + at / 50, command=True) for at, key in enumerate(CODE[:5])]
    said.append(listener.tick(100.7))
    said += [listener.feed(key, 100.9 + at / 50, command=True) for at, key in enumerate(CODE[5:])]
    said.append(listener.feed("\r", 101.0, command=True))
    assert [verdict.kind for verdict in said if verdict.kind != "hold"] == ["part", "part"]
    assert "".join(verdict.typed for verdict in said) == ""
    assert said[-1].swallow


def test_a_letter_that_begins_a_code_still_does_what_it_does() -> None:
    """After half a second without another key; other letters after a moment."""
    listener = ScanListener(["TP"])
    assert listener.feed("t", 5.0, command=True).kind == "hold"
    assert listener.due == 5.0 + HOLD_S
    assert listener.tick(5.0 + HOLD_S) == ScanResult("typing", typed="t")
    listener.feed("t", 7.0, command=True)
    assert listener.feed("d", 7.3, command=True) == ScanResult("typing", typed="t")
    assert listener.tick(7.5) == ScanResult("typing", typed="d")


def test_keys_that_are_commands_are_kept_back_and_given_out_in_order() -> None:
    """A screen whose keys are commands acts on `typed` only: never on the keys of a scan."""
    listener, now, done = ScanListener(), 10.0, ""
    for key, pause in (("s", 0.2), ("q", 0.2), ("f", 0.05), ("x", 0.2)):
        now += pause
        due = listener.due
        if due is not None and due <= now:
            done += listener.tick(due).typed
        done += listener.feed(key, now).typed
    done += listener.tick(now + LONGEST_GAP_S).typed
    assert done == "sqfx"
    for key in URL:
        now += 0.3 if key == URL[0] else 0.01
        assert listener.feed(key, now).typed == ""
    verdict = listener.feed("\r", now + 0.01)
    assert (verdict.kind, verdict.code, verdict.typed) == ("scan", CODE, "")
    assert verdict.swallow


def test_a_person_waits_less_than_a_tenth_of_a_second() -> None:
    listener = ScanListener()
    listener.feed("q", 5.0)
    assert listener.due is not None
    assert listener.due - 5.0 < 0.1
    assert listener.tick(5.01).kind == "hold"
    assert listener.tick(listener.due) == ScanResult("typing", typed="q")
    assert listener.due is None


def test_a_lone_return_goes_its_way() -> None:
    listener = ScanListener()
    assert not listener.feed("\r", 1.0).swallow
    listener.feed("q", 2.0)
    verdict = listener.feed("\r", 2.02)
    assert (verdict.typed, verdict.swallow) == ("q", False)


def test_endless_fast_input_is_given_out_as_typing() -> None:
    field = Field()
    field.press("ab" * 2000, 0.01)
    field.wait()
    assert (len(field.text), field.scans) == (4000, [])


@given(
    st.lists(
        st.tuples(st.text("abTP-017/:h", min_size=1, max_size=12), st.floats(0.001, 0.3)),
        max_size=12,
    )
)
@settings(max_examples=examples(60), deadline=None)
def test_no_letter_is_ever_lost_or_doubled(parts: list[tuple[str, float]]) -> None:
    """Whatever is typed however fast: released text plus scanned text is what was pressed."""
    listener, now = ScanListener(["TP"]), 1.0
    out = ""
    for text, gap in parts:
        for key in text:
            now += gap
            verdict = listener.feed(key, now)
            out += verdict.typed + verdict.text
    verdict = listener.tick(now + 1)
    assert out + verdict.typed + verdict.text == "".join(text for text, _ in parts)

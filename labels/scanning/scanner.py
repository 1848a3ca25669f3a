"""Telling a hand scanner from a person at the keyboard, in any field on any screen.

A hand scanner plays a keyboard that types very fast. A `ScanListener` is fed every key before
the screen acts on it, and says what the key turned out to be:

    listener = ScanListener(marks)
    verdict = listener.feed("T", now)       # printable character, "\\r", "\\n" or "\\t"
    verdict = listener.tick(now)            # call it when `listener.due` has passed

`now` is any clock that never goes back, in seconds. What to do with a verdict:

* `verdict.kind == "hold"`: the key may belong to a scan. A text field may show the character at
  once. A screen whose keys are commands keeps it back for the moment; see `listener.due`.
* `"typing"`: the characters in `verdict.typed` were typed by a person. A text field that showed
  them already does nothing; a screen that kept them back acts on them now. (The other kinds may
  carry `typed` too: what a person typed just before the scan.)
* `"scan"`: `verdict.code` was scanned. A field that showed the characters takes the last
  `verdict.take_back` of them out again and is as it was before.
* `"repeat"`: the same code again within a moment. Take back as for a scan, and do no more.
* `"bad"`: an address or a code was scanned, but `verdict.reason` says why it is no tag. Take
  back as for a scan, and show the reason.
* `"part"`: part of a scan came in and no more. Take back as for a scan, and show the reason.
* `verdict.swallow`: the key just fed ends the scan; the screen must not see it. Where it is
  false the key goes its usual way (and, if printable, counts as held from now on).

Keys that come one after another are held until 70 ms pass without one, so a person never notices.
What is the start of a code with a known mark, or of an address, is held up to half a second, since
a slow line may stall in the middle of a scan; a part that stays unfinished is never given out as
keys, nor is what comes right behind it. Where letters are commands (`command=True`) that goes for
any speed; in a field, where a person may type a code, for what is as fast as a scanner: on
average, the longest pause left out, no slower than 68 ms a key. A scan is a burst that is exactly
one payload, an address and a code or a bare code with its hyphens, and whose check character
agrees. Of text that arrives all at once in a field (a paste in a terminal that does not mark
pastes) a whole payload acts like a scan, and the rest is typing unless a return ends it.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal, NamedTuple

from labels.code import parse_code
from labels.errors import CodeError
from labels.scanning.layouts import undamaged
from labels.symbols.payload import CODE_PATTERN, WHOLE_PAYLOAD, begins_payload, code_in

LONGEST_GAP_S = 0.07
"""A longer pause ends a burst that is no start of a code."""
HOLD_S = 0.5
"""A longer pause ends the start of a code; slow lines stall for less."""
MEAN_GAP_S = 0.068
"""A burst that is slower than this on average was typed. Slow scanners take 60 ms a key."""
PASTE_GAP_S = 0.0005
"""Keys that are closer than this on average came in one piece."""
REPEAT_S = 1.5
"""The same code within this time is one pull of the trigger, or a shaking hand."""
REST_S = 1.0
"""What comes within this time after part of a scan is the rest of it."""
_SECOND_END_S, _LATE_END_S = 0.15, 0.5
"""An end key within this time belongs to the scan before: the second of CR and LF, or the first
one that the line held up."""
_LONGEST = 300

END_KEYS = frozenset("\r\n\t")
PART = "Part of a scan came in; scan again."
_SURE_PART = re.compile(r"(\][A-Z]\w)?(HTTPS?:/|[0-9A-Z]{1,3}-[0-9OIL])", re.IGNORECASE)
"""In a field so much of an address or of a code, `TP-0`, is part of a scan."""
_ADDRESS = re.compile(r"(\][A-Z]\w)?HTTPS?://\S+", re.IGNORECASE)

ScanOutcome = Literal["hold", "typing", "scan", "repeat", "bad", "part"]


@dataclass(frozen=True, slots=True)
class ScanResult:
    """What became of the keys so far; see the module's description."""

    kind: ScanOutcome
    typed: str = ""
    """The characters that are now known to be typed; with a scan, those just before it."""
    code: str = ""
    """For a scan or a repeat: the canonical code."""
    text: str = ""
    """For a scan, repeat, bad scan or part: the characters as they came."""
    take_back: int = 0
    """How many of the last characters fed belong to the scan, the end key not counted."""
    reason: str = ""
    """For a bad scan or a part: what is wrong, as a sentence."""
    swallow: bool = False
    """Whether the key just fed ends the scan and must not be seen by the screen."""


HOLD = ScanResult("hold")


class _Key(NamedTuple):
    character: str
    at: float
    command: bool
    wait: float


class ScanListener:
    """Watches the keys of one keyboard."""

    def __init__(self, marks: Iterable[str] = ()) -> None:
        """`marks` are those of the book: a code that begins with one is known from its start."""
        self.marks = tuple(marks)
        self._held: list[_Key] = []
        self._start: int | None = 0
        """Where in what is held the start of a code stands; None when there is none."""
        self._last_code = ""
        self._last_scan = float("-inf")
        self._tail_until = float("-inf")
        """Until when an end key belongs to the scan before."""
        self._broken = float("-inf")
        """When part of a scan was dropped last."""

    @property
    def due(self) -> float | None:
        """When `tick` should be called if no key comes before; None when nothing is held."""
        if not self._held:
            return None
        last = self._held[-1]
        return last.at + (HOLD_S if self._is_open() else last.wait)

    def feed(
        self, character: str, at: float, *, command: bool = False, wait: float = LONGEST_GAP_S
    ) -> ScanResult:
        """Takes one key: a printable character, or a return, line feed or tab.

        `command`: the key is one that does something, and is kept back; then `wait` is how long
        no other key must come before it does.
        """
        if character in END_KEYS:
            return self._end(at)
        before = HOLD
        if self._held and (self._is_over(at) or len(self._held) >= _LONGEST):
            before = self._resolve(at, ended=False)
        self._held.append(_Key(character, at, command, wait))
        self._find_start()
        return before if before.kind != "hold" else self._let_go(at)

    def tick(self, at: float) -> ScanResult:
        """Time has passed: what was held is resolved when the burst is over."""
        due = self.due
        return self._resolve(at, ended=False) if due is not None and at >= due else HOLD

    def interrupt(self) -> ScanResult:
        """A key came that no scanner sends: what is held is a person's, or part of a scan."""
        self._tail_until = float("-inf")
        due = self.due
        return HOLD if due is None else self.tick(due)

    def _is_over(self, at: float) -> bool:
        """Whether the pause before a key that comes now ends what is held."""
        last = self._held[-1]
        return at - last.at > (HOLD_S if self._start is not None else last.wait)

    def _is_open(self) -> bool:
        """Whether what is held ends with the start of a code that is not whole yet."""
        return self._start is not None and not self._whole(self._text(self._start))

    def _text(self, start: int = 0) -> str:
        return "".join(key.character for key in self._held[start:])

    def _find_start(self) -> None:
        """Finds where the start of a code stands, on from where it was found before."""
        first = len(self._held) - 1 if self._start is None else self._start
        starts = range(first, len(self._held))
        self._start = next((at for at in starts if self._begins(self._text(at))), None)

    def _begins(self, text: str) -> bool:
        return any(begins_payload(way, self.marks) for way in (text, *undamaged(text)))

    @staticmethod
    def _whole(text: str) -> bool:
        return any(WHOLE_PAYLOAD.fullmatch(way) for way in (text, *undamaged(text)))

    def _let_go(self, at: float) -> ScanResult:
        """What was pressed well before the start of a code is a person's, and waits no longer."""
        start = len(self._held) - 1 if self._start is None else self._start
        if not start:
            return HOLD
        last, first = self._held[start - 1], self._held[start]
        if first.at - last.at <= last.wait:
            return HOLD
        later, self._held = self._held[start:], self._held[:start]
        found, self._start = self._start, None
        verdict = self._resolve(at, ended=False)
        self._held, self._start = later, None if found is None else 0
        return verdict

    def _end(self, at: float) -> ScanResult:
        if not self._held:
            late = at <= self._tail_until or at - self._broken <= REST_S
            return ScanResult("hold", swallow=late)
        in_time = at - self._held[-1].at <= (HOLD_S if self._sure() else LONGEST_GAP_S)
        return self._resolve(at, ended=in_time)

    def _sure(self) -> bool:
        """Whether what is held is the start of a code beyond a single letter."""
        return self._start is not None and len(self._held) - self._start > 1

    def _resolve(self, at: float, *, ended: bool) -> ScanResult:
        keys, self._held = self._held, []
        known, self._start = self._start, 0
        text = "".join(key.character for key in keys)
        commands = [start for start in _starts(keys) if all(k.command for k in keys[start:])]
        fast = [start for start in _starts(keys) if _machine_fast(keys[start:], ended=ended)]
        pasted = [0] if _machine_fast(keys, ended=True) else []
        for start in dict.fromkeys([*fast, *commands, *pasted]):
            code = self._code(text[start:])
            if code:
                return self._scanned(code, text[:start], text[start:], at, swallow=ended)
        for start in fast if ended else ():
            reason = _what_is_wrong(text[start:], self.marks)
            if reason:
                self._tail_until = at + _SECOND_END_S
                scan = text[start:]
                return ScanResult("bad", text[:start], "", scan, len(scan), reason, swallow=True)
        if keys[0].at - self._broken <= REST_S:
            return self._part(text, 0, at, ended=ended)
        if known is not None and _is_part(keys[known:], ended=ended):
            return self._part(text, known, at, ended=ended)
        return ScanResult("typing", typed=text)

    def _part(self, text: str, start: int, at: float, *, ended: bool) -> ScanResult:
        self._broken = float("-inf") if ended else at
        self._tail_until = at + _SECOND_END_S if ended else self._tail_until
        part = text[start:]
        return ScanResult("part", text[:start], "", part, len(part), PART, swallow=ended)

    def _scanned(self, code: str, typed: str, text: str, at: float, *, swallow: bool) -> ScanResult:
        again = code == self._last_code and at - self._last_scan <= REPEAT_S
        self._last_code, self._last_scan = code, at
        self._tail_until = at + (_SECOND_END_S if swallow else _LATE_END_S)
        self._broken = float("-inf")
        return ScanResult(
            "repeat" if again else "scan", typed, code, text, len(text), swallow=swallow
        )

    def _code(self, text: str) -> str:
        """The code, if the text is a payload and nothing else, in whatever keyboard layout."""
        for way in (text, *undamaged(text)):
            if WHOLE_PAYLOAD.fullmatch(way):
                try:
                    return code_in(way, self.marks)
                except CodeError:
                    continue
        return ""


def _starts(keys: list[_Key]) -> list[int]:
    """Where the scan may start, when somebody typed just before it: the whole burst first, then
    after the longest pauses."""
    pauses = {at: later.at - sooner.at for at, (sooner, later) in enumerate(pairwise(keys), 1)}
    return [0, *sorted(pauses, key=lambda at: -pauses[at])[:4]]


def _mean_gap(burst: list[_Key]) -> float:
    """Seconds between two keys on average; of several pauses the longest, a stall, is left out."""
    gaps = sorted(later.at - sooner.at for sooner, later in pairwise(burst))
    counted = gaps[:-1] if len(gaps) > 2 else gaps
    return sum(counted) / len(counted)


def _machine_fast(burst: list[_Key], *, ended: bool) -> bool:
    if len(burst) < 2:
        return False
    return _mean_gap(burst) <= MEAN_GAP_S and (ended or _mean_gap(burst) > PASTE_GAP_S)


def _is_part(burst: list[_Key], *, ended: bool) -> bool:
    """Whether the start of a code that is not whole was sent by a scanner."""
    if len(burst) > 1 and all(key.command for key in burst):
        return True
    text = "".join(key.character for key in burst)
    sure = any(_SURE_PART.match(way) for way in (text, *undamaged(text)))
    return sure and _machine_fast(burst, ended=ended)


def _what_is_wrong(text: str, marks: tuple[str, ...]) -> str:
    """For an address without a code, or a code with a wrong check character: the sentence."""
    try:
        if _ADDRESS.fullmatch(text):
            code_in(text, marks)
        elif re.fullmatch(CODE_PATTERN, text, re.IGNORECASE):
            parse_code(text, marks)
    except CodeError as error:
        return str(error)
    return ""

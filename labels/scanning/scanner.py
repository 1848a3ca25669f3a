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
* `verdict.swallow`: the key just fed ends the scan; the screen must not see it. Where it is
  false the key goes its usual way (and, if printable, counts as held from now on).

Characters of one key after another are held until 70 ms pass without a key, so a person never
notices. A scan is a burst, on average no slower than 45 ms a key, that is exactly one payload,
an address and a code or a bare code with its hyphens, and whose check character agrees. No
typing is that fast for eight keys, and words, key repeat and pasted text are no payloads. Text
that arrives all at once (a paste in a terminal that does not mark pastes) is taken for a scan
only if a return ends it.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal, NamedTuple

from labels.code import parse_code
from labels.errors import CodeError
from labels.scanning.layouts import undamaged
from labels.symbols.payload import CODE_PATTERN, WHOLE_PAYLOAD, code_in

LONGEST_GAP_S = 0.07
"""A longer pause ends a burst. Slow scanners take 30 ms a key."""
MEAN_GAP_S = 0.045
"""A burst that is slower than this on average was typed."""
PASTE_GAP_S = 0.0005
"""Keys that are closer than this on average came in one piece."""
REPEAT_S = 1.5
"""The same code within this time is one pull of the trigger, or a shaking hand."""
_TAIL_S = 0.15
"""A second end key (CR and LF) within this time belongs to the scan before."""
_LONGEST = 300

END_KEYS = frozenset("\r\n\t")
_ADDRESS = re.compile(r"(\][A-Z]\w)?HTTPS?://\S+", re.IGNORECASE)

Kind = Literal["hold", "typing", "scan", "repeat", "bad"]


@dataclass(frozen=True, slots=True)
class Verdict:
    """What became of the keys so far; see the module's description."""

    kind: Kind
    typed: str = ""
    """The characters that are now known to be typed; with a scan, those just before it."""
    code: str = ""
    """For a scan or a repeat: the canonical code."""
    text: str = ""
    """For a scan, repeat or bad scan: the characters as they came."""
    take_back: int = 0
    """How many of the last characters fed belong to the scan, the end key not counted."""
    reason: str = ""
    """For a bad scan: what is wrong, as a sentence."""
    swallow: bool = False
    """Whether the key just fed ends the scan and must not be seen by the screen."""


HOLD = Verdict("hold")


class _Key(NamedTuple):
    character: str
    at: float


class ScanListener:
    """Watches the keys of one keyboard."""

    def __init__(self, marks: Iterable[str] = ()) -> None:
        """`marks` are the known marks; they only help where a keyboard layout is wrong."""
        self.marks = tuple(marks)
        self._held: list[_Key] = []
        self._last_code = ""
        self._last_scan = float("-inf")

    @property
    def due(self) -> float | None:
        """When `tick` should be called if no key comes before; None when nothing is held."""
        return self._held[-1].at + LONGEST_GAP_S if self._held else None

    def feed(self, character: str, at: float) -> Verdict:
        """Take one key: a printable character, or a return, line feed or tab."""
        if character in END_KEYS:
            return self._end(at)
        before = HOLD
        if self._held and (at - self._held[-1].at > LONGEST_GAP_S or len(self._held) >= _LONGEST):
            before = self._resolve(at, ended=False)
        self._held.append(_Key(character, at))
        return before

    def tick(self, at: float) -> Verdict:
        """Time has passed: what was held is resolved when the burst is over."""
        if self._held and at - self._held[-1].at >= LONGEST_GAP_S:
            return self._resolve(at, ended=False)
        return HOLD

    def _end(self, at: float) -> Verdict:
        if not self._held:
            return Verdict("hold", swallow=at - self._last_scan <= _TAIL_S)
        in_time = at - self._held[-1].at <= LONGEST_GAP_S
        return self._resolve(at, ended=in_time)

    def _resolve(self, at: float, *, ended: bool) -> Verdict:
        keys, self._held = self._held, []
        text = "".join(key.character for key in keys)
        fast = [start for start in _starts(keys) if _machine_fast(keys[start:], ended=ended)]
        for start in fast:
            code = self._code(text[start:])
            if code:
                return self._scanned(code, text[:start], text[start:], at, swallow=ended)
        for start in fast if ended else ():
            reason = _what_is_wrong(text[start:], self.marks)
            if reason:
                self._last_scan = at
                scan = text[start:]
                return Verdict("bad", text[:start], "", scan, len(scan), reason, swallow=True)
        return Verdict("typing", typed=text)

    def _scanned(self, code: str, typed: str, text: str, at: float, *, swallow: bool) -> Verdict:
        again = code == self._last_code and at - self._last_scan <= REPEAT_S
        self._last_code, self._last_scan = code, at
        return Verdict("repeat" if again else "scan", typed, code, text, len(text), swallow=swallow)

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


def _machine_fast(burst: list[_Key], *, ended: bool) -> bool:
    if len(burst) < 2:
        return False
    mean = (burst[-1].at - burst[0].at) / (len(burst) - 1)
    return mean <= MEAN_GAP_S and (ended or mean > PASTE_GAP_S)


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

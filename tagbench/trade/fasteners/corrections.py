"""A number that was taken back: `M8x50 x2 no wait 3` are three, `12 screws? no 2.` are two."""

from __future__ import annotations

import re

from tagbench.trade.fasteners.abroad import languages
from tagbench.trade.fasteners.patterns import SIZE, replaced
from tagbench.trade.fasteners.vocabulary import count_said

_MARK = (
    r"\s?(?:\.{2,3}|…)?(?:(?:,|\s-)?\s?\(?(?:oh\s)?(?:no|nope|nah),?\swait(?:,|\s-)?"
    r"|\s(?:no,?\s)(?:make (?:that|it)|I mean)"
    r"|,?\s?\(?(?:no,?\s)?(?:(?:I\s)?tell a lie|my mistake|hang on|sorry"
    r"|oops|make (?:that|it)|I mean|correction|(?:scratch|scrub|strike) that|nein"
    r"|pardon|perdón|scusa|anzi),?|\?\s?no,?|(?:,|\s-)\s(?:no,|nope,?|nah,?))\s"
)
_N = (
    r"(?:[1-9][0-9]?|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve"
    r"|zwei|drei|vier|fünf|sechs|acht|deux|trois|quatre|cinq|dos|tres|cuatro|cinco|due|tre|quattro)"
)
_MANY = rf"(?P<new>{_N})(?P<unit>\s?(?:off|of them|pcs?|pieces))?\)?"
_ENDS = r"(?=\s?(?:$|[,;:(]|\.(?![0-9])|\s-\s))"
#: The count stands right before what takes it back.
_RIGHT_BEFORE = (
    re.compile(rf"(?<!\w)x\s?[1-9][0-9]?{_MARK}x?{_MANY}{_ENDS}", re.IGNORECASE),
    re.compile(
        rf"(?<![\w.,/x])[1-9][0-9]?\s?(?:off|of them|pcs?|pieces){_MARK}x?{_MANY}{_ENDS}",
        re.IGNORECASE,
    ),
)
#: The same with its word before it: qty 5 - no, 4.
_QUANTITY = re.compile(
    rf"\b(?:qty|quantity|anz(?:ahl)?)\.?:?\s[1-9][0-9]?{_MARK}x?{_MANY}{_ENDS}", re.IGNORECASE
)
#: The count stands first in its clause.
_FIRST = re.compile(
    rf"(?P<opens>(?:^|[:]\s|\s-\s)(?:[^\W\d_]{{3,}}\s){{0,3}}|[,;:]\s|\s-\s){_N}"
    rf"(?P<what>x?\s[^,;:?]*?[^,;:?\s]){_MARK}"
    rf"x?{_MANY}{_ENDS}",
    re.IGNORECASE,
)
#: The count before its thing was taken back: 5 no make that 6 chaincase screws.
_BEFORE_NAME = re.compile(
    rf"(?P<opens>^|[:]\s|\s-\s){_N}x?{_MARK}(?P<new>{_N})(?=x?\s(?:[^\W\d_]{{3}}|M[0-9]))",
    re.IGNORECASE,
)
#: A count behind its thing: viti sella 4 anzi 3 M8x20.
_BEHIND_NAME = re.compile(
    rf"(?<=[^\W\d_]\s){_N}x?{_MARK}(?P<new>{_N})(?=\s(?:M[0-9]|[0-9]/[0-9]|[^\W\d_]{{3}}))",
    re.IGNORECASE,
)
#: The same at the end of its clause: side cover bolts 2... make that 3, found one.
_BEHIND_END = re.compile(
    r"(?:(?<=[^\W\d_]\s)|(?<=[^\W\d_][.:,]\s))(?<!\bda\s)(?<!\bde\s)(?<!\bdi\s)(?<!\bof\s)(?<!von\s)"
    rf"{_N}x?{_MARK}x?(?P<new>{_N})(?=\s?(?:$|[,;+(]|\.(?![0-9])|-\s))",
    re.IGNORECASE,
)
#: `1 grub M6x8, no 2 of them on top of each other`.
_OF_THEM = re.compile(
    rf"(?P<opens>^|[,;:]\s|\s-\s){_N}(?P<what>x?\s[^,;:?]*?[^,;:?\s])(?:,|\s-)\s"
    rf"no,?\s(?P<new>{_N})\s(?:of\s(?:them|those)|off)\b",
    re.IGNORECASE,
)
_SIZED = re.compile(r"[0-9](?:\s?x\s?|\s)[0-9]|[0-9]\s?(?:mm|in\b|\")", re.IGNORECASE)
#: They go by a number, which a no may stand for.
_NUMBERED = re.compile(
    r"wood|tapp(?:ing|er)|self.?tap|drive screw|taper pin|woodruff", re.IGNORECASE
)
#: A size that was taken back stands right before what takes it back.
_SIZE_BEFORE = re.compile(
    rf"(?P<thread>{SIZE}){_MARK}(?P<new>{SIZE}|x?\s?[0-9]{{2,3}}(?:\s?mm)?){_ENDS}", re.IGNORECASE
)
#: A size that was taken back in French or German: M8x30 non M8x35. In Italian a non is a not.
_NON = re.compile(rf"(?P<thread>{SIZE})\s(?:non|nein)\s(?P<new>{SIZE}){_ENDS}", re.IGNORECASE)
#: The thread alone was taken back: `M6x25, no, they're M5`.
_THREAD_BEFORE = re.compile(
    r"(?<![\w.])M[0-9]+(?:\.[0-9])?(?P<long>\s?x\s?[0-9]{1,3}(?:\s?mm)?)?(?P<between>(?:\s[^\W\d_]+){0,2})"
    r"(?:,|\s-)\s(?:(?:no|nope|nein|non),?\s(?:they're|they\sare|those\sare|it's|it\sis|son|es|sono|è|sind"
    r"|es\ssind|das\ssind|sont|ce\ssont|c'est)|(?:no|nope|nein|non),)\s"
    rf"(?P<new>M[0-9]+(?:\.[0-9])?){_ENDS}",
    re.IGNORECASE,
)
#: `9 bolts, no 10, found one`: a number near the first one, which is said anew.
_NO_THEN = re.compile(
    rf"(?P<opens>(?:^|[:]\s|\s-\s)(?:[^\W\d_]{{3,}}\s){{0,3}}|[,;:]\s|\s-\s)(?P<old>{_N})"
    rf"(?P<what>x?\s[^,;:?]*?[^,;:?\s]),\s(?:no|non|nein|nee)\s(?P<new>{_N})(?=\s?(?:$|[,.;]))",
    re.IGNORECASE,
)
#: The same behind the thing: bolts 2, no 3; x4.. no 5; 4 of. no 3.
_NO_BEHIND = re.compile(
    rf"(?:(?<=[^\W\d_]\s)|(?<=\w,\s))(?P<old>{_N})(?P<off>\s?(?:off|of|pcs))?(?P<mark>\s?(?:\.{{1,3}}|…|,|!|\s-)|)\s"
    rf"no\s(?P<new>{_N})(?=\s?(?:$|[,;!(]|-\s|\.(?![0-9])))",
    re.IGNORECASE,
)
#: No correction is further away, and a screw may go by a number: 12 wood screws, no 8.
_NEAR = 2


def _said_anew(found: re.Match[str]) -> str:
    old, new = (count_said(found[name]) for name in ("old", "new"))
    if not 0 < abs(old - new) <= _NEAR or _NUMBERED.search(found["what"]):
        return found[0]
    return f"{found['opens']}{found['new']}{found['what']}"


_SIZE_SAID = re.compile(SIZE, re.IGNORECASE)
#: Of these a number may be the size.
_BY_NUMBER = re.compile(r"screw|bolt|nut|washer|rivet|drill|pin\b|pins\b|key|stud", re.IGNORECASE)
#: The number in brackets: 6 (no 5, one fell in).
_IN_BRACKETS = re.compile(
    rf"(?<=[^\W\d_]\s)(?P<old>{_N})\s\((?:oh\s)?no,?\s(?P<new>{_N})(?P<rest>\)|,\s)", re.IGNORECASE
)
#: One inch thread for another: #10-24 NO 10-32.
_INCH_NO = re.compile(
    r"(?<![\w./-])#?[0-9]{1,2}-[0-9]{2}\s(?:NO|no,?)\s(?P<new>#?[0-9]{1,2}-[0-9]{2})(?![\w.-])"
)


def _in_brackets(found: re.Match[str]) -> str:
    old, new = (count_said(found[name]) for name in ("old", "new"))
    if not 0 < abs(old - new) <= _NEAR:
        return found[0]
    return found["new"] if found["rest"] == ")" else f"{found['new']} ("


def _anew_behind(found: re.Match[str]) -> str:
    old, new = (count_said(found[name]) for name in ("old", "new"))
    screws = _BY_NUMBER.search(found.string) and not (found["mark"] or found["off"])
    numbered = _NUMBERED.search(found.string) or screws
    sized = _SIZE_SAID.search(found.string[: found.start()])
    if not 0 < abs(old - new) <= _NEAR or (numbered and not sized):
        return found[0]  # bolts 7 no 8 may be seven of number 8
    return f"{found['new']} off" if found["off"] else found["new"]


#: `4 nuts M7 no wait M8`, `4 1/4-20, no make that 5/16-18`.
_INCH_AGAIN = re.compile(
    rf"(?<![\w./-])[0-9]{{1,2}}/[0-9]{{1,2}}-[0-9]{{2}}{_MARK}(?P<new>[0-9]{{1,2}}/[0-9]{{1,2}}-[0-9]{{2}})(?![\w.])",
    re.IGNORECASE,
)
#: `4 nuts M7 no wait M8`.
_THREAD_AGAIN = re.compile(
    rf"(?<![\w.])M[0-9]+(?:\.[0-9])?(?P<long>\s?x\s?[0-9]{{1,3}}(?:\s?mm)?)?{_MARK}"
    rf"(?P<new>M[0-9]+(?:\.[0-9])?)(?![\w.x])",
    re.IGNORECASE,
)
#: The number is said again with what it counts: `3 nuts no 4 nuts`, `4 no, 5 nuts`.
_SAID_AGAIN = (
    re.compile(
        r"(?<![\w.,/x])[1-9][0-9]?\s(?P<what>[^\W\d_]{3,}(?:\s[^\W\d_]{3,})?),?\s(?:-\s)?"
        r"(?:(?:oh\s)?no,?|nein,?|non,?|anzi,?)\s(?:wait,?\s|sorry,?\s)?"
        r"(?P<new>[1-9][0-9]?\s(?P=what))(?!\w)",
        re.IGNORECASE,
    ),
    re.compile(
        r"(?<![\w.,/x])[1-9][0-9]?\s(?:-\s)?no,\s(?P<new>[1-9][0-9]?)(?=\s(?:-\s)?(?:[^\W\d_]{3}|M[0-9]))(?:\s-)?",
        re.IGNORECASE,
    ),
    re.compile(
        r"(?<!\w)x\s?[1-9][0-9]?,?\sno,?\s(?P<new>x?\s?[1-9][0-9]?)(?=\s?(?:$|[,;(]|-\s))",
        re.IGNORECASE,
    ),
)
#: `3 no 4 bolts M8x25`: their thread is said, so that the 4 is no number of a screw.
_NO_NUMBER = re.compile(
    rf"^[1-9][0-9]?\sno\s(?P<new>[1-9][0-9]?\s[^\W\d_]{{3,}}s\s.*?{SIZE})", re.IGNORECASE
)
#: `was 6 now 5 - lost one M5x20`.
_WAS_NOW = re.compile(
    r"(?:^|(?<=,\s))was\s[1-9][0-9]?,?\s(?:now|only)\s(?P<new>[1-9][0-9]?)(?![\w/]|[.,][0-9])",
    re.IGNORECASE,
)
#: A sentence that takes a number back: 4. Sorry 3.
_SORRY = re.compile(r"(?<=[0-9])\.\s(?=(?:sorry|oops|no),?\s[1-9])", re.IGNORECASE)
#: `3 bolts, no only 2`, `8 nuts no, only 7`.
_ONLY = re.compile(
    r"(?<![\w.,/x])[1-9][0-9]?(?P<what>x?\s[^,;:()]*?[^,;:()\s]),?\sno,?\sonly\s(?P<new>[1-9][0-9]?)"
    r"(?=\s?(?:$|[,;(]|-\s|and\b|&|\+))",
    re.IGNORECASE,
)
#: Without one of these nothing is taken back.
_TAKES_BACK = re.compile(
    r"(?<![^\W\d_])(?:no|nope|nah|non|nein|nee|anzi|make|mean|lie|mistake|hang|sorry|oops"
    r"|correction|that|pardon|perdón|scusa|was)\b",
    re.IGNORECASE,
)
#: Nobody writes so many on a bag as a bare number that is taken back, in mm a usual length.
_SURELY_LONG = 13
#: A bare number from here on may as well be a length, in mm.
_SHORTEST = 8


def corrected(note: str) -> str:
    """The note with the last number said in place of the one that was taken back.

    A number that may take back a length stands as it was typed.
    """
    if "“" in note or not _TAKES_BACK.search(note):
        return note
    note = _SORRY.sub(", ", note)
    for pattern in (*_RIGHT_BEFORE, _QUANTITY):
        note = pattern.sub(lambda found: f"{_joint(found)}{found['new']} off", note)
    for pattern in (*_SAID_AGAIN, _NO_NUMBER):
        note = note if _NUMBERED.search(note) else pattern.sub(_counted, note)
    note = replaced(_BEHIND_END, r"\g<new> off", note)
    note = replaced(_BEHIND_NAME, r"\g<new> x", replaced(_BEFORE_NAME, r"\g<opens>\g<new>", note))
    if languages(note) & {"fr", "de"}:
        note = replaced(_NON, r"\g<new>", note)
    note = replaced(_WAS_NOW, r"\g<new> off", note)
    note = replaced(_ONLY, r"\g<new>\g<what>", note)
    note = replaced(_INCH_NO, r"\g<new>", _IN_BRACKETS.sub(_in_brackets, note))
    note = _NO_BEHIND.sub(_anew_behind, _NO_THEN.sub(_said_anew, note))
    note = replaced(_INCH_AGAIN, r"\g<new>", note)
    note = replaced(_OF_THEM, r"\g<opens>\g<new>\g<what>", note)
    note = replaced(_THREAD_AGAIN, r"\g<new>\g<long>", note)
    note = replaced(_THREAD_BEFORE, r"\g<new>\g<long>\g<between>", note)
    return _FIRST.sub(_first, _SIZE_BEFORE.sub(_size, note))


def _counted(found: re.Match[str]) -> str:
    """`M8 nuts 5 off` for the x4 no 5 of it; what is counted behind the number stays behind it."""
    new = found["new"].lstrip("x ")
    return f"{new} off" if found[0][0] in "xX" else new


def _size(found: re.Match[str]) -> str:
    new = found["new"].lower()
    if new[0] == "x":
        return re.sub(r"[0-9./ -]+\"?$", new.lstrip("x "), found["thread"])  # M8x30 - no, x35
    if "x" in new:
        return found["new"]
    counted = re.search(r"(?:^|[,;:]\s)[1-9][0-9]?x?\s[^,;:]*$", found.string[: found.start()])
    if int(new.rstrip(" m")) < _SURELY_LONG or (counted and "mm" not in new):
        return found[0]
    return re.sub(r"[0-9./ -]+\"?$", new, found["thread"])


def _joint(found: re.Match[str]) -> str:
    before = found.string[: found.start()]
    return "" if not before or before.endswith(" ") else " "


def _first(found: re.Match[str]) -> str:
    new = found["new"]
    doubted = found.string[found.end("what") :].lstrip().startswith("?")
    if doubted and (found["what"][-1:].isdigit() or _NUMBERED.search(found["what"])):
        return found[0]  # 4 M6? no 8; 12 wood screws? no 8
    high = new.isdecimal() and int(new) >= _SHORTEST
    if _SIZED.search(found["what"]) and high and not found["unit"]:
        return found[0]
    return f"{found['opens']}{new}{found['what']}"

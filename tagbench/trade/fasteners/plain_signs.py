"""Signs of a note made plain: one sign for a cross, single blanks, one case for threads."""

from __future__ import annotations

import re
from functools import lru_cache

from tagbench.trade.fasteners.patterns import replaced

_SIGNS = str.maketrans(
    {
        "×": "x", "✕": "x", "✖": "x", "–": "-", "—": "-", "−": "-", "‐": "-", "‑": "-",
        "″": '"', "’": "'", "‘": "'", "′": "'", "\u00a0": " ", "\t": " ", "⌀": "Ø", "∅": "Ø",
        "ø": "ø", "⁄": "/", "…": " ",
    }
)  # fmt: skip
#: `bearings 6203x2` and `2x6202`: a bearing's number has no cross.
_BEARING_TIMES = re.compile(
    r"\b(6[0-9]{3}(?:[\s-]?(?:2?RS[12H]?|2?Z{1,2}))?)x(?=[1-9][0-9]?\b)", re.I
)
_TIMES_BEARING = re.compile(r"(?<![\w.,])([1-9][0-9]?)\s?x\s?(?=6[0-9]{3}\b)", re.IGNORECASE)
#: The joints and counts of a note in capitals.
_CAPITAL_WORDS = re.compile(
    r"(?<=\s)(?:E|Y|W/|WITH|AND|ALL|W(?=\s(?:LOCK|SPLIT|SPRING|NYLOC|FLAT|PLAIN|STAR)))(?=\s)"
)
#: The m6 of `6 m6 x 30` is the fit of a dowel; a capital M6 behind a blank is a thread.
FIT_OF_PIN = re.compile(
    r"(?<![\w.,])([0-9]{1,2})((?<=[0-9])[mhMH][5-9]|(?<=[0-9])(?:\s[mh][5-9]))\s?[xX]\s?"
    r"([0-9]{1,3})(?![\w.,])"
)


#: A comma typed without its blank, where it is no decimal one: front,rear.
_NO_BLANK_BEHIND = re.compile(r",(?=[^\s\d])|(?<=[^\W\d]),(?=\d)|(?<=[\")\]]),(?=\S)")
#: The comma of `M8,4 washers`, behind what has no decimals.
_LISTED_COUNT = re.compile(
    r"(?<![\w.,])(M(?:[4-9]|[1-9][0-9])(?:x[0-9]{2,3})?|[0-9]+/[0-9]{1,2}|[0-9/]+\sx\s[0-9]{1,3}),"
    r"(?=[0-9]{1,2}\s(?!(?:mm|cm|in|inch|lang|long|thick|dick|dia|od|id)\b)[^\W\d_]{3,})",
    re.IGNORECASE,
)
#: The X of capitals, which stands between figures: 4 X M6X20.
_CAPITAL_X = re.compile(r"(?<=[0-9\s\")])X(?=[0-9\sM.,]|$)|^X(?=[0-9])")
#: The m6 of a thread in small letters; behind a figure it may be the fit of a pin: 6m6x20.
#: In quotes it stays as it was typed.
_SMALL_M = re.compile(r"“[^”]*”|(?<![^\W_])m(?=\s?[0-9]{1,2}(?![0-9]))|(?<=[0-9][x*])m(?=[0-9])")
_SMALL_M_COUNTED = re.compile(r"(?<![\w.,])([1-9][0-9]?)m(?=[0-9]{1,2}x[0-9])")
PINS = re.compile(
    r"stift|(?<!\bs)pins?\b|dowel|goupille|pasador|\bspin[ae]\b|DIN\s?(?:7|6325|7979)\b|ISO\s?(?:2338|873[345])\b",
    re.IGNORECASE,
)
#: What ends a note and says nothing.
_LAST_POINT = re.compile(r"(?<=[\w)\"”])\.$")


#: A star for a cross, and a series typed without its blanks: 5/16BSFx1.
_STARS = re.compile(r"(?<=[0-9])(\s?)\*(\s?)(?=[0-9.M#])")
_SERIES_X = re.compile(r"(?<=[0-9])(BS[FWC]|UN[FC]|W)x(?=[0-9])", re.IGNORECASE)


#: Short for countersunk, and a star before a count: c/sk, *4.
_CSK = re.compile(r"\bc/s(?:k|unk)?\b", re.IGNORECASE)
_STAR_COUNT = re.compile(r"(?<=[\w)])\s\*\s?([1-9][0-9]?)$")


#: Short for and: pin n spring.
_N = re.compile(
    r"(?<=[^\W\d_]{3}),?\s'?n'?\s(?=[^\W\d_]{3})|(?<=[^\W\d_]{2}),?\s'?n'?\s(?=[1-9][0-9]?\s[^\W\d_]{3})",
    re.IGNORECASE,
)
_RE_USE = re.compile(r"\bre-use", re.IGNORECASE)
#: The OR of `OR 22x2` is an O-ring.
_O_RING = re.compile(r"(?<![\w.])OR(?=\s?[0-9]{1,3}(?:[.,][0-9]+)?\s?x\s?[0-9])")
#: The unit of a list in capitals: NUT 2 EA / WASHER 4 EA.
_EACH_ONE = re.compile(r"\b([1-9][0-9]?)\s?EA\b\.?(?!\s(?:SIDE|END|LEG|WHEEL|CORNER))")
#: A row of a table: 2/bolt/M10x60.
_TABLE_ROW = re.compile(
    r"(?<![\w.,/|])(?P<n>[1-9][0-9]?)[/|](?P<what>[^\W\d_]{3,}(?:\s[^\W\d_]+)?)[/|](?=M\s?[0-9]|[0-9#])"
)
#: The same with its state: valve spring/2/OK.
_STATE_ROW = re.compile(
    r"(?<![\w.,/|])(?P<what>[^\W\d_]{3,}(?:\s[^\W\d_]+)?)[/|](?P<n>[1-9][0-9]?)[/|](?=[^\W\d_]{2})"
)
#: How many there are of a size: M6x30=2; and 2 in no.
_EQUALS = re.compile(r"(?<=[0-9])=(?P<n>[1-9][0-9]?)(?=\s?(?:$|[,;.)(]))")
_IN_NUMBER = re.compile(r"(?<![\w.,/])([1-9][0-9]?)\sin\sno\b\.?", re.IGNORECASE)
#: Sizes with their counts, parted by a stroke: M6x20 4 / M6x35 2.
_SIZE_STROKE = re.compile(
    r"(?<=[0-9]\s[1-9])\s/\s(?=M\s?[0-9]|[^\W\d_])|(?<=[0-9]\s[1-9][0-9])\s/\s(?=M\s?[0-9])"
    r"|(?:(?<=\sx[1-9])|(?<=\sx[1-9][0-9]))\s/\s(?=\S)"
)
#: German for how many without its blank: 2St.
_STUECK = re.compile(
    r"(?<![\w.,/x])([1-9][0-9]?)(St(?:k|ck|ück)?|stk|stck|stück|(?<=[0-9])st(?=\s[+&,]|$))\b"
)
#: How a head is tightened, and no cross recess.
_CRISSCROSS = re.compile(r"\b(criss)[\s-](cross)", re.IGNORECASE)
#: Hours of a clock, which say where: at six o'clock.
_CLOCK = re.compile(
    r"\b(one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve)(?=\so'?clock\b)", re.I
)
_HOURS = {
    "one": "1", "two": "2", "three": "3", "four": "4", "five": "5", "six": "6", "seven": "7",
    "eight": "8", "nine": "9", "ten": "10", "eleven": "11", "twelve": "12",
}  # fmt: skip
#: Dots before a count: hub cap screws...12.
_DOTS = re.compile(r"(?<=[^\W\d_])\s?\.{2,}\s?(?=[1-9][0-9]?(?:\s|$))")
#: Short for each: 2 bolts ea side.
_EACH = re.compile(r"\bea\.?\s(?=(?:side|end|leg|wheel|corner|hub|arm)\b)", re.IGNORECASE)
#: So many of a size: 4 ea 1/4-20x3/4.
_EACH_SIZED = re.compile(
    r"\b([1-9][0-9]?)\s?ea\.?\s(?=M\s?[0-9]|[0-9]+/[0-9]|#[0-9])", re.IGNORECASE
)
#: So many at each: two a side.
_A_SIDE = re.compile(
    r"\b(?P<many>[1-9]|one|two|three|four|five|six)\sa\s(?=(?:side|end|leg|wheel|corner|hub)\b)",
    re.IGNORECASE,
)
#: Short for with: brushes w. springs.
_WITH_POINT = re.compile(r"\sw\.\s(?=[^\W_])")
#: Washers in short, with a stroke: s/w, p/washers, s/proof.
_STROKE = re.compile(
    r"\b(?P<sort>[slpf])/(?P<noun>w(?:asher)?(?P<many>s?)|proof(?:s|\swashers?)?)\b"
    r"|\bs/p\s(?=washers?\b)",
    re.IGNORECASE,
)
#: A count before a fraction: brass x4 3/16 dia.
_TIMES_FRACTION = re.compile(r"(?<=[^\W\d_]\s)x([1-9][0-9]?)\s(?=[0-9]{1,2}/[0-9])")
#: How many of a size, behind a stroke or a colon: M6x45 / 3 Stk, M8x30 : 3.
_SIZE_AND_MANY = re.compile(
    r"(?P<size>\bM[0-9]{1,2}(?:\s?x\s?[0-9]{1,3}))\s?(?:/\s?(?P<a>[1-9][0-9]?)\s?(?:Stk|Stck|St|pcs|pz|uds)\b\.?"
    r"|:\s?(?P<b>[1-9][0-9]?)(?=\s?(?:[/,;]|$)))",
    re.IGNORECASE,
)
_PIECE = re.compile(r"(?<![\w.,/])([1-9][0-9]?)\spc\b\.?(?!s)", re.IGNORECASE)
#: About so many: like 4 screws.
_LIKE = re.compile(r"(?:^|(?<=[,;:-]\s))like\s(?=[1-9])", re.IGNORECASE)
#: A hexagon in German, and no six of them.
_HEXAGON = re.compile(
    r"(?P<inner>\binnen[\s-]?)?(?<![\w.,/])6[\s-]?(?:kant|kt)\b"
    r"|\b(?P<whole>innen)6(?:kant|kt)\b",
    re.IGNORECASE,
)
#: A pair in other languages, of what stands behind it or before it: 1 Paar Federn, Federn 1 Paar.
_PAIR = re.compile(
    r"(?<![\w.,/])1\s(?:Paar|paire|paio|coppia)\b(?:\s(?:de|di|von|d'))?"
    r"(?:(?P<joint>\s(?:u\.|und|et|e|\+|&)\s(?=[1-9]))"
    r"|(?P<noun>(?=\s(?!und\b|et\b|mit\b|con\b|avec\b|u\.)[^\W\d_]{3})))?",
    re.IGNORECASE,
)
#: On the left and on the right in short: adjusters L+R.
_LEFT_AND_RIGHT = re.compile(r"(?<=[^\W\d_]s\s)L\s?[+&]\s?R\b", re.IGNORECASE)
#: Either of two threads: 3BA? 4BA?
_EITHER_THREAD = re.compile(
    r"(?<![\w./])(?P<a>[0-9]{1,2}BA|M[0-9]{1,2})\?\s(?:or\s)?(?P<b>[0-9]{1,2}BA|M[0-9]{1,2})\?",
    re.IGNORECASE,
)
#: A second thread that is only thought of: M6 x 20, might be 1/4 BSF.
_THREAD_TYPED = (
    r"(?:M[0-9]{1,2}(?:x[0-9.]+)?|[0-9]{1,2}\s?BA|(?:[0-9]{1,2}/[0-9]{1,2}|[1-9]{1,2})\"?\s?"
    r"(?:BSF|BSW|BSC|UNF|UNC|whit(?:worth)?|cycle))"
)
_MIGHT_BE = re.compile(
    rf"(?P<a>\b{_THREAD_TYPED}(?![\w/])[^,;.:?]{{0,30}}?)(?:[,?]+\s|\s[-(]?\s?)"
    r"(?:or\s)?(?:maybe|perhaps|possibly|(?:it\s)?(?:might|may|could)\sbe|vielleicht|evtl\.?|peut-être"
    rf"|quizás?|forse)\s(?:even\s)?(?:a\s|an\s)?(?P<b>{_THREAD_TYPED})\)?(?=\s?(?:$|[,;.?]))",
    re.IGNORECASE,
)
_THOUGHT = re.compile(
    r"maybe|perhaps|possibly|(?:might|may|could)\sbe|vielleicht|evtl|peut|quiz|forse", re.IGNORECASE
)
#: A split pin in short.
_SPLIT_PIN = re.compile(r"\bs/pin(?=s?\b)", re.IGNORECASE)
#: What keeps an engine at its heat, and has no T head: t-stat.
_T_STAT = re.compile(r"\bt-?stat\b", re.IGNORECASE)
_WASHERS = {"s": "spring", "l": "lock", "p": "plain", "f": "flat"}


#: `une paire d'écrous`, and `6202/6203`.
_ELISION = re.compile(
    r"\bd['’](?=(?:é|e)crou|entretoise|(?:é|e)pingle|anneau|axe\b)", re.IGNORECASE
)
_TWO_BEARINGS = re.compile(r"\b(6[0-9]{3})/(?=6[0-9]{3}\b)")


def _size_and_many(found: re.Match[str]) -> str:
    return f"{found['size']} x{found['a'] or found['b']}"


def _pair(found: re.Match[str]) -> str:
    return "2" if found["noun"] is not None else "2 off, " if found["joint"] else "2 off"


def _hexagon(found: re.Match[str]) -> str:
    return "Innensechskant" if found["inner"] or found["whole"] else "Sechskant"


def _washer(found: re.Match[str]) -> str:
    """The washer that is meant by a letter and a stroke."""
    if found["sort"] is None or "proof" in found["noun"].lower():
        return "shakeproof " if found["noun"] is None else f"shake{found['noun']}"
    return f"{_WASHERS[found['sort'].lower()]} washer{found['many']}"


def _capital_m(found: re.Match[str]) -> str:
    return "M" if found[0] == "m" else found[0]


#: `none here, but 2 M6x10 on the left`: it joins what is counted, as `and` does.
_BUT = re.compile(r",?\sbut\s(?=[1-9][0-9]?\s?(?:x\s?)?(?:M[0-9]|[0-9]+/[0-9]))", re.IGNORECASE)


#: `5 nuts but only 4 washers`: of another thing there are fewer.
_BUT_ONLY = re.compile(
    r"(?P<named>\b(?P<kind>[^\W\d_]+)),?\sbut\s(?:only\s)?(?=[1-9][0-9]?\s(?!(?P=kind)\b)(?:[^\W\d_]+\s)?"
    r"(?:washer|nut|screw|bolt|stud|pin|circlip|spring|clip)s?\b)",
    re.IGNORECASE,
)
#: The fit in a note in capitals: 6 M6 X 30 DOWEL.
_CAPITAL_FIT = re.compile(r"(?<=[0-9])\sM(?=[5-9]\s?[xX])")
_DOWELS = re.compile(r"STIFT|DOWEL|ISO\s?(?:2338|873[45])\b|DIN\s?(?:7|6325)\b")


def _in_one_case(text: str) -> str:
    """The text with a small x as cross and a capital M before the size of a thread."""
    if text.replace("x", "X").isupper() and _DOWELS.search(text):
        text = _CAPITAL_FIT.sub(" m", text)
    plain = _CAPITAL_X.sub("x", text)
    if "*" in plain:
        plain = replaced(_STAR_COUNT, r" x\1", replaced(_STARS, r"\1x\2", plain))
    plain = _ELISION.sub("de ", plain)
    if "/" in plain:
        plain = _CSK.sub("csk", replaced(_TWO_BEARINGS, r"\1, ", plain))
        plain = _STROKE.sub(_washer, _SPLIT_PIN.sub("split pin", plain))
    plain = _T_STAT.sub("thermostat", plain)
    plain = _SIZE_AND_MANY.sub(_size_and_many, replaced(_TIMES_FRACTION, r"x\1, ", plain))
    plain = _LIKE.sub("about ", replaced(_PIECE, r"\1 pcs", plain))
    plain = _PAIR.sub(_pair, plain)
    plain = _LEFT_AND_RIGHT.sub("left and right", plain)
    plain = replaced(_EITHER_THREAD, r"\g<a> or \g<b>", plain) if "?" in plain else plain
    if _THOUGHT.search(plain) is not None:
        plain = replaced(_MIGHT_BE, r"\g<a> or \g<b>", plain)
    if "6" in plain:
        plain = _HEXAGON.sub(_hexagon, plain)
    plain = _O_RING.sub("O-ring", plain) if "OR" in plain else plain
    if len(_EACH_ONE.findall(plain)) > 1:
        plain = replaced(_EACH_ONE, r"\1 off", plain)
    plain = _DOTS.sub(", ", plain) if ".." in plain else plain
    if "/" in plain or "|" in plain:
        plain = replaced(
            _STATE_ROW, r"\g<n> \g<what>, ", replaced(_TABLE_ROW, r"\g<n> \g<what> ", plain)
        )
    plain = replaced(_IN_NUMBER, r"\1 off", replaced(_EQUALS, r" x\g<n>", plain))
    plain = _SIZE_STROKE.sub(", ", plain) if " / " in plain else plain
    plain = replaced(_STUECK, r"\1 \2", replaced(_CRISSCROSS, r"\1\2", plain))
    plain = _CLOCK.sub(lambda found: _HOURS[found[1].lower()], plain)
    plain = _WITH_POINT.sub(" with ", plain)
    small = plain.lower()
    plain = _N.sub(" and ", plain) if " n " in small or " 'n' " in small else plain
    plain = _RE_USE.sub("reuse", plain) if "re-use" in plain.lower() else plain
    plain = replaced(_EACH_SIZED, r"\1 off ", plain)
    plain = replaced(_A_SIDE, r"\g<many> per ", _EACH.sub("each ", plain))
    plain = re.sub(r"\s,(?=\s|$)", ",", plain)
    plain = " ".join(replaced(_SERIES_X, r" \1 x ", plain).split())
    if text.isupper():
        plain = _CAPITAL_WORDS.sub(lambda found: found[0].lower(), f"{plain} ").rstrip()
    plain = replaced(_TIMES_BEARING, r"\1x ", replaced(_BEARING_TIMES, r"\1 x ", plain))
    if not PINS.search(plain):
        return _SMALL_M.sub(_capital_m, replaced(_SMALL_M_COUNTED, r"\1 x M", plain))
    return plain if FIT_OF_PIN.search(plain) else _SMALL_M.sub(_capital_m, plain)


#: A state, and no cross recess.
_CROSSED = re.compile(r"\bcross[ -]threaded\b", re.IGNORECASE)


@lru_cache(maxsize=1024)
def plain_signs(text: str) -> str:
    """The text with single blanks and plain signs: x for crosses, M before a thread's size."""
    plain = _in_one_case(_LAST_POINT.sub("", " ".join(text.translate(_SIGNS).split())))
    plain = (
        replaced(_BUT_ONLY, r"\g<named>, ", _BUT.sub(", ", plain)) if " but " in plain else plain
    )
    plain = _CROSSED.sub("crossthreaded", plain)
    return (
        replaced(_LISTED_COUNT, r"\1, ", _NO_BLANK_BEHIND.sub(", ", plain))
        if "," in plain
        else plain
    )

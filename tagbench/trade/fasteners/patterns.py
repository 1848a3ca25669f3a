"""The patterns of numbers, counts, sizes and tools in a typed fastener."""

from __future__ import annotations

import re
from functools import cache

from tagbench.trade.quantities.unit_words import TORQUE_UNIT

#: A number as it is typed, for use inside a longer pattern.
NUMBER = (
    r"(?:[0-9]{1,3}(?:[ ]|-)[0-9]{1,2}/[0-9]{1,3}(?![0-9])|[0-9]{1,3}/[0-9]{1,3}(?![0-9])"
    r"|[0-9]{0,4}[.,][0-9]{1,4}(?![.,]?[0-9])|[0-9]{1,5})"
)
#: A unit of length, likewise.
UNIT = (
    r"(?:mm|cm|inches|inch|ins?\b\.?(?!\s(?:all|total|the|each|tutto)\b)|thou?\b|\"|''|zoll\b"
    r"|pouces?\b|pulgadas?\b|pollici\b)"
)

#: What will not come out, and no German Stück: `one stuck in the case`.
STUCK = r"(?:stuck\s(?:in|on|at|to|fast|solid|tight|there)\b|(?-i:stuck)(?=\s?(?:$|[,;.!)])))"

_COUNT_UNITS = (
    r"-?off\b|of\b|ct\b|pcs?\b\.?|pieces?\b|no\b\.?(?!\s?[0-9])|nos\b|ea\b|each\b|units?\b"
    rf"|(?!{STUCK})st(?:ü|ue|u)?c?k?\b\.?|stk\b\.?|pz\b\.?|pezz[io]\b|uds?\b\.?|unidades\b|pi[eè]ces?\b|pces?\b\.?"
    r"|d[ei]\b(?=\sM\s?[0-9])|piezas?\b|pzas?\b|mal\b|fois\b"
)
_AND = (
    r"and|then|with|plus|incl|including|c/w|w/|und|dann|mit|et|puis|avec|con|sowie|\bw"
    r"|(?-i:y|e(?!\s(?:circlip|clip|ring|type)))"
)
_FIGURES = (
    rf"{NUMBER}(?:\s?(?:{TORQUE_UNIT})?\s?(?:-|\bto\b|±|\+/-|\.\.)\s?{NUMBER}(?:\s?%)?)?"
    rf"\s?(?:{TORQUE_UNIT})"
)
_BEHIND = (
    r"long(?!\s(?:one|reach|side|end|arm|leg))|lg|thick|thk|th\b|dia(?:meter)?|ø|lang|dick|long(?:ue)?ur|largo|lungo"
    r"|u/?h|under\s(?:the\s)?head|lunghe|spessore(?!\s[0-9])|o/?d|i/?d|bore|wire\b(?!\s?(?:clip|circlip|ring|lock))"
)
#: So many, in a figure or in words, likewise.
SMALL_COUNT = r"[1-9][0-9]?|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve"
#: An inch fraction, likewise.
FRACTION = r"[0-9]+(?:[ -][0-9]{1,2}/[0-9]{1,2}|/[0-9]{1,2})"
#: Thread and length: M6x25, 1/4 UNF x 7/8.
SIZE = (
    r"(?:M[0-9]{1,2}(?:\.[0-9])?(?:\s?x\s?[0-9]?\.[0-9]{1,2}|\s?x\s?1(?=\s?x))?\s?x\s?[0-9]{1,3}"
    r"|(?:(?:#?[0-9]{1,2}|[0-9]{1,2}/[0-9]{1,2})-[0-9]{2}(?:\s?UN[CF])?"
    r"|#?[0-9]{1,2}(?:/[0-9]{1,2})?\s?(?:UN[CF]|BS[FWC]|BA|whit(?:worth)?))\s?x\s?"
    rf"(?:{FRACTION}|[0-9])(?:\"|\s?in\b)?)"
)
#: Behind a number and a word no fasteners follow, which it would count: 4 drill table screws.
_NO_FASTENERS = (
    r"(?!(?:\s[^\W\d_]+){0,2}\s(?:screws?|bolts?|nuts?|studs?|washers?|pins?|clips?|springs?|rivets?"
    r"|gaskets?|seals?|shims?)\b)"
)
_SEALS = r"(?:[ -/]?(?:2?RS[1R]?H?|DDU|LLU|ZZ|2?Z[RZ]?|C[2-5])|X)*"
_BASIC = (
    r"6[0-9]{2}|6[0-9]{3}|16[01][0-9]{2}|3[0-3][0-9]{3}|NK\s?[0-9]{2}(?:/[0-9]{2})?"
    r"|HK\s?[0-9]{4}|51[1-4][0-9]{2}|6[0-3]/(?:22|28|32)"
)

_SOURCES = {
    "note": r"note:\s*(.*)$",
    "torque": r"(?:(?:torqued?|tighten(?:ed)?|couple(?:\sde\sserrage)?|serrage"
    r"|(?:anzugs)?(?:dreh)?moment|coppia(?:\sdi\sserraggio)?|par(?:\sde\sapriete)?)\b:?\s?"
    r"(?:de\s|di\s)?)?(?:(?:to|at)\b\s?|@\s?)?"
    rf"(?P<figures>{_FIGURES})(?![\w/])\.?(?P<estimate>\s?estimated?\b)?"
    r"(?:\s?\[(?P<source>[^\]]*)\])?",
    "join": r"(?:w/(?=[A-Za-z])|u\.(?=\s)|,|;|\+|&|\||/(?=\s)|-(?=\s)|:(?=\s|$)|\.(?=\s|$)"
    rf"|(?:{_AND})(?=[\s.]))",
    "class": r"(?:(?:property\s)?class\s|(?:marked|stamped|markings?)\s|grade\s|grd?\.?\s?"
    r"|güte\s|klasse\s|qualité\s|clase\s"
    r"|classe\s)?([34]\.[68]|5\.[68]|6\.[689]|8\.8|9\.8|10\.9|12\.9|14\.9)"
    rf"(?![\w/]|[.,][0-9]|x|\sx(?![1-9][0-9]?(?![\w.,/]))|\s?{UNIT})",
    "grade": r"(?:sae\s(?:(?:grade|grd?\.?)\s?)?|(?:grade|grd?\.?)\s?)"
    r"([1-9](?:\.[12])?|(?<=\s)[A-Z])(?![\w/])",
    "nutclass": r"class\s?([0-9]{1,2})(?![\w.])",
    "stainless": r"(A[1-5](?:-(?:50|60|70|80|100))?)(?!\w)",
    "standard": r"(DIN(?:[ -]?EN)?(?:[ -]?ISO)?|EN[ -]?ISO|ISO)[ -]?([0-9]{1,5})"
    r"(?:-(?:[1-9]|10)(?![0-9.x]))?(?![0-9.,x/])",
    "across": rf"({NUMBER})\s?({UNIT})?\s?-?\s?(?:A/?F\b|across\s?flats\b|(?:ring\s|open\s)?"
    r"span(?:n?er|er)\b(?:\ssize)?|wrench\b|llave\b|chiave\b|schlüssel\b"
    r"|(?:hex\s|hexagon\s)?(?:heads?|hd)\b(?!\s?(?:cap|screws|bolts|nuts|studs|set))"
    r"|(?:(?:deep|impact|box)\s)?socket(?:\ssize)?\b(?!\s?(?:head|cap|screw|bolt|set|csk|button|grub)))",
    "whit_spanner": rf"({NUMBER})\s?(?:\"\s?)?(W|BS|whit(?:worth)?|BSW|BSF)\s?(?:ring\s|open\s)?"
    r"(?:span(?:n?er|er)s?\b|wrench\b|socket\b(?!\s?(?:head|cap|screw|bolt|set)))",
    "whit_spanner_first": rf"(?:spanner|wrench)\s({NUMBER})\s?(W|whit(?:worth)?)\b",
    "across_first": r"(?:A/?F|SW|Schlüsselweite|Schluesselweite|spanner|wrench|clé(?:\sde)?"
    r"|cle\sde|llave(?:\sde)?|chiave(?:\sda)?|brugola(?=\s[1-9](?:[.,]5)?(?!\s?x))|across\sflats)[\s:]?\s?"
    rf"({NUMBER})\s?({UNIT})?(?![\w/])",
    "hexkey": rf"({NUMBER})\s?({UNIT})?\s?(?:(?:allen|hex|A/?F)[- ]?(?:key|wrench)\b)",
    "hexkey_first": rf"(?:allen|hex)[- ]?key\s({NUMBER})\s?({UNIT})?(?![\w/])",
    "bit": r"(T[XE]?\s?[1-9][0-9]?H?|PH\s?[0-4]|PZ\s?[0-4])(?!\w|[.,-][0-9])",
    "tpi": r"([0-9]{1,2}(?:\.5)?)\s?(?:tpi|t\.p\.i|threads\s(?:per|to the)\sinch|gang|gänge"
    r"|filets\sau\spouce)\b",
    "bearing": rf"((?:{_BASIC}){_SEALS})(?!\w|[.,][0-9])",
    "count": rf"(?P<count>[0-9]{{1,4}})\s?(?!off\s(?:the|my|his|our)\b)(?:{_COUNT_UNITS}"
    r"|x(?=\s?[(#Ø“]|\s?M[0-9\s]|\s?[A-Za-zÀ-ÿ]{2}|$|\s?[,;]|\s+[^\s0-9.,])|-(?=M[0-9]))",
    "count_metric": r"(?P<count>[1-9][0-9]?)(?=(?-i:M)[0-9])",
    "count_slash": r"(?P<count>[0-9]{1,3})\s?/\s?(?=M[0-9])",
    "count_tight": r"(?P<count>[0-9]{1,4})x\s+(?=[0-9.])",
    "count_before": r"(?P<count>[0-9]{1,3})\s?x\s?(?=[0-9.#])",
    "count_x": r"x\s?(?P<count>[0-9]{1,3})(?![\w/\"'-]|[.,][0-9]|\s?[x/]|\s[0-9]{1,2}/"
    r"|\s?(?:mm|cm|in|inch|long|thou|o/?d|i/?d|dia(?!\.?\s?[0-9])|thick(?!\s?x)|thk)\b)",
    "qty": r"(?:(?:qty|quantity|anzahl|menge|qté|cant)\b[.:]?\s?|qty)"
    r"(?P<count>[0-9]{1,4})(?![\w/]|[.,][0-9])",
    "setof": r"(?:a\s)?(?:set\sof|all|pack\sof|bag\sof)\s(?P<count>[0-9]{1,3})(?![\w.,/-])"
    rf"(?!\s?(?:{UNIT}|long|lang|lg|thick|wide|high|longues?|largos?|lung[ho]i?)\b)",
    "reference": r"(?:(?:part|pt|serial|cat|order|drawing|frame|engine)\s?(?:no|nr|number|num)\b\.?"
    r"|p/?n(?=[\s:#])|tag|bin|shelf|rack|crate|drawer|page|pages|pg\.|p\.|fig(?:ure)?\b\.?|item|bag|hole|holes(?:\s[0-9]{1,2}(?=[\s,]+[0-9]{1,2}\b))*|tin|box|tray|jar|photo|pic(?:ture)?"
    r"|ref\.?|pos(?:ition)?\b\.?|step|sheet|cyl(?:inder)?\b\.?|gear|bild|seite|loch|tüte|dose"
    r"|trou|sac|bo[iî]te|pagina|página|foro|agujero|bolsa|sacchetto|scatola)(?:\s?#\s?|:(?=[0-9])|\s?)"
    r"[0-9][\w./-]*(?:\s?(?:and|&|\+|,)\s?[0-9]{1,2}(?![\w./]|\s?(?:x|off|M[0-9])|\s[A-Za-z]))*",
    "date": r"(?:(?:0?[1-9]|[12][0-9]|3[01])([/.-])(?:0?[1-9]|1[0-2])|(?:0?[1-9]|1[0-2])([/.-])"
    r"(?:0?[1-9]|[12][0-9]|3[01]))(?:\1|\2)(?:(?:19|20)[0-9]{2}|[0-9]{2})(?![\w./-])"
    r"|[0-3]?[0-9](?:st|nd|rd|th)?\s(?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?"
    r"|july?|aug(?:ust)?|sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)\b",
    "order": r"(?:19|20)[0-9]{2}(?=\s[A-Za-z]{3})(?!\s(?:off|mm|pcs))|[1-9](?:-[1-9]){2,}(?![\w/-])"
    r"|n[ro°º]\.?\s?[0-9]{1,3}(?=\s?:\s)",
    "mark": r"[aA][0-9]{2,3}(?![\w./-])",  # the section and the length of a belt
    "in_two": r"(?:in|en)\s(?:two|half|deux|zwei|dos|due|2)(?:\s(?:pieces|bits|parts|halves"
    r"|morceaux|teile|pezzi|trozos|pedazos))?(?=\s?(?:$|[,;).]))",
    "share": r"(?:1/[2-9]|2/3|3/4|half|a\sthird|(?:some|most|none|any|which)(?=\sof)"
    r"|(?:die\s)?hälfte|la\s(?:moitié|mitad|metà))"
    r"\s(?:of\s(?:the|them|these|those|my)|der|des|de\slos|de\slas|dei|delle)\b",
    "measure": rf"(?:(?:gap|every|total|shank|grip|circle|pcd|jets?|projects?|reach|needle|bore"
    rf"|stroke|clearance|preload|end\sfloat|drill(?:ed)?)\s?"
    rf"(?:of|to|at|set)?\s?{NUMBER}\s?{UNIT}?(?![\w/]|\sx\s)|{NUMBER}\s?(?:{UNIT})?\s?"
    r"(?:gap|clearance|(?:(?:end|side)\s)?float|holes?|drill|preload|grip|reach|teeth|tooth|v|volts?|watts?"
    r"|speed|hours?|hrs?|minutes?|mins?|days?|weeks?|months?|years?|yrs|coats?|turns?|notch(?:es)?"
    r"|miles?|deg(?:rees?)?|psi|rpm|amps?|ohms?|mph|stroke|(?:side|end|free)[ -]?play|play"
    rf"|backlash)\b{_NO_FASTENERS}"
    r"|[1-3]/[248]\"?\s?drive\b)",
    "gauge": r"(?:#\s?|(?:no|nr)\.?\s?(?=[0-9])|(?:number|gauge|size)\b\.?\s?|n[.°º]\s?)"
    r"(?P<number>[0-9]{1,4}(?:\.5)?(?:/0)?|0{2})(?![0-9/]|[.,][0-9])",
    "gauge_zero": r"(?P<number>[1-9]{1,2}/0)(?![0-9/.,])",
    "gauge_g": r"(?P<number>[0-9]{1,2})\s?(?:g(?=\s|$|,)|gauge\b|ga\b)",
    "tapping": r"(ST\s?[1-9](?:[.,][0-9])?)(?![\w.,])",
    "numbers": rf"(?P<x>x\s?|by\s|-(?=[0-9]))?(?P<dia>[Øø]\s?|dia\.?\s)?(?P<first>{NUMBER})"
    rf"(?:\s?(?P<unit>{UNIT}))?"
    rf"(?P<more>(?:(?:(?<!\s)x\s?|\sx\s|\s?by\s|\sx(?={NUMBER}\s?{UNIT}))(?:{NUMBER})"
    rf"(?![\w]*x[A-Z]|[A-WYZa-wyz]{{3,}}|\s?(?:off(?=\s?(?:$|[,;:()+&]|-\s))|pcs?|ea)\b)(?:\s?{UNIT})?){{0,3}})"
    rf"(?:\s?(?P<behind>{_BEHIND})\b)?",
    "long": r"(?:lg|long\.|long(?=\s(?:1[3-9]|[2-9][0-9]|[1-9][0-9]{2})\b)|length|länge|laenge"
    r"|longueur|lunghezza|longitud|L\s?=)\.?\s?[:=]?\s?"
    rf"({NUMBER})\s?({UNIT})?(?![\w/]|\sx)",
    "span": rf"({NUMBER})(?:-|\s?to\s|\.\.)({NUMBER})(?:\s?({UNIT}))?(?![\w/])",
    "words": r"[^\W\d_]+(?:['.](?=[^\W\d_]))?[^\W\d_]*"
    r"(?:[ \-/]{1,2}[^\W\d_]+(?:'[^\W\d_]+)?){0,6}",
    "one_word": r"[^\W\d_]+(?:'[^\W\d_]+)*",
    "figure_word": r"[^\W_]+",
    "odd": r"[^\s,;()\[\]“”]+",
    "handed": r"(?:left[ -]th(?:rea)?d(?:ed)?|(?:LH|L\.H\.|L/H|left[ -]?hand(?:ed)?|links?gewinde)"
    r"(?:\s?(?:thread(?:ed)?|thd|gewinde))?|li(?:nks)?[. ]\s?gew(?:inde|\.)?"
    r"|(?:reverse|backwards?)\sthread(?:ed)?"
    r"|(?:rosca|filetto|filettatura)\s(?:a\s)?(?:izquierda|sinistr[ao]|sx)"
    r"|(?:filet(?:age)?|pas)\s(?:[àa]\s)?gauche)(?!\w)",
    "each_side": r"\b(each|both|either|per|je|pro|par|por|jede[rm]?|beide[n]?|chaque|cada|ogni)"
    r"\s(?:side|end|seite|ende|c[oô]t[eé]|bout|lado|lato)(?:s|n)?\b",
    "once": r"(single[- ]use|reusable)\b",
    "unknown_thread": r"(?:thread|size)\s(?:is\s)?(?:not\s(?:yet\s)?known|unknown|\?+)",
    "chain_end": rf"{NUMBER}\s?(?:{UNIT})?(?:\s?$|,)",
}


@cache
def patterns() -> dict[str, re.Pattern[str]]:
    """Each pattern by its name; case does not matter."""
    return {name: re.compile(source, re.IGNORECASE) for name, source in _SOURCES.items()}


def replaced(pattern: re.Pattern[str], by: str, text: str, count: int = 0) -> str:
    """What `pattern.sub` gives, without looking at the template where there is no match.

    Most notes have no match of most patterns, and the look costs more than the search.
    """
    return pattern.sub(by, text, count) if pattern.search(text) is not None else text

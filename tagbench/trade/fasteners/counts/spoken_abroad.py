"""Counts as people say them in German, French, Spanish and Italian: `une dizaine de vis`.

A dozen is twelve. What is about ten is ten, with the words kept beside it. What is only a few is
counted by nobody: the words are kept, and how many is asked.
"""

from __future__ import annotations

import re
from types import MappingProxyType

from tagbench.trade.fasteners.patterns import replaced
from tagbench.trade.fasteners.vocabulary import count_said

_A = r"(?:(?:une?|una|uno|eine?|1)\s)?"
_OF = r"(?:\s(?:de|di|von|of)(?=\s)|\sd['’]|$|(?=[\s,)]))\s?"
_NUMBER = r"(?P<many>[1-9]|deux|trois|quatre|dos|tres|cuatro|due|tre|quattro|zwei|drei|vier)"
_DOZEN = r"(?:douzaines?|docenas?|dozzin[ae]|dozz\.?|dutzende?|d(?:t?z|tz)d\.?)"
#: `une demi-douzaine de`, `media docena de`, `ein halbes Dutzend`.
_HALF = re.compile(
    rf"\b{_A}(?:demi[- ]?|media\s|mezza\s|halbe?s?\s|1/2\s){_DOZEN}{_OF}", re.IGNORECASE
)
_DOZENS = re.compile(rf"\b{_NUMBER}\s{_DOZEN}{_OF}", re.IGNORECASE)
_ONE_DOZEN = re.compile(rf"\b{_A}{_DOZEN}{_OF}", re.IGNORECASE)
#: `2 Paar Scheiben`, `trois paires de`, `due paia di` are four and six.
_PAIRS = re.compile(
    rf"(?<![\w.,/x])\b{_NUMBER}\s(?:paar|paires|pares|paia|coppie)(?:\s(?:de|di)(?=\s)|\sd['’]|)\s?"
    r"(?=[^\W\d_])",
    re.IGNORECASE,
)
#: About so many: `una decina di`, `une vingtaine de`.
_ABOUT_OF = MappingProxyType(
    {
        "dizaine": 10, "quinzaine": 15, "vingtaine": 20, "trentaine": 30, "decena": 10,
        "veintena": 20, "treintena": 30, "decina": 10, "quindicina": 15, "ventina": 20,
        "trentina": 30, "huitaine": 8, "quarantaine": 40, "quarantina": 40, "cuarentena": 40,
        "cinquantaine": 50, "cinquantina": 50, "cincuentena": 50,
    }
)  # fmt: skip
_ABOUT = re.compile(rf"\b(?P<said>{_A}(?P<about>{'|'.join(_ABOUT_OF)})){_OF}", re.IGNORECASE)
#: Nobody knows how many: `une poignée de`, `un puñado de`, `eine Handvoll`.
_HANDFUL = re.compile(
    r"\b(?P<said>(?:(?:une?|una|eine?|an?)\s)?(?:(?:petite|gute|kleine|buona|buena)\s)?"
    r"(?:handfull?|fistful|bunch(?=\sof\b)|loads?(?=\sof\b)|pile(?=\sof\b)|(?:whole\s)?mess(?=\sof\b)"
    r"|handvoll|hand\svoll|poign[ée]e|pu[ñn]ado|manciata|mont[óo]n(?=\sde\b)|tas(?=\sde\b)"
    rf"|mucchio(?=\sdi\b)|haufen(?=\s))){_OF}",
    re.IGNORECASE,
)
#: A small paar is a few, and a Paar two: `ein paar Muttern`, but `2 paar`.
_FEW = re.compile(
    r"(?<![\w.,])(?P<said>(?:(?i:ein)\s)?paar)(?=[\s,)]|$)(?!\s(?i:Stück\b))",
)
_COUNTED = re.compile(
    r"(?:[0-9]|\b(?:zwei|drei|vier|fünf|sechs|acht|zehn|jedes|das|je))\s$", re.IGNORECASE
)


def _dozens(found: re.Match[str]) -> str:
    many = count_said(found["many"])
    return f"{12 * many} off "


def _pairs(found: re.Match[str]) -> str:
    many = count_said(found["many"])
    return f"{2 * many} off " if many > 1 else found[0]


def _few(found: re.Match[str]) -> str:
    counted = _COUNTED.search(found.string[: found.start()])
    return found[0] if counted else f"“{found['said']}”"


#: vingt-deux, trente et un.
_FRENCH_TENS = re.compile(
    r"\b(?P<tens>vingt|trente|quarante)[ -](?:et[ -])?"
    r"(?P<ones>une?|deux|trois|quatre|cinq|six|sept|huit|neuf)\b",
    re.IGNORECASE,
)


def _tens(found: re.Match[str]) -> str:
    return str(count_said(found["tens"]) + count_said(found["ones"], 1))


def counts_abroad(text: str) -> str:
    """The text with dozens in figures, and in quotes what does not say how many for certain."""
    plain = _FRENCH_TENS.sub(_tens, text)
    plain = _DOZENS.sub(_dozens, _HALF.sub("6 off ", plain))
    plain = _PAIRS.sub(_pairs, _ONE_DOZEN.sub("12 off ", plain))
    if "“" in plain:
        return plain
    plain = _ABOUT.sub(
        lambda found: f"{_ABOUT_OF[found['about'].lower()]} “{found['said']}” ", plain
    )
    return replaced(_HANDFUL, r"“\g<said>” ", _FEW.sub(_few, plain))

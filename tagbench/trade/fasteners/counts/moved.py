"""How many there are, put where the parser looks for it: behind `of each`, `its`, in brackets."""

from __future__ import annotations

import re

from tagbench.trade.fasteners.patterns import replaced
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.vocabulary import bench_roles, count_said, fold

#: How many of those that were named, with what was on them: bolts M6, four w/ nuts.
_COUNTED_WITH = re.compile(
    r"^(?P<head>[^\W\d_][^,;:()]*?)[,:]\s(?P<n>[2-9]|[1-9][0-9]|two|three|four|five|six|seven|eight|nine|ten"
    r"|twelve)\s(?=(?:w/|with|mit|avec|con)\s)",
    re.IGNORECASE,
)
_COUNT_SAID = re.compile(r"(?<![\w./#-])x?\s?[1-9][0-9]?x?(?![\w./\"-])")


def _counted_with(found: re.Match[str]) -> str:
    """`bolts M6, 4 off w/ nuts`, where nothing counted them before."""
    plural = any(is_plural(word) for word in found["head"].split() if word.isalpha())
    if _COUNT_SAID.search(found["head"]) or not plural:
        return found[0]
    return f"{found['head']}, {count_said(found['n'])} off "


#: How many, with words behind it in the brackets: M4x6 (two, one on top of the other).
_COUNT_AND_WORDS = re.compile(
    r"(?<=[\w\"])\s\((?P<n>[2-9]|1[0-9]|two|three|four|five|six)(?:,|\s-|;)\s(?P<words>(?!all\b)[^\W\d_][^()0-9]*)\)",
    re.IGNORECASE,
)
#: A size and how many: exhaust studs (M6, 2).
_SIZE_AND_COUNT = re.compile(
    r"\s\((?P<size>M[0-9.]+(?:x[0-9.]+)?|[0-9]+/[0-9]+(?:\s?(?:UNF|UNC|BSF|BSW))?),\s"
    r"(?P<n>[1-9][0-9]?)(?:\s?(?:off|of|x|pcs))?\)",
    re.IGNORECASE,
)


def _counted_in_brackets(found: re.Match[str]) -> str:
    head = found.string[: found.start()]
    told = _COUNT_SAID.search(re.sub(r"M[0-9.x]+", "", head))
    return found[0] if told else f" ({count_said(found['n'])}) ({found['words']})"


#: A torque without its unit in Italian, where a coppia is a pair as well.
_COPPIA = re.compile(
    r"\bcoppia\s(?:di\sserraggio\s)?[1-9][0-9]{1,2}(?![\w.,/])(?!\s?(?:Nm|viti|bulloni|dadi)\b)",
    re.I,
)
#: `3 de 6x20`, `2 von 8x40`.
_OF_SIZE = re.compile(r"(?<![\w.,/x])([0-9]{1,2})\s(?:de|di|da|von|of)\s(?=[0-9]{1,2}x[0-9])", re.I)
#: Two numbers behind a name, of which either may count: washers 8 - 4.
_EITHER_COUNTS = re.compile(r"^(?P<name>[^\W\d_]{3,})\s(?P<a>[1-9][0-9]?)\s-\s(?P<b>[1-9][0-9]?)$")
#: So many of several sorts: circlips, 5 assorted.
_ASSORTED = re.compile(
    r"^(?P<head>[^0-9,;:()]+),\s(?P<n>[2-9]|[1-9][0-9])\s(?=(?:assorted|mixed|various)\b)",
    re.IGNORECASE,
)
#: The only size of a note, in brackets: balls (3/16).
_SIZE_IN_BRACKETS = re.compile(r"\s\((?P<size>[0-9]{1,2}/[0-9]{1,2}(?:\s?in|\")?)\)")
#: So many of what is pointed at: four of those shoulder bolts.
_OF_THOSE = re.compile(
    r"(?P<n>\b(?:[2-9]|two|three|four|five|six|seven|eight))\sof\s(?:those|these|the)\s"
    r"(?=(?:[^\W\d_]+\s){0,2}[^\W\d_]*(?:bolt|screw|nut|washer|stud|pin|clip|spring|ring|seal|rivet|key)s\b)",
    re.IGNORECASE,
)
#: So many of how many there were: 3 of its 4 screws.
_OF_ITS = re.compile(
    r"(?:^|(?<=with\s)|(?<=w/\s)|(?<=,\s)|(?<=:\s))(?P<n>\b(?:[1-9]|one|two|three|four|five|six|seven))\s(?P<of>of\s(?:its|his|their)\s(?:[2-9]|two|three|four"
    r"|five|six|seven|eight))\s(?P<what>(?:[^\W\d_]+\s){0,2}[^\W\d_]{3,}s)\b",
    re.IGNORECASE,
)
#: What a part has so many of, in one word: three-eared washer.
_SO_MANY_EARED = re.compile(
    r"\b(?:two|three|four|five|six|seven|eight)-(?!(?:off|of|by|x|lobe|point|start|wheeler)\b)"
    r"[^\W\d_]{3,}\b",
    re.IGNORECASE,
)
#: A count with a doubt before where they sat: 21 top, 18? bottom.
_DOUBTED = re.compile(r"(?<=[,;]\s)(?P<n>[1-9][0-9]?)\s?\?\s(?P<where>[^\W\d_]+)(?=\s?(?:$|[,;.]))")
#: Two of what is named behind it: spacer, both dust caps.
_BOTH = re.compile(r"(?<=,\s)both\s(?=(?:[^\W\d_]+\s)?(?P<noun>[^\W\d_]{3,}s)\b)", re.IGNORECASE)


def _two_of(found: re.Match[str]) -> str:
    roles = bench_roles(fold(found["noun"])) | bench_roles(fold(found["noun"]).removesuffix("s"))
    return found[0] if roles & {"place", "pair of sides", "sort", "feature"} else "2 "


#: Halves make a whole number of pieces: valve collets, 2 halves.
_HALVES = re.compile(r",\s([1-9]|two|three|four|six|eight)\shalves\b", re.IGNORECASE)
#: The dozen of `half a dozen No 8 self tappers`, whose number counts nothing.
_DOZEN_NUMBERED = re.compile(r"\b(?P<half>half\s)?(?:a\s)?dozen\s(?=no\.?\s?[0-9])", re.IGNORECASE)
#: How many, behind the word for pieces: M5x12 pz 3.
_BEHIND_UNIT = re.compile(
    r"(?:(?<=[xM][0-9])|(?<=[xM][0-9]{2}))\s(?:pz|pcs|pces|pzas|stk|uds)\.?\s([1-9][0-9]?)(?=\s[^\W\d]|,|$)",
    re.IGNORECASE,
)
#: `pivot pin and its 2 clips` are a pin and two clips.
_ITS = re.compile(
    r"(?P<joint>\sand|\s&|\s\+|(?<!out)(?<!off)\s(?:with|w/)(?=\sits))\s(?P<whose>its|their)\s"
    r"(?P<many>(?=[1-9]|(?:two|three|four|five|six)\s|[^\W\d_]+[^\Ws]s(?:$|\W)))?",
    re.IGNORECASE,
)
_OF_EACH = re.compile(
    r"(?:\bx\s?([1-9][0-9]?)\sof\seach|(?<![\w.,/])\(?([1-9][0-9]?)\s(?:de chaque|de cada una?"
    r"|per tipo|di ciascuno|von jede[mr])\)?)(?!\w)",
    re.IGNORECASE,
)
#: How many there are of what `their` stands for: two reed valves and their stops.
_THEIRS = re.compile(
    r"(?:^|[,;:]\s)(?P<n>[2-9]|two|three|four|five|six)\s(?:[^\W\d_]+\s?){1,3}$", re.IGNORECASE
)
#: The thick of `its thick washer` would make a size of a 1 before it.
_SORT_NEXT = re.compile(r"(?:thick|thin|long|wide)\b", re.IGNORECASE)


def _counted_its(found: re.Match[str]) -> str:
    if found["many"] is not None and found["whose"].lower() != "their":
        return f"{found['joint']} "
    if found["whose"].lower() == "its":
        sort = _SORT_NEXT.match(found.string, found.end())
        return f"{found['joint']} {'one' if sort else 1} "
    many = _THEIRS.search(found.string[: found.start()])
    counted = found.string[found.end() :][:1].isdigit()
    return f"{found['joint']} {many['n']} " if many and not counted else f"{found['joint']} "


def with_moved_counts(clean: str) -> str:
    """The text with how many there are where the parser looks for it."""
    clean = _BOTH.sub(_two_of, clean) if "both" in clean.lower() else clean
    clean = (
        replaced(_HALVES, r", \1 off", clean)
        if "halves" in clean.lower() and "“" not in clean
        else clean
    )
    clean = replaced(_OF_SIZE, r"\1 off ", clean)
    if "(" in clean and clean.count("/") == 1:
        clean = replaced(_SIZE_IN_BRACKETS, r" \g<size>", clean)
    if " of " in clean.lower():
        clean = replaced(_OF_ITS, r"\g<n> \g<what> “\g<of>”", replaced(_OF_THOSE, r"\g<n> ", clean))
    clean = replaced(_ASSORTED, r"\g<head>, \g<n> off, ", clean)
    if "“" not in clean:
        clean = _SO_MANY_EARED.sub(lambda found: f"“{found[0]}”", clean)
    clean = replaced(_EITHER_COUNTS, r"\g<name> \g<a>, \g<b>", clean)
    clean = replaced(_COPPIA, r"“\g<0>”", clean) if "“" not in clean else clean
    clean = replaced(_SIZE_AND_COUNT, r" \g<size> (\g<n>)", clean) if "(" in clean else clean
    clean = _COUNT_AND_WORDS.sub(_counted_in_brackets, clean) if "(" in clean else clean
    return _COUNTED_WITH.sub(_counted_with, replaced(_DOUBTED, r"\g<n> \g<where> ?", clean))


def _each(found: re.Match[str]) -> str:
    return f"{found[1] or found[2]} of each"


def with_counts_of_each(clean: str) -> str:
    """The text with a count where `its`, `of each` or a dozen stands for one."""
    clean = _DOZEN_NUMBERED.sub(lambda found: "6 " if found["half"] else "12 ", clean)
    return _OF_EACH.sub(_each, _ITS.sub(_counted_its, replaced(_BEHIND_UNIT, r" \1 off", clean)))

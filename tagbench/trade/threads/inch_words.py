"""Inch designations as people write them: `1/4-20`, `#10-32 UNF`, `1/4 whit`, `5/16x26 CEI`."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache

from tagbench.errors import BadInput
from tagbench.trade.threads.inch_sizes import named_size, size_choices, write_one_of
from tagbench.trade.threads.metric_words import Scan
from tagbench.trade.threads.sizes import ba_thread, by_designation, inch_by_size, inch_thread
from tagbench.trade.threads.thread import Thread

_SERIES_WORDS = {
    "UNC": "unc|nc|anc",
    "UNF": "unf|nf|anf",
    "UNEF": "unef|nef|ef",
    "UNS": "uns|un|ns",
    "BSW": r"bsw|w|whitworth|whit\.?",
    "BSF": "bsf",
    "BSC": "bsc|bscy|cei|cycle thread|cycle|cyc",
}
_ANY_SERIES = "|".join(_SERIES_WORDS.values())
_SIZE = (
    r"(?:#|no\.?\s?|nr\.?\s?)\s?(?P<number>[0-9]{1,2})|(?P<inch>[1-4](?:\s|-)[0-9]{1,2}/[0-9]{1,2}"
    r"|[0-9]{1,2}/[0-9]{1,2}|[01]?\.[0-9]{2,4}|[0-9]{1,2}(?![0-9./]))"
)
_TPI = r"(?P<tpi>[0-9]{1,2}(?:\.5|-1/2)?)(?![0-9/.])"
_BEFORE_TPI = rf"\s?-\s?|\s(?=[0-9]{{2}}\s?(?:{_ANY_SERIES})(?![a-z]))|(?P<cross>\s?[x×]\s?)"


@cache
def _inch() -> re.Pattern[str]:
    return re.compile(
        rf"(?:{_SIZE})(?P<mark>\s?(?:\"|″|”|in\b|inch\b))?"
        rf"(?:(?:{_BEFORE_TPI}){_TPI}(?:\s?(?P<per>tpi|threads per inch)\b)?)?"
        rf"(?:\s?-?\s?(?P<series>{_ANY_SERIES})(?![a-z]))?"
        r"(?:\s?-?\s?[123][AB]\b)?",
        re.IGNORECASE,
    )


@cache
def _series_first() -> re.Pattern[str]:
    return re.compile(rf"(?P<series>{_ANY_SERIES})\s(?=[#0-9.])", re.IGNORECASE)


@cache
def _ba() -> re.Pattern[str]:
    return re.compile(
        r"(?:no\.?\s?|#)?(?P<number>[0-9]{1,2})\s?-?\s?BA(?![a-z])|BA\s?(?P<after>[0-9]{1,2})(?![0-9])",
        re.IGNORECASE,
    )


def scan_ba(text: str, start: int = 0) -> Scan | None:
    """The BA thread that begins at `start`: `2BA`, `2 BA`, `No. 2 BA`, `BA 2`; or None.

    BadInput for a number that the tables do not hold (0 to 16).
    """
    found = _ba().match(text, start)
    if found is None:
        return None
    number = int(found["number"] or found["after"])
    thread = by_designation().get(ba_thread(number, 0, 0).designation)
    if thread is None:
        raise BadInput(f"There is no {number}BA here; BA threads run from 0BA to 16BA.")
    return Scan(thread, found.end())


@cache
def _spoke() -> re.Pattern[str]:
    return re.compile(
        r"(?:FG\s?(?P<size>[0-9](?:[.,][0-9])?)|(?P<gauge>1[0-9])\s?(?:g|gauge|swg)\s?spokes?"
        r"|spokes?\s?(?P<wire>1[0-9])\s?(?:g|gauge|swg)\b)",
        re.IGNORECASE,
    )


#: Wire gauge of a spoke → diameter over its rolled thread, mm (memory).
_OVER_THREAD = {"15": 2.0, "14": 2.3, "13": 2.6}


def scan_spoke(text: str, start: int = 0) -> Scan | None:
    """The spoke thread that begins at `start`: `FG 2.3`, `14 g spoke`; or None.

    BadInput for a size that the table does not hold.
    """
    found = _spoke().match(text, start)
    if found is None:
        return None
    gauge = found["gauge"] or found["wire"]
    size = _OVER_THREAD.get(gauge, 0.0) if gauge else float(found["size"].replace(",", "."))
    thread = by_designation().get(f"FG {size:g}")
    if thread is None:
        raise BadInput(f"“{found[0]}” is not a spoke thread here; write FG 2, FG 2.3 or FG 2.6.")
    return Scan(thread, found.end())


def scan_inch(text: str, start: int = 0) -> Scan | None:
    """The unified, Whitworth or cycle thread that begins at `start` in the tidy text, or None.

    BadInput when it looks like a thread and no such thread exists, or more than one does.
    """
    first = _series_first().match(text, start)
    found = _inch().match(text, first.end() if first else start)
    if found is None:
        return None
    word = first["series"] if first else found["series"]
    if not word and not (found["tpi"] and (found["per"] or not found["cross"])):
        return _bare_number_size(found)
    end = found.end()
    tpi, series = found["tpi"], _series(word)
    if found["cross"] and first and not found["per"]:  # `UNF 1/4 x 28`: a length all the same
        tpi, end = None, found.start("cross")
    per_inch = sum((Fraction(part) for part in tpi.split("-")), Fraction(0)) if tpi else None
    return Scan(_thread(found, per_inch, series), end)


def _bare_number_size(found: re.Match[str]) -> Scan | None:
    """`#10` alone names a diameter and no thread, which only the person can settle."""
    if not found["number"] or not found[0].startswith("#"):
        return None
    size = f"#{int(found['number'])}"
    raise BadInput(f"{size} alone does not say the pitch; {size_choices(size)}.")


def _series(word: str | None) -> str:
    if not word:
        return ""
    spellings = _SERIES_WORDS.items()
    return next(name for name, forms in spellings if re.fullmatch(forms, word, re.IGNORECASE))


def _thread(found: re.Match[str], tpi: Fraction | None, series: str) -> Thread:
    size = named_size(found, tpi, series)
    known = inch_by_size().get(size, ())
    of_series = [thread for thread in known if thread.series == series]
    if tpi is None:
        if len(of_series) == 1:
            return of_series[0]
        raise BadInput(f"{size} {series} does not name one thread; {size_choices(size, series)}.")
    fitting = [thread for thread in known if abs(thread.threads_per_inch - float(tpi)) < 0.01]
    if not series:
        return _without_series(size, tpi, fitting)
    return _with_series(size, tpi, series, fitting)


def _without_series(size: str, tpi: Fraction, fitting: list[Thread]) -> Thread:
    unified = [thread for thread in fitting if thread.system == "unified"]
    if unified:
        return unified[0]
    systems = {thread.system for thread in inch_by_size().get(size, ())}
    if len(fitting) == 1 and len(systems) == 1:
        return fitting[0]  # nothing else has this size: 1.370-24 is the cycle thread
    if fitting:
        names = " or ".join(thread.designation for thread in fitting)
        raise BadInput(f"{size}-{tpi} is in no unified series; write {names}.")
    return _special(size, tpi, "UNS")


def _with_series(size: str, tpi: Fraction, series: str, fitting: list[Thread]) -> Thread:
    exact = [thread for thread in fitting if thread.series == series]
    if exact:
        return exact[0]
    if series in ("UNS", "BSC"):
        unified = [thread for thread in fitting if thread.system == "unified"]
        return unified[0] if series == "UNS" and unified else _special(size, tpi, series)
    near = [t for t in inch_by_size().get(size, ()) if t.series == series or t in fitting]
    raise BadInput(f"There is no {size}-{tpi} {series}; {write_one_of(near)}.")


def _special(size: str, tpi: Fraction, series: str) -> Thread:
    """A well-formed thread outside the tables, if its pitch suits its diameter."""
    thread = inch_thread(size, tpi, series) if tpi else None
    if thread is None or not thread.diameter_mm / 40 < thread.pitch_mm < thread.diameter_mm / 3:
        raise BadInput(f"{size}-{tpi} is not a thread that can be cut; {size_choices(size)}.")
    return thread

"""Days as people type them: `2026-03-09`, `9.3.2026`, `today`, `in 2 weeks`."""

from __future__ import annotations

import re
from datetime import date, datetime, time, timedelta

from tagbench.errors import BadInput

_NAMED = {"today": 0, "now": 0, "yesterday": -1, "tomorrow": 1}
_SPAN = re.compile(r"(?:in |\+)\s?(\d{1,3}) ?(d|days?|w|weeks?|)")
_AGO = re.compile(r"(\d{1,3}) ?(d|days?|w|weeks?) ago")
_FORMS = "write it as 2026-03-09, 9.3.2026, today, yesterday or in 2 weeks"


def parse_day(text: str, today: date) -> date | None:
    """The day that was typed, None for nothing typed; BadInput when it cannot be understood."""
    clean = " ".join(text.split()).casefold()
    if not clean:
        return None
    if clean in _NAMED:
        return today + timedelta(days=_NAMED[clean])
    if span := _SPAN.fullmatch(clean):
        return today + timedelta(days=_days(span))
    if ago := _AGO.fullmatch(clean):
        return today - timedelta(days=_days(ago))
    return _written(text, clean)


def _days(span: re.Match[str]) -> int:
    return int(span[1]) * (7 if span[2].startswith("w") else 1)


def _written(text: str, clean: str) -> date:
    iso = re.fullmatch(r"(\d{4})-(\d{1,2})-(\d{1,2})", clean)
    dotted = re.fullmatch(r"(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4})", clean)
    if re.fullmatch(r"\d{1,4}/\d{1,2}/\d{1,4}", clean):
        raise BadInput(f"“{text}” is read day first by some and month first by others; {_FORMS}.")
    figures = iso.groups() if iso else dotted.groups()[::-1] if dotted else None
    if figures is None:
        raise BadInput(f"“{text}” is not a date; {_FORMS}.")
    try:
        return date(*map(int, figures))
    except ValueError:
        raise BadInput(f"There is no such date as “{text}”; {_FORMS}.") from None


_TIME = re.compile(r"(?:(?P<day>.*?)[ ,]+)?(?P<hour>[0-9]{1,2})[:.](?P<minute>[0-9]{2})")
_LONG_AGO = re.compile(r"([0-9]{1,3}) ?(min|minutes?|h|hours?) ago")
_MOMENTS = "write it as 18:30, 3 h ago or yesterday 18:30"


def parse_moment(text: str, now: datetime) -> datetime | None:
    """The time that was typed, None for nothing or `now`; BadInput when it is not understood."""
    clean = " ".join(text.split()).casefold()
    if clean in ("", "now"):
        return None
    if ago := _LONG_AGO.fullmatch(clean):
        minutes = int(ago[1]) * (1 if ago[2].startswith("m") else 60)
        return now - timedelta(minutes=minutes)
    found = _TIME.fullmatch(clean)
    if found is None:
        raise BadInput(f"“{text}” is not a time; {_MOMENTS}.")
    day = parse_day(found["day"] or "today", now.date()) or now.date()
    try:
        at = time(int(found["hour"]), int(found["minute"]))
    except ValueError:
        raise BadInput(f"There is no such time as “{text}”; {_MOMENTS}.") from None
    return datetime.combine(day, at, now.tzinfo)

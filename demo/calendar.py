"""Days of the story: the strip lies in an autumn months ago, the last weeks lie before today."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta


def strip_year(today: date) -> int:
    """The year of the strip: its autumn, and a winter's cleaning, are over by February."""
    return today.year - (1 if today.month > 1 else 2)


def moment(text: str, now: datetime) -> datetime:
    """`09-25 20:24` in the year of the strip, or `3 days ago 19:30`; in the zone of `now`."""
    day, clock = text.rsplit(" ", 1)
    at = datetime.combine(day_of(day, now), time.fromisoformat(clock))
    return at.replace(tzinfo=now.tzinfo)


def day_of(text: str, now: datetime) -> date:
    """`12-19` in the year of the strip, `9 days ago`, or `in 12 days`."""
    words = text.split()
    if words[-1] == "ago":
        return now.date() - timedelta(days=int(words[0]))
    if words[0] == "in":
        return now.date() + timedelta(days=int(words[1]))
    month, day = text.split("-")
    return date(strip_year(now.date()), int(month), int(day))

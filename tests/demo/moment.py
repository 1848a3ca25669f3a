"""The evening on which the demo is looked at in tests."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone

NOW = datetime(2031, 3, 9, 18, 30, tzinfo=timezone(timedelta(hours=1)))
"""An evening in March: the strip was in the autumn before."""

"""What is left behind: uploads of killed programs, and refusals by the thousand in the log."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

from tagbench.phone.errors import RefusalLog
from tagbench.phone.forms import UPLOAD_PREFIX, sweep_uploads
from tests.phone.conftest import Codes, PhoneClient


def test_uploads_of_a_killed_program_are_swept_and_no_others() -> None:
    gone = subprocess.run(
        [sys.executable, "-c", "import os; print(os.getpid())"],
        capture_output=True,
        text=True,
        check=True,
    )
    old = Path(tempfile.mkdtemp(prefix=f"{UPLOAD_PREFIX}{int(gone.stdout)}-"))
    (old / "000").write_bytes(b"half a photo")
    mine = Path(tempfile.mkdtemp(prefix=f"{UPLOAD_PREFIX}{os.getpid()}-"))
    sweep_uploads()
    assert not old.exists()
    assert mine.exists()
    mine.rmdir()


def test_refusals_are_counted_in_the_log(caplog: pytest.LogCaptureFixture) -> None:
    seconds = [0.0]
    refusals = RefusalLog(every=60.0, clock=lambda: seconds[0])
    for _ in range(20_000):
        refusals.note("a stranger", 429, "too many\nrequests")
    assert caplog.messages == ["a stranger: 429 too many requests"]
    refusals.note("a stranger", 421, "wrong host")
    seconds[0] = 61.0
    refusals.note("a stranger", 429, "again")
    assert caplog.messages[1:] == [
        "a stranger: 421 wrong host",
        "19999 more requests were refused with 429",
        "a stranger: 429 again",
    ]
    refusals.note("a stranger", 429, "and again")
    refusals.close()
    assert caplog.messages[-1] == "1 more requests were refused with 429"


async def test_a_flood_of_refused_requests_is_a_few_lines(
    phone: PhoneClient, codes: Codes, caplog: pytest.LogCaptureFixture
) -> None:
    for number in range(200):
        await phone.get(f"/TP-{number:03}-1")
    assert sum("404" in message for message in caplog.messages) == 1

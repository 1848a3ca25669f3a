"""Opening a book loads nothing that only screens, pictures or the phone need."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from tagbench.book import Book
from tests.book.conftest import strip

HEAVY = ("textual", "aiohttp", "PIL", "qrcode", "rapidfuzz", "click", "jinja2", "asyncio", "rich")

OPEN = f"""
import sys
from pathlib import Path
from tagbench.book import Book
with Book(Path(sys.argv[1])) as book:
    assert len(book.records.parts) == 1
    book.refresh()
    with book.change("note") as transaction:
        transaction.new_code("TP")
print(*[name for name in {HEAVY!r} if name in sys.modules])
"""


def test_opening_and_saving_load_no_heavy_module(folder: Path) -> None:
    """Measured in a process of its own."""
    with Book(folder) as book:
        strip(book, "hub")
    done = subprocess.run(
        [sys.executable, "-c", OPEN, str(folder)], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == ""

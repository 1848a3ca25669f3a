"""A command reads only the modules that it needs: most of its time is the reading of modules."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from labels.code import make_code
from tagbench.book import Book
from tagbench.records import Fastener, Machine, Part

HEAVY = (
    *("textual", "aiohttp", "jinja2", "PIL", "rapidfuzz", "filelock", "tinydb", "hashlib"),
    *("platformdirs", "tempfile", "traceback", "dataclasses", "tagbench.rules.find.index"),
    "typing_extensions",
    *("tagbench.trade.fasteners.reading", "tagbench.trade.threads", "tagbench.book.photos"),
)
"""None of these says anything of one part."""
MAY = {
    "show": (),
    "mark": ("tinydb",),
    "strip": ("tinydb",),
    "find": ("tagbench.rules.find.index",),
    "--help": (),
}
"""Command → what it needs of them."""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A book of one part with two lines of fasteners."""
    with Book(tmp_path / "book") as book, book.change("a part") as transaction:
        transaction.put(Machine(mark="TP", name="Tarnbrook Packman"))
        lines = (Fastener(quantity=4, thread="M5x0.8", length=12), Fastener(kind="circlip"))
        transaction.put(Part(code=transaction.new_code("TP"), name="hub", order=1, fasteners=lines))
    return tmp_path / "book"


@pytest.mark.parametrize("command", MAY)
def test_a_command_leaves_unread_what_it_does_not_need(folder: Path, command: str) -> None:
    """Asked of a process of its own; nothing is timed."""
    code = make_code("TP", 1)
    arguments = {
        "show": [code],
        "mark": [code, "degreased"],
        "strip": ["drum", "--from", "Hub"],
        "find": ["hub"],
        "--help": [],
    }[command]
    program = (
        "import sys\n"
        "before = set(sys.modules)  # what the environment itself reads when Python starts\n"
        "from tagbench.cli import run\n"
        "assert run(sys.argv[1:]) == 0\n"
        f"print('read:', *(name for name in {HEAVY!r} if name in set(sys.modules) - before))\n"
    )
    asked = [sys.executable, "-c", program, "--book", str(folder), command, *arguments]
    done = subprocess.run(asked, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    read = set(done.stdout.rsplit("read:", 1)[1].split())
    assert read <= set(MAY[command])


NOT_AT_FIRST = (
    *("aiohttp", "jinja2", "PIL", "rapidfuzz", "filelock", "tinydb", "qrcode", "zeroconf"),
    *("cv2", "numpy", "zxingcpp", "importlib.metadata", "email", "tagbench.commands"),
    *("tagbench.rules.find.index", "tagbench.trade.fasteners.reading", "tagbench.book.photos"),
    *("tagbench.reports", "tagbench.measure.lay", "tagbench.phone.server", "labels.face"),
)
"""None of these has anything to do with the first screen."""


def test_the_first_screen_leaves_unread_what_it_does_not_need(folder: Path) -> None:
    """Asked of a process of its own as soon as Bench shows the book."""
    program = (
        "import sys\n"
        "before = set(sys.modules)\n"
        "from pathlib import Path\n"
        "from tagbench.book import Book\n"
        "from tagbench.screens.app.app import TagbenchApp\n"
        "class First(TagbenchApp):\n"
        "    def book_changed(self):\n"
        "        super().book_changed()\n"
        "        self.call_after_refresh(self.shown)\n"
        "    def shown(self):\n"
        "        self.read = set(sys.modules) - before\n"
        "        self.exit()\n"
        "first = First(lambda: Book(Path(sys.argv[1])))\n"
        "first.run(headless=True, size=(120, 36))\n"
        f"print('read:', *(name for name in {NOT_AT_FIRST!r} if name in first.read))\n"
    )
    asked = [sys.executable, "-c", program, str(folder)]
    done = subprocess.run(asked, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert done.stdout.rsplit("read:", 1)[1].split() == []


def test_what_msgspec_did_without_is_there_for_others() -> None:
    """Asked of a process of its own: a library that needs the backports gets them afterwards."""
    program = (
        "import sys, tagbench.cli\n"
        "assert 'typing_extensions' not in sys.modules\n"
        "import typing_extensions, msgspec\n"
        "from tagbench.records import Part\n"
        "assert typing_extensions.deprecated\n"
        'print(msgspec.json.decode(b\'{"code":"TP-001-7","name":"hub"}\', type=Part).name)\n'
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)
    assert (done.stdout, done.stderr) == ("hub\n", "")

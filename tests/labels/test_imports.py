"""The library stands alone."""

import subprocess
import sys

MODULES = (
    "boltcard.card", "boltcard.face", "boltcard.tightening", "code", "face.artwork",
    "output.correction", "output.cups", "output.files", "output.preview", "output.ruler",
    "scanning.reading", "scanning.scanner", "stock.catalogue", "stock.sheet", "symbols.payload",
    "symbols.symbol",
)  # fmt: skip


def test_nothing_of_tagbench_textual_or_the_extras_is_imported() -> None:
    script = (
        "import sys, importlib\n"
        f"for name in {MODULES!r}: importlib.import_module('labels.' + name)\n"
        "print(*sorted({name.partition('.')[0] for name in sys.modules}))"
    )
    run = [sys.executable, "-c", script]
    loaded = subprocess.run(run, capture_output=True, text=True, check=True).stdout.split()
    unwanted = {"tagbench", "textual", "aiohttp", "tinydb", "zxingcpp", "pypdfium2", "cv2", "numpy"}
    assert "labels" in loaded
    assert unwanted.isdisjoint(loaded)

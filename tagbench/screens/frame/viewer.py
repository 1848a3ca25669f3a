"""Opening a file with whatever program the system has for it."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

from tagbench.errors import TagbenchError


def show_in_viewer(path: Path) -> None:
    """Opens a file outside the terminal; raises TagbenchError when nothing can open it."""
    if not path.is_file():
        raise TagbenchError(f"The picture {path} is gone; tagbench check --mend looks for it.")
    if sys.platform == "win32":
        os.startfile(path)
        return
    opener = shutil.which("open" if sys.platform == "darwin" else "xdg-open")
    if opener is None:
        raise TagbenchError(f"No viewer was found on this system; the picture is {path}.")
    quiet = subprocess.DEVNULL
    subprocess.Popen(
        [opener, str(path)], stdin=quiet, stdout=quiet, stderr=quiet, start_new_session=True
    )

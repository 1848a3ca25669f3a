"""A program as a process of its own, with the time and the memory that it took.

A small process starts it and waits for it (`wait4`), since the peak memory of a child counts what
it was forked from as well.
"""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

ENDED_AFTER_S = 30
"""A program that needs more time on the processor is killed; its exit code is then negative."""
_WAITS = r"""
import json, os, resource, subprocess, sys, tempfile
given = json.loads(sys.argv[1])
with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err:
    streams = {}
    for name, usual, mode in (("stdin", None, "rb"), ("stdout", out, "wb"), ("stderr", err, "wb")):
        named = given.get(name)
        streams[name] = open(named, mode) if named else usual or subprocess.DEVNULL
    most = given["seconds"]
    program = subprocess.Popen(
        given["command"], cwd=given["folder"], env=given["env"], **streams,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_CPU, (most, most)),
    )
    _, status, used = os.wait4(program.pid, 0)
    said = []
    for file in (out, err):
        file.seek(0)
        said.append(file.read(1_000_000).decode("utf-8", "replace"))
scale = 1024 if sys.platform != "darwin" else 1
print(json.dumps({
    "code": os.waitstatus_to_exitcode(status), "seconds": used.ru_utime + used.ru_stime,
    "megabytes": used.ru_maxrss * scale / 1e6, "out": said[0], "err": said[1],
}))
"""


@dataclass(frozen=True)
class Measured:
    """What a program said and what it took."""

    code: int
    """Its exit code; negative for a signal."""
    seconds: float
    """Time on the processor, its own and the system's for it: what others do does not count."""
    megabytes: float
    """The most memory it had at once, 10^6 bytes."""
    out: str
    err: str


def measured(
    folder: Path,
    *words: str,
    env: Mapping[str, str] | None = None,
    stdin: str = "",
    stdout: str = "",
    stderr: str = "",
) -> Measured:
    """Runs `tagbench` with these words in a folder; the streams are files by name."""
    import os

    given = {
        "command": [sys.executable, "-m", "tagbench", *words],
        "folder": str(folder),
        "env": {**os.environ, "HOME": str(folder), **(env or {})},
        "seconds": ENDED_AFTER_S,
        "stdin": stdin,
        "stdout": stdout,
        "stderr": stderr,
    }
    waits = [sys.executable, "-S", "-E", "-c", _WAITS, json.dumps(given)]
    said = subprocess.run(waits, capture_output=True, text=True, check=True).stdout
    return Measured(**json.loads(said))

"""The extra `measure`: what measuring from a picture needs besides tagbench itself."""

from __future__ import annotations

from importlib.util import find_spec

from tagbench.errors import TagbenchError

_NEEDED = {"numpy": "numpy", "cv2": "OpenCV", "ezdxf": "ezdxf"}

HONEST = (
    "Measured from a picture, and tried on rendered pictures only: check one length with the "
    "caliper."
)
"""Stands beside every result."""


class ExtraMissing(TagbenchError):
    """The extra is not installed; the sentence says how to."""


def need_extra() -> None:
    """Raises ExtraMissing where one of the packages is not installed."""
    missing = [name for module, name in _NEEDED.items() if find_spec(module) is None]
    if missing:
        raise ExtraMissing(
            f"Measuring from a picture needs {' and '.join(missing)}; install with, in the "
            "folder of this program: .venv/bin/pip install -e '.[measure]'"
        )

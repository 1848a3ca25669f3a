"""How much a phone, or somebody who pretends to be one, may ask of the server."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Limits:
    """Sizes in bytes, times in seconds. The defaults leave a busy garage plenty of room."""

    connections: int = 640
    """Connections open at once; the one that has waited longest gives way to a new one."""
    headers_seconds: float = 10.0
    """Time for a request line and its headers to arrive on a new connection."""
    idle_seconds: float = 20.0
    """Time for an answer to be taken and the next request to arrive."""
    exchange_seconds: float = 240.0
    """Time for one whole request, its photos included, until its answer is ready."""
    form_bytes: int = 32 * 1024
    """A form without photos."""
    form_seconds: float = 15.0
    """Time for a form without photos to arrive."""
    field_bytes: int = 4 * 1024
    """One typed field."""
    fields: int = 40
    """Fields of one form, photos counted in."""
    photos: int = 12
    """Photos sent at once."""
    photo_bytes: int = 32 * 1024**2
    """One photo as it is sent."""
    photo_pixels: int = 80_000_000
    """Width times height of a photo; more is not decoded."""
    photo_side: int = 2048
    """The long side of a photo as it is kept, pixels."""
    upload_bytes: int = 160 * 1024**2
    """All photos of one form together."""
    stall_seconds: float = 10.0
    """How long an upload may stand still."""
    upload_pace: int = 8 * 1024
    """Bytes a second that an upload must reach on average after the first `stall_seconds`."""
    uploads: int = 3
    """Uploads taken in at once; others wait."""
    phone_burst: int = 1000
    """Requests that a paired phone may make at once."""
    phone_pace: float = 50.0
    """Requests a second that a paired phone may keep up."""
    stranger_burst: int = 60
    """Requests that an address without a paired phone may make at once."""
    stranger_pace: float = 3.0
    """Requests a second that such an address may keep up."""

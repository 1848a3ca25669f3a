"""What the symbol on a tag holds, and finding the code in whatever a reader gives back."""

import re
from collections.abc import Iterable, Iterator

from labels.code import EXAMPLE, capitals, parse_code
from labels.errors import AddressError, CodeError
from labels.scanning.layouts import undamaged

# The characters of the alphanumeric mode of ISO/IEC 18004; anything else costs a larger symbol.
ALPHANUMERIC = frozenset("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:")

CODE_PATTERN = r"[0-9A-Z]{1,3}-[0-9OIL]{3,}-[0-9A-Z]"
"""A code as it is printed, its check character not yet looked at."""
WHOLE_PAYLOAD = re.compile(rf"(\][A-Z]\w)?(HTTPS?://[^\s/]+/(\S*/)?)?{CODE_PATTERN}", re.IGNORECASE)
"""A text that is one payload and nothing else."""
_SCHEMES = ("HTTP://", "HTTPS://")
_BEHIND_MARK = re.compile(r"-(?:[0-9OIL]*|[0-9OIL]{3,}-[0-9A-Z]?)")
_WRITTEN = re.compile(rf"(?<!\w){CODE_PATTERN}(?!\w)")
# Some scanners put the kind of symbol first (ISO/IEC 15424): ]Q1 before a QR code.
_SYMBOLOGY = re.compile(r"^\][A-Za-z][0-9A-Za-z]")
_HOST = re.compile(r"[0-9A-Z]([0-9A-Z-]*[0-9A-Z])?(\.[0-9A-Z]([0-9A-Z-]*[0-9A-Z])?)*")


def payload(code: str, address: str | None = None) -> str:
    """The text for the symbol: the bare code, or `HTTP://GARAGE.LOCAL:8017/TP-017-7`.

    `address` is `host`, `host:port` or a whole address with or without a path. All of it is
    written in capitals, which host names do not mind and which keeps the symbol small.
    Raises `AddressError` for an address that cannot be written in the small character set.
    """
    if not address or not address.strip():
        return code
    return f"{_prefix(address.strip())}{code}"


def _prefix(address: str) -> str:
    from urllib.parse import urlsplit

    parts = urlsplit(address if "://" in address else f"http://{address}")
    try:
        port = parts.port
    except ValueError:
        raise AddressError(f"The port in {address!r} must be a number from 1 to 65535.") from None
    host = _ascii_host(parts.hostname or "", address)
    if parts.scheme not in ("http", "https") or parts.query or parts.fragment or "@" in address:
        raise AddressError(
            f"The address {address!r} must look like garage.local:8017 or http://garage.local:8017."
        )
    path = parts.path.strip("/")
    place = f"{host}:{port}" if port else host
    whole = f"{parts.scheme}://{place}/{path}/".upper() if path else f"{parts.scheme}://{place}/"
    return _checked(whole.upper(), address)


def _ascii_host(host: str, address: str) -> str:
    try:
        name = host.encode("idna").decode("ascii").upper()
    except UnicodeError:
        name = ""
    if not _HOST.fullmatch(name):
        raise AddressError(
            f"{address!r} names no computer; write the name or number, like garage.local:8017."
        )
    return name


def _checked(text: str, address: str) -> str:
    strange = sorted(set(text) - ALPHANUMERIC)
    if strange:
        raise AddressError(
            f"The address {address!r} holds {' '.join(strange)}, which makes the symbol on the tag "
            "too large; use letters, digits, hyphens, dots and slashes only."
        )
    return text


def code_in(text: str, marks: Iterable[str] = ()) -> str:
    """The code in a scanned or typed text, whatever address stands before it.

    Understands any scheme, host, path and query, lower case, percent-encoding, and the damage
    that a hand scanner does when it is set to another keyboard than the computer (QWERTZ,
    AZERTY and others), the last only where the check character agrees after mending.

    Raises `CodeError` when there is no code in the text, or when its check character is wrong.
    """
    known = tuple(marks)
    plain = _decoded(text)
    found = _first_code(plain, known)
    if found:
        return found
    mended = {
        code
        for way in undamaged(plain)
        if WHOLE_PAYLOAD.fullmatch(way) and (code := _first_code(way, known))
    }
    if len(mended) > 1 and known:
        mended = {code for code in mended if code.split("-")[0] in known} or mended
    if len(mended) == 1:
        return mended.pop()
    raise _no_code(plain, known)


def begins_payload(text: str, marks: Iterable[str]) -> bool:
    """Whether what came in so far may be the start of a scan: of a code with one of the marks, or
    of an address, with or without the kind of symbol before it."""
    plain = text.upper()
    if plain.startswith("]"):
        if len(plain) < 3:
            return plain[1:].isalpha() or len(plain) == 1
        plain = plain[3:] if _SYMBOLOGY.match(plain) else "no"
    for scheme in _SCHEMES:
        if scheme.startswith(plain) or (plain.startswith(scheme) and " " not in plain):
            return True
    return any(
        mark.startswith(plain)
        or (plain.startswith(mark) and _BEHIND_MARK.fullmatch(plain[len(mark) :]) is not None)
        for mark in marks
    )


def _decoded(text: str) -> str:
    """The text without control characters and percent-encoding (which may have been done twice)."""
    if "%" in text:
        from urllib.parse import unquote

        for _ in range(2):
            text = unquote(text)
    plain = "".join(c if c.isprintable() else " " for c in text).strip()
    return _SYMBOLOGY.sub("", plain)


def _places(text: str) -> Iterator[str]:
    """Where a code may stand, the likeliest first: never in the name of the computer."""
    if "://" in text:
        _, _, text = text.partition("://")[2].partition("/")
    yield from _WRITTEN.findall(capitals(text))
    path, _, query = text.partition("?")
    yield from reversed([part for part in path.split("/") if part])
    yield from re.split(r"[=&#;]", query)


def _first_code(text: str, marks: tuple[str, ...]) -> str | None:
    for place in _places(text):
        try:
            return str(parse_code(place, marks))
        except CodeError:
            continue
    return None


def _no_code(text: str, marks: tuple[str, ...]) -> CodeError:
    """The most telling refusal: a wrong check character beats a text without any code."""
    for place in _places(text):
        try:
            parse_code(place, marks)
        except CodeError as error:
            if error.candidates:
                return error
    shown = text if len(text) <= 60 else f"{text[:59]}…"
    return CodeError(f"There is no tag code in “{shown}”; a code looks like {EXAMPLE}.")

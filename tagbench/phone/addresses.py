"""Where the phone page answers: hosts, ports, and the addresses of this computer."""

from __future__ import annotations

import ipaddress
import re
import socket
from collections.abc import Iterable, Iterator
from contextlib import suppress

from tagbench.errors import BadInput
from tagbench.records import Tables, Tag

THIS_COMPUTER = ""
"""Host that only this computer can reach; the default."""
HOME_NETWORK = "0.0.0.0"
"""Host that every device on the home network can reach (IPv4)."""
LOOPBACK = "127.0.0.1"

_HOST = re.compile(r"(?!-)[A-Za-z0-9-]{1,63}(\.(?!-)[A-Za-z0-9-]{1,63})*")
# Documentation addresses (RFC 5737). Connecting a datagram socket sends nothing: it only makes
# the system choose the address it would send from.
_ANYWHERE = ("192.0.2.1", 9)


def spell_host(text: str) -> str:
    """The host to bind: empty for this computer only, `0.0.0.0` for the home network.

    `home` means the home network; a name or an address of this computer is taken as it is.
    Raises BadInput for anything that cannot be a host.
    """
    host = text.strip().strip("[]").casefold()
    if host in ("", "localhost", LOOPBACK):
        return THIS_COMPUTER
    if host in ("home", HOME_NETWORK, "::"):
        return HOME_NETWORK
    if not (_is_address(host) or _HOST.fullmatch(host)):
        raise BadInput(
            f"“{text}” is not a host: use home for the home network, or a name or address "
            "of this computer."
        )
    return host


def check_port(port: int) -> int:
    """The port, when a person may use it; raises BadInput."""
    if not 1024 <= port <= 65535:
        raise BadInput(f"Port {port} cannot be used: choose one from 1024 to 65535, such as 8017.")
    return port


def home_addresses() -> list[str]:
    """The addresses of this computer on the home network (IPv4), the one in use first.

    Sends nothing. Empty when the computer is on no network.
    """
    found = dict.fromkeys([*_address_in_use(), *_addresses_by_name()])
    return [address for address in found if not ipaddress.ip_address(address).is_loopback]


def _address_in_use() -> Iterator[str]:
    with suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        probe.connect(_ANYWHERE)
        yield str(probe.getsockname()[0])


def _addresses_by_name() -> Iterator[str]:
    # The name of this computer is looked up in its own tables first; an unknown one is no error.
    with suppress(OSError):
        for *_, address in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET):
            yield str(address[0])


def local_name() -> str:
    """The name of this computer as it is announced on the network, without a domain."""
    plain = re.sub(r"[^a-z0-9-]+", "-", socket.gethostname().split(".")[0].casefold()).strip("-")
    return plain[:63] or "tagbench"


def url(host: str, port: int) -> str:
    """`http://host:port/`, with brackets round an IPv6 address."""
    return f"http://{f'[{host}]' if ':' in host else host}:{port}/"


def hosts_answered(host: str, extra: Iterable[str] = ()) -> frozenset[str]:
    """The names a request may call this server by, for a server bound to `host`.

    Anything else in a Host header is refused, so that no page from the internet can reach the
    book under a name of its own that it points at this computer (DNS rebinding).
    """
    own = {"localhost", LOOPBACK, "::1"}
    if host == HOME_NETWORK:
        own |= {*home_addresses(), local_name(), f"{local_name()}.local"}
    elif host:
        own.add(host)
    return frozenset(own | {name.casefold().strip("[]") for name in extra if name})


def split_host(header: str, scheme: str = "http") -> tuple[str, int]:
    """Host and port of a Host header, the usual port when it names none; `("", 0)` when none."""
    found = re.fullmatch(
        r"(\[[0-9A-Fa-f:.]{2,45}\]|[A-Za-z0-9.-]{1,255})(?::([0-9]{1,5}))?", header
    )
    if found is None:
        return "", 0
    return found[1].strip("[]").rstrip(".").casefold(), int(
        found[2] or (443 if scheme == "https" else 80)
    )


def address_in_tags(host: str, port: int, name: str = "") -> str:
    """The `host:port` to print in the symbols; empty (bare codes) for this computer only.

    An announced `name` is best, since it stays when the router gives out another number.
    """
    if not host or _is_loopback(host):
        return ""
    if name:
        return f"{name}.local:{port}"
    if host != HOME_NETWORK:
        return url(host, port).removeprefix("http://").rstrip("/")
    return next((f"{one}:{port}" for one in home_addresses()), "")


def dead_tags(tables: Tables, address: str) -> list[Tag]:
    """The printed tags that a phone's camera cannot open at `address`.

    Their symbol holds the bare code or another address. All are found by photographing them on
    the phone page or by their printed words; with no address, bare codes are as they should be.
    """
    return [
        tag
        for tag in tables.tags.values()
        if tag.printed and tag.kind != "gone" and tag.address.casefold() != address.casefold()
    ]


def to_reprint(tables: Tables) -> list[Tag]:
    """The printed tags with another phone address that do not wait to be printed yet."""
    return [tag for tag in dead_tags(tables, tables.desk.phone_address) if not tag.queued]


def _is_address(text: str) -> bool:
    try:
        ipaddress.ip_address(text)
    except ValueError:
        return False
    return True


def _is_loopback(host: str) -> bool:
    return _is_address(host) and ipaddress.ip_address(host).is_loopback

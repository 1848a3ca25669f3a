"""Announcing `NAME.local` on the home network by multicast DNS (RFC 6762)."""

from __future__ import annotations

import socket
from collections.abc import Sequence
from typing import TYPE_CHECKING

from tagbench.errors import BadInput, TagbenchError

if TYPE_CHECKING:
    from zeroconf import ServiceInfo
    from zeroconf.asyncio import AsyncZeroconf

SERVICE = "_http._tcp.local."
"""The service type of web pages (RFC 6763, IANA service names)."""


def can_announce() -> bool:
    """Whether what it needs is installed: on some systems it cannot be had."""
    try:
        import zeroconf  # noqa: F401 - only asked whether it is there
    except ImportError:
        return False
    return True


def announcement(name: str, addresses: Sequence[str], port: int) -> ServiceInfo:
    """What is announced: `name.local` at these IPv4 addresses, with a web page at `port`."""
    from zeroconf import ServiceInfo

    return ServiceInfo(
        SERVICE,
        f"{name}.{SERVICE}",
        server=f"{name}.local.",
        addresses=[socket.inet_aton(address) for address in addresses],
        port=port,
        properties={"path": "/"},
    )


class Announcer:
    """Answers for `NAME.local` as long as it is open."""

    def __init__(self) -> None:
        self._zeroconf: AsyncZeroconf | None = None

    async def open(self, name: str, addresses: Sequence[str], port: int) -> None:
        """Begins to answer on the networks of these addresses.

        Raises BadInput without zeroconf, TagbenchError when the network does not allow it or
        another computer has the name.
        """
        if not can_announce():
            raise BadInput(
                "Announcing a name needs the package zeroconf, which is not here; use the number."
            )
        from zeroconf import Error, IPVersion
        from zeroconf.asyncio import AsyncZeroconf

        info = announcement(name, addresses, port)
        try:
            self._zeroconf = AsyncZeroconf(interfaces=list(addresses), ip_version=IPVersion.V4Only)
            await self._zeroconf.async_register_service(info)
        except (OSError, Error) as error:
            await self.close()
            raise TagbenchError(
                f"{name}.local could not be announced ({error}); use the number in its place."
            ) from error

    async def close(self) -> None:
        """Takes the name back."""
        if self._zeroconf is not None:
            waiting, self._zeroconf = self._zeroconf, None
            await waiting.async_unregister_all_services()
            await waiting.async_close()

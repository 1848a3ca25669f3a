"""What a phone that is not paired gets to see: one page, the same for every path."""

from __future__ import annotations

import logging
from collections.abc import Awaitable, Callable
from urllib.parse import quote

from aiohttp import web

from tagbench.errors import TagbenchError
from tagbench.phone.events import Events, PairingSpent, PhonePaired
from tagbench.phone.forms import read_fields
from tagbench.phone.guard import check_origin, was_opened_by_hand
from tagbench.phone.limits import Limits
from tagbench.phone.page_error import PageError
from tagbench.phone.pairing import Pairing
from tagbench.phone.routes import Route
from tagbench.phone.templates import go_to, page, render
from tagbench.phone.visitors import give_token, kind_of, new_token, token_hash
from tagbench.records import Phone

log = logging.getLogger("tagbench.phone")

WRONG = "That code is not right, or no longer good: look at the bench for the code."
Pair = Callable[[str, str], Awaitable[Phone]]


class Doorstep:
    """Pairs phones; `pair` writes a phone with a name and a token's hash into the book."""

    def __init__(self, pairing: Pairing, pair: Pair, events: Events, limits: Limits) -> None:
        self._pairing = pairing
        self._pair = pair
        self._events = events
        self._limits = limits
        self._page = render("pair.html")

    async def answer(self, request: web.BaseRequest, route: Route | None) -> web.Response:
        """The pairing page, or the cookie and the page that was asked for first."""
        if request.method == "POST":
            return await self._code_typed(request, route)
        link = route is not None and route.name == "pair" and was_opened_by_hand(request)
        if route is not None and link and self._pairing.accept_link(route.item):
            return await self._welcome(request, "", route)
        return page(self._page, 403)

    async def _code_typed(self, request: web.BaseRequest, route: Route | None) -> web.Response:
        try:
            check_origin(request)
            fields = await read_fields(request, self._limits)
        except PageError:
            return page(self._page, 403)
        was_open = self._pairing.invitation is not None
        if await self._pairing.accept_code(fields.get("code", "")[:16]):
            return await self._welcome(request, fields.get("name", ""), route)
        self._say_spent(was_open, request.remote or "")
        return page(render("pair.html", refused=WRONG), 403)

    def _say_spent(self, was_open: bool, address: str) -> None:
        log.warning("a wrong pairing code came from %s", address)
        if was_open and self._pairing.invitation is None:
            self._events.tell(PairingSpent(address))

    async def _welcome(
        self, request: web.BaseRequest, name: str, route: Route | None
    ) -> web.Response:
        token = new_token()
        called = name or kind_of(request.headers.get("User-Agent", ""))
        try:
            phone = await self._pair(called, token_hash(token))
        except TagbenchError as error:
            return page(render("pair.html", refused=str(error)), 403)
        log.info("paired the phone %s", phone.name)
        self._events.tell(PhonePaired(phone))
        response = go_to(_first_asked(route))
        give_token(response, token)
        return response


def _first_asked(route: Route | None) -> str:
    """The path that was asked for before pairing, if it was a tag's; never a foreign address."""
    return f"/{quote(route.code)}" if route is not None and route.name == "tag" else "/"

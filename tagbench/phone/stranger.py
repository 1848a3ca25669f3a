"""What a phone that is not paired gets to see: one page, the same for every path."""

from __future__ import annotations

import logging
import re
from collections.abc import Awaitable, Callable
from urllib.parse import quote

from aiohttp import web

from tagbench.errors import TagbenchError
from tagbench.phone.errors import PageError
from tagbench.phone.events import Events, PairingSpent, PhonePaired
from tagbench.phone.forms import read_fields
from tagbench.phone.limits import PhoneLimits
from tagbench.phone.origin import check_origin, was_opened_by_hand
from tagbench.phone.pairing import Handovers, Outcome, Pairing
from tagbench.phone.sessions import device_kind, give_token, new_token, token_hash
from tagbench.phone.templates import go_to, page, render
from tagbench.records import Phone

log = logging.getLogger("tagbench.phone")

REFUSED = {
    Outcome.WRONG: "That code is not right, or no longer good: look at the bench for the code.",
    Outcome.BUSY: "Busy with an earlier try from this phone: wait a few seconds, then try again.",
    Outcome.SPENT: (
        "Too many wrong codes: have the bench show a new one, or scan the symbol beside it."
    ),
}
_ONE_STEP = re.compile(r"\w[\w\-]{0,59}")
PairPhone = Callable[[str, str], Awaitable[Phone]]


class StrangerPage:
    """Pairs phones; `pair` writes a phone with a name and a token's hash into the book."""

    def __init__(
        self,
        pairing: Callable[[], Pairing],
        handovers: Handovers,
        pair: PairPhone,
        events: Events,
        limits: PhoneLimits,
    ) -> None:
        self._pairing = pairing
        self._handovers = handovers
        self._pair = pair
        self._events = events
        self._limits = limits
        self._page = render("pair.html")

    async def answer(self, request: web.Request) -> web.StreamResponse:
        """The pairing page, or the cookie and the page that was asked for first."""
        if request.method == "POST":
            return await self._code_typed(request)
        secret = request.match_info.get("secret", "")
        if secret and was_opened_by_hand(request):
            if token := self._handovers.take(secret.upper()):
                return _welcome(request, token)
            if self._pairing().accept_link(secret.upper()):
                return await self._paired(request, "")
        return page(self._page, 403)

    async def _code_typed(self, request: web.Request) -> web.StreamResponse:
        try:
            check_origin(request)
            fields = await read_fields(request, self._limits)
        except PageError:
            return page(self._page, 403)
        pairing, address = self._pairing(), request.remote or ""
        before = pairing.digits_spent
        outcome = await pairing.accept_code(fields.get("code", "")[:16], address)
        if outcome is Outcome.RIGHT:
            return await self._paired(request, fields.get("name", ""))
        if outcome is Outcome.WRONG:
            log.warning("a wrong pairing code came from %s", address)
            if pairing.digits_spent and not before:
                self._events.tell(PairingSpent(address))
        return page(render("pair.html", refused=REFUSED[outcome]), 403)

    async def _paired(self, request: web.Request, name: str) -> web.StreamResponse:
        token = new_token()
        called = name or device_kind(request.headers.get("User-Agent", ""))
        try:
            phone = await self._pair(called, token_hash(token))
        except TagbenchError as error:
            return page(render("pair.html", refused=str(error)), 403)
        log.info("paired the phone %s", phone.name)
        self._events.tell(PhonePaired(phone))
        return _welcome(request, token)


def _welcome(request: web.Request, token: str) -> web.StreamResponse:
    """The cookie, and on to the tag that was asked for before pairing; never a foreign address."""
    asked = request.path.strip("/")
    response = go_to(f"/{quote(asked)}" if _ONE_STEP.fullmatch(asked) else "/")
    give_token(response, token)
    return response

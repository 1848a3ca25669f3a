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
from tagbench.phone.forms import TOKEN_FIELD, read_fields
from tagbench.phone.limits import PhoneLimits
from tagbench.phone.origin import check_origin, was_opened_by_hand
from tagbench.phone.pairing import Handovers, Outcome, Pairing
from tagbench.phone.sessions import device_kind, give_token, new_token, token_hash, token_in
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
FORGOTTEN = (
    "This phone is no longer paired with the bench: it was taken away there, or the book is "
    "another one. Nothing was changed. It can be paired again:"
)
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
        invite: str,
    ) -> None:
        self._pairing = pairing
        self._handovers = handovers
        self._pair = pair
        self._events = events
        self._limits = limits
        self._invite = invite

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
        was_paired = bool(token_in(request.headers.getall("Cookie", ())))
        return self._page(FORGOTTEN if was_paired else "")

    def _page(self, refused: str = "", name: str = "") -> web.Response:
        return page(render("pair.html", refused=refused, name=name, invite=self._invite), 403)

    async def _code_typed(self, request: web.Request) -> web.StreamResponse:
        if request.content_type == "multipart/form-data":
            return self._forgotten(request)  # photos, which no pairing page sends
        try:
            check_origin(request)
            fields = await read_fields(request, self._limits)
        except PageError:
            return self._page()
        if TOKEN_FIELD in fields and "code" not in fields:
            return self._forgotten(request)
        pairing, address = self._pairing(), request.remote or ""
        before = pairing.digits_spent
        outcome = await pairing.accept_code(fields.get("code", "")[:16], address)
        if outcome is Outcome.RIGHT:
            return await self._paired(request, fields.get("name", ""))
        if outcome is Outcome.WRONG:
            log.warning("a wrong pairing code came from %s", address)
            if pairing.digits_spent and not before:
                self._events.tell(PairingSpent(address))
        return self._page(REFUSED[outcome], fields.get("name", "")[:40])

    def _forgotten(self, request: web.Request) -> web.Response:
        """Answers a form of one of our pages, sent by a phone that is not paired any more."""
        log.info("a phone that is no longer paired sent a form from %s", request.remote)
        return self._page(FORGOTTEN)

    async def _paired(self, request: web.Request, name: str) -> web.StreamResponse:
        token = new_token()
        called = name or device_kind(request.headers.get("User-Agent", ""))
        try:
            phone = await self._pair(called, token_hash(token))
        except TagbenchError as error:
            return self._page(str(error), name)
        log.info("paired the phone %s", phone.name)
        self._events.tell(PhonePaired(phone))
        return _welcome(request, token)


def _welcome(request: web.Request, token: str) -> web.StreamResponse:
    """The cookie, and on to the tag that was asked for before pairing; never a foreign address."""
    asked = "" if "secret" in request.match_info else request.path.strip("/").split("/")[0]
    response = go_to(f"/{quote(asked)}" if _ONE_STEP.fullmatch(asked) else "/")
    give_token(response, token)
    return response

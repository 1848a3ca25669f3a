"""The phone page as an aiohttp application: its routes, middlewares and signals."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import AsyncIterator, Callable, Coroutine
from contextlib import suppress

from aiohttp import web

from tagbench.errors import TagbenchError
from tagbench.phone.actions import Actions
from tagbench.phone.away_view import AWAY_WORK
from tagbench.phone.connections import Connections
from tagbench.phone.headers import set_headers
from tagbench.phone.mat import MatPages
from tagbench.phone.middleware import Middleware
from tagbench.phone.pages import Pages

log = logging.getLogger("tagbench.phone")

LOOK_SECONDS = 1.0
"""How often it is looked whether the records have changed, to work out the first pages anew."""


def make_app(
    pages: Pages,
    actions: Actions,
    mat: MatPages,
    middleware: Middleware,
    connections: Connections,
) -> web.Application:
    """The application; a path names a page or a code, and never a file."""
    app = web.Application(logger=log, middlewares=middleware.chain)
    router = app.router
    for word in ("find", "FIND"):
        router.add_get(f"/{word}", pages.find)
    for word in ("pair", "PAIR"):
        router.add_get(f"/{word}/{{secret}}", pages.paired)
    router.add_get("/favicon.ico", pages.no_icon)
    router.add_get("/", pages.next)
    router.add_get("/count", pages.count)
    router.add_get("/settings", pages.settings)
    router.add_get("/away", pages.away)
    what = "|".join(AWAY_WORK)
    router.add_post(f"/away/{{what:{what}}}", actions.away)
    router.add_get(f"/away/{{what:{what}}}", pages.to_away)
    router.add_get("/scan", pages.scan)
    router.add_get("/camera", pages.camera)
    router.add_get("/certificate", pages.certificate)
    router.add_get("/certificate.crt", pages.certificate_file)
    router.add_get("/strip", pages.strip)
    router.add_get("/name", pages.by_name)
    router.add_get("/mat", mat.form)
    router.add_post("/mat", mat.sent)
    router.add_post("/scan", actions.scan)
    router.add_post("/camera", actions.camera)
    router.add_post("/strip", actions.strip)
    router.add_post("/undo", actions.undo)
    router.add_get("/undo", pages.to_next)
    router.add_post("/settings/{number:[0-9]{1,6}}", actions.measure)
    router.add_get("/settings/{number:[0-9]{1,6}}", pages.to_settings)
    router.add_get("/{code}/photo/{number:[0-9]{1,4}}", pages.photo)
    one_of = "|".join(actions.of_tags)
    router.add_post(f"/{{code}}/{{action:{one_of}}}", actions.tag)
    router.add_get(f"/{{code}}/{{action:{one_of}}}", pages.to_tag)
    router.add_get("/{code}{_:/?}", pages.tag)
    app.on_response_prepare.append(set_headers)
    app.cleanup_ctx.append(_while_running(connections.keep_time))
    app.cleanup_ctx.append(_while_running(lambda: _keep_warm(pages)))
    return app


def _while_running(
    work: Callable[[], Coroutine[None, None, None]],
) -> Callable[[web.Application], AsyncIterator[None]]:
    """A cleanup context that has something run as long as the application does."""

    async def context(_: web.Application) -> AsyncIterator[None]:
        running = asyncio.get_running_loop().create_task(work())
        yield
        running.cancel()
        with suppress(asyncio.CancelledError):
            await running

    return context


async def _keep_warm(pages: Pages) -> None:
    """Works out the first pages whenever the records have changed, beside the serving."""
    while True:
        try:
            await pages.warm()
        except TagbenchError as error:
            log.debug("the first pages were not worked out: %s", error)
        await asyncio.sleep(LOOK_SECONDS)

"""`tagbench phone`: the pages that phones open when they scan a tag."""

from __future__ import annotations

import asyncio
import contextlib
import logging
import signal
import sys
import threading
from typing import TYPE_CHECKING

import click

from tagbench.commands.base import Workplace, book_command, print_json
from tagbench.commands.output import write_as_is
from tagbench.errors import NotFound
from tagbench.records import Phone
from tagbench.rules.describe.phrases import moment

if TYPE_CHECKING:
    from tagbench.phone.events import PhoneEvent
    from tagbench.phone.server import PhoneServer

BLACK_ON_WHITE, PLAIN = "\x1b[30;107m", "\x1b[0m"


@click.command()
@click.option("--host", help="home for the home network, or a name or address of this computer.")
@click.option("--port", type=int, help="Port, 8017 unless another one was used before.")
@click.option(
    "--announce/--no-announce",
    default=None,
    help="Announce NAME.local, which stays when the number changes.",
)
@click.option("--https/--no-https", default=None, help="Encrypted pages too, for the camera.")
@click.option("--pair", is_flag=True, help="Show a pairing code though phones are paired already.")
@click.option("--reprint", is_flag=True, help="Queue the tags that carry an older address.")
@click.option("--list", "listed", is_flag=True, help="List the paired phones and leave.")
@click.option("--forget", metavar="PHONE", help="Take a phone away, by number or name, and leave.")
@book_command
def phone(
    workplace: Workplace,
    host: str | None,
    port: int | None,
    announce: bool | None,
    https: bool | None,
    pair: bool,
    reprint: bool,
    listed: bool,
    forget: str | None,
    as_json: bool,
) -> None:
    """Serve the pages of the tags to paired phones until Ctrl+C.

    Only this computer is answered unless --host home is given; host and port are remembered.
    """
    if forget is not None:
        gone = _forget(workplace, forget)
        if not as_json:
            click.echo(f"Took away the phone {gone.name} (number {gone.id}).")
    if listed or forget is not None:
        _list(workplace, as_json)
        return
    from tagbench.phone.addresses import check_port
    from tagbench.phone.server import PhoneServer

    if port is not None:
        check_port(port)
    by_enter = sys.stdin.isatty()
    server = PhoneServer(
        workplace.book,
        host=host,
        port=port,
        announce=announce,
        encrypt=https,
        invite="press Enter in the terminal of “tagbench phone”"
        if by_enter
        else "start “tagbench phone --pair”",
    )
    asyncio.run(_serve(workplace, server, pair, reprint))


def _list(workplace: Workplace, as_json: bool) -> None:
    phones = list(workplace.book.records.phones.values())
    if as_json:
        print_json([_plain(one) for one in phones])
        return
    for one in phones:
        seen = moment(one.seen) if one.seen else "never"
        click.echo(f"{one.id:3}  {one.name:40}  last here {seen}")
    if not phones:
        click.echo("No phone is paired; start with: tagbench phone --host home")


def _plain(one: Phone) -> dict[str, object]:
    """A phone as it is shown: nothing of its token."""
    seen = one.seen.isoformat() if one.seen else None
    return {"id": one.id, "name": one.name, "paired": one.paired.isoformat(), "seen": seen}


def _forget(workplace: Workplace, text: str) -> Phone:
    """Takes a phone away and gives it as it was."""
    from tagbench.book.operations import phones

    known = workplace.book.records.phones.values()
    found = [one for one in known if text in (str(one.id), one.name)]
    if not found:
        raise NotFound(f"No phone has the number or name “{text}”; see: tagbench phone --list")
    return phones.forget(workplace.book, found[0].id)


async def _serve(workplace: Workplace, server: PhoneServer, pair: bool, reprint: bool) -> None:
    _log_to_the_terminal()
    server.listen(_tell)
    urls = await server.start()
    try:
        server.remember()
        _say_where(server, urls)
        _say_old_tags(workplace, server, reprint)
        if pair or not workplace.book.records.phones:
            _invite(server)
        await _until_stopped(server)
    finally:
        await server.stop()
        click.echo("The phone page is closed.")


def _say_where(server: PhoneServer, urls: list[str]) -> None:
    click.echo("Phones are answered at:")
    for url in urls:
        click.echo(f"  {url}")
    if server.encrypted_port:
        click.echo(f"Encrypted pages at port {server.encrypted_port}: see Tag on the phone.")
    if server.address:
        click.echo(f"Tags are printed with {server.address} from now on.")
        if server.name:
            click.echo("Where a phone cannot open that name: --no-announce uses the number.")
        else:
            click.echo("So that it stays, reserve this computer's address in the router.")
        click.echo("What goes over the air is not encrypted: use it on your own network only.")
    else:
        click.echo("Only this computer is answered; for phones start it with: --host home")


def _say_old_tags(workplace: Workplace, server: PhoneServer, reprint: bool) -> None:
    from tagbench.book.operations.tagging import queue
    from tagbench.phone.addresses import dead_tags

    old = dead_tags(workplace.book.records, server.address)
    if not old:
        return
    if reprint:
        queue(workplace.book, [tag.code for tag in old])
        click.echo(f"Queued {len(old)} tags that a phone's camera cannot open.")
        return
    carried = ", ".join(sorted({tag.address or "the code alone" for tag in old}))
    click.echo(
        f"{len(old)} printed tags carry another address ({carried}): a phone's camera opens "
        "nothing there; photographed on the phone page (Tag) they open all the same. "
        "Queue them for printing with: --reprint"
    )


def _invite(server: PhoneServer) -> None:
    from labels.output.preview import symbol_lines

    invitation = server.invite()
    on, off = (BLACK_ON_WHITE, PLAIN) if sys.stdout.isatty() else ("", "")
    for line in symbol_lines(server.pairing_url(invitation)):
        write_as_is(f"{on}{line}{off}")
    click.echo(f"Scan this to pair a phone, or open the address and type {invitation.spaced}.")
    click.echo("It is good for one phone and five minutes.")


def _tell(event: PhoneEvent) -> None:
    from tagbench.phone.events import AddressChanged, PairingSpent

    if isinstance(event, AddressChanged):
        click.echo(f"This computer is {event.now} now, no longer {event.before}.")
        click.echo("New tags carry that; the old ones are queued with: tagbench phone --reprint")
    elif isinstance(event, PairingSpent):
        click.echo("Too many wrong codes: the digits are no longer good; the symbol still is.")


async def _until_stopped(server: PhoneServer) -> None:
    loop = asyncio.get_running_loop()
    stopped = asyncio.Event()
    for number in (signal.SIGINT, signal.SIGTERM):
        with contextlib.suppress(NotImplementedError):  # no such handlers on some systems
            loop.add_signal_handler(number, stopped.set)
    if sys.stdin.isatty():
        click.echo("Enter: a new pairing code. Ctrl+C: end.")
        threading.Thread(target=_read_enter, args=(loop, server), daemon=True).start()
    await stopped.wait()


def _read_enter(loop: asyncio.AbstractEventLoop, server: PhoneServer) -> None:
    for _ in sys.stdin:
        loop.call_soon_threadsafe(_invite, server)


def _log_to_the_terminal() -> None:
    """What phones do, a line each, on standard error; never a token."""
    shown = logging.StreamHandler()
    shown.setFormatter(logging.Formatter("%(asctime)s  %(message)s", "%H:%M:%S"))
    log = logging.getLogger("tagbench.phone")
    log.setLevel(logging.INFO)
    log.addHandler(shown)
    log.propagate = False

"""`tagbench [--book DIR] COMMAND`; without a command the screens open."""

from __future__ import annotations

import errno
import gc
import sys
from collections.abc import Sequence
from contextlib import suppress
from datetime import date
from pathlib import Path

import click

from labels.errors import LabelError
from tagbench.commands.base import Workplace
from tagbench.commands.output import (
    OutputClosed,
    OutputLost,
    clean_output,
    let_go_of_output,
    let_go_of_what_is_stuck,
    open_the_closed,
)
from tagbench.commands.registry import CommandsByMoment, begins_a_book
from tagbench.errors import BadInput, ExitCode, TagbenchError
from tagbench.records.text import shortened

GARBAGE = (100_000, 20, 20)
"""Most commands are over before looking for garbage is worth its time (see `gc.set_threshold`)."""


def named_folder(_ctx: click.Context, _option: click.Parameter, value: str | None) -> Path | None:
    """The folder that was named; BadInput for an empty name."""
    if value is None:
        return None
    if not value.strip():
        raise BadInput("--book needs the name of a folder; leave it out for your own book.")
    return Path(value)


def past_day(_ctx: click.Context, _option: click.Parameter, value: str | None) -> date | None:
    """The day that was typed; BadInput when it is none, or still to come."""
    if value is None:
        return None
    from tagbench.rules.days import parse_day

    today = date.today()
    day = parse_day(value, today)
    if day is None or day > today:
        raise BadInput(f"“{value}” is not a day in the past; type one such as {today}.")
    return day


WIDEST = 100
"""Columns that the help uses where the terminal has them."""
EXIT_CODES = (
    "Exit codes: 0 done; 1 failed (disk, book, printer, network, or a check that found damage); "
    "2 what was typed cannot be used or a rule refused it, and nothing was changed; "
    "128 and its number for a signal."
)


@click.group(
    cls=CommandsByMoment,
    invoke_without_command=True,
    context_settings={"max_content_width": WIDEST, "help_option_names": ["-h", "--help"]},
    epilog=EXIT_CODES,
)
@click.option(
    "--book",
    "folder",
    type=click.Path(),
    callback=named_folder,
    help="The book folder, or a single file of one to look at; without it your own book.",
)
@click.option(
    "--on",
    metavar="DAY",
    callback=past_day,
    help="The book as it stood at the end of that day, to be looked at.",
)
@click.version_option(package_name="tagbench")
@click.pass_context
def tagbench(ctx: click.Context, folder: Path | None, on: date | None) -> None:
    """The bag-and-tag book: strip an old machine, keep its parts, put it back together."""
    workplace = Workplace(folder, on, begins=begins_a_book(ctx.invoked_subcommand or ""))
    ctx.obj = workplace
    ctx.call_on_close(workplace.close)
    if ctx.invoked_subcommand is None:
        from tagbench.commands.demo import open_screens

        open_screens(lambda: workplace.book)


def main(arguments: Sequence[str] | None = None) -> None:
    """Runs one command; every error is one line on stderr, never a traceback."""
    open_the_closed()
    gc.set_threshold(*GARBAGE)
    try:
        code = run(arguments)
    finally:
        let_go_of_what_is_stuck()
    gc.freeze()  # nor is it worth it when all is about to go
    sys.exit(code)


def run(arguments: Sequence[str] | None = None) -> int:
    """Runs one command and gives its exit code, one of `ExitCode`."""
    try:
        with clean_output():
            result = tagbench.main(args=arguments, prog_name="tagbench", standalone_mode=False)
    except OutputLost as error:
        let_go_of_output()
        return ExitCode.FAILED if isinstance(error, OutputClosed) else _say(str(error), 1)
    except (TagbenchError, LabelError) as error:
        return _say(str(error), error.exit_code)
    except click.exceptions.NoArgsIsHelpError as error:
        return _say(_what_next(error), ExitCode.BAD_INPUT)
    except click.ClickException as error:
        from tagbench.commands.usage import usage_words

        return _say(usage_words(error), ExitCode.BAD_INPUT)
    except (click.Abort, KeyboardInterrupt):
        return _say("Stopped; what was saved before is kept.", ExitCode.FAILED)
    except OSError as error:
        return _say(_about_file(error), ExitCode.FAILED)
    except Exception as error:  # noqa: BLE001 - the last line of defence: logged, never shown
        return _say(_logged(error), ExitCode.FAILED)
    return result if isinstance(result, int) else ExitCode.DONE


def _say(sentence: str, code: int) -> int:
    words = shortened(sentence)
    encoding = getattr(sys.stderr, "encoding", None) or "utf-8"
    with suppress(OSError):  # nobody reads the errors either; the exit code is left
        click.echo(words.encode(encoding, "replace").decode(encoding), err=True)
    return code


def _what_next(error: click.exceptions.NoArgsIsHelpError) -> str:
    ctx = error.ctx
    path = ctx.command_path if ctx else "tagbench"
    if ctx and isinstance(ctx.command, click.Group):
        names = ", ".join(ctx.command.list_commands(ctx))
        return f"{path} still needs: {names}. See `{path} --help`."
    return f"{path} needs to be told more. See `{path} --help`."


def _about_file(error: OSError) -> str:
    where = f" {error.filename}" if error.filename else ""
    if error.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG):
        return f"There is no room on the disk{f' for{where}' if where else ''}; make room first."
    return (
        f"The file{where} cannot be used: {error.strerror or error}; check the path and try again."
    )


def _logged(error: Exception) -> str:
    import traceback

    import platformdirs

    folder = platformdirs.user_log_path("tagbench")
    text = "".join(traceback.format_exception(error))
    try:
        folder.mkdir(parents=True, exist_ok=True)
        (folder / "errors.log").open("a", encoding="utf-8").write(text + "\n")
    except OSError:
        return f"Something unexpected went wrong ({type(error).__name__}: {error})."
    return (
        f"Something unexpected went wrong ({type(error).__name__}: {error}); "
        f"the details are in {folder / 'errors.log'}."
    )

"""What does one thing stands in one place, and everybody else asks there."""

from __future__ import annotations

import ast
from collections.abc import Callable

from tests.architecture.source import calls, product
from tests.every import every

Asked = Callable[[ast.Call, str], bool]


def called(*ends: str) -> Asked:
    """Whether the name of what is called ends like one of these."""
    return lambda _call, name: name.endswith(ends)


def option(flag: str) -> Asked:
    """Whether it is an option of the command line of that name."""
    return lambda call, name: (
        name == "click.option"
        and any(isinstance(one, ast.Constant) and one.value == flag for one in call.args)
    )


def takes_the_place(call: ast.Call, name: str) -> bool:
    """Whether a file takes the place of another: a path's own `replace` has one argument."""
    path = name.endswith(".replace") and len(call.args) == 1 and not call.keywords
    return path or name in ("os.replace", "os.rename")


ONE_OF_EACH: dict[str, tuple[Asked, set[str]]] = {
    "a file put in the place of another": (
        takes_the_place,
        {
            "labels/atomic_write.py",
            "tagbench/book/autosave.py",  # a form that was put off, under its old name again
            "tagbench/book/check.py",  # what is damaged, set aside
            "tagbench/book/picture_check.py",
        },
    ),
    "flushing to the disk": (
        called("os.fsync"),
        {"labels/atomic_write.py", "tagbench/book/durable.py"},  # a file; a folder
    ),
    "reading EXIF": (
        called(".getexif", "exif_transpose"),
        {"labels/upright.py", "tagbench/book/exif.py"},  # how it was held; when and with what
    ),
    "the Jinja factory": (called("Environment"), {"tagbench/reports/html.py"}),
    "reading CSV": (
        called("csv.reader", "csv.DictReader"),
        {
            "labels/scanning/layouts.py",  # a library of its own
            "tagbench/book/csv/rows.py",  # what a spreadsheet wrote
            "tagbench/trade/published.py",  # the tables of the program
        },
    ),
    "writing CSV": (called("csv.writer", "csv.DictWriter"), {"tagbench/rules/table.py"}),
    "writing JSON for people and programs": (
        called("json.dumps"),
        {"tagbench/commands/base.py", "tagbench/book/csv/writer.py"},  # an answer; the export
    ),
    "--machine": (option("--machine"), {"tagbench/commands/chosen.py"}),
    "--json": (option("--json"), {"tagbench/commands/base.py"}),
    "cards laid over a screen": (
        called("push_screen_wait"),
        {"tagbench/screens/shared/base.py", "tagbench/screens/app/app.py"},  # over any of them
    ),
    "screens gone to": (called("push_screen"), {"tagbench/screens/app/app.py"}),
}


@every(ONE_OF_EACH)
def test_there_is_one_of_each(what: str) -> None:
    """Exactly these modules do it: neither one more nor one that does not do it any longer."""
    asked, known = ONE_OF_EACH[what]
    assert {path for path, call, name in calls() if asked(call, name)} == known


def test_pictures_are_drawn_in_characters_in_one_module() -> None:
    """Braille begins at U+2800; the halves and quarters of a character are block elements."""
    drawing = {
        path
        for path, module in product().items()
        for node in ast.walk(module)
        if isinstance(node, ast.Constant) and (node.value == 0x2800 or node.value in ("▀", "▄"))
    }
    assert drawing == {"labels/output/preview.py"}


def test_no_screen_is_opened_with_a_callback() -> None:
    """What a card gives is awaited."""
    with_callback = [
        path
        for path, call, name in calls()
        if name.endswith(("push_screen", "push_screen_wait"))
        and (len(call.args) > 1 or any(word.arg == "callback" for word in call.keywords))
    ]
    assert with_callback == []

"""What a person sees first of every page: at two widths, light and dark, usual and large text.

The pictures in `approved/` were looked at. `TAGBENCH_APPROVE=1` writes them anew; look at each.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from datetime import datetime, timedelta, timezone
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageChops
from selenium.webdriver import Chrome
from selenium.webdriver.support.ui import WebDriverWait

from tagbench.book import Book
from tagbench.book.operations.settings import SettingForm, add_setting
from tagbench.records import Photo, replace
from tests.phone.browser import HEIGHT, Served, chromium, need_chromium, show_dark
from tests.phone.conftest import Codes, fill
from tests.phone.test_browser import FINGER, LOOK, SHARP
from tests.phone.test_pictures import corners

pytestmark = pytest.mark.browser

APPROVED = Path(__file__).parent / "approved"
SHRUNK = 4
"""Pictures are compared at a quarter of their size, so that the edges of letters do not count."""
APART, SHARE = 48, 0.01
"""At most this share of the dots may be apart by more than so many of 255 levels."""
WIDTHS, SIZES = (390, 360), (16, 32)


@pytest.fixture(scope="module", params=[(w, s) for w in WIDTHS for s in SIZES], ids=str)
def browser(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[tuple[Chrome, str]]:
    """A browser of a width and text size, and both as they stand in the names of the pictures."""
    need_chromium()
    width, size = request.param
    profile = tmp_path_factory.mktemp("profile")
    with chromium(profile, size, width, pixel_ratio=1.0, plain_font=True) as driver:
        yield driver, f"{width}-{100 * size // 16}"


def filled(folder: Path) -> tuple[Book, Codes]:
    """A book with a photo and a setting, always on the same day."""
    day = datetime(2026, 3, 9, 18, 30, tzinfo=timezone(timedelta(hours=1)))
    book = Book(folder, now=lambda: day)
    codes = fill(book)
    book.photos.mkdir()
    corners().save(book.photos / "plate.jpg", "JPEG")
    with book.change("a photo") as transaction:
        plate = transaction.records.parts[codes.plate]
        transaction.put(replace(plate, photos=(Photo(file="plate.jpg", caption="as it came off"),)))
    add_setting(book, SettingForm(what="chain slack", range="20-30 mm", assembly="Chain drive"))
    return book, codes


def pages(codes: Codes) -> dict[str, str]:
    """Name of the picture → path."""
    return {
        "next": "/",
        "ready": f"/{codes.plate}",
        "held-up": f"/{codes.shoes}",
        "bag": f"/{codes.bag}",
        "spare": f"/{codes.spare}",
        "find": "/find?words=brake",
        "photograph": "/scan",
        "take-off": "/strip",
        "count": "/count",
        "settings": "/settings",
        "not-here": "/TP-003-1",
    }


@pytest.mark.sampled(4)
def test_every_page(browser: tuple[Chrome, str], tmp_path: Path) -> None:
    driver, name = browser
    book, codes = filled(tmp_path / "book")
    faults: list[str] = []
    with book, Served(book) as served:
        for dark in (False, True):
            show_dark(driver, dark)
            driver.delete_all_cookies()
            theme = "dark" if dark else "light"
            driver.get(served.origin + "/")
            faults += check(driver, f"pair-{name}-{theme}", dark)
            driver.get(served.server.pairing_url(served.server.invite()))
            for page, path in pages(codes).items():
                driver.get(served.origin + path)
                faults += check(driver, f"{page}-{name}-{theme}", dark)
        driver.get("about:blank")
    assert not faults, "\n".join(faults)


def check(driver: Chrome, name: str, dark: bool) -> list[str]:
    """What is wrong with the page that is open."""
    WebDriverWait(driver, 10).until(
        lambda one: one.execute_script("return [...document.images].every(image => image.complete)")
    )
    look: dict[str, Any] = driver.execute_script(LOOK)
    wide = int(name.split("-")[-3])
    faults = []
    if look["width"] > wide:
        faults.append(f"{name} is {look['width']} wide")
    if look["contrast"] < SHARP:
        faults.append(f"{name} has a contrast of {look['contrast']:.1f}")
    if look["lowest"] < FINGER:
        faults.append(f"{name} has a target of {look['lowest']}")
    seen = Image.open(BytesIO(driver.get_screenshot_as_png())).convert("L")
    if (seen.crop((2, 2, 3, 3)).tobytes()[0] < 128) != dark:
        faults.append(f"{name} is not {'dark' if dark else 'light'}")
    return faults + compare(seen, name)


def compare(seen: Image.Image, name: str) -> list[str]:
    """Whether a page looks as it was approved; with TAGBENCH_APPROVE=1 it is approved instead."""
    small = seen.reduce(SHRUNK)
    path = APPROVED / f"{name}.png"
    if os.environ.get("TAGBENCH_APPROVE") == "1":
        APPROVED.mkdir(exist_ok=True)
        seen.reduce(2).quantize(16).save(path, optimize=True)
        return []
    if not path.exists():
        return [f"{name} was never approved"]
    with Image.open(path) as approved:
        known = approved.convert("L").reduce(SHRUNK // 2)
    if known.size != small.size:
        return [f"{name} has another size than approved"]
    levels = ImageChops.difference(known, small).histogram()
    share = sum(levels[APART:]) / (small.width * small.height)
    return [f"{name} looks different: {share:.1%} of its dots"] if share > SHARE else []


@pytest.mark.parametrize("browser", [(390, 16)], indirect=True, ids=str)
def test_the_answer_stands_in_the_first_screen(browser: tuple[Chrome, str], tmp_path: Path) -> None:
    """Name, place, screws, how it sits, what must be on before: above the bar, without moving."""
    driver, _ = browser
    book, codes = filled(tmp_path / "book")
    with book, Served(book) as served:
        driver.get(served.server.pairing_url(served.server.invite()))
        for code, last in ((codes.plate, ".jump"), (codes.shoes, ".state li:last-child")):
            driver.get(f"{served.origin}/{code}")
            bottom = driver.execute_script(
                "return document.querySelector(arguments[0]).getBoundingClientRect().bottom", last
            )
            bar = driver.execute_script(
                "return document.querySelector('nav').getBoundingClientRect().top"
            )
            assert bottom < bar < HEIGHT
        driver.get("about:blank")


def test_a_difference_is_noticed() -> None:
    """The measure itself: a line of text that is gone counts, the edges of letters do not."""
    page = Image.new("L", (390, 844), 255)
    page.paste(0, (10, 100, 380, 130))
    shifted = ImageChops.offset(page, 0, 30)
    levels = ImageChops.difference(page.reduce(SHRUNK), shifted.reduce(SHRUNK)).histogram()
    small = page.reduce(SHRUNK)
    assert sum(levels[APART:]) / (small.width * small.height) > SHARE

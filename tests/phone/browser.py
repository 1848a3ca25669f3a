"""A headless Chromium with the window of a phone, kept away from every network but loopback."""

from __future__ import annotations

import asyncio
import os
import shutil
import threading
from collections.abc import Coroutine, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, TypeVar

import fontpkg_noto_sans
import pytest
from selenium import webdriver
from selenium.webdriver.chrome.service import Service

from tagbench.book import Book
from tagbench.phone.server import PhoneServer

T = TypeVar("T")
WIDTH, HEIGHT = 390, 844
CHROMIUM, DRIVER = "chromium", "chromedriver"
FLAGS = (
    "--headless=new",
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--hide-scrollbars",
    "--disable-default-apps",
    "--disable-dev-shm-usage",
    # Any name at all leads to an address that is never answered, except the loopback ones.
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE localhost, EXCLUDE 127.0.0.1",
)


def need_chromium() -> None:
    """Skips the test without Chromium; with TAGBENCH_REQUIRE_BROWSER=1 it fails instead."""
    if shutil.which(CHROMIUM) and shutil.which(DRIVER):
        return
    if os.environ.get("TAGBENCH_REQUIRE_BROWSER") == "1":
        pytest.fail("chromium and chromedriver are required here and are not installed")
    pytest.skip("chromium and chromedriver are not installed")


@contextmanager
def chromium(
    profile: Path,
    text_size: int = 16,
    width: int = WIDTH,
    pixel_ratio: float = 2.0,
    plain_font: bool = False,
    more_flags: Sequence[str] = (),
    height: int = HEIGHT,
) -> Iterator[webdriver.Chrome]:
    """A browser with a fresh profile and the window, pixels and touch of a phone.

    `text_size` is the size of plain text that its owner has chosen, CSS pixels; 16 is usual.
    With `plain_font` it knows one font only, the same everywhere, so that pictures are comparable.
    """
    options = webdriver.ChromeOptions()
    options.binary_location = str(shutil.which(CHROMIUM))
    for flag in (*FLAGS, *more_flags):
        options.add_argument(flag)
    options.add_argument(f"--user-data-dir={profile}")
    screen = {"width": width, "height": height, "pixelRatio": pixel_ratio, "touch": True}
    options.add_experimental_option("mobileEmulation", {"deviceMetrics": screen})
    options.add_experimental_option("prefs", {"webkit.webprefs.default_font_size": text_size})
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    env = {**os.environ, "FONTCONFIG_FILE": str(_one_font(profile))} if plain_font else None
    service = Service(str(shutil.which(DRIVER)), env=env)
    driver = webdriver.Chrome(options=options, service=service)
    try:
        driver.set_page_load_timeout(20)
        yield driver
    finally:
        driver.quit()


def _one_font(folder: Path) -> Path:
    """A font configuration that knows Noto Sans alone, from the package with our letters."""
    fonts = Path(fontpkg_noto_sans.__file__).parent
    config = folder / "fonts.conf"
    config.write_text(
        '<?xml version="1.0"?><fontconfig>'
        f"<dir>{fonts}</dir><cachedir>{folder / 'fonts'}</cachedir></fontconfig>"
    )
    return config


def show_dark(driver: webdriver.Chrome, dark: bool) -> None:
    """Gives the browser the dark or light looks that its owner has chosen."""
    media = [{"name": "prefers-color-scheme", "value": "dark" if dark else "light"}]
    driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": media})


class Served:
    """A phone server on an event loop in a thread of its own, as the screens have it on theirs."""

    def __init__(self, book: Book, **how: Any) -> None:
        self.server = PhoneServer(book, host="", port=0, **how)
        self._loop = asyncio.new_event_loop()
        self._thread = threading.Thread(target=self._loop.run_forever, daemon=True)

    def __enter__(self) -> Served:
        self._thread.start()
        self.run(self.server.start())
        return self

    def __exit__(self, *_: object) -> None:
        self.run(self.server.stop())
        self._loop.call_soon_threadsafe(self._loop.stop)
        self._thread.join(10)
        self._loop.close()

    def run(self, work: Coroutine[Any, Any, T]) -> T:
        """Runs something on the server's loop."""
        return asyncio.run_coroutine_threadsafe(work, self._loop).result(20)

    @property
    def origin(self) -> str:
        """`http://127.0.0.1:PORT`."""
        return self.server.urls[0].rstrip("/")

"""Two taps on a slow link, and refusals that are seen where the person looks, in a real browser."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from selenium.common.exceptions import WebDriverException
from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By
from selenium.webdriver.support.ui import WebDriverWait

from tagbench.book import Book
from tagbench.book.operations.settings import SettingForm, add_setting
from tests.phone.browser import Served, chromium, need_chromium
from tests.phone.conftest import Codes
from tests.phone.test_browser import FINGER, LOOK, Hand, browser, hand
from tests.phone.test_pictures import corners

__all__ = ["browser", "hand"]

pytestmark = pytest.mark.browser

SLOW, APART = 1500, 600
"""Latency of the link, and the time between two taps, milliseconds."""


def delay(hand: Hand, milliseconds: int) -> None:
    """Has every answer come so much later."""
    network = {
        "offline": False,
        "latency": milliseconds,
        "downloadThroughput": -1,
        "uploadThroughput": -1,
    }
    hand.driver.execute_cdp_cmd("Network.enable", {})
    hand.driver.execute_cdp_cmd("Network.emulateNetworkConditions", network)


def tap_twice(hand: Hand, words: str) -> None:
    """Taps a button two times before the answer is there, and waits for it."""
    delay(hand, SLOW)
    button = hand.driver.find_element(By.XPATH, f"//button[normalize-space()='{words}']")
    hand.driver.execute_script(
        "const [button, pause] = arguments;button.click(); setTimeout(() => button.click(), pause)",
        button,
        APART,
    )
    WebDriverWait(hand.driver, 20, ignored_exceptions=(WebDriverException,)).until(
        lambda _: "Take it back" in hand.seen
    )
    delay(hand, 0)


def test_two_taps_start_one_part(hand: Hand, book: Book) -> None:
    before = len(book.records.parts)
    hand.pair()
    hand.open("/strip")
    hand.type("name", "Doppeltipp")
    tap_twice(hand, "Start the part")
    assert "Took off Doppeltipp" in hand.seen
    assert len(book.records.parts) == before + 1


def test_two_taps_write_down_what_was_found_once(hand: Hand, book: Book) -> None:
    hand.pair()
    hand.open("/away")
    hand.type("found", "M6 bolt 20 long, bench floor")
    tap_twice(hand, "Write it down")
    assert len(book.records.loose) == 1


def test_two_taps_on_a_tick_keep_its_notice(hand: Hand, codes: Codes, book: Book) -> None:
    hand.pair()
    hand.open(f"/{codes.shoes}")
    tap_twice(hand, "Tick: inspected")
    assert "Inspected Brake shoes" in hand.seen
    assert [one.step for one in book.records.parts[codes.shoes].care] == ["inspected"]


@pytest.fixture(scope="module", params=[(320, 568), (390, 844)], ids=str)
def sized(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Chrome]:
    """The smallest phones, and a usual one."""
    need_chromium()
    width, height = request.param
    with chromium(tmp_path_factory.mktemp("profile"), width=width, height=height) as driver:
        yield driver


@pytest.fixture
def held(sized: Chrome, book: Book, codes: Codes, tmp_path: Path) -> Iterator[Hand]:
    """A phone of that size in the hand."""
    del codes
    sized.delete_all_cookies()
    with Served(book) as served:
        yield Hand(sized, served, tmp_path)
        sized.get("about:blank")


def refusal_in_view(hand: Hand, field: str) -> bool:
    """Whether the reason and the field are both on the screen, above the bar."""
    seen: bool = hand.driver.execute_script(
        "const edge = document.querySelector('nav').getBoundingClientRect().top;"
        "return ['refused', arguments[0]].every(id => {"
        "  const box = document.getElementById(id).getBoundingClientRect();"
        "  return box.top >= 0 && box.bottom <= edge && box.height > 0; });",
        field,
    )
    return seen


def test_a_refusal_stands_at_its_form_and_is_scrolled_to(
    held: Hand, codes: Codes, book: Book
) -> None:
    number = add_setting(book, SettingForm(what="chain slack", range="20-30 mm", mark="TP")).id
    held.pair()
    held.open(f"/{codes.shoes}")
    held.unfold("It goes to someone, or cannot be found")
    held.type("who", "Hill Plating")
    held.type("due", "gestern")
    held.press("It went")
    assert refusal_in_view(held, "who")
    assert held.driver.find_element(By.ID, "due").get_attribute("value") == "gestern"
    held.type("due", "in 2 weeks")
    held.press("It went")
    assert held.driver.execute_script("return scrollY") == 0  # what was done stands on top
    held.open("/settings")
    held.type(f"value{number}", "viel")
    held.press("Measured")
    assert refusal_in_view(held, f"value{number}")
    assert "chain slack: “viel”" in held.driver.find_element(By.ID, "refused").text
    held.open(f"/settings/{number}")
    assert "chain slack" in held.seen


def test_a_photo_is_chosen_once(hand: Hand, codes: Codes, book: Book, tmp_path: Path) -> None:
    corners().save(tmp_path / "new.png", "PNG")
    hand.pair()
    hand.open(f"/{codes.spare}")
    hand.type("name", "Speedometer drive")
    hand.driver.find_element(By.ID, "camera").send_keys(str(tmp_path / "new.png"))
    hand.type("fasteners", "4 m5 x 12 pan")
    hand.press("How is that understood?")
    assert "1 photo kept" in hand.seen
    hand.type("name", "  ")
    hand.press("Start the part")
    assert "1 photo kept" in hand.seen
    hand.type("name", "Speedometer drive")
    hand.press("Start the part")
    assert len(book.records.parts[codes.spare].photos) == 1


LINES = """
const range = document.createRange();
range.selectNodeContents(document.getElementById('refused'));
const bottoms = [...range.getClientRects()].filter(r => r.height < 40).map(r => r.bottom);
const lines = bottoms.sort((a, b) => a - b).filter((y, n) => !n || y - bottoms[n - 1] > 6);
return lines.slice(1).map((y, n) => y - lines[n]);
"""
"""How far apart the lines of a refusal stand, CSS pixels."""


def test_codes_in_sentences_leave_the_lines_even_and_a_finger_hits_them(
    held: Hand, codes: Codes
) -> None:
    held.pair()
    held.open(f"/{codes.shoes}")
    held.press("Fitted")
    apart = held.driver.execute_script(LINES)
    assert len(apart) > 3
    assert max(apart) - min(apart) <= 4
    code = held.driver.find_element(By.CSS_SELECTOR, "#refused a.c")
    assert code.rect["height"] >= FINGER


def test_every_page_is_as_wide_as_the_window(held: Hand, codes: Codes, book: Book) -> None:
    """And ranges and codes stand on one line each, also where they are no links."""
    add_setting(book, SettingForm(what="chain slack of the drive", range="20-30 mm", mark="TP"))
    held.pair()
    wide = held.driver.execute_script("return innerWidth")
    paths = ("/", "/mat", "/scan", "/away", "/count", "/settings", "/strip")
    for path in (*paths, f"/{codes.plate}", f"/{codes.bag}"):
        held.open(path)
        assert held.driver.execute_script(LOOK)["width"] <= wide, path
        lines = held.driver.execute_script(
            "return [...document.querySelectorAll('.n')].map(e => e.getClientRects().length)"
        )
        assert set(lines) <= {1}, path
        links = held.driver.find_elements(By.CSS_SELECTOR, "main a[href='/'], nav a[href='/']")
        assert len(links) == 1, path

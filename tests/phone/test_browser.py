"""The pages in a real browser with the window of a phone."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import Image
from selenium.common.exceptions import WebDriverException
from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By
from selenium.webdriver.support import expected_conditions
from selenium.webdriver.support.ui import WebDriverWait

from tagbench.book import Book
from tagbench.measure.waiting import waiting
from tagbench.phone.events import BookChanged, PhoneEvent, PhonePaired, TagOpened
from tests.phone.browser import WIDTH, Served, chromium, need_chromium
from tests.phone.conftest import Codes
from tests.phone.test_mat import pictures
from tests.phone.test_pictures import corners, exif

__all__ = ["pictures"]  # rendered ones

pytestmark = pytest.mark.browser

SHARP = 7.0
"""Contrast of text, the enhanced level of WCAG 2.2, success criterion 1.4.6 (from memory)."""
FINGER = 48
"""Height of a target, CSS pixels; for gloves more than the 44 of WCAG 2.2, 2.5.5 (from memory)."""


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Chrome]:
    need_chromium()
    with chromium(tmp_path_factory.mktemp("profile")) as driver:
        yield driver


def messages(browser: Chrome) -> list[str]:
    """What the browser complained about since the last time."""
    entries: list[dict[str, str]] = browser.get_log("browser")  # type: ignore[no-untyped-call]
    return [entry["message"] for entry in entries]


class Hand:
    """A person with a phone."""

    def __init__(self, driver: Chrome, served: Served, shots: Path) -> None:
        self.driver = driver
        self.served = served
        self.events: list[PhoneEvent] = []
        self.shots = shots
        served.server.listen(self.events.append)

    def open(self, path: str) -> None:
        """Scans a tag or types an address."""
        self.driver.get(self.served.origin + path)

    def pair(self) -> None:
        """Scans the symbol that pairs."""
        self.driver.get(self.served.server.pairing_url(self.served.server.invite()))

    @property
    def seen(self) -> str:
        """What is written on the page."""
        return self.driver.find_element(By.TAG_NAME, "body").text

    def press(self, words: str) -> None:
        """Presses a button and waits for the next page."""
        button = self.driver.find_element(By.XPATH, f"//button[normalize-space()='{words}']")
        self.driver.execute_script("arguments[0].scrollIntoView({block: 'center'})", button)
        button.click()
        WebDriverWait(self.driver, 10, ignored_exceptions=(WebDriverException,)).until(
            expected_conditions.staleness_of(button)
        )

    def unfold(self, words: str) -> None:
        """Opens what is folded under these words."""
        summary = self.driver.find_element(By.XPATH, f"//summary[normalize-space()='{words}']")
        self.driver.execute_script("arguments[0].scrollIntoView({block: 'center'})", summary)
        summary.click()

    def type(self, field: str, words: str) -> None:
        """Types into the field with that id."""
        found = self.driver.find_element(By.ID, field)
        found.clear()
        found.send_keys(words)

    def shot(self, name: str) -> Image.Image:
        """A picture of the screen, kept beside the test."""
        path = self.shots / f"{name}.png"
        assert self.driver.save_screenshot(str(path))
        return Image.open(path)


@pytest.fixture
def hand(browser: Chrome, book: Book, codes: Codes, tmp_path: Path) -> Iterator[Hand]:
    """A phone in the hand, not yet paired."""
    browser.delete_all_cookies()
    messages(browser)
    with Served(book) as served:
        yield Hand(browser, served, tmp_path)
        browser.get("about:blank")
    assert not [words for words in messages(browser) if "Security Policy" in words]


def test_pairing_by_code_leads_to_the_scanned_tag(hand: Hand, codes: Codes, book: Book) -> None:
    hand.open(f"/{codes.plate}")
    assert "Pair this phone" in hand.seen
    assert "Brake" not in hand.seen
    hand.type("code", hand.served.server.invite().spaced)
    hand.type("name", "Old phone")
    hand.press("Pair this phone")
    assert hand.driver.current_url.endswith(f"/{codes.plate}")
    assert "Brake plate" in hand.seen
    assert [type(event) for event in hand.events] == [PhonePaired, TagOpened]
    assert [one.name for one in book.records.phones.values()] == ["Old phone"]


def test_pairing_in_one_scan(hand: Hand, codes: Codes) -> None:
    hand.pair()
    assert "Next on the bench" in hand.seen
    hand.open(f"/{codes.bag}")
    assert "What is in it" in hand.seen


def test_scripts_cannot_read_the_cookie(hand: Hand) -> None:
    hand.pair()
    assert hand.driver.execute_script("return document.cookie") == ""
    [cookie] = hand.driver.get_cookies()
    assert (cookie["httpOnly"], cookie["sameSite"]) == (True, "Lax")


def test_a_printed_symbol_opens_its_tag(hand: Hand, codes: Codes) -> None:
    """The symbol holds the address in capitals; browsers fold scheme and host, not the path."""
    hand.pair()
    port = hand.served.server.port
    hand.driver.get(f"HTTP://LOCALHOST:{port}/{codes.plate}")
    assert "Pair this phone" in hand.seen  # another name of the server has its own cookies
    hand.driver.get(f"HTTP://127.0.0.1:{port}/{codes.plate}")
    assert "Brake plate" in hand.seen
    opened = hand.events[-1]
    assert isinstance(opened, TagOpened)
    assert opened.code == codes.plate


def test_it_is_read_at_arms_length_in_sunlight(hand: Hand, codes: Codes) -> None:
    hand.pair()
    tagged = (codes.plate, codes.shoes, codes.bag, codes.spare)
    for path in (*(f"/{code}" for code in tagged), "/", "/find?words=brake"):
        hand.open(path)
        look = hand.driver.execute_script(LOOK)
        assert look["width"] <= WIDTH, path
        assert look["smallest"] >= 18, path
        assert look["contrast"] >= SHARP, path
        assert look["lowest"] >= FINGER, path
        assert look["scripts"] == 0, path
        picture = hand.shot("page").convert("L")
        assert picture.getextrema() == (0, 255), path


LOOK = """
const shown = [...document.querySelectorAll('main *, nav *')].filter(e => e.offsetParent);
const light = colour => {
  const parts = colour.match(/[\\d.]+/g).slice(0, 3).map(part => part / 255);
  const [r, g, b] = parts.map(x => x <= 0.04045 ? x / 12.92 : ((x + 0.055) / 1.055) ** 2.4);
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
};
const behind = element => {
  for (let e = element; e; e = e.parentElement) {
    const colour = getComputedStyle(e).backgroundColor;
    if (!(colour.startsWith('rgba') && colour.endsWith(', 0)'))) return colour;
  }
  return 'rgb(255, 255, 255)';
};
const contrast = element => {
  const one = light(getComputedStyle(element).color), other = light(behind(element));
  return (Math.max(one, other) + 0.05) / (Math.min(one, other) + 0.05);
};
const texts = shown.filter(e => [...e.childNodes].some(n => n.nodeType == 3 && n.data.trim()));
const targets = shown.filter(e => e.matches(
  'button, input:not([type=checkbox]), select, textarea, summary, nav a, .jump a, .list a, .tick'
));
return {
  width: document.documentElement.scrollWidth,
  smallest: Math.min(...texts.map(e => parseFloat(getComputedStyle(e).fontSize))),
  contrast: Math.min(...texts.map(contrast)),
  lowest: Math.min(...targets.map(e => e.getBoundingClientRect().height)),
  scripts: document.scripts.length,
};
"""


def test_photos_are_sent_and_shown(hand: Hand, codes: Codes, book: Book, tmp_path: Path) -> None:
    for number in (1, 2):
        corners().save(tmp_path / f"{number}.jpg", "JPEG", exif=exif(6))
    hand.pair()
    hand.open(f"/{codes.plate}")
    files = f"{tmp_path / '1.jpg'}\n{tmp_path / '2.jpg'}"
    hand.driver.find_element(By.ID, "chosen").send_keys(files)
    hand.press("Add the photos")
    assert "Added 2 photos to Brake plate" in hand.seen
    assert len(book.records.parts[codes.plate].photos) == 2
    images = hand.driver.find_elements(By.TAG_NAME, "img")
    assert len(images) == 2
    hand.driver.execute_script("arguments[0].scrollIntoView()", images[0])
    WebDriverWait(hand.driver, 10).until(
        lambda driver: driver.execute_script("return arguments[0].naturalWidth", images[0]) == 160
    )
    assert any(isinstance(event, BookChanged) for event in hand.events)


@pytest.mark.long
def test_a_photographed_mat_waits_on_the_bench(
    hand: Hand, book: Book, pictures: tuple[bytes, bytes], tmp_path: Path
) -> None:
    """A screw on the mat, sent from the phone's own page: told there, and it waits."""
    photo = tmp_path / "mat.jpg"
    photo.write_bytes(pictures[0])
    hand.pair()
    hand.open("/mat")
    hand.driver.find_element(By.ID, "photo").send_keys(str(photo))
    hand.shot("mat")
    hand.driver.find_element(By.XPATH, "//button[normalize-space()='Measure it']").click()
    WebDriverWait(hand.driver, 120, ignored_exceptions=(WebDriverException,)).until(
        lambda _: "waits on the bench" in hand.seen
    )
    hand.shot("mat-measured")
    assert "1x M6x1x25 hex" in hand.seen
    assert "caliper" in hand.seen
    assert [one.measured for one in waiting(book.folder)] == [True]


def test_care_is_ticked(hand: Hand, codes: Codes, book: Book) -> None:
    hand.pair()
    hand.open(f"/{codes.shoes}")
    hand.type("degreased", "kerosene")
    hand.press("Tick: degreased")
    assert "✓ degreased with kerosene" in hand.seen
    hand.press("Tick: inspected")
    assert [step.step for step in book.records.parts[codes.shoes].care] == [
        "degreased",
        "inspected",
    ]


def test_burying_is_refused_and_can_be_overruled(hand: Hand, codes: Codes, book: Book) -> None:
    hand.pair()
    hand.open(f"/{codes.shoes}")
    hand.press("Fitted")
    assert "would shut in Brake plate" in hand.seen
    hand.type("why", "only to try it")
    hand.press("Fit it anyway")
    assert "on the machine, fitted" in hand.seen
    assert book.records.parts[codes.shoes].fitted == "fitted"


def test_short_is_written_down(hand: Hand, codes: Codes, book: Book) -> None:
    hand.pair()
    hand.open(f"/{codes.plate}")
    hand.unfold("Some are missing")
    hand.type("short", "2")
    hand.press("Short")
    assert "2 lost" in hand.seen
    assert book.records.parts[codes.plate].fasteners[0].short == 2


def test_a_spare_tag_becomes_a_part(hand: Hand, codes: Codes, book: Book, tmp_path: Path) -> None:
    corners().save(tmp_path / "new.png", "PNG")
    hand.pair()
    hand.open(f"/{codes.spare}")
    hand.type("name", "Speedometer drive")
    hand.type("assembly", "Front wheel")
    hand.driver.find_element(By.ID, "camera").send_keys(str(tmp_path / "new.png"))
    hand.press("Start the part")
    assert "Speedometer drive" in hand.seen
    assert len(book.records.parts[codes.spare].photos) == 1


def test_find_by_words_and_by_code(hand: Hand, codes: Codes) -> None:
    hand.pair()
    hand.open("/find")
    hand.type("words", "four screws brake plate")
    hand.press("Find")
    hand.driver.find_element(By.CSS_SELECTOR, f"a[href='/{codes.plate}']").click()
    assert codes.plate in hand.seen
    hand.open("/")
    hand.type("words", codes.bag.lower())
    hand.press("Find")
    assert "What is in it" in hand.seen


def test_a_phone_taken_away_sees_nothing_more(hand: Hand, codes: Codes, book: Book) -> None:
    hand.pair()
    hand.open(f"/{codes.plate}")
    [phone] = book.records.phones.values()
    hand.served.server.forget(phone.id)
    hand.press("Snug")
    assert "Pair this phone" in hand.seen
    assert book.records.parts[codes.plate].fitted == "off"

"""Tags to files: PDF sheets, PNG pages, with the figures a person wants to hear afterwards."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from labels.errors import OutputError
from labels.face.artwork import TagArtwork, draw_tag
from labels.face.drawing import Drawing
from labels.face.flow import Cut
from labels.face.fonts import advice
from labels.face.tagtext import TagText
from labels.face.text import drawn_whole, joins_letters
from labels.output.correction import NONE, Correction
from labels.output.output_file import output_file
from labels.output.pdf import PdfWriter
from labels.output.png import page_file, page_image, write_png
from labels.progress import Progress
from labels.stock.geometry import Stock
from labels.stock.sheet import Page, check_first, lay_out, next_label, page_count
from labels.symbols.symbol import ErrorCorrection


@dataclass(frozen=True, slots=True)
class CutText:
    """Words of one tag that did not fit whole."""

    code: str
    cut: Cut


@dataclass(frozen=True, slots=True)
class Printed:
    """What came of a run."""

    files: tuple[Path, ...]
    pages: int
    tags: int
    next_label: int
    """The first free label on the last sheet; 1 is a fresh sheet."""
    module_mm: float
    """The smallest module of the run."""
    level: ErrorCorrection
    """The lowest level of the run."""
    cuts: tuple[CutText, ...] = ()
    undrawable: tuple[str, ...] = ()
    """Characters printed as something else, because no typeface has them."""
    advice: tuple[str, ...] = ()
    """What to do so that names in other scripts print as they are, in sentences."""


@dataclass(slots=True)
class _Tally:
    """Draws tags one after another and keeps the figures, not the pictures."""

    texts: Sequence[TagText]
    stock: Stock
    others: Iterable[Stock]
    progress: Progress | None
    module_mm: float = 0.0
    level: ErrorCorrection = "H"
    cuts: list[CutText] = field(default_factory=list)
    undrawable: dict[str, None] = field(default_factory=dict)

    def drawings(self) -> Iterator[Drawing]:
        for done, text in enumerate(self.texts, 1):
            tag = draw_tag(text, self.stock, self.others)
            self._note(tag)
            yield tag.drawing
            if self.progress:
                self.progress(done, len(self.texts))

    def _note(self, tag: TagArtwork) -> None:
        self.module_mm = min(self.module_mm or tag.fit.module_mm, tag.fit.module_mm)
        self.level = min(self.level, tag.fit.level, key="LMQH".index)
        self.cuts += [CutText(tag.text.code, cut) for cut in tag.cuts]
        self.undrawable |= dict.fromkeys(tag.undrawable)


def write_tags(
    texts: Sequence[TagText],
    stock: Stock,
    target: Path,
    *,
    first: int = 1,
    correction: Correction = NONE,
    cut_marks: bool = False,
    others: Iterable[Stock] = (),
    progress: Progress | None = None,
) -> Printed:
    """Write tags to `target`: `.pdf`, or `.png` (numbered files when there are several pages).

    `first` is the first free label of a half-used sheet. Nothing is left half written: a file
    takes its name only when it is whole. `others` are the stocks to name when this one cannot
    hold a code. Raises `FitError`, `StockError` and `OutputError`.
    """
    if not texts:
        raise OutputError("There are no tags to print.")
    check_first(stock, first)
    tally = _Tally(texts, stock, tuple(others), progress)
    pages = lay_out(tally.drawings(), stock, first, cut_marks=cut_marks)
    count = page_count(stock, first, len(texts))
    files = write_pages(pages, count, target, stock.dots_per_mm, correction)
    return Printed(
        files, count, len(texts), next_label(stock, first, len(texts)), tally.module_mm,
        tally.level, tuple(tally.cuts), tuple(tally.undrawable), tuple(_advice(texts, tally)),
    )  # fmt: skip


NOT_JOINED = (
    "Arabic letters are not joined, and Thai marks may stand beside their letters: Pillow's layout "
    "engine raqm is not there; install the system's packages libraqm0 and libfribidi0."
)


def _advice(texts: Sequence[TagText], tally: _Tally) -> Iterator[str]:
    yield from advice(tally.undrawable)
    words = (part for text in texts for part in (text.title, *(line.text for line in text.lines)))
    if not joins_letters() and any(map(drawn_whole, words)):
        yield NOT_JOINED


def write_pages(
    pages: Iterable[Page],
    count: int,
    target: Path,
    dots_per_mm: float,
    correction: Correction = NONE,
    title: str = "Tags",
) -> tuple[Path, ...]:
    """Write pages (as many as `count` says) to a PDF, or to one PNG a page."""
    kind = target.suffix.lower()
    if kind == ".pdf":
        with output_file(target) as stream:
            writer = PdfWriter(stream, title, dots_per_mm, correction)
            for page in pages:
                writer.add(page)
            writer.close()
        return (target,)
    if kind == ".png":
        return _write_pictures(pages, count, target, dots_per_mm, correction)
    raise OutputError(f"{target.name!r} must end in .pdf or .png.")


def _write_pictures(
    pages: Iterable[Page], count: int, target: Path, dots_per_mm: float, correction: Correction
) -> tuple[Path, ...]:
    """One PNG a page; when a page fails, those before it do not stay behind as if all were well."""
    files: list[Path] = []
    try:
        for number, page in enumerate(pages, 1):
            file = page_file(target, number, count)
            write_png(page_image(page, dots_per_mm, correction), file, dots_per_mm)
            files.append(file)
    except BaseException:
        for file in files:
            file.unlink(missing_ok=True)
        raise
    return tuple(files)

"""A sheet laid out on pages: each kind of block as strips, then the title and the foot."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import singledispatchmethod

from labels.face.drawing import Drawing, PlacedPhoto
from labels.face.fonts import Style
from labels.stock.sheet import Page
from tagbench.errors import BookError
from tagbench.reports.paper.blocks import (
    Block,
    Care,
    Entry,
    FactBlock,
    Flags,
    Heading,
    Line,
    NewPage,
    Order,
    Picture,
    Sheet,
    Table,
    WholePage,
)
from tagbench.reports.paper.flags import flag_groups
from tagbench.reports.paper.order_arrows import put_order
from tagbench.reports.paper.page_maker import (
    MODULE_MM,
    PageMaker,
    Strip,
    StripGroup,
    blank,
    line_height,
    mm,
    points,
    put_box,
    put_frame,
    put_line,
    put_right,
    put_symbol,
    rule,
    symbol_side,
    text_strips,
    wrapped_lines,
)
from tagbench.reports.photo_data import LONGEST_SIDE, jpeg

PICTURE_MM = 54.0
"""Width of a picture beside the facts."""
PIXELS = LONGEST_SIDE
"""Longest side of such a picture; sharp at its size on paper."""
LARGE_PIXELS = 1400
"""The same of a picture that takes a page's width."""
LEAST_PICTURE_MM = 40.0
"""A picture on a page of its own part is at least so high, else it goes to the next page, under the
name and the code again."""
PICTURE_AIR_MM = 1.5
"""Blank above and below a row of pictures."""


def paginate(sheet: Sheet, paper: str, address: str = "") -> list[Page]:
    """The pages of a sheet on a paper (`a4`, `letter`, `a6`); `address` stands in the symbols."""
    layout = _Layout(sheet, PageMaker(sheet.paper or paper), address)
    return layout.pages()


class _Layout:
    def __init__(self, sheet: Sheet, maker: PageMaker, address: str) -> None:
        self.sheet = sheet
        self.maker = maker
        self.address = address
        self._opening: list[StripGroup] = []
        """Headings that wait for what stands below them."""
        self._begun = False
        """Whether anything stands below the title."""
        size = sheet.sizes
        self.body = Style(points(size.body))
        self.strong = Style(points(size.body), bold=True)
        self.name = Style(points(size.name), bold=True)
        self.small = Style(points(size.small))
        if maker.paper == "a6":
            maker.margin_mm, maker.foot_mm = (6.0, 6.0), 0.0

    def pages(self) -> list[Page]:
        """Everything set, then the foot of each page, which tells how many there are."""
        maker = self.maker
        if not self.sheet.bare:
            maker.add_all(self._title())
        for block in self.sheet.blocks:
            self.put(block)
            self._begun = True
        maker.add_all(self._opening)
        if not maker.drawings:
            maker.new_page()
        if not self.sheet.bare:
            self._feet()
        return maker.pages()

    def _title(self) -> Iterator[StripGroup]:
        style = Style(points(self.sheet.sizes.title), bold=True)
        yield StripGroup(text_strips(self.sheet.title, self.maker.width, style))
        yield StripGroup(
            [*text_strips(self.sheet.about, self.maker.width, self.small), blank(mm(3))]
        )

    def _feet(self) -> None:
        count = len(self.maker.drawings)
        y = self.maker.bottom + mm(2.5)
        for number, drawing in enumerate(self.maker.drawings, 1):
            right = self.maker.left + self.maker.width
            put_right(drawing, right, y, f"page {number} of {count}", self.small)
            title = wrapped_lines(self.sheet.title, round(self.maker.width * 0.8), self.small)[0]
            put_line(drawing, self.maker.left, y, title, self.small)

    @singledispatchmethod
    def put(self, block: Block) -> None:
        """Sets one block."""
        raise TypeError(f"no layout for {type(block).__name__}")

    def _set(self, *groups: StripGroup) -> None:
        self.maker.add_all([*self._opening, *groups])
        self._opening = []

    @put.register
    def _heading(self, block: Heading) -> None:
        style = Style(points(self.sheet.sizes.heading), bold=True)
        strips = [
            blank(mm(4)),
            *text_strips(block.text, self.maker.width, style),
            rule(self.maker.width, 0.5, 0.6, 1.5),
        ]
        self._opening.append(StripGroup(strips, opens=True))

    @put.register
    def _line(self, block: Line) -> None:
        style = self.strong if block.bold else self.body
        self._set(
            StripGroup([*self._ticked(block.text, style, 0, tick=block.tick), blank(mm(0.8))])
        )

    @put.register
    def _new_page(self, _block: NewPage) -> None:
        self._set(StripGroup([], new_page=True))

    @put.register
    def _fact(self, block: FactBlock) -> None:
        self._set(StripGroup(self._fact_strips(block, self.maker.width), together=False))

    @put.register
    def _care(self, block: Care) -> None:
        width, pad = self.maker.width, mm(2)
        inner = [
            strip for text in block.lines for strip in text_strips(text, width - 2 * pad, self.body)
        ]
        high = sum(strip.height for strip in inner) + 2 * pad

        def draw(to: Drawing, x: int, y: int) -> None:
            put_frame(to, x, y, width, high, mm(0.4))
            at = y + pad
            for strip in inner:
                strip.draw(to, x + pad, at)
                at += strip.height

        self._set(StripGroup([blank(mm(2)), Strip(high, draw), blank(mm(2))]))

    @put.register
    def _table(self, block: Table) -> None:
        self._set(self._table_group(block))

    @put.register
    def _entry(self, block: Entry) -> None:
        strips = self._entry_strips(block, pictures=True)
        self._set(StripGroup([blank(mm(1.5)), *strips, rule(self.maker.width, 0.15, 1.5, 0.5)]))

    @put.register
    def _whole_page(self, block: WholePage) -> None:
        """The facts, then the first picture as large as the rest of the page allows."""
        if self._begun:
            self._set(StripGroup([], new_page=True))
        strips = self._entry_strips(block.entry, pictures=False)
        self._set(StripGroup([*strips, blank(mm(3))], together=False))
        if block.table is not None:
            self._set(self._table_group(block.table))
        for picture in block.entry.pictures[:1]:
            if self._picture_room(picture) < mm(LEAST_PICTURE_MM):
                head = self._entry_head(block.entry, self.maker.width)
                self._set(StripGroup([], new_page=True), StripGroup(head))
            room = self._picture_room(picture)
            self._set(StripGroup([self._pictures([picture], self.maker.width, room)]))

    def _picture_room(self, picture: Picture) -> int:
        """How high a picture may be on the rest of the page, with its caption below it."""
        said = (
            wrapped_lines(picture.caption, self.maker.width, self.small) if picture.caption else []
        )
        return self.maker.left_over - len(said) * line_height(self.small) - mm(PICTURE_AIR_MM)

    @put.register
    def _order(self, block: Order) -> None:
        self._set()
        put_order(self.maker, block, self.name, self.body, self.small, self._picture)

    @put.register
    def _flags(self, block: Flags) -> None:
        self._set(*flag_groups(block, self.maker.width, self.address))

    # What blocks are made of

    def _ticked(self, text: str, style: Style, indent: int, *, tick: bool) -> list[Strip]:
        """Lines of words, with a box before the first one when `tick`."""
        side = mm(4.2)
        inset = indent + (side + mm(2) if tick else 0)
        strips = text_strips(text, self.maker.width - indent, style, inset - indent)
        moved = [_moved(strip, indent) for strip in strips]
        if tick and moved:
            first = moved[0]

            def draw(to: Drawing, x: int, y: int) -> None:
                put_box(to, x + indent, y + (first.height - side) // 2, side)
                first.draw(to, x, y)

            moved[0] = Strip(first.height, draw)
        return moved

    def _fact_strips(self, fact: FactBlock, room: int) -> list[Strip]:
        """The label at the left, its lines in a column of their own."""
        size = self.sheet.sizes.body / 11
        column = mm((20 if self.maker.paper == "a6" else 29) * size)
        side = mm(3.8 * size)
        strips: list[Strip] = []
        for line in fact.lines:
            inset = column + (side + mm(1.5) if fact.tick else 0)
            for at, one in enumerate(text_strips(line, room, self.body, inset)):
                strips.append(_with_box(one, column, side) if fact.tick and not at else one)
        label = wrapped_lines(fact.label, column - mm(1), self.strong)
        first = strips[0]

        def draw(to: Drawing, x: int, y: int) -> None:
            put_line(to, x, y, label[0], self.strong)
            first.draw(to, x, y)

        return [Strip(first.height, draw), *strips[1:]]

    def _entry_strips(self, entry: Entry, *, pictures: bool) -> list[Strip]:
        """Name, code and facts at the left, the symbol at the right of the first of them."""
        width = self.maker.width
        side = symbol_side(entry.code, self.address) if entry.symbol and entry.code else 0
        room = width - side - (mm(3) if side else 0)
        strips = self._entry_head(entry, room)
        for fact in entry.facts:
            strips += self._fact_strips(fact, room)
        if entry.held:
            strips.append(self._framed(f"held up: {entry.held}", room))
        shown = list(entry.pictures) if pictures else []
        across = max(1, room // mm(PICTURE_MM + 3))
        rows = [shown[at : at + across] for at in range(0, len(shown), across)]
        strips += [self._pictures(row, mm(PICTURE_MM), mm(80)) for row in rows]
        return (
            _beside_symbol(strips, side, self._symbol(entry.code, width - side))
            if side
            else (strips)
        )

    def _symbol(self, code: str, inset: int) -> Callable[[Drawing, int, int], None]:
        return lambda to, x, y: put_symbol(to, x + inset, y, code, self.address, MODULE_MM)

    def _entry_head(self, entry: Entry, room: int) -> list[Strip]:
        number = f"{entry.number}.  " if entry.number else ""
        strips = text_strips(f"{number}{entry.name}", room, self.name, mm(7) if entry.tick else 0)
        if entry.tick:
            strips[0] = _with_box(strips[0], 0, mm(4.6))
        if entry.code:
            code = Style(self.name.size, bold=True)
            strips += text_strips(entry.code, room, code, mm(7) if entry.tick else 0)
        return [*strips, blank(mm(1))]

    def _framed(self, text: str, room: int) -> Strip:
        pad = mm(1.5)
        inner = text_strips(text, room - 2 * pad, self.body)
        high = sum(one.height for one in inner) + 2 * pad

        def draw(to: Drawing, x: int, y: int) -> None:
            put_frame(to, x, y + mm(0.8), room, high, mm(0.35))
            at = y + mm(0.8) + pad
            for one in inner:
                one.draw(to, x + pad, at)
                at += one.height

        return Strip(high + mm(1.6), draw)

    def _picture(self, picture: Picture, wide: int, high: int) -> tuple[PlacedPhoto | None, str]:
        """A photograph fitted into a room, at (0, 0); nothing where it cannot be read, and why."""
        large = wide > mm(PICTURE_MM) * 1.2
        try:
            data, across, down = jpeg(picture.file, LARGE_PIXELS if large else PIXELS)
        except BookError:
            name = picture.file.name
            return None, (
                f"The picture {name} cannot be read; the command check says what is wrong with it."
            )
        scale = min(wide / across, high / down)
        size = max(1, round(across * scale)), max(1, round(down * scale))
        return PlacedPhoto(data, (across, down), 0, 0, *size), picture.caption

    def _pictures(self, row: Sequence[Picture], wide: int, high: int) -> Strip:
        """Pictures side by side, each with its caption below."""
        drawn = []
        for picture in row:
            photo, caption = self._picture(picture, wide, high)
            drawn.append((photo, wrapped_lines(caption, wide, self.small) if caption else []))
        step = line_height(self.small)
        heights = [(photo.height if photo else 0) + len(said) * step for photo, said in drawn]

        def draw(to: Drawing, x: int, y: int) -> None:
            left = x
            for photo, said in drawn:
                at = y + mm(1)
                if photo is not None:
                    to.elements.append(photo._replace(x=left, y=at))
                    at += photo.height
                for line in said:
                    put_line(to, left, at, line, self.small)
                    at += step
                left += wide + mm(3)

        return Strip(max(heights) + mm(PICTURE_AIR_MM), draw)

    def _table_group(self, table: Table) -> StripGroup:
        widths = _widths(table, self.maker.width)
        head = self._row(table, widths, table.head, self.strong, thick=0.4, tick=False)
        rows = [
            self._row(table, widths, row, self.body, thick=0.15, tick=table.tick)
            for row in table.rows
        ]
        return StripGroup([head, *rows, blank(mm(2))], together=len(rows) < 6, head=head)

    def _row(
        self, table: Table, widths: Sequence[int], row: Iterable[str], style: Style, *,
        thick: float, tick: bool,
    ) -> Strip:  # fmt: skip
        inset = mm(7) if table.tick else 0
        gap, step = mm(2), line_height(style)
        cells = [
            wrapped_lines(text, wide - gap, style) for text, wide in zip(row, widths, strict=True)
        ]
        high = max(len(cell) for cell in cells) * step + mm(1.6)

        def draw(to: Drawing, x: int, y: int) -> None:
            if tick:
                put_box(to, x, y + mm(0.9), mm(4.2))
            left = x + inset
            for column, (cell, wide) in enumerate(zip(cells, widths, strict=True)):
                for at, line in enumerate(cell):
                    top = y + mm(0.6) + at * step
                    if column in table.right:
                        put_right(to, left + wide - gap, top, line, style)
                    else:
                        put_line(to, left, top, line, style)
                left += wide
            bar = max(1, mm(thick))
            to.bar(x, y + high - bar, self.maker.width, bar)

        return Strip(high, draw)


def _widths(table: Table, width: int) -> list[int]:
    room = width - (mm(7) if table.tick else 0)
    whole = sum(table.shares)
    return [int(room * share / whole) for share in table.shares]


def _moved(strip: Strip, right: int) -> Strip:
    return Strip(strip.height, lambda to, x, y: strip.draw(to, x + right, y)) if right else strip


def _with_box(strip: Strip, left: int, side: int) -> Strip:
    """The strip with an empty box in it, so far from the left."""

    def draw(to: Drawing, x: int, y: int) -> None:
        put_box(to, x + left, y + (strip.height - side) // 2, side)
        strip.draw(to, x, y)

    return Strip(strip.height, draw)


def _beside_symbol(
    strips: Sequence[Strip], side: int, symbol: Callable[[Drawing, int, int], None]
) -> list[Strip]:
    """The first strips, as many as are as high as the symbol, as one strip with the symbol."""
    first: list[Strip] = []
    rest = list(strips)
    high = 0
    while rest and high < side:
        first.append(rest.pop(0))
        high += first[-1].height

    def draw(to: Drawing, x: int, y: int) -> None:
        symbol(to, x, y)
        at = y
        for strip in first:
            strip.draw(to, x, at)
            at += strip.height

    return [Strip(max(high, side), draw), *rest]

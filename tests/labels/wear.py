"""What a garage does to a tag, as picture operations: all from a fixed seed."""

import random
from math import cos, hypot, sin, tau

from PIL import Image, ImageChops, ImageDraw, ImageFilter

from labels.face.artwork import TagArtwork

FINDER = 7


def on_paper(drawn: TagArtwork) -> Image.Image:
    """The tag in grey with some bench round it, at the printer's own resolution."""
    label = drawn.image.convert("L")
    edge = label.height // 4
    paper = Image.new("L", (label.width + 2 * edge, label.height + 2 * edge), 225)
    paper.paste(label, (edge, edge))
    return paper


def ink_spread(picture: Image.Image) -> Image.Image:
    """Ink runs one dot in every direction."""
    return picture.filter(ImageFilter.MinFilter(3))


def blurred(picture: Image.Image) -> Image.Image:
    """Out of focus by one dot."""
    return picture.filter(ImageFilter.GaussianBlur(1))


def turned(picture: Image.Image) -> Image.Image:
    """Held 20° askew."""
    return picture.rotate(20, Image.Resampling.BICUBIC, expand=True, fillcolor=225)


def uneven_light(picture: Image.Image) -> Image.Image:
    """Bright on one side, less than half as bright on the other."""
    light = Image.linear_gradient("L").rotate(90).resize(picture.size)
    return ImageChops.multiply(
        picture, light.point([100 + shade * 155 // 255 for shade in range(256)])
    )


def greasy(picture: Image.Image) -> Image.Image:
    """Low contrast: dark paper, pale ink."""
    return picture.point([95 + shade * 45 // 255 for shade in range(256)])


def smudged(drawn: TagArtwork, seed: int, share: float = 0.1, spots: int = 1) -> Image.Image:
    """A tenth of the symbol gone under round smudges, away from the finder patterns: half of
    them grease (dark), half of them rubbed off (light)."""
    random.seed(seed)
    paper = on_paper(drawn)
    edge = drawn.image.height // 4
    left, top, right, _ = drawn.symbol_box
    dots = drawn.fit.module_dots
    modules = (right - left) // dots
    wiped: set[tuple[int, int]] = set()
    pen = ImageDraw.Draw(paper)
    for spot in range(1, spots + 1):
        shade = random.choice((25, 240))
        for x, y in _round_the(random.choice(_may_be_smudged(modules)), modules):
            if len(wiped) >= share * modules**2 * spot / spots:
                break
            wiped.add((x, y))
            corner = (edge + left + x * dots, edge + top + y * dots)
            pen.rectangle((*corner, corner[0] + dots - 1, corner[1] + dots - 1), fill=shade)
    return paper


def _may_be_smudged(modules: int) -> list[tuple[int, int]]:
    return [(x, y) for x in range(modules) for y in range(modules) if _free((x, y), modules)]


def _round_the(middle: tuple[int, int], modules: int) -> list[tuple[int, int]]:
    """Modules that may be smudged, the nearest to a middle first."""
    places = _may_be_smudged(modules)
    return sorted(places, key=lambda at: hypot(at[0] - middle[0], at[1] - middle[1]))


def _free(at: tuple[int, int], modules: int) -> bool:
    """Whether a module is none of a finder pattern with its border."""
    x, y = at
    low, high = FINDER + 1, modules - FINDER - 1
    return (
        0 <= x < modules
        and 0 <= y < modules
        and not ((x < low and y < low) or (x >= high and y < low) or (x < low and y >= high))
    )


def on_a_bench(pictures: list[Image.Image], seed: int) -> Image.Image:
    """A large photograph of several tags, each turned its own way, in uneven light."""
    random.seed(seed)
    side = max(max(picture.size) for picture in pictures)
    cell = int(side * 1.5)
    columns = max(1, round(len(pictures) ** 0.5))
    rows = -(-len(pictures) // columns)
    bench = Image.new("L", (cell * columns, cell * rows), 140)
    for at, picture in enumerate(pictures):
        turn = random.uniform(0, 360)
        turned_one = picture.rotate(turn, Image.Resampling.BICUBIC, expand=True, fillcolor=140)
        row, column = divmod(at, columns)
        shake = 0.04 * cell
        x = column * cell + (cell - turned_one.width) // 2 + int(shake * cos(tau * random.random()))
        y = row * cell + (cell - turned_one.height) // 2 + int(shake * sin(tau * random.random()))
        bench.paste(turned_one, (x, y))
    return uneven_light(blurred(bench))

"""Photos from a phone: decoded, upright, without a word about where they were taken."""

from __future__ import annotations

import io
import struct
import subprocess
import sys
import zlib
from datetime import UTC, datetime, timedelta
from pathlib import Path

import piexif
import pytest
from PIL import Image, ImageCms
from PIL.PngImagePlugin import PngInfo

from tagbench.errors import BadInput
from tagbench.phone.limits import PhoneLimits
from tagbench.phone.pictures import formats, look_at, write_clean_copy

LIMITS = PhoneLimits()
SMALL = PhoneLimits(photo_side=64, photo_pixels=1_000_000)
RED, GREEN, BLUE, WHITE = (230, 20, 20), (20, 200, 20), (20, 20, 230), (250, 250, 250)


def corners(width: int = 320, height: int = 160) -> Image.Image:
    """Red top left, green top right, blue bottom left, white bottom right."""
    image = Image.new("RGB", (width, height))
    half = (width // 2, height // 2)
    for colour, place in (
        (RED, (0, 0)),
        (GREEN, (half[0], 0)),
        (BLUE, (0, half[1])),
        (WHITE, half),
    ):
        image.paste(colour, (*place, place[0] + half[0], place[1] + half[1]))
    return image


def saved(path: Path, image: Image.Image, form: str = "JPEG", **how: object) -> Path:
    image.save(path, form, **how)
    return path


def seen_corners(path: Path) -> list[str]:
    """The colours of the corners by name, in reading order."""
    named = {"red": RED, "green": GREEN, "blue": BLUE, "white": WHITE}
    with Image.open(path) as image:
        places = [
            (x, y)
            for y in (image.height // 4, image.height * 3 // 4)
            for x in (image.width // 4, image.width * 3 // 4)
        ]
        found = [image.convert("RGB").crop((x, y, x + 1, y + 1)).tobytes() for x, y in places]
    return [min(named, key=lambda name: _apart(named[name], one)) for one in found]


def _apart(colour: tuple[int, int, int], seen: bytes) -> int:
    return sum(abs(a - b) for a, b in zip(colour, seen, strict=True))


def exif(orientation: int = 1) -> bytes:
    """Exif data with a place, a camera, an owner, a thumbnail and the time, made by piexif."""
    thumbnail = io.BytesIO()
    corners(80, 40).save(thumbnail, "JPEG")
    made: bytes = piexif.dump(
        {
            "0th": {
                piexif.ImageIFD.Make: b"Invented Cameras",
                piexif.ImageIFD.Artist: b"Somebody",
                piexif.ImageIFD.Orientation: orientation,
                piexif.ImageIFD.DateTime: b"2026:03:09 10:00:00",
            },
            "Exif": {
                piexif.ExifIFD.DateTimeOriginal: b"2026:03:07 21:14:05",
                piexif.ExifIFD.OffsetTimeOriginal: b"+01:00",
                piexif.ExifIFD.BodySerialNumber: b"12345",
            },
            "GPS": {
                piexif.GPSIFD.GPSLatitudeRef: b"N",
                piexif.GPSIFD.GPSLatitude: ((52, 1), (31, 1), (12, 1)),
            },
            "1st": {piexif.ImageIFD.Compression: 6},
            "thumbnail": thumbnail.getvalue(),
        }
    )
    return made


# TIFF 6.0 and CIPA DC-008 (Exif 2.32), tag 0x0112, from memory: where row 0 and column 0 of the
# stored picture lie in the picture as it is seen; here how the upright picture is stored then.
STORED_AS = {
    1: None,
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_90,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_270,
}


@pytest.mark.parametrize("orientation", STORED_AS)
def test_every_orientation_is_turned_upright(tmp_path: Path, orientation: int) -> None:
    turn = STORED_AS[orientation]
    stored = corners() if turn is None else corners().transpose(turn)
    source = saved(tmp_path / "in", stored, exif=exif(orientation), quality=95)
    write_clean_copy(source, tmp_path / "out.jpg", LIMITS)
    assert seen_corners(tmp_path / "out.jpg") == ["red", "green", "blue", "white"]
    with Image.open(tmp_path / "out.jpg") as image:
        assert image.size == (320, 160)


def test_nothing_but_pixels_is_kept(tmp_path: Path) -> None:
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    source = saved(tmp_path / "in", corners(), exif=exif(), comment=b"at home", icc_profile=profile)
    assert piexif.load(str(source))["GPS"]
    write_clean_copy(source, tmp_path / "out.jpg", LIMITS)
    data = (tmp_path / "out.jpg").read_bytes()
    found = piexif.load(data)
    assert not any(found[ifd] for ifd in ("0th", "Exif", "GPS", "1st"))
    assert found["thumbnail"] is None
    for word in (b"Invented", b"Somebody", b"12345", b"at home", b"ICC_PROFILE", b"Exif"):
        assert word not in data


def test_text_in_a_png_is_not_kept(tmp_path: Path) -> None:
    words = PngInfo()
    words.add_text("Location", "52.52 N")
    words.add_itxt("XML:com.adobe.xmp", "<x>52.52 N</x>")
    source = saved(tmp_path / "in", corners(), "PNG", pnginfo=words, exif=exif())
    write_clean_copy(source, tmp_path / "out.jpg", LIMITS)
    data = (tmp_path / "out.jpg").read_bytes()
    assert data[:3] == b"\xff\xd8\xff"
    assert b"52.52" not in data
    assert b"Exif" not in data


def test_the_time_taken_is_told_apart(tmp_path: Path) -> None:
    source = saved(tmp_path / "in", corners(), exif=exif())
    taken = write_clean_copy(source, tmp_path / "out.jpg", LIMITS).taken
    assert taken == datetime(2026, 3, 7, 20, 14, 5, tzinfo=UTC)


@pytest.mark.filterwarnings("ignore:Corrupt EXIF data")
@pytest.mark.parametrize("text", [b"", b"0000:00:00 00:00:00", b"yesterday", b"\xff\xfe"])
def test_a_time_that_is_none_is_left_out(tmp_path: Path, text: bytes) -> None:
    made = piexif.dump({"Exif": {piexif.ExifIFD.DateTimeOriginal: text}})
    source = saved(tmp_path / "in", corners(), exif=made)
    assert write_clean_copy(source, tmp_path / "out.jpg", LIMITS).taken is None


def test_a_time_without_offset_is_local(tmp_path: Path) -> None:
    made = piexif.dump({"Exif": {piexif.ExifIFD.DateTimeOriginal: b"2026:03:07 21:14:05"}})
    source = saved(tmp_path / "in", corners(), exif=made)
    taken = write_clean_copy(source, tmp_path / "out.jpg", LIMITS).taken
    assert taken is not None
    assert taken.utcoffset() is not None
    assert taken.replace(tzinfo=None) == datetime(2026, 3, 7, 21, 14, 5)


def test_the_long_side_is_limited_and_the_shape_kept(tmp_path: Path) -> None:
    source = saved(tmp_path / "in", corners(900, 300))
    write_clean_copy(source, tmp_path / "out.jpg", SMALL)
    with Image.open(tmp_path / "out.jpg") as image:
        assert image.width == 64
        assert image.height in (21, 22)  # a third, rounded up or down


def test_a_small_photo_is_not_blown_up(tmp_path: Path) -> None:
    write_clean_copy(saved(tmp_path / "in", corners(40, 20)), tmp_path / "out.jpg", LIMITS)
    with Image.open(tmp_path / "out.jpg") as image:
        assert image.size == (40, 20)


@pytest.mark.parametrize("mode", ["L", "P", "1", "LA", "RGBA", "I;16", "CMYK"])
def test_every_kind_of_pixel_becomes_plain_colour(tmp_path: Path, mode: str) -> None:
    image = corners().convert("L").convert(mode) if mode == "LA" else corners().convert(mode)
    saved(tmp_path / "in", image, "JPEG" if mode == "CMYK" else "PNG")
    write_clean_copy(tmp_path / "in", tmp_path / "out.jpg", LIMITS)
    with Image.open(tmp_path / "out.jpg") as out:
        assert (out.format, out.mode, out.size) == ("JPEG", "RGB", (320, 160))


def test_sixteen_bits_of_grey_keep_their_light(tmp_path: Path) -> None:
    """A scanner's or a drawing program's PNG: of 65535 levels the middle one is the middle."""
    levels = [0, 16384, 32768, 49151, 65535]
    row = b"".join(100 * level.to_bytes(2, "little") for level in levels)
    image = Image.frombytes("I;16", (100 * len(levels), 100), 100 * row)
    saved(tmp_path / "in", image, "PNG")
    write_clean_copy(tmp_path / "in", tmp_path / "out.jpg", LIMITS)
    with Image.open(tmp_path / "out.jpg") as out:
        seen = [out.convert("L").getpixel((100 * number + 50, 50)) for number in range(5)]
    looked = look_at(tmp_path / "in", LIMITS)
    at = [looked.getpixel((100 * number + 50, 50)) for number in range(5)]
    for found in (seen, at):
        assert found == pytest.approx([0, 64, 128, 191, 255], abs=2)


def test_what_is_clear_becomes_white(tmp_path: Path) -> None:
    saved(tmp_path / "in", Image.new("RGBA", (50, 50), (0, 0, 0, 0)), "PNG")
    write_clean_copy(tmp_path / "in", tmp_path / "out.jpg", LIMITS)
    with Image.open(tmp_path / "out.jpg") as out:
        assert out.getpixel((25, 25)) == (255, 255, 255)


def test_a_broken_colour_profile_does_no_harm(tmp_path: Path) -> None:
    source = saved(tmp_path / "in", corners(), icc_profile=b"no profile at all")
    write_clean_copy(source, tmp_path / "out.jpg", LIMITS)
    assert seen_corners(tmp_path / "out.jpg") == ["red", "green", "blue", "white"]


def test_what_is_no_picture_is_refused(tmp_path: Path) -> None:
    for data in (b"", b"hello", b"%PDF-1.7", b"GIF89a" + bytes(50), b"<svg/>", bytes(5000)):
        (tmp_path / "in").write_bytes(data)
        with pytest.raises(BadInput, match="not a picture"):
            write_clean_copy(tmp_path / "in", tmp_path / "out.jpg", LIMITS)
    assert not (tmp_path / "out.jpg").exists()


@pytest.mark.parametrize("form", ["GIF", "BMP", "TIFF", "WEBP", "PPM", "EPS", "PDF"])
def test_other_formats_are_not_decoded(tmp_path: Path, form: str) -> None:
    saved(tmp_path / "in", corners(), form)
    with pytest.raises(BadInput, match="not a picture"):
        write_clean_copy(tmp_path / "in", tmp_path / "out.jpg", LIMITS)


def test_a_photo_cut_short_is_refused(tmp_path: Path) -> None:
    whole = saved(tmp_path / "in", Image.effect_noise((600, 400), 80)).read_bytes()
    for share in (0.02, 0.5, 0.9):
        (tmp_path / "in").write_bytes(whole[: int(len(whole) * share)])
        with pytest.raises(BadInput, match="broken"):
            write_clean_copy(tmp_path / "in", tmp_path / "out.jpg", LIMITS)


@pytest.mark.sampled(4)
@pytest.mark.parametrize("left_out", [3, 20, 200, 2000])
@pytest.mark.parametrize("progressive", [False, True])
def test_not_even_the_end_of_a_photo_may_be_missing(
    tmp_path: Path, left_out: int, progressive: bool
) -> None:
    noise = Image.effect_noise((1600, 1200), 80)
    whole = saved(tmp_path / "in", noise, progressive=progressive).read_bytes()
    (tmp_path / "in").write_bytes(whole[:-left_out])
    with pytest.raises(BadInput, match="broken"):
        write_clean_copy(tmp_path / "in", tmp_path / "out.jpg", LIMITS)
    whole = saved(tmp_path / "in", noise, "PNG").read_bytes()
    (tmp_path / "in").write_bytes(whole[: -left_out - 12])  # and without the chunk IEND
    with pytest.raises(BadInput, match="broken"):
        write_clean_copy(tmp_path / "in", tmp_path / "out.jpg", LIMITS)


MEASURE = """
import resource, sys
from pathlib import Path
from tagbench.errors import BadInput
from tagbench.phone.limits import PhoneLimits
from tagbench.phone.pictures import look_at, write_clean_copy
before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
try:
    write_clean_copy(Path(sys.argv[1]), Path(sys.argv[2]), PhoneLimits())
    look_at(Path(sys.argv[1]), PhoneLimits())
except BadInput as error:
    print(error, file=sys.stderr)
print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before)
"""


@pytest.mark.sampled(7)
@pytest.mark.parametrize(
    ("mode", "size", "form", "how"),
    [
        ("RGBA", (7000, 7100), "PNG", {"compress_level": 0}),
        ("I;16", (7000, 7100), "PNG", {"compress_level": 0}),
        ("RGB", (8900, 8900), "JPEG", {}),
        ("RGB", (7000, 7100), "JPEG", {"progressive": True, "subsampling": 0}),
        ("CMYK", (7000, 7100), "JPEG", {}),
        ("RGB", (60000, 1300), "JPEG", {}),
        ("RGB", (9000, 8000), "PNG", {"compress_level": 0}),
    ],
)
def test_no_picture_takes_more_than_300_megabytes(
    tmp_path: Path, mode: str, size: tuple[int, int], form: str, how: dict[str, object]
) -> None:
    """Measured in a process of its own; what would take more is refused before it is decoded."""
    saved(tmp_path / "in", Image.new(mode, size), form, **how)
    done = subprocess.run(
        [sys.executable, "-c", MEASURE, str(tmp_path / "in"), str(tmp_path / "out.jpg")],
        capture_output=True,
        text=True,
        check=True,
    )
    grown_kib = int(done.stdout)
    assert grown_kib < 300 * 1024, done.stderr


def chunk(name: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))


def png_that_says(width: int, height: int) -> bytes:
    """A PNG of a few hundred bytes whose head (W3C PNG, 11.2.2) promises that many pixels."""
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    pixels = zlib.compress(bytes(100_000))
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", pixels) + chunk(b"IEND", b"")
    )


@pytest.mark.filterwarnings("ignore::PIL.Image.DecompressionBombWarning")
@pytest.mark.parametrize("side", [9_500, 30_000, 2_000_000])
def test_a_decompression_bomb_is_refused_from_its_head(tmp_path: Path, side: int) -> None:
    (tmp_path / "in").write_bytes(png_that_says(side, side))
    with pytest.raises(BadInput, match="more than 80 megapixels"):
        write_clean_copy(tmp_path / "in", tmp_path / "out.jpg", LIMITS)


def test_a_head_that_promises_more_than_there_is_is_refused(tmp_path: Path) -> None:
    (tmp_path / "in").write_bytes(png_that_says(800, 800))
    with pytest.raises(BadInput, match="broken"):
        write_clean_copy(tmp_path / "in", tmp_path / "out.jpg", LIMITS)


def test_a_two_in_one_photo_gives_its_first_picture(tmp_path: Path) -> None:
    """Some cameras write a second picture into the file (CIPA DC-007, multi-picture format)."""
    corners().save(
        tmp_path / "in", "MPO", save_all=True, append_images=[Image.new("RGB", (320, 160))]
    )
    write_clean_copy(tmp_path / "in", tmp_path / "out.jpg", LIMITS)
    assert seen_corners(tmp_path / "out.jpg") == ["red", "green", "blue", "white"]


def test_heic_is_taken_in_or_said_to_need_its_extra(tmp_path: Path) -> None:
    heif = "HEIF" in formats()
    if heif:
        saved(tmp_path / "in", corners(), "HEIF", exif=exif())
        picture = write_clean_copy(tmp_path / "in", tmp_path / "out.jpg", LIMITS)
        assert picture.taken == datetime(2026, 3, 7, 20, 14, 5, tzinfo=UTC)
        return
    # The head of a HEIC file (ISO/IEC 23008-12 and 14496-12): a box `ftyp` with its brand.
    (tmp_path / "in").write_bytes(struct.pack(">I", 24) + b"ftypheic" + bytes(4) + b"mif1heic")
    with pytest.raises(BadInput, match=r"\[heic\]"):
        write_clean_copy(tmp_path / "in", tmp_path / "out.jpg", LIMITS)


def test_a_large_photo_is_decoded_in_little_time(tmp_path: Path) -> None:
    source = saved(tmp_path / "in", corners(6000, 4000))
    before = datetime.now(UTC)
    write_clean_copy(source, tmp_path / "out.jpg", LIMITS)
    assert datetime.now(UTC) - before < timedelta(seconds=5)
    with Image.open(tmp_path / "out.jpg") as image:
        assert max(image.size) == LIMITS.photo_side

"""Scripts beyond the European ones: which there are, and where this computer has letters for them.

A typeface is looked for in packages that were installed for it, then where systems keep their
fonts, then by asking fontconfig. What is not found is said by name, with the way to get it.
"""

import shutil
import subprocess
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.util import find_spec
from os import environ
from pathlib import Path

_PATIENCE_S = 10


@dataclass(frozen=True, slots=True)
class Script:
    """A script, and what draws it."""

    name: str
    """What people call it."""
    ranges: tuple[tuple[int, int], ...]
    """Its blocks of Unicode, first and last character."""
    package: str
    """Python package with a typeface for it."""
    files: tuple[str, ...]
    """Names of font files, as systems have them, the best first."""
    debian: str
    """Package of the system with a typeface for it."""
    language: str
    """Language by which fontconfig is asked."""
    shaped: bool = False
    """Whether letters join or stack, so that a word is drawn whole."""
    scale: float = 1.0
    """Size of its letters against Latin ones."""
    extra: str = "scripts"
    """The extra of this project that brings the Python package."""

    def has(self, character: str) -> bool:
        """Whether a character belongs to it."""
        return any(first <= ord(character) <= last for first, last in self.ranges)


_HAN = (
    (0x2E80, 0x2FDF), (0x3000, 0x303F), (0x3400, 0x4DBF), (0x4E00, 0x9FFF),
    (0xF900, 0xFAFF), (0xFF00, 0xFFEF), (0x20000, 0x3134F),
)  # fmt: skip
_KANA = ((0x3040, 0x30FF), (0x31F0, 0x31FF))
_CJK_FILES = (
    "NotoSansCJK-Regular.ttc", "NotoSansCJK-Regular.otf", "NotoSansCJKsc-Regular.otf",
    "SourceHanSans-Regular.ttc", "wqy-zenhei.ttc", "DroidSansFallbackFull.ttf",
)  # fmt: skip

SCRIPTS = (
    Script("Hebrew", ((0x0590, 0x05FF), (0xFB1D, 0xFB4F)), "fontpkg_heebo",
           ("NotoSansHebrew-Regular.ttf", "NotoSansHebrew[wdth,wght].ttf", "ArialHB.ttc",
            "arial.ttf", "DejaVuSans.ttf"),
           "fonts-noto-core", "he", shaped=True, scale=0.95),
    Script("Arabic", ((0x0600, 0x06FF), (0x0750, 0x077F), (0x08A0, 0x08FF), (0xFB50, 0xFDFF),
                      (0xFE70, 0xFEFF)), "fontpkg_noto_sans_arabic",
           ("NotoSansArabic-Regular.ttf", "NotoSansArabic[wdth,wght].ttf", "GeezaPro.ttc",
            "arial.ttf", "DejaVuSans.ttf"),
           "fonts-noto-core", "ar", shaped=True, scale=0.86),
    Script("Thai", ((0x0E00, 0x0E7F),), "fontpkg_noto_sans_thai",
           ("NotoSansThai-Regular.ttf", "NotoSansThai[wdth,wght].ttf", "Thonburi.ttc",
            "tahoma.ttf", "Garuda.ttf"),
           "fonts-noto-core", "th", shaped=True, scale=0.9),
    Script("Japanese", _KANA, "cvttf_NotoSansCJK_Regular",
           (*_CJK_FILES, "ヒラギノ角ゴシック W3.ttc", "YuGothM.ttc", "msgothic.ttc"),
           "fonts-noto-cjk", "ja", extra="cjk"),
    Script("Korean", ((0x1100, 0x11FF), (0x3130, 0x318F), (0xAC00, 0xD7AF)),
           "cvttf_NotoSansCJK_Regular",
           (*_CJK_FILES, "AppleSDGothicNeo.ttc", "malgun.ttf"), "fonts-noto-cjk", "ko",
           extra="cjk"),
    Script("Chinese", _HAN, "cvttf_NotoSansCJK_Regular",
           (*_CJK_FILES, "PingFang.ttc", "msyh.ttc"), "fonts-noto-cjk", "zh-cn", extra="cjk"),
)  # fmt: skip
"""The scripts that are looked for."""


@dataclass(frozen=True, slots=True)
class FoundTypeface:
    """A typeface on this computer."""

    regular: Path
    bold: Path
    index: int = 0


def script_of(character: str) -> Script | None:
    """The script a character belongs to; None for European letters, signs and all others."""
    if ord(character) < 0x0590:
        return None
    return next((script for script in SCRIPTS if script.has(character)), None)


@cache
def find_typeface(script: Script) -> FoundTypeface | None:
    """The first typeface on this computer that draws a script; None where there is none."""
    for path in (*_in_package(script.package), *_in_folders(script.files), *_by_fontconfig(script)):
        bold = path.with_name(path.name.replace("-Regular", "-Bold"))
        return FoundTypeface(path, bold if bold.is_file() else path)
    return None


def how_to_get(script: Script) -> str:
    """`No typeface here has Thai; install fonts-noto-core, or in the folder of this program …`."""
    return (
        f"No typeface here has {script.name} letters; install the system's package "
        f"{script.debian}, or, in the folder of this program: "
        f".venv/bin/pip install -e '.[{script.extra}]'."
    )


def _in_package(name: str) -> Iterator[Path]:
    """The upright font files of an installed Python package."""
    spec = find_spec(name)
    if spec is None or not spec.submodule_search_locations:
        return
    for folder in spec.submodule_search_locations:
        files = sorted(
            path
            for path in Path(folder).rglob("*")
            if path.suffix.casefold() in (".ttf", ".otf", ".ttc") and "Italic" not in path.name
        )
        yield from sorted(
            files, key=lambda path: "Regular" not in path.name and "[" not in path.name
        )


def _in_folders(names: Sequence[str]) -> Iterator[Path]:
    known = _system_fonts()
    yield from (known[name] for name in names if name in known)


@cache
def _system_fonts() -> dict[str, Path]:
    """The font files in the folders where systems keep them, by name."""
    home = Path.home()
    folders = (
        home / ".local/share/fonts", home / ".fonts", home / "Library/Fonts",
        Path("/usr/share/fonts"), Path("/usr/local/share/fonts"),
        Path("/Library/Fonts"), Path("/System/Library/Fonts"),
        Path(environ.get("WINDIR", "C:/Windows")) / "Fonts",
    )  # fmt: skip
    found: dict[str, Path] = {}
    for folder in folders:
        if folder.is_dir():
            for path in folder.rglob("*.*"):
                if path.suffix.casefold() in (".ttf", ".otf", ".ttc"):
                    found.setdefault(path.name, path)
    return found


def _by_fontconfig(script: Script) -> Iterator[Path]:
    """What fontconfig knows for the script's language."""
    program = shutil.which("fc-list")
    if program is None:
        return
    try:
        answer = subprocess.run(
            (program, "-f", "%{file}\n", f":lang={script.language}"),
            capture_output=True, text=True, timeout=_PATIENCE_S, check=False,
        )  # fmt: skip
    except (OSError, subprocess.TimeoutExpired):  # a broken fontconfig has no fonts to offer
        return
    for line in sorted(answer.stdout.split("\n")):
        path = Path(line.strip())
        if path.suffix.casefold() in (".ttf", ".otf", ".ttc") and path.is_file():
            yield path

#!/usr/bin/python3
"""Makes the TTFs in this folder. Only needed when the typeface changes; whoever builds Discal doesn't run it.

    apt-get install python3-fonttools python3-brotli
    npm pack @fontsource-variable/atkinson-hyperlegible-next@5.3.0 @fontsource-variable/atkinson-hyperlegible-mono@5.3.0
    /usr/bin/python3 assets/fonts/make-fonts.py FOLDER-WITH-THE-TARBALLS

Qt 6.4 doesn't handle variable fonts reliably, so each weight becomes a file of its own: the latin and the latin-ext
subset are fixed at the weight, then merged. The same tarballs give the same bytes.
"""
import io
import pathlib
import sys
import tarfile
import tempfile

from fontTools.merge import Merger, Options
from fontTools.ttLib import TTFont
from fontTools.varLib import instancer

WEIGHTS = {"next": (400, 600, 800), "mono": (300, 400, 600, 800)}
STYLE = {300: "Light", 400: "Regular", 600: "SemiBold", 800: "ExtraBold"}
SUBSETS = ("latin", "latin-ext")


def read(tarball: pathlib.Path, member: str) -> bytes:
    with tarfile.open(tarball) as tar:
        return tar.extractfile("package/" + member).read()


def instance(woff2: bytes, weight: int) -> TTFont:
    font = TTFont(io.BytesIO(woff2), recalcTimestamp=False)
    font.flavor = None
    font = instancer.instantiateVariableFont(font, {"wght": weight}, inplace=True)
    for left_of_the_axis in ("STAT", "MVAR", "HVAR", "avar"):
        if left_of_the_axis in font:
            del font[left_of_the_axis]
    return font


def name(font: TTFont, family: str, weight: int) -> None:
    style = STYLE[weight]
    regular = weight == 400
    postscript = family.replace(" ", "") + "-" + style
    table = font["name"]
    version = table.getDebugName(5)
    keep = {i: table.getDebugName(i) for i in (0, 14)}
    table.names = []
    names = {
        0: keep[0],
        1: family if regular else f"{family} {style}",
        2: "Regular",
        3: f"{version.removeprefix('Version ')};NONE;{postscript}",
        4: f"{family} {style}",
        5: version,
        6: postscript,
        13: "This Font Software is licensed under the SIL Open Font License, Version 1.1.",
        14: keep[14],
    }
    if not regular:
        names |= {16: family, 17: style}
    for number, text in names.items():
        table.setName(text, number, 3, 1, 0x409)
    os2 = font["OS/2"]
    os2.usWeightClass = weight
    os2.fsSelection = (os2.fsSelection & ~0b0100001) | 0b1000000  # neither bold nor italic by style link
    font["head"].macStyle = 0


def main() -> int:
    if len(sys.argv) != 2:
        print(__doc__)
        return 2
    here = pathlib.Path(__file__).resolve().parent
    for short, weights in WEIGHTS.items():
        family = "Atkinson Hyperlegible " + short.capitalize()
        slug = f"atkinson-hyperlegible-{short}"
        tarball = next(pathlib.Path(sys.argv[1]).glob(f"*{slug}-*.tgz"))
        (here / f"OFL-{family.replace(' ', '')}.txt").write_bytes(read(tarball, "LICENSE"))
        for weight in weights:
            with tempfile.TemporaryDirectory() as tmp:
                parts, created = [], 0
                for subset in SUBSETS:
                    font = instance(read(tarball, f"files/{slug}-{subset}-wght-normal.woff2"), weight)
                    created = max(created, font["head"].modified)
                    parts.append(f"{tmp}/{subset}.ttf")
                    font.save(parts[-1])
                font = Merger(Options(drop_tables=["gasp", "prep"])).merge(parts)
            font.recalcTimestamp = False
            font["head"].created = font["head"].modified = created
            name(font, family, weight)
            out = here / f"{family.replace(' ', '')}-{STYLE[weight]}.ttf"
            font.save(out)
            print(out.name, len(font.getBestCmap()), "characters,", out.stat().st_size, "bytes")
    return 0


sys.exit(main())

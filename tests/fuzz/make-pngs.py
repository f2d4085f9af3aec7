#!/usr/bin/env python3
"""Writes corpus/picture/*.png: small pictures of every kind that the PNG specification (W3C, second edition) knows,
made from its text alone, without a PNG library. Usage: make-pngs.py FOLDER"""

import pathlib
import struct
import sys
import zlib


def chunk(kind, body):
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


def png(width, height, bits, colour, rows, before=b"", interlace=0):
    head = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, bits, colour, 0, 0, interlace))
    data = zlib.compress(b"".join(b"\0" + row for row in rows), 9)
    return b"\x89PNG\r\n\x1a\n" + head + before + chunk(b"IDAT", data) + chunk(b"IEND", b"")


# Four pixels in a row: black, dark, light, white; or red, green, blue, white. Two rows alike.
GREYS = [0, 85, 170, 255]
COLOURS = [(255, 0, 0), (0, 255, 0), (0, 0, 255), (255, 255, 255)]
PALETTE = chunk(b"PLTE", bytes(sum(COLOURS, ())))

pictures = {
    "grey-1": png(4, 2, 1, 0, [bytes([0b01010000])] * 2),
    "grey-2": png(4, 2, 2, 0, [bytes([0b00011011])] * 2),
    "grey-8": png(4, 2, 8, 0, [bytes(GREYS)] * 2),
    "grey-16": png(4, 2, 16, 0, [b"".join(struct.pack(">H", 257 * g) for g in GREYS)] * 2),
    "grey-alpha": png(4, 2, 8, 4, [bytes([0, 0, 0, 255, 255, 0, 255, 255])] * 2),
    "rgb": png(4, 2, 8, 2, [bytes(sum(COLOURS, ()))] * 2),
    "rgb-16": png(4, 2, 16, 2, [b"".join(struct.pack(">HHH", *(257 * c for c in x)) for x in COLOURS)] * 2),
    "rgba": png(4, 2, 8, 6, [bytes(sum((x + (a,) for x, a in zip(COLOURS, [255, 0, 255, 0])), ()))] * 2),
    "palette": png(4, 2, 8, 3, [bytes([0, 1, 2, 3])] * 2, PALETTE),
    "palette-2": png(4, 2, 2, 3, [bytes([0b00011011])] * 2, PALETTE),
    "palette-alpha": png(4, 2, 8, 3, [bytes([0, 1, 2, 3])] * 2, PALETTE + chunk(b"tRNS", bytes([255, 0]))),
    # Adam7 of 4 x 2: pass 1 (one pixel), pass 4 (one), pass 6 (two), pass 7 (a row of four).
    "interlaced": png(4, 2, 8, 0, [bytes([0]), bytes([170]), bytes([85, 255]), bytes(GREYS)], interlace=1),
    # Two frames; the first one counts.
    "animated": png(4, 2, 8, 0, [bytes(GREYS)] * 2,
                    chunk(b"acTL", struct.pack(">II", 2, 0))
                    + chunk(b"fcTL", struct.pack(">IIIIIHHBB", 0, 4, 2, 0, 0, 1, 10, 0, 0))),
    # What the head says is all that is looked at.
    "huge": png(20000, 20000, 8, 2, [b"\0"]),
}

folder = pathlib.Path(sys.argv[1])
for name, data in pictures.items():
    (folder / (name + ".png")).write_bytes(data)

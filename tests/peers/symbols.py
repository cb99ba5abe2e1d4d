"""Every symbol in the pictures of a folder, read by zxing-cpp and by zbar, and where its
dark modules begin and end, in mm.

    symbols.py FOLDER DPI

One line a symbol that zxing-cpp reads: {"page", "text", "left", "top", "width"}; and one
more, {"page", "text", "only"}, if zbar does not read the same there.
"""

import json
import sys
from pathlib import Path

import numpy
import zxingcpp
from PIL import Image
from pyzbar import pyzbar

folder, dpi = Path(sys.argv[1]), float(sys.argv[2])
for page, file in enumerate(sorted(folder.glob("*.png"))):
    grey = numpy.asarray(Image.open(file).convert("L"))
    formats = zxingcpp.BarcodeFormat.QRCode
    found = zxingcpp.read_barcodes(grey, formats=formats)
    for read in found:
        corners = [getattr(read.position, name) for name in ("top_left", "top_right", "bottom_left", "bottom_right")]
        xs, ys = [c.x for c in corners], [c.y for c in corners]
        # The quiet zone is 4 modules of at most 41: what is dark within 2 of them is the symbol.
        reach = round((max(xs) - min(xs)) / 41 * 2)
        left, top = max(0, min(xs) - reach), max(0, min(ys) - reach)
        # Of a large picture zbar finds some alone: it is given one symbol at a time, coarser.
        wide = 2 * reach
        shown = grey[max(0, min(ys) - wide) : max(ys) + wide, max(0, min(xs) - wide) : max(xs) + wide]
        zbar = [one.data.decode() for one in pyzbar.decode(Image.fromarray(shown).reduce(2))]
        if zbar != [read.text]:
            print(json.dumps({"page": page, "text": read.text, "only": "zxing"}))
        dark = grey[top : max(ys) + reach, left : max(xs) + reach] < 128
        columns, rows = numpy.flatnonzero(dark.any(0)), numpy.flatnonzero(dark.any(1))
        place = {
            "left": (left + columns[0]) / dpi * 25.4,
            "top": (top + rows[0]) / dpi * 25.4,
            "width": (columns[-1] + 1 - columns[0]) / dpi * 25.4,
        }
        print(json.dumps({"page": page, "text": read.text} | {name: round(float(mm), 3) for name, mm in place.items()}))

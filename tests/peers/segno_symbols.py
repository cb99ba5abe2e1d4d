"""Symbols by segno, each as its bytes in hexadecimal digits and its modules, row by row.

    segno_symbols.py [all]

Of versions 1 to 10 every level and mask, of the larger ones every mask, with the levels by turns; of
these, too, every level if `all` is asked for. The larger ones are filled with bytes of all values.
"""
import random
import sys

import segno
from segno import consts

chance = random.Random(1)


def filled(version, level, mask):
    """A symbol of bytes, as many as it holds but for a few, and the bytes."""
    level_of = {"L": consts.ERROR_LEVEL_L, "M": consts.ERROR_LEVEL_M, "Q": consts.ERROR_LEVEL_Q, "H": consts.ERROR_LEVEL_H}
    bits = consts.SYMBOL_CAPACITY[version][level_of[level]]
    most = (bits - 20) // 8  # behind the mode and a count of 16 bits
    said = chance.randbytes(most - version % 3)
    return said, segno.make(said, version=version, error=level, boost_error=False, mask=mask, mode="byte")


for version in range(1, 41):
    for at, level in enumerate("LMQH"):
        for mask in range(8):
            if version <= 10:
                said = f"H{version}{level}{mask}".encode()
                code = segno.make(said.decode(), version=version, error=level, boost_error=False, mask=mask)
            elif sys.argv[1:] == ["all"] or (version + mask) % 4 == at:
                said, code = filled(version, level, mask)
            else:
                continue
            rows = "/".join("".join(str(int(module)) for module in row) for row in code.matrix)
            print(said.hex(), rows)

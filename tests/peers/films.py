"""Reads the symbols of a film with zxing-cpp, and puts together what was filmed by what
DEVELOPERS.md says of a frame: no line of this is ours but the words there.

In: JSON, a list of symbols, each a list of rows of 0 and 1. Out: JSON, with the frames as they
were read (hexadecimal) and the content.
"""

import hashlib
import json
import struct
import sys
import zlib

import numpy
import zxingcpp


def read(rows):
    modules = numpy.array([[0 if c == "1" else 255 for c in row] for row in rows], numpy.uint8)
    grey = numpy.kron(numpy.pad(modules, 4, constant_values=255), numpy.ones((4, 4), numpy.uint8))
    [found] = zxingcpp.read_barcodes(grey)
    return found.bytes


frames = [read(rows) for rows in json.load(sys.stdin)]
parts = {}
for frame in frames:
    *before, check = struct.unpack(f">{len(frame) - 4}sI", frame)
    assert zlib.crc32(before[0]) == check
    magic, version, name, high, length, _, part, blocks, subs, alignment, block, top, number = (
        struct.unpack(">3sB8sBIBHBHBBBH", frame[:28])
    )
    assert (magic, version) == (b"\xf1HW", 1)
    assert (blocks, subs, alignment, block) == (1, 1, 1, 0)
    assert len(frame) == 28 + part + 4
    length += high << 32
    number += top << 16
    # The code is systematic (RFC 6330, 1): the first parts are the content itself.
    if number < -(-length // part):
        parts[number] = frame[28:-4]
content = b"".join(parts[number] for number in sorted(parts))[:length]
assert hashlib.sha256(content).digest()[:8] == name
json.dump({"frames": [frame.hex() for frame in frames], "content": content.hex()}, sys.stdout)

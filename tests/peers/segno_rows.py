"""The modules of each line's symbol by segno: LEVEL TEXT in, one text of 0 and 1 for each mask out."""
import sys

import segno

for line in sys.stdin:
    level, text = line.strip().split(" ", 1)
    drawn = []
    for mask in range(8):
        code = segno.make(text, error=level, boost_error=False, micro=False, mask=mask)
        drawn.append("".join(str(int(module)) for row in code.matrix for module in row))
    print(" ".join(drawn))

"""A symbol of every version from 1 to 10, level and mask by segno: its text and its modules, row by row."""
import segno

for version in range(1, 11):
    for level in "LMQH":
        for mask in range(8):
            text = f"H{version}{level}{mask}"
            code = segno.make(text, version=version, error=level, boost_error=False, mask=mask)
            rows = "/".join("".join(str(int(module)) for module in row) for row in code.matrix)
            print(text, rows)

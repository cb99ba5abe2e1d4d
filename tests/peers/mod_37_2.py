"""The check character of each line by python-stdnum."""
import sys

from stdnum.iso7064 import mod_37_2

for line in sys.stdin:
    print(mod_37_2.calc_check_digit(line.strip()))

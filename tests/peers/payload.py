"""The text of a tag, written from the description of its bits alone.

Each line in is CODE13 SERVICE CONSTRUCTION UNIT COUNT END_A END_B PROTECTOR BORN MADE FITTED
with numbers for the choices and YEAR or YEAR-MONTH or - for the dates.
"""
import sys

ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"


def power(exponent):
    """Alpha to a power in GF(32) with x^5 + x^2 + 1."""
    value = 1
    for _ in range(exponent):
        value <<= 1
        if value & 32:
            value ^= 0b100101
    return value


def times(a, b):
    product = 0
    for bit in range(5):
        if b >> bit & 1:
            product ^= a << bit
    for bit in range(9, 4, -1):
        if product >> bit & 1:
            product ^= 0b100101 << (bit - 5)
    return product


def check(values, step):
    total = 0
    for place, value in enumerate(reversed(values), start=1):
        total ^= times(value, power(place * step))
    return total


def date(text):
    if text == "-":
        return 0
    year, _, month = text.partition("-")
    return 1 + 13 * (int(year) - 1950) + int(month or 0)


def text(code, service, construction, unit, count, end_a, end_b, protector, born, made, fitted):
    fields = [(2, service), (1, construction), (1, unit), (10, count), (3, end_a), (3, end_b),
              (1, protector), (11, date(born)), (1, made), (11, date(fitted))]
    bits = "".join(format(int(value), "0%db" % width) for width, value in fields).zfill(45)
    values = [int(bits[at:at + 5], 2) for at in range(0, 45, 5)]
    whole = [ALPHABET.index(c) for c in code] + values
    passport = "".join(ALPHABET[v] for v in values + [check(whole, 1), check(whole, 2)])
    return "HW1:%s.%s" % (code, passport)


if __name__ == "__main__":
    for line in sys.stdin:
        print(text(*line.split()))

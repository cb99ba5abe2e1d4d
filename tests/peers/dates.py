"""Months added, and time gone by, by python-dateutil.

Reads a JSON list of [from, months, to] from standard input; writes for each the
day that is so many months after `from`, and the years, months and days from
`from` to `to`.
"""

import json
import sys
from datetime import date

from dateutil.relativedelta import relativedelta


def answer(start, months, end):
    start, end = date.fromisoformat(start), date.fromisoformat(end)
    gone = relativedelta(end, start)
    later = start + relativedelta(months=months)
    return [later.isoformat(), gone.years, gone.months, gone.days]


json.dump([answer(*row) for row in json.load(sys.stdin)], sys.stdout)

"""Torques by pint.

Reads a JSON list of newton metres from standard input; writes for each the
pound-force inches, pound-force feet and kilogram-force centimetres.
"""

import json
import sys

import pint

units = pint.UnitRegistry()
wanted = ["force_pound * inch", "force_pound * foot", "force_kilogram * centimeter"]
torques = [units.Quantity(value, "newton * meter") for value in json.load(sys.stdin)]
json.dump([[t.to(unit).magnitude for unit in wanted] for t in torques], sys.stdout)

"""Kaplan-Meier tables by lifelines, of hoses whose lifetimes are read here.

Reads {"today": day, "entries": [...]} from standard input, the entries as an
export has them, and folds them on its own: in service from the first fitting
or from the day that was written down, ended by a retirement or by a finding
that retires, else followed until today. Writes, for the whole fleet and by
maker, lot and construction, each group's table and median, and how many hoses
never were in service.
"""

import json
import sys
from collections import defaultdict
from datetime import date

sys.dont_write_bytecode = True
from survival import fit  # noqa: E402

# The findings that retire a hose: common practice, no source.
ANYWHERE = {"cut:deep", "bulge", "kink:set", "perished", "verdigris:heavy", "sleeve-loose"}
ANYWHERE |= {"thread-damaged", "weep:heavy", "bubbles:steady"}


def retires(seen, hose):
    place, _, finding = seen.partition(":")
    word, _, grade = finding.partition(":")
    if word == "strands":
        return int(grade) > 3
    if word == "crack":
        return place != "run" or grade == "open"
    if word == "bubbles" and place == "run":
        pinpricked = (hose["service"], hose["construction"]) == ("gauge", "rubber")
        return grade == "steady" or not pinpricked
    return finding in ANYWHERE and (word != "bubbles" or place == "run")


def earliest(text):
    return date.fromisoformat((text + "-01-01")[:10])


def told_by_hose(entries):
    """What each hose is, and the days that begin and end its service."""
    order = lambda entry: (entry["on"], entry["at"], entry["device"], entry["seq"])
    hoses, begins, ends = {}, defaultdict(list), defaultdict(list)
    entries = sorted(entries, key=order)
    for entry in entries:
        if entry["kind"] in ("registered", "described"):
            hoses[entry["body"]["hose"]] = entry["body"]
    for entry in entries:
        on, body = date.fromisoformat(entry["on"]), entry["body"]
        if entry["kind"] == "fitted":
            begins[body["hose"]].append(on)
        elif entry["kind"] == "retired":
            ends[body["hose"]].append(on)
        elif entry["kind"] == "inspected":
            hose = hoses[body["hose"]]
            if any(retires(seen, hose) for seen in body.get("findings", [])):
                ends[body["hose"]].append(on)
    for code, hose in hoses.items():
        if "in_service" in hose:
            begins[code].append(earliest(hose["in_service"]))
    return hoses, begins, ends


def lot(hose):
    return f"{hose.get('maker', 'unknown maker')}, lot {hose['lot']}" if "lot" in hose else "unknown"


GROUPS = {
    "all": lambda hose: "all hoses",
    "maker": lambda hose: hose.get("maker", "unknown"),
    "lot": lot,
    "construction": lambda hose: hose["construction"],
}


def main():
    asked = json.load(sys.stdin)
    today = date.fromisoformat(asked["today"])
    hoses, begins, ends = told_by_hose(asked["entries"])
    answer = {"never": sum(not begins[code] for code in hoses)}
    for by, name in GROUPS.items():
        rows = defaultdict(list)
        for code, hose in hoses.items():
            if begins[code]:
                last = min([*ends[code], today])
                rows[name(hose)].append([(last - min(begins[code])).days, bool(ends[code])])
        answer[by] = {group: fit(group, seen) for group, seen in rows.items()}
    json.dump(answer, sys.stdout)


main()

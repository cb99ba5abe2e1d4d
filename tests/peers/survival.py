"""Kaplan-Meier tables by lifelines.

Reads a JSON list of data sets, each a list of [days, failed], from standard
input; adds the two sets that come with lifelines; writes each with its table
[days, at risk, failed, censored, S, lower, upper] and its median.
"""

import json
import sys
import warnings

from lifelines import KaplanMeierFitter
from lifelines.datasets import load_leukemia, load_waltons

warnings.simplefilter("ignore")


def fit(name, rows):
    fitter = KaplanMeierFitter().fit([r[0] for r in rows], [r[1] for r in rows])
    table = fitter.event_table.join(fitter.survival_function_)
    table = table.join(fitter.confidence_interval_)
    columns = ["at_risk", "observed", "censored", *table.columns[5:]]
    median = fitter.median_survival_time_
    return {
        "name": name,
        "rows": rows,
        "table": [[day, *(float(row[c]) for c in columns)] for day, row in table.iterrows()],
        "median": None if median == float("inf") else median,
    }


def whole(times, failed):
    assert all(t == int(t) for t in times)
    return [[int(t), bool(f)] for t, f in zip(times, failed)]


def main():
    sets = [(f"random {i}", rows) for i, rows in enumerate(json.load(sys.stdin))]
    leukemia = load_leukemia()
    for arm, rows in leukemia.groupby("Rx"):
        sets.append((f"leukemia Rx {arm}", whole(rows["t"], rows["status"])))
    sets.append(("leukemia", whole(leukemia["t"], leukemia["status"])))
    for group, rows in load_waltons().groupby("group"):
        sets.append((f"waltons {group}", whole(rows["T"], rows["E"])))
    json.dump([fit(name, rows) for name, rows in sets], sys.stdout)


if __name__ == "__main__":
    main()

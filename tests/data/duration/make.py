"""Makes capacities.csv: quantiles of loads.csv by numpy (`pip install numpy`).

The least capacity that covers a share of the hours with a load is the inverse of the empirical
distribution function (Hyndman & Fan 1996, definition 1), numpy's method "inverted_cdf".
"""
import csv
import numpy as np

rng = np.random.default_rng(11)
loads = np.round(np.clip(rng.gamma(3.0, 14.0, 500) - 8.0, 0.0, None), 3)
with open("loads.csv", "w", newline="") as out:
    csv.writer(out).writerows([["kw"]] + [[kw] for kw in loads])
with_load = loads[loads > 0.0]
rows = [["share", "capacity_kw", "energy_above_kwh"]]
for share in (0.5, 0.75, 0.9, 0.95, 0.99, 1.0):
    capacity = np.quantile(with_load, share, method="inverted_cdf")
    rows.append([share, capacity, round(float(np.clip(with_load - capacity, 0.0, None).sum()), 6)])
with open("capacities.csv", "w", newline="") as out:
    csv.writer(out).writerows(rows)

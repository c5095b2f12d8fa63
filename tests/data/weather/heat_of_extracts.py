"""Heat sums of the extracts in this folder, computed with PsychroLib (pip install psychrolib).

One row is one hour. No temperature: left out. No relative humidity: from the dew point, else left out. Above
100 %: 100. No pressure: the standard atmosphere's at the elevation. Sea-level pressure is scaled by the standard
atmosphere's share that is left at the elevation.

Run: python heat_of_extracts.py > heat_of_extracts.csv
"""

import csv
from pathlib import Path

import psychrolib

psychrolib.SetUnitSystem(psychrolib.SI)
FOLDER = Path(__file__).parent


def heat(t, rh, pressure, to):
    w = psychrolib.GetHumRatioFromRelHum(t, rh, pressure)
    lower = psychrolib.GetMoistAirEnthalpy(t, w)
    upper = psychrolib.GetMoistAirEnthalpy(to, w)
    return max(0.0, (upper - lower) / 1000.0)


def sums(rows, elevation):
    standard = psychrolib.GetStandardAtmPressure(elevation)
    share = standard / psychrolib.GetStandardAtmPressure(0.0)
    totals, used = {40: 0.0, 50: 0.0, 60: 0.0}, 0
    for t, rh, td, station, sea in rows:
        if t is None or (rh is None and td is None):
            continue
        pressure = station if station is not None else sea * share if sea is not None else standard
        if rh is None:
            rh = 100.0 * psychrolib.GetSatVapPres(min(td, t)) / psychrolib.GetSatVapPres(t)
        used += 1
        for to in totals:
            totals[to] += heat(t, min(rh, 100.0) / 100.0, pressure, to)
    return used, totals


def isd_lite(name):
    for line in (FOLDER / name).read_text().splitlines():
        cells = [None if int(c) == -9999 else int(c) for c in line.split()]
        tenth = lambda v: None if v is None else v / 10.0
        sea = None if cells[6] is None else cells[6] * 10.0
        yield tenth(cells[4]), None, tenth(cells[5]), None, sea


def tmy3(name):
    with open(FOLDER / name) as file:
        next(file)
        for row in csv.DictReader(file):
            yield (
                float(row["Dry-bulb (C)"]),
                float(row["RHum (%)"]),
                None,
                float(row["Pressure (mbar)"]) * 100.0,
                None,
            )


def asos(name):
    number = lambda text: None if text in ("", "NA") else float(text)
    celsius = lambda f: None if f is None else (f - 32.0) / 1.8
    with open(FOLDER / name) as file:
        for row in csv.DictReader(file):
            sea = number(row["pressure"])
            yield (
                celsius(number(row["temp"])),
                number(row["humid"]),
                celsius(number(row["dewp"])),
                None,
                None if sea is None else sea * 100.0,
            )


print("file,elevation_m,hours,heat_40_kwh,heat_50_kwh,heat_60_kwh")
for name, rows, elevation in [
    ("chicago_isd_lite.txt", isd_lite, 201.0),
    ("stockton_isd_lite.txt", isd_lite, 7.0),
    ("greensboro_tmy3.csv", tmy3, 273.0),
    ("newark_asos.csv", asos, 5.5),
]:
    used, totals = sums(rows(name), elevation)
    print(f"{name},{elevation},{used},{totals[40]:.4f},{totals[50]:.4f},{totals[60]:.4f}")

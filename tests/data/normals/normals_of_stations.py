"""Monthly normals of public stations, and the heat their hours really take.

Reads hourly files of US-government origin (public domain) from the folder given and writes one table of
monthly normals per station, in the tool's own form, with the real file's heat to 40 and 50 degrees C in
the head. Needs psychrolib.

    python normals_of_stations.py FOLDER

Sources: TMY2 and TMY3 typical years of the US Department of Energy / NREL, as EPW or TMY3 CSV; Integrated
Surface Database - Lite of NOAA NCEI (single years, with gaps, UTC).

Heat: mean over the hours there are of max(0, h(40, w) - h(T, w)), kJ per kg of dry air, with
h = 1.006 t + w (2501 + 1.86 t), times the hours of the year: kWh for each kg/s of dry air. Daily minimum
and maximum: of the hourly values of a local date that has at least 20. Humidity: mean of all hours; and at
09:00 and 15:00 local standard time. ISD-Lite has no relative humidity (here from dew point, over water)
and sea-level pressure only (here brought to the station's height by the standard atmosphere).
"""

import csv
import datetime
import math
import pathlib
import sys

import psychrolib

psychrolib.SetUnitSystem(psychrolib.SI)

STATIONS = {
    "fresno": "USA_CA_Fresno.Air.Terminal.723890_TMY3.epw",
    "fresno_older": "USA_CA_Fresno.723890_TMY2.epw",
    "albany": "USA_GA_Albany-Dougherty.County.AP.722160_TMY3.epw",
    "hilo": "USA_HI_Hilo.Intl.AP.912850_TMY3.epw",
    "greensboro": "tmy3_723170TYA_greensboro.csv",
    "stockton": "isdlite_724920-23237-2017_stockton.txt",
    "chicago": "isdlite_725300-2016_chicago_leap.txt",
}
# ISD-Lite files do not say where they are: latitude, longitude, height (m), hours ahead of UTC.
PLACES = {"stockton": (37.9, -121.23, 7.0, -8.0), "chicago": (41.98, -87.92, 201.0, -6.0)}


def enthalpy(t, w):
    return 1.006 * t + w * (2501.0 + 1.86 * t)


def read_epw(path):
    with open(path, encoding="latin-1", newline="") as lines:
        rows = list(csv.reader(lines))
    head = rows[0]
    hours = [
        dict(
            month=int(row[1]),
            day=int(row[2]),
            clock=int(row[3]),
            t=float(row[6]),
            rh=min(float(row[8]), 100.0),
            p=float(row[9]),
            sun=float(row[13]),
            wind=float(row[21]),
        )
        for row in rows[8:]
    ]
    return (float(head[6]), float(head[7]), float(head[9]), float(head[8])), hours


def read_tmy3_csv(path):
    with open(path, encoding="latin-1", newline="") as lines:
        head = next(csv.reader(lines))
        rows = list(csv.DictReader(lines))
    hours = []
    for row in rows:
        month, day, _ = row["Date (MM/DD/YYYY)"].split("/")
        hours.append(
            dict(
                month=int(month),
                day=int(day),
                clock=int(row["Time (HH:MM)"].split(":")[0]),
                t=float(row["Dry-bulb (C)"]),
                rh=min(float(row["RHum (%)"]), 100.0),
                p=100.0 * float(row["Pressure (mbar)"]),
                sun=float(row["GHI (W/m^2)"]),
                wind=float(row["Wspd (m/s)"]),
            )
        )
    return (float(head[4]), float(head[5]), float(head[6]), float(head[3])), hours


def over_water_pa(t):
    return 611.2 * math.exp(17.62 * t / (243.12 + t))


def read_isd_lite(path, place):
    hours = []
    for line in open(path, encoding="ascii"):
        cells = [int(cell) for cell in line.split()]
        if cells[4] == -9999 or cells[5] == -9999:
            continue
        utc = datetime.datetime(*cells[:4])
        local = utc + datetime.timedelta(hours=place[3])
        t, dew = cells[4] / 10.0, cells[5] / 10.0
        sea_level = cells[6] * 10.0 if cells[6] != -9999 else 101325.0
        p = sea_level * psychrolib.GetStandardAtmPressure(place[2]) / 101325.0
        hours.append(
            dict(
                month=utc.month if local.year != utc.year else local.month,
                day=local.day,
                clock=local.hour,
                t=t,
                rh=min(100.0, 100.0 * over_water_pa(dew) / over_water_pa(t)),
                p=p,
                sun=None,
                wind=cells[8] / 10.0 if cells[8] != -9999 else None,
            )
        )
    return place, hours


def read(name, path):
    if path.suffix == ".epw":
        return read_epw(path)
    if path.suffix == ".csv":
        return read_tmy3_csv(path)
    return read_isd_lite(path, PLACES[name])


def mean(values):
    values = [value for value in values if value is not None]
    return sum(values) / len(values) if values else None


def normals(hours):
    for month in range(1, 13):
        of_month = [h for h in hours if h["month"] == month]
        days = sorted({h["day"] for h in of_month})
        by_day = [[h for h in of_month if h["day"] == day] for day in days]
        by_day = [day for day in by_day if len(day) >= 20]
        sun = mean(h["sun"] for h in of_month)
        yield (
            month,
            mean(min(h["t"] for h in day) for day in by_day),
            mean(max(h["t"] for h in day) for day in by_day),
            mean(h["rh"] for h in of_month),
            mean(h["rh"] for h in of_month if h["clock"] == 9),
            mean(h["rh"] for h in of_month if h["clock"] == 15),
            None if sun is None else 0.024 * sun,
            mean(h["wind"] for h in of_month),
        )


def day_to_day(hours):
    """Standard deviation of the daily means about their month's mean (K), and the correlation of each with
    the next day's, both over the whole year."""
    days = {}
    for h in hours:
        days.setdefault((h["month"], h["day"]), []).append(h["t"])
    means = {day: mean(ts) for day, ts in sorted(days.items()) if len(ts) >= 20}
    level = {m: mean(t for (month, _), t in means.items() if month == m) for m in range(1, 13)}
    off = [(day, t - level[day[0]]) for day, t in means.items()]
    variance = mean(x * x for _, x in off)
    pairs = [(a, b) for (d, a), (e, b) in zip(off, off[1:]) if d[0] == e[0]]
    return math.sqrt(variance), mean(a * b for a, b in pairs) / variance


def heat(hours, to_c, of_year):
    total = 0.0
    for h in hours:
        w = psychrolib.GetHumRatioFromRelHum(h["t"], h["rh"] / 100.0, h["p"])
        total += max(0.0, enthalpy(to_c, w) - enthalpy(h["t"], w))
    return total / len(hours) * of_year


def main(folder):
    here = pathlib.Path(__file__).parent
    for name, file in STATIONS.items():
        (latitude, longitude, altitude, offset), hours = read(name, pathlib.Path(folder) / file)
        year = 2016 if name == "chicago" else 2031
        of_year = 8784 if year == 2016 else 8760
        assert len(hours) > 0.99 * of_year
        columns = (
            "month,min_c,max_c,relative_humidity_pct,morning_relative_humidity_pct,"
            "afternoon_relative_humidity_pct,global_horizontal_kwh_per_m2_day,wind_m_per_s"
        ).split(",")
        decimals = [0, 2, 2, 1, 1, 1, 3, 2]
        rows = list(normals(hours))
        kept = [at for at in range(len(columns)) if all(row[at] is not None for row in rows)]
        with open(here / f"{name}.csv", "w", encoding="utf-8", newline="\n") as out:
            out.write(f"# monthly normals computed from {file} (US government, public domain)\n")
            out.write(f"# latitude: {latitude:g}\n# longitude: {longitude:g}\n")
            out.write(f"# altitude_m: {altitude:g}\n")
            sign = "-" if offset < 0 else "+"
            out.write(f"# utc_offset: {sign}{int(abs(offset)):02d}:00\n")
            out.write(f"# year: {year}\n")
            for to_c in (40, 50):
                out.write(f"# heat_to_{to_c}_c_kwh_per_kg_per_s: {heat(hours, to_c, of_year):.1f}\n")
            out.write(f"# mean_dry_bulb_c: {mean(h['t'] for h in hours):.3f}\n")
            spread, persistence = day_to_day(hours)
            damp = sum(h["rh"] > 90.0 for h in hours) / len(hours)
            out.write(f"# spread_of_daily_means_k: {spread:.2f}\n")
            out.write(f"# persistence_of_daily_means: {persistence:.2f}\n")
            out.write(f"# share_of_hours_above_90_pct: {damp:.3f}\n")
            out.write("# morning_hour: 9\n# afternoon_hour: 15\n")
            out.write(",".join(columns[at] for at in kept) + "\n")
            for row in rows:
                out.write(",".join(f"{row[at]:.{decimals[at]}f}" for at in kept) + "\n")


if __name__ == "__main__":
    main(sys.argv[1])

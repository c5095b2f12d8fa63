"""Monthly normals of public stations, and the heat their hours really take.

Reads hourly typical-year files in EPW form (US Department of Energy / NREL TMY2 and TMY3: US-government
works, public domain) from the folder given and writes one table of monthly normals per station, in
the tool's own form, with the real file's heat to 40 and 50 degrees C in the header. Needs psychrolib.

    python normals_of_stations.py FOLDER

Heat: sum over hours of max(0, h(40, w) - h(T, w)), kJ per kg of dry air, h = 1.006 t + w (2501 + 1.86 t),
which is kWh for each kg/s of dry air. Daily minimum and maximum: of the 24 hourly values of the row's
own date. Humidity: mean of all hours; and at 09:00 and 15:00 (hour labels 9 and 15 at the hour's end).
"""

import csv
import pathlib
import sys

import psychrolib

psychrolib.SetUnitSystem(psychrolib.SI)

STATIONS = {
    "fresno": "USA_CA_Fresno.Air.Terminal.723890_TMY3.epw",
    "fresno_older": "USA_CA_Fresno.723890_TMY2.epw",
    "albany": "USA_GA_Albany-Dougherty.County.AP.722160_TMY3.epw",
    "hilo": "USA_HI_Hilo.Intl.AP.912850_TMY3.epw",
}


def enthalpy(t, w):
    return 1.006 * t + w * (2501.0 + 1.86 * t)


def read(path):
    with open(path, encoding="latin-1", newline="") as lines:
        rows = list(csv.reader(lines))
    place = rows[0]
    hours = []
    for row in rows[8:]:
        hours.append(
            dict(
                month=int(row[1]),
                day=int(row[2]),
                hour=int(row[3]),
                t=float(row[6]),
                rh=min(float(row[8]), 100.0),
                p=float(row[9]),
                sun=float(row[13]),
                wind=float(row[21]),
            )
        )
    return place, hours


def mean(values):
    values = list(values)
    return sum(values) / len(values)


def normals(hours):
    for month in range(1, 13):
        of_month = [h for h in hours if h["month"] == month]
        days = sorted({h["day"] for h in of_month})
        by_day = [[h for h in of_month if h["day"] == day] for day in days]
        yield (
            month,
            mean(min(h["t"] for h in day) for day in by_day),
            mean(max(h["t"] for h in day) for day in by_day),
            mean(h["rh"] for h in of_month),
            mean(h["rh"] for h in of_month if h["hour"] == 9),
            mean(h["rh"] for h in of_month if h["hour"] == 15),
            sum(h["sun"] for h in of_month) / 1000.0 / len(days),
            mean(h["wind"] for h in of_month),
        )


def heat(hours, to_c):
    total = 0.0
    for h in hours:
        w = psychrolib.GetHumRatioFromRelHum(h["t"], h["rh"] / 100.0, h["p"])
        total += max(0.0, enthalpy(to_c, w) - enthalpy(h["t"], w))
    return total


def main(folder):
    here = pathlib.Path(__file__).parent
    for name, file in STATIONS.items():
        place, hours = read(pathlib.Path(folder) / file)
        assert len(hours) == 8760
        offset = float(place[8])
        with open(here / f"{name}.csv", "w", encoding="utf-8", newline="\n") as out:
            out.write(f"# monthly normals computed from {file} (US DOE/NREL, public domain)\n")
            out.write(f"# latitude: {place[6]}\n# longitude: {place[7]}\n")
            out.write(f"# altitude_m: {float(place[9]):g}\n")
            sign = "-" if offset < 0 else "+"
            out.write(f"# utc_offset: {sign}{int(abs(offset)):02d}:00\n")
            for to_c in (40, 50):
                out.write(f"# heat_to_{to_c}_c_kwh_per_kg_per_s: {heat(hours, to_c):.1f}\n")
            out.write(f"# mean_dry_bulb_c: {mean(h['t'] for h in hours):.3f}\n")
            out.write("# morning_hour: 9\n# afternoon_hour: 15\n")
            out.write(
                "month,min_c,max_c,relative_humidity_pct,morning_relative_humidity_pct,"
                "afternoon_relative_humidity_pct,global_horizontal_kwh_per_m2_day,wind_m_per_s\n"
            )
            for month, low, high, rh, morning, afternoon, sun, wind in normals(hours):
                out.write(
                    f"{month},{low:.2f},{high:.2f},{rh:.1f},{morning:.1f},{afternoon:.1f},"
                    f"{sun:.3f},{wind:.2f}\n"
                )


if __name__ == "__main__":
    main(sys.argv[1])

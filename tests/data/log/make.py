"""Makes the invented drying logs of this folder: python3 make.py (standard library alone).

The plant, the batches and the samples exist nowhere. The constants that made them:

    macadamia, isotherm of the crop library (modified Henderson, in % dry basis and deg C),
    Newton's law, k = 0.030 1/h at 40 deg C, activation energy 26 kJ/mol

thin_38.csv and thin_50.csv are thin layers by the law in closed form; bin.csv is a bed of 6 t in hourly
air, marched explicitly in 40 cells and steps of 36 s with the equations of a fixed bed (nuts and air of one
temperature). Scatter: normal, 0.25 points wet basis, from a fixed seed.
"""

import math
import random

K, EA, R = 0.030, 26.0, 8.314462618e-3
HK, HN, HC = 2.694697e-4, 1.520222, 113.7452
CP_DRY, CP_WATER = 1.52, 4.186
P = 101325.0


def saturation(t):
    """Hyland & Wexler over water (ASHRAE Fundamentals 2017 ch. 1 eq. 6), Pa."""
    k = t + 273.15
    return math.exp(
        -5.8002206e3 / k + 1.3914993 - 4.8640239e-2 * k + 4.1764768e-5 * k**2
        - 1.4452093e-8 * k**3 + 6.5459673 * math.log(k)
    )


def rate(t):
    return K * math.exp(-EA / R * (1 / (t + 273.15) - 1 / 313.15))


def held(t, rh):
    return (-math.log(1 - min(rh, 0.995)) / (HK * (t + HC))) ** (1 / HN) / 100


def bound(t, m):
    """Heat beyond that of free water, kJ/kg, by Clausius-Clapeyron on the isotherm."""
    activity = lambda t: 1 - math.exp(-HK * (t + HC) * (100 * m) ** HN)
    slope = (math.log(activity(t + 1e-3)) - math.log(activity(t - 1e-3))) / 2e-3
    return 0.461526 * (t + 273.15) ** 2 * slope


def ratio(t, rh):
    vapour = rh * saturation(t)
    return 0.621945 * vapour / (P - vapour)


def humidity(t, w):
    return w * P / (0.621945 + w) / saturation(t)


def dry(pct):
    return pct / (100 - pct)


def wet(m):
    return 100 * m / (1 + m)


def thin(t, rh, start, hours):
    m0, me = dry(start), held(t, rh)
    return wet(me + (m0 - me) * math.exp(-rate(t) * hours))


def write(name, head, rows):
    with open(name, "w", newline="\n") as out:
        out.write("# Invented: no such batch exists; made by make.py beside it.\n")
        out.write("# crop = macadamia\n" + head + rows)


def thin_log(name, t, rh, start, chance):
    rows = "time,moisture_pct,air_c,relative_humidity_pct\n"
    for hour in range(0, 97, 6):
        seen = thin(t, rh, start, hour) + chance.gauss(0, 0.25)
        rows += f"{hour},{seen:.2f},{t},{100 * rh:g}\n"
    write(name, "", rows)


def air(hour):
    wave = math.sin(2 * math.pi * (hour - 9) / 24)
    return 40 + 2.0 * wave, 0.24 - 0.02 * wave


def bin_log(name, chance):
    flow, cells, steps, start, nuts_c = 0.12, 40, 100, 23.0, 18.0
    m = [dry(start)] * cells
    temperature = [nuts_c] * cells
    dry_matter = 1000 / (1 + dry(start))
    rows = "time,moisture_pct,air_c,relative_humidity_pct,note\n"
    for step in range(120 * steps + 1):
        hour = step / steps
        if step % (2 * steps) == 0:
            # the air is logged every second hour, a sample taken every eighth
            t, rh = air(hour)
            stamp = f"2031-04-{2 + (6 + int(hour)) // 24:02d} {(6 + int(hour)) % 24:02d}:00"
            seen = ""
            if step % (8 * steps) == 0:
                seen = f"{wet(sum(m) / cells) + chance.gauss(0, 0.25):.2f}"
            note = "loaded" if step == 0 else ""
            rows += f"{stamp},{seen},{t:.2f},{100 * rh:.2f},{note}\n"
        t, rh = air(hour)
        w = ratio(t, rh)
        volume = 0.287042 * (t + 273.15) * (1 + w / 0.621945) / (P / 1000)
        per_cell = flow * 3600 / volume / dry_matter * cells
        for i in range(cells):
            here, leaving = temperature[i], w
            for _ in range(4):
                me = held(here, humidity(here, leaving))
                lost = rate(here) * (m[i] - me)
                leaving = min(w + lost / per_cell, ratio(here, 1.0))
            lost = (leaving - w) * per_cell
            heat = per_cell * (1.006 + 1.86 * w) * (t - here)
            heat -= lost * (2501 + (1.86 - CP_WATER) * here + bound(here, m[i]))
            temperature[i] = here + heat / (CP_DRY + CP_WATER * m[i]) / steps
            m[i] -= lost / steps
            t, w = here, leaving
    head = (
        "# airflow_m3_per_s_per_tonne = 0.12\n# tonnes = 6\n# floor_area_m2 = 5\n# layers = 24\n"
        "# nuts_c = 18\n# altitude_m = 0\n"
    )
    write(name, head, rows)


if __name__ == "__main__":
    chance = random.Random(20)
    thin_log("thin_38.csv", 38, 0.25, 22.0, chance)
    thin_log("thin_50.csv", 50, 0.15, 22.0, chance)
    bin_log("bin.csv", chance)

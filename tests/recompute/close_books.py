"""Closes every hour of a season from what `dryledger report --hourly` wrote, with nothing of the program.

    python3 close_books.py FOLDER

FOLDER holds hourly.csv, hourly_rooms.csv, batches.csv and figures.json. Python 3 and its standard library alone.
Psychrometrics are written here anew: ASHRAE Handbook - Fundamentals (2017, SI), chapter 1, equations 5 and 6
(saturation over ice and water, after Hyland & Wexler 1983), 20 and 22 (humidity ratio), 30 (enthalpy).

A line for each balance: hours, worst residual, the tolerance it was held against there, and where. A tolerance is
what rounding in the files can do: half a unit of the last decimal of each number, times what it is multiplied by.
Ends with 1 if any residual is above its tolerance, or a balance had no hour to close.
"""

import csv
import json
import math
import sys
from collections import defaultdict
from pathlib import Path

# kJ/kg of dry air: 1.006 t + W (2501 + 1.86 t), eq. 30.
CP_AIR, CP_VAPOUR, LATENT = 1.006, 1.86, 2501.0
SECONDS = 3600.0


def enthalpy(dry_bulb_c, humidity_ratio):
    return CP_AIR * dry_bulb_c + humidity_ratio * (LATENT + CP_VAPOUR * dry_bulb_c)


def saturation_pa(t_c):
    """Saturation pressure, Pa: over ice below the triple point (eq. 5), over water above it (eq. 6)."""
    t = t_c + 273.15
    if t_c <= 0.01:
        return math.exp(
            -5.6745359e3 / t + 6.3925247 - 9.677843e-3 * t + 6.2215701e-7 * t**2
            + 2.0747825e-9 * t**3 - 9.484024e-13 * t**4 + 4.1635019 * math.log(t))
    return math.exp(
        -5.8002206e3 / t + 1.3914993 - 4.8640239e-2 * t + 4.1764768e-5 * t**2
        - 1.4452093e-8 * t**3 + 6.5459673 * math.log(t))


def ratio_of(t_c, relative_humidity, pressure_pa):
    """Humidity ratio, kg/kg (eq. 20 and 22)."""
    vapour = relative_humidity * saturation_pa(t_c)
    return 0.621945 * vapour / (pressure_pa - vapour)


class Row:
    """A row of a table: numbers, and by how much each may be off by its rounding."""

    def __init__(self, cells):
        self.cells = cells

    def text(self, name):
        return self.cells[name]

    def has(self, name):
        return self.cells.get(name) not in ("", None)

    def __getitem__(self, name):
        return float(self.cells[name]) if self.has(name) else 0.0

    def off(self, name):
        """Half a unit of the last decimal written."""
        said = self.cells.get(name) or ""
        return 0.5 * 10.0 ** -len(said.partition(".")[2]) if said else 0.0

    def sum(self, names):
        return sum(self[name] for name in names)

    def offs(self, names):
        return sum(self.off(name) for name in names)

    def where(self):
        keys = ("option", "weather_year", "time", "room", "batch")
        return ", ".join(self.cells[key] for key in keys if key in self.cells)


def table(folder, name):
    with open(folder / name, newline="", encoding="utf-8") as file:
        return [Row(cells) for cells in csv.DictReader(file)]


class Books:
    """Residuals by balance, the worst of each against its tolerance."""

    def __init__(self):
        self.worst, self.count, self.misses = {}, defaultdict(int), defaultdict(int)

    def hold(self, balance, residual, tolerance, where):
        self.count[balance] += 1
        share = abs(residual) / tolerance if tolerance > 0.0 else (math.inf if residual else 0.0)
        self.misses[balance] += share > 1.0 or math.isnan(share)
        if balance not in self.worst or share > self.worst[balance][0]:
            self.worst[balance] = (share, residual, tolerance, where)

    def say(self, expected):
        fine = True
        for balance in expected:
            if balance not in self.worst:
                print(f"MISS {balance}: nothing to close")
                fine = False
                continue
            share, residual, tolerance, where = self.worst[balance]
            missed = self.misses[balance]
            fine = fine and not missed
            print(f"{'MISS' if missed else 'ok  '} {balance}: {self.count[balance]} closed, {missed} missed; "
                  f"worst {residual:+.2e} of {tolerance:.2e} allowed ({where})")
        return fine


# The program solves its own balances to this share of what passes, or to that much: kWh, kg. It writes its own
# residuals; what they sum to over a season is some 1e-6 of it.
SOLVED_SHARE, SOLVED = 1e-6, 2e-5


def carried(row, flow, dry_bulb, ratio):
    """Water, kg, and heat, kWh, that air carries off above the outside air, and what rounding may do to them."""
    kg_per_s = row[flow]
    if kg_per_s == 0.0:
        return 0.0, 0.0, 0.0, 0.0
    lift = row[ratio] - row["outside_humidity_ratio"]
    heat = enthalpy(row[dry_bulb], row[ratio]) - enthalpy(row["outside_c"], row["outside_humidity_ratio"])
    off_ratio = row.off(ratio) + row.off("outside_humidity_ratio")
    off_heat = (1.1 * (row.off(dry_bulb) + row.off("outside_c")) + (LATENT + 200.0) * off_ratio)
    water_off = SECONDS * (kg_per_s * off_ratio + row.off(flow) * abs(lift))
    heat_off = kg_per_s * off_heat + row.off(flow) * abs(heat)
    return kg_per_s * lift * SECONDS, kg_per_s * heat, water_off, heat_off


def rooms(books, folder):
    """Each room in each hour: its water, its heat, and the heat of the air from its states."""
    sums = defaultdict(lambda: defaultdict(float))
    for row in table(folder, "hourly_rooms.csv"):
        where = row.where()
        dried, dried_heat, dried_off, dried_heat_off = carried(
            row, "exhaust_kg_per_s", "exhaust_c", "exhaust_humidity_ratio")
        cooled, cooled_heat, cooled_off, cooled_heat_off = carried(
            row, "cooling_air_kg_per_s", "cooling_exhaust_c", "cooling_exhaust_humidity_ratio")

        names = ["drying_evaporated_kg", "source_water_kg", "condensed_kg"]
        came = row["drying_evaporated_kg"] + row["source_water_kg"] - row["condensed_kg"]
        books.hold("water of drying air", came - dried,
                   dried_off + row.offs(names) + SOLVED + SOLVED_SHARE * abs(dried), where)
        books.hold("water of cooling air", row["cooling_evaporated_kg"] - cooled,
                   cooled_off + row.off("cooling_evaporated_kg") + SOLVED + SOLVED_SHARE * abs(cooled), where)

        by_states = dried_heat + cooled_heat - row["source_water_kwh"]
        names = ["ventilation_kwh", "source_water_kwh"]
        books.hold("heat of the air from its states", row["ventilation_kwh"] - by_states,
                   dried_heat_off + cooled_heat_off + row.offs(names) + SOLVED + SOLVED_SHARE * abs(by_states), where)

        gained = ["heat_delivered_kwh", "purged_kwh", "fan_heat_kwh", "gains_kwh"]
        went = ["ventilation_kwh", "envelope_kwh", "warming_kwh", "desorption_kwh"]
        books.hold("heat of a room", row.sum(gained) - row.sum(went),
                   row.offs(gained + went) + SOLVED + SOLVED_SHARE * row.sum(gained), where)

        key = (row.text("option"), row.text("weather_year"), row.text("time"))
        for name in ROOM_SUMS:
            sums[key][name] += row[name]
        sums[key]["evaporated_kg"] += row["drying_evaporated_kg"] + row["cooling_evaporated_kg"]
        sums[key]["fresh_air_kg_per_s"] += row["fresh_air_kg_per_s"]
        sums[key]["rooms"] += 1
    return sums


ROOM_SUMS = [
    "heat_delivered_kwh", "recovered_kwh", "purged_kwh", "bin_fan_kwh", "extraction_fan_kwh", "lights_kwh",
    "ventilation_kwh", "envelope_kwh", "warming_kwh", "desorption_kwh", "fan_heat_kwh", "gains_kwh",
]
ELECTRICITY = [
    "bin_fan_kwh", "extraction_fan_kwh", "lights_kwh", "source_electricity_kwh", "store_units_kwh", "store_fans_kwh",
]


def site(books, folder, by_room):
    """The site in each hour; sums by option and year."""
    rows = table(folder, "hourly.csv")
    price = next(name for name in rows[0].cells if name.startswith("electricity_price_"))
    starting = lambda beginning: [name for name in rows[0].cells if name.startswith(beginning + ":")]
    by_source = {part: starting(part) for part in ("heat_kwh", "electricity_kwh", "fuel_kwh")}
    seasons = defaultdict(lambda: defaultdict(float))
    for row in rows:
        where = row.where()
        ratio = ratio_of(row["outside_c"], row["outside_rh_pct"] / 100.0, row["pressure_pa"])
        # 1 K is some 7 % of the vapour.
        share = 0.08 * row.off("outside_c") + row.off("outside_rh_pct") / max(row["outside_rh_pct"], 1e-3)
        share += 2.0 * row.off("pressure_pa") / row["pressure_pa"]
        books.hold("outside humidity ratio from dry bulb, humidity and pressure",
                   ratio - row["outside_humidity_ratio"],
                   1.1 * share * ratio + 2e-6 * ratio + row.off("outside_humidity_ratio"), where)

        room = by_room.get((row.text("option"), row.text("weather_year"), row.text("time")))
        if room is not None:
            for name in ROOM_SUMS + ["evaporated_kg", "fresh_air_kg_per_s"]:
                off = row.off(name) + 2.0 * room["rooms"] * 5e-6
                books.hold("site as the sum of its rooms", row[name] - room[name], off, f"{where}, {name}")

        books.hold("site electricity as the sum of its parts", row["site_electricity_kwh"] - row.sum(ELECTRICITY),
                   row.offs(ELECTRICITY + ["site_electricity_kwh"]), where)
        for part, whole in (("electricity_kwh", "source_electricity_kwh"), ("fuel_kwh", "source_fuel_kwh")):
            names = by_source[part]
            books.hold("electricity and fuel by source", row[whole] - row.sum(names),
                       row.off(whole) + row.offs(names), f"{where}, {whole}")
        names = by_source["heat_kwh"] + ["recovered_kwh"]
        books.hold("heat given as the sum of sources and recovery", row["heat_delivered_kwh"] - row.sum(names),
                   row.offs(names + ["heat_delivered_kwh"]) + SOLVED + SOLVED_SHARE * row["heat_delivered_kwh"], where)

        store(books, row, where)
        season = seasons[row.text("option"), row.text("weather_year")]
        season["evaporated_kg"] += row["evaporated_kg"]
        season["evaporated_off"] += row.off("evaporated_kg")
        season["site_electricity_kwh"] += row["site_electricity_kwh"]
        season["energy_cost"] += row[price] * row["site_electricity_kwh"]
        season["energy_cost_off"] += (row.off(price) * row["site_electricity_kwh"]
                                      + row[price] * row.off("site_electricity_kwh"))
    return seasons


def store(books, row, where):
    """The cool store: its heat, its water, its condensers."""
    came = ["store_envelope_kwh", "store_air_kwh", "store_gains_kwh", "store_respiration_kwh", "store_nuts_kwh"]
    went = ["store_evaporation_kwh", "store_sensible_kwh", "store_fabric_kwh"]
    books.hold("heat of the cool store", row.sum(came) - row.sum(went),
               row.offs(came + went) + SOLVED, where)
    names = ["store_sensible_kwh", "store_latent_kwh", "store_cooling_kwh"]
    books.hold("cooling as sensible and latent",
               row["store_cooling_kwh"] - row["store_sensible_kwh"] - row["store_latent_kwh"], row.offs(names), where)
    names = ["store_cooling_kwh", "store_units_kwh", "condensers_all_kwh"]
    books.hold("condenser heat as cooling and units' electricity",
               row["condensers_all_kwh"] - row["store_cooling_kwh"] - row["store_units_kwh"],
               row.offs(names) + SOLVED, where)
    # Gross is of those condensers that recover: never more than all; useful and purged are parts of it.
    over = max(0.0, row["condenser_heat_kwh"] - row["condensers_all_kwh"],
               row["recovered_kwh"] - row["condenser_heat_kwh"])
    names = ["condenser_heat_kwh", "condensers_all_kwh", "recovered_kwh"]
    books.hold("useful within gross, gross within all", over, row.offs(names) + SOLVED, where)
    if row.has("store_humidity_ratio"):
        lift = row["outside_humidity_ratio"] - row["store_humidity_ratio"]
        flow = row["store_air_kg_per_s"]
        brought = flow * lift * SECONDS
        names = ["store_nuts_lost_kg", "store_humidifier_kg", "store_condensate_kg"]
        residual = (brought + row["store_nuts_lost_kg"] + row["store_humidifier_kg"] - row["store_condensate_kg"])
        off = SECONDS * (flow * (row.off("store_humidity_ratio") + row.off("outside_humidity_ratio"))
                         + row.off("store_air_kg_per_s") * abs(lift))
        books.hold("water of the cool store", residual, off + row.offs(names) + SOLVED, where)


def seasons_water(books, folder, seasons):
    """What the hours say evaporated is what the batches lost. Batches that never left are in neither sum."""
    lost, off, left = defaultdict(float), defaultdict(float), defaultdict(int)
    for row in table(folder, "batches.csv"):
        key = (row.text("option"), row.text("weather_year"))
        if row.has("out_kg"):
            lost[key] += row["received_kg"] - row["out_kg"]
            off[key] += row.off("received_kg") + row.off("out_kg")
        else:
            left[key] += 1
    for key, season in seasons.items():
        if left[key]:
            print(f"     {', '.join(key)}: {left[key]} batches never left: their water cannot be held against batches")
            continue
        books.hold("season's water as the batches' loss", season["evaporated_kg"] - lost[key],
                   off[key] + season["evaporated_off"] + 1e-6 * lost[key], ", ".join(key))


def money(books, folder, seasons):
    """Electricity's energy, priced hour by hour: the mean over weather years is what the figures bill."""
    figures = json.loads((folder / "figures.json").read_text(encoding="utf-8"))
    for option in figures["options"]:
        fuels = sum(line["cost"] for name, line in option["carriers"].items() if name != "electricity")
        years = [season for (name, _), season in seasons.items() if name == option["name"]]
        if not years:
            continue
        cost = sum(season["energy_cost"] for season in years) / len(years)
        off = sum(season["energy_cost_off"] for season in years) / len(years)
        # A bill rounds each month's line of each period to half the currency's smallest coin, 1 in some currencies:
        # at most 13 months of a season and its stay in store, and hardly more than 5 periods.
        coin = 0.01 if option["energy_cost"] != round(option["energy_cost"]) else 1.0
        books.hold("electricity's energy charge, price by hour", option["energy_cost"] - fuels - cost,
                   off + 0.5 * coin * 13 * 5, option["name"])


EXPECTED = [
    "water of drying air", "water of cooling air", "heat of the air from its states", "heat of a room",
    "outside humidity ratio from dry bulb, humidity and pressure", "site as the sum of its rooms",
    "site electricity as the sum of its parts", "electricity and fuel by source",
    "heat given as the sum of sources and recovery", "heat of the cool store", "cooling as sensible and latent",
    "condenser heat as cooling and units' electricity", "useful within gross, gross within all",
    "season's water as the batches' loss", "electricity's energy charge, price by hour",
]


def main():
    if len(sys.argv) != 2:
        sys.exit("usage: close_books.py FOLDER (with hourly.csv, hourly_rooms.csv, batches.csv, figures.json)")
    folder = Path(sys.argv[1])
    books = Books()
    by_room = rooms(books, folder)
    seasons = site(books, folder, by_room)
    seasons_water(books, folder, seasons)
    money(books, folder, seasons)
    expected = EXPECTED + (["water of the cool store"] if "water of the cool store" in books.worst else [])
    sys.exit(0 if books.say(expected) else 1)


if __name__ == "__main__":
    main()

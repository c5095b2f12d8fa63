"""Writes vapour-compression cycles computed with the general-purpose property library CoolProp.

    pip install CoolProp==8.0.0
    python cycles.py grid     > ../../../src/cool_store/cycle_grid.rs   (then cargo fmt)
    python cycles.py between  > cycles.csv

The cycle: evaporating and condensing temperature (bubble point at the condenser's end, dew point at the
evaporator's), superheat 5 K, subcooling 5 K, isentropic efficiency 0.65, no pressure losses, compressor
power alone. Capacity per swept volume is suction density times refrigerating effect. `grid` writes the
table that the program holds; `between` writes points that lie off its grid, to hold it against.
"""

import sys

from CoolProp.CoolProp import PropsSI

SUPERHEAT_K, SUBCOOLING_K, ISENTROPIC = 5.0, 5.0, 0.65
REFRIGERANTS = ["R32", "R410A", "R290"]
EVAPORATING = [-10, -5, 0, 5, 10, 15, 20]
CONDENSING = [20, 25, 30, 35, 40, 45, 50, 55, 60, 65]


def cycle(fluid, evaporating_c, condensing_c):
    """COP of the compressor alone, and kJ of cooling per m3 of suction gas."""
    te, tc = evaporating_c + 273.15, condensing_c + 273.15
    low = PropsSI("P", "T", te, "Q", 1, fluid)
    high = PropsSI("P", "T", tc, "Q", 0, fluid)
    h1 = PropsSI("H", "T", te + SUPERHEAT_K, "P", low, fluid)
    s1 = PropsSI("S", "T", te + SUPERHEAT_K, "P", low, fluid)
    density = PropsSI("D", "T", te + SUPERHEAT_K, "P", low, fluid)
    work = (PropsSI("H", "S", s1, "P", high, fluid) - h1) / ISENTROPIC
    h3 = PropsSI("H", "T", tc - SUBCOOLING_K, "P", high, fluid)
    effect = h1 - h3
    return effect / work, density * effect / 1000.0


def grid():
    print("//! Vapour-compression cycles, computed once with CoolProp 8.0.0 by")
    print("//! `tests/data/refrigerant/cycles.py`, which says how. Written by that script; not by hand.")
    print()
    print("/// Evaporating temperatures of the rows, \u00b0C.")
    print(f"pub(super) const EVAPORATING_C: [f64; {len(EVAPORATING)}] = {[float(t) for t in EVAPORATING]};")
    print()
    print("/// Condensing temperatures of the columns, \u00b0C.")
    print(f"pub(super) const CONDENSING_C: [f64; {len(CONDENSING)}] = {[float(t) for t in CONDENSING]};")
    print()
    print("/// One figure for each pair of temperatures.")
    print(f"pub(super) type Grid = [[f64; {len(CONDENSING)}]; {len(EVAPORATING)}];")
    for fluid in REFRIGERANTS:
        rows = [[cycle(fluid, te, tc) for tc in CONDENSING] for te in EVAPORATING]
        print()
        print(f"/// {fluid}: compressor work over cooling (1/COP).")
        body = ", ".join("[" + ", ".join(f"{1 / cop:.5f}" if cop > 0 and cop < 1e3 else "0.0" for cop, _ in row) + "]" for row in rows)
        print(f"pub(super) const {fluid}_INPUT: Grid = [{body}];")
        print()
        print(f"/// {fluid}: cooling per suction volume, kJ/m\u00b3.")
        body = ", ".join("[" + ", ".join(f"{volumetric:.1f}" for _, volumetric in row) + "]" for row in rows)
        print(f"pub(super) const {fluid}_COOLING: Grid = [{body}];")


def between():
    print("refrigerant,evaporating_c,condensing_c,cop,cooling_kj_per_m3")
    for fluid in REFRIGERANTS:
        for te in [-7.5, 2.5, 6.3, 10.0, 13.0]:
            for tc in [27.0, 32.0, 37.5, 42.0, 47.0, 52.0, 57.0, 62.0]:
                cop, volumetric = cycle(fluid, te, tc)
                print(f"{fluid},{te},{tc},{cop:.5f},{volumetric:.2f}")


if __name__ == "__main__":
    {"grid": grid, "between": between}[sys.argv[1]]()

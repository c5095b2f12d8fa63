#!/usr/bin/env python3
"""Beds of nuts by the method of lines: an independent solution of the equations of a fixed bed.

Needs scipy (pip install scipy). Writes cases.csv beside itself:  python3 lines.py

Equations, per kg of dry matter, z from 0 (inlet) to 1 (outlet), nuts and air at one temperature T, air's own
storage left out:

    dM/dt = -k(T) (M - Me(T, W)),  but never so much that the air passes saturation
    a dW/dz = -dM/dt
    (cd + cw M) dT/dt = -a (1.006 + 1.86 W) dT/dz + (2501 + (1.86 - cw) T + q(T, M)) dM/dt

k: Newton's law with an Arrhenius factor. Me: modified Henderson. q: its Clausius-Clapeyron heat.
Saturation over water: Hyland and Wexler 1983 as the ASHRAE Handbook gives it.
Space: cells, second order (W by the midpoint rule, T upwind with van Leer's limiter). Time: SciPy's BDF.
Each case is solved with CELLS and with half of them; both are written, so that their distance tells how
near the limit they are. All coefficients are invented, of the size that in-shell nuts have.
"""

import csv
import math
from pathlib import Path

import numpy as np
from scipy.integrate import solve_ivp

PRESSURE = 101_325.0
CELLS = 60
ISOTHERM = (2.694697e-4, 1.520222, 113.7452)
DRY, WATER = 1.52, 4.186
GAS = 8.314462618e-3  # kJ/(mol K)
STEAM = 0.461526  # kJ/(kg K)
DAMPEST = 0.995

# name, k at 40 C (1/h), Ea (kJ/mol), M0, T0, inlet T, inlet W, air (kg/h per kg dry matter), hours
CASES = [
    ("dried slowly", 0.020, 30.0, 0.282, 20.0, 38.0, 0.0185, 0.45, 120),
    ("dried fast", 0.090, 25.0, 0.333, 18.0, 43.0, 0.0090, 1.50, 30),
    ("rewetted", 0.020, 30.0, 0.136, 25.0, 8.0, 0.0063, 0.45, 96),
]


def saturation(t):
    k = t + 273.15
    return np.exp(
        -5800.2206 / k + 1.3914993 - 4.8640239e-2 * k + 4.1764768e-5 * k**2
        - 1.4452093e-8 * k**3 + 6.5459673 * np.log(k)
    )


def humidity_ratio_at_saturation(t):
    p = saturation(t)
    return 0.621945 * p / (PRESSURE - p)


def relative_humidity(t_sat, w):
    return PRESSURE * w / (0.621945 + w) / t_sat


def equilibrium(t, rh):
    k, n, c = ISOTHERM
    return (-np.log1p(-rh) / (k * (t + c))) ** (1.0 / n) / 100.0


def binding(t, m):
    k, n, c = ISOTHERM
    y = k * (t + c) * (100.0 * np.maximum(m, 1e-9)) ** n
    y = np.minimum(y, 100.0)
    return STEAM * (t + 273.15) ** 2 * y / np.expm1(y) / (t + c)


def limited_faces(t, inlet):
    """T at the outlet face of every cell, upwind with van Leer's limiter."""
    back = t - np.concatenate(([inlet], t[:-1]))
    back[0] *= 2.0  # the inlet face is half a cell away
    ahead = np.concatenate((t[1:] - t[:-1], [0.0]))
    ahead[-1] = back[-1]
    product = back * ahead
    safe = np.where(product > 0.0, back + ahead, 1.0)
    slope = np.where(product > 0.0, 2.0 * product / safe, 0.0)
    return t + 0.5 * slope


class Bed:
    def __init__(self, case, cells):
        (self.name, self.k40, self.ea, self.m0, self.t0, self.t_in, self.w_in, self.a, self.hours) = case
        self.cells = cells

    def rates(self, m, t):
        """dM/dt of every cell and W behind each."""
        t = np.clip(t, -20.0, 90.0)  # trial states of the solver only
        rate = self.k40 * np.exp(self.ea / GAS * (1.0 / 313.15 - 1.0 / (t + 273.15)))
        sat, w_sat = saturation(t), humidity_ratio_at_saturation(t)
        c, n = ISOTHERM[2], ISOTHERM[1]
        kt = ISOTHERM[0] * (t + c)
        per_cell = self.a * self.cells
        lost, behind = np.empty_like(m), np.empty_like(m)
        w = self.w_in
        inv_n = 1.0 / n
        for i in range(self.cells):
            gain = 0.0
            for _ in range(40):
                mid = w + 0.5 * gain
                rh = min(max(PRESSURE * mid / (0.621945 + mid) / sat[i], 1e-6), DAMPEST)
                me = (-math.log1p(-rh) / kt[i]) ** inv_n / 100.0
                new = rate[i] * (m[i] - me) / per_cell
                new = min(new, w_sat[i] - w)
                if abs(new - gain) < 1e-13:
                    gain = new
                    break
                gain = new
            lost[i] = gain * per_cell
            w += gain
            behind[i] = w
        return -lost, behind

    def slope(self, _, y):
        m, t = y[: self.cells], y[self.cells :]
        dm, behind = self.rates(m, t)
        entering = np.concatenate(([self.w_in], behind[:-1]))
        faces = limited_faces(t, self.t_in)
        before = np.concatenate(([self.t_in], faces[:-1]))
        carried = self.a * self.cells * (1.006 + 1.86 * entering) * (before - faces)
        free = 2501.0 + (1.86 - WATER) * t
        dt = (carried + (free + binding(t, m)) * dm) / (DRY + WATER * m)
        return np.concatenate((dm, dt))

    def solve(self):
        y0 = np.concatenate((np.full(self.cells, self.m0), np.full(self.cells, self.t0)))
        at = np.array([0.25, 0.5, 0.75, 1.0]) * self.hours
        done = solve_ivp(self.slope, (0.0, self.hours), y0, "BDF", at, rtol=1e-6, atol=1e-8)
        assert done.success, done.message
        for hours, y in zip(done.t, done.y.T):
            m, t = y[: self.cells], y[self.cells :]
            _, behind = self.rates(m, t)
            ends = (1.5 * m[0] - 0.5 * m[1], 1.5 * m[-1] - 0.5 * m[-2])
            yield hours, m.mean(), max(max(ends), m.max()), limited_faces(t, self.t_in)[-1], behind[-1]


def main():
    path = Path(__file__).with_name("cases.csv")
    with path.open("w", newline="") as out:
        rows = csv.writer(out, lineterminator="\n")
        rows.writerow(
            "case,cells,rate_per_h,activation_kj_per_mol,moisture,temperature_c,inlet_c,inlet_humidity_ratio,"
            "air_per_h,hours,mean_moisture,wettest,outlet_c,outlet_humidity_ratio".split(",")
        )
        for case in CASES:
            for cells in (CELLS // 2, CELLS):
                for hours, mean, wettest, t, w in Bed(case, cells).solve():
                    rows.writerow(
                        [case[0], cells, *case[1:8], f"{hours:g}", f"{mean:.7f}", f"{wettest:.7f}", f"{t:.4f}", f"{w:.7f}"]
                    )
                    out.flush()


if __name__ == "__main__":
    main()

"""Writes cash_flows.csv: net present value and internal rate of return of drawn yearly sums, from the
general-purpose package numpy-financial.

    pip install numpy==2.4.6 numpy-financial==1.0.0
    python cash_flows.py > cash_flows.csv
"""

import numpy as np
import numpy_financial as npf

draw = np.random.default_rng(20)
print("rate,npv,irr,flows")
for case in range(60):
    years = int(draw.integers(1, 31))
    cost = round(float(draw.uniform(1_000, 200_000)), 2)
    yearly = cost * draw.uniform(0.02, 0.5) * draw.uniform(0.5, 1.5, years)
    flows = [-cost] + [round(float(saving), 2) for saving in yearly]
    rate = round(float(draw.uniform(-0.02, 0.25)), 4)
    npv = npf.npv(rate, flows)
    irr = npf.irr(flows)
    print(f"{rate},{npv:.8f},{irr:.12f},{' '.join(map(str, flows))}")

"""Writes fuels.csv: heats of combustion of pure compounds from the general-purpose package chemicals.

    pip install chemicals==1.5.2
    python fuels.py > fuels.csv

Gas phase at 25 C for methane, propane and n-butane (sold as gas or vaporised before the burner);
n-dodecane as a liquid stands in for diesel. Carbon dioxide and water by stoichiometry.
"""

from chemicals import CAS_from_any, combustion_stoichiometry, HHV_stoichiometry, LHV_from_HHV
from chemicals import Hfg, Hfl, MW, simple_formula_parser, search_chemical

print("name,formula,phase,higher_mj_per_kg,lower_mj_per_kg,water_kg_per_kg,co2_kg_per_kg")
for name, phase in [("methane", "g"), ("propane", "g"), ("n-butane", "g"), ("n-dodecane", "l")]:
    cas = CAS_from_any(name)
    formula = search_chemical(cas).formula
    atoms = simple_formula_parser(formula)
    stoichiometry = combustion_stoichiometry(atoms)
    formation = Hfg(cas) if phase == "g" else Hfl(cas)
    higher = HHV_stoichiometry(stoichiometry, Hf=formation)
    lower = LHV_from_HHV(higher, stoichiometry["H2O"])
    kg_per_mol = MW(cas) / 1000
    water = stoichiometry["H2O"] * MW(CAS_from_any("water")) / MW(cas)
    co2 = stoichiometry["CO2"] * MW(CAS_from_any("carbon dioxide")) / MW(cas)
    print(
        f"{name},{formula},{phase},{-higher / kg_per_mol / 1e6:.5f},{-lower / kg_per_mol / 1e6:.5f},"
        f"{water:.5f},{co2:.5f}"
    )

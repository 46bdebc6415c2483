"""Density, expansion and oxygen of fresh water from general-purpose libraries.

CoolProp (IAPWS-95) for density and expansion, gsw for oxygen at saturation (Garcia &
Gordon 1992, a formula of its own fitted to the same measurements). Writes
water_density.csv and water_oxygen_gsw.csv.
"""

import sys

import CoolProp
import gsw
from CoolProp.CoolProp import PropsSI

from water_rows import Table, inputs


def main():
    density = Table("water_density.csv")
    source = f"CoolProp {CoolProp.__version__}, IAPWS-95 water at 101325 Pa"
    # Tanaka claims 0.84 ppm for his formula, IAPWS-95 1 ppm at one atmosphere (both from
    # memory): 0.0018 kg/m3 together.
    for t in [0.5, 2, 4, 5, 10, 15, 20, 25, 30, 35, 39.5]:
        value = PropsSI("D", "T", t + 273.15, "P", 101325, "Water")
        density.row("density", inputs(temperature=f"{t} C"), f"{value:.5f}", "kg/m3", "0.002", source, "water_properties.py", "published")
        value = PropsSI("ISOBARIC_EXPANSION_COEFFICIENT", "T", t + 273.15, "P", 101325, "Water")
        density.row("expansion", inputs(temperature=f"{t} C"), f"{value:.4e}", "1/K", "0.0000003", source, "water_properties.py", "published")
    difference = PropsSI("D", "T", 288.15, "P", 101325, "Water") - PropsSI("D", "T", 298.15, "P", 101325, "Water")
    density.agreed("density_difference", inputs(upper="25 C", lower="15 C"), "2.055", difference, "kg/m3", source, "water_properties.py", "published", "0.001")
    density.agreed("expansion", inputs(temperature="25 C"), "0.0002573", PropsSI("ISOBARIC_EXPANSION_COEFFICIENT", "T", 298.15, "P", 101325, "Water"),
                   "1/K", source, "water_properties.py", "published")

    oxygen = Table("water_oxygen_gsw.csv")
    source = f"gsw {gsw.__version__} O2sol_SP_pt times gsw.rho; Garcia & Gordon 1992"
    for salt in [0, 5, 10, 20]:
        for t in [0, 2.5, 5, 10, 15, 20, 25, 30, 35]:
            # Micromoles in a kilogram, times 31.9988 g/mol, times the density of the
            # same water at the surface. Conservative temperature differs from
            # potential by less than 0.1 K here, far below what density feels.
            per_mass = float(gsw.O2sol_SP_pt(salt, t))
            rho = float(gsw.rho_t_exact(gsw.SR_from_SP(salt), t, 0))
            value = per_mass * 1e-6 * 31.9988 * rho
            # Both formulas fit the same measurements, and part by up to 0.03 %.
            oxygen.row("oxygen_saturation", inputs(temperature=f"{t} C", salinity=f"{salt} g/kg", pressure="101325 Pa"), f"{value:.4f}", "mg/L",
                       "0.002" if salt == 0 else "0.005", source, "water_properties.py", "published")
    return all([density.write(), oxygen.write()])


if __name__ == "__main__":
    sys.exit(0 if main() else 1)

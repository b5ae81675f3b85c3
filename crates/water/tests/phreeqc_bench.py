"""Seconds that IPHREEQC (PyPI `phreeqc`) takes for a batch of waters: one instance, one input, best of five.

Input as for phreeqc_answers.py. Punches the seven saturation indices, pH, ionic strength and specific conductance.
"""

import json
import sys
import time

from phreeqc import Phreeqc

ELEMENT = {
    "calcium": "Ca", "magnesium": "Mg", "sodium": "Na", "potassium": "K", "strontium": "Sr", "barium": "Ba",
    "iron": "Fe(2)", "manganese": "Mn(2)", "ammonium": "N(-3)", "silica": "Si", "boron": "B", "chloride": "Cl",
    "sulfate": "S(6)", "nitrate": "N(5)", "fluoride": "F", "phosphate": "P",
}
PHASES = ["Calcite", "Aragonite", "Gypsum", "Barite", "Celestite", "Fluorite", "SiO2(a)"]



def batch(waters):
    text = ["SELECTED_OUTPUT 1", " -reset false", "USER_PUNCH 1", " -headings a b c d e f g ph mu sc", " -start",
            " 10 PUNCH " + ", ".join([*(f'SI("{p}")' for p in PHASES), '-LA("H+")', "MU", "SC"]), " -end"]
    for i, w in enumerate(waters):
        text += [f"SOLUTION {i + 1}", " units mol/kgw", f" temp {w['temperature']}", f" pH {w['ph']}",
                 f" Alkalinity {w['alkalinity']:.15g}"]
        text += [f" {ELEMENT[k]} {m:.15g}" for k, m in w["molality"].items() if m > 0]
    return "\n".join([*text, "END", ""])


waters = json.load(sys.stdin)
engine = Phreeqc()
engine.LoadBuiltInDatabase("phreeqc.dat")
# A batch ends at the first water that PHREEQC cannot solve: those are left out, for both.
solved = [i for i, w in enumerate(waters) if engine.RunString(batch([w])) == 0]
text = batch([waters[i] for i in solved])
best = float("inf")
for _ in range(5):
    begin = time.perf_counter()
    faults = engine.RunString(text)
    best = min(best, time.perf_counter() - begin)
json.dump({"seconds": best, "solved": solved, "faults": faults}, sys.stdout)

"""PHREEQC's answers to waters given in mol/kg of water: JSON on standard input and output.

Input: [{"temperature", "ph", "alkalinity" (eq/kg), "concentration_factor", "molality": {constituent: mol/kg}}, ...]
Output, in the same order: raw water, the same water at 25 C, its concentrate at the raw water's CO2 activity, and the
osmolality (osmotic coefficient times solutes, CO2 left out) of raw water and concentrate by pitzer.dat.
Engine: IPHREEQC in the PyPI package `phreeqc`.
"""

import json
import math
import sys

from phreeqc import Phreeqc

ELEMENT = {
    "calcium": "Ca", "magnesium": "Mg", "sodium": "Na", "potassium": "K", "strontium": "Sr", "barium": "Ba",
    "iron": "Fe(2)", "manganese": "Mn(2)", "ammonium": "N(-3)", "silica": "Si", "boron": "B", "chloride": "Cl",
    "sulfate": "S(6)", "nitrate": "N(5)", "fluoride": "F", "phosphate": "P",
}
# pitzer.dat has no parameters for these: a like ion stands for them, or they are left out with their alkalinity.
LIKE = {"barium": "calcium", "nitrate": "chloride", "fluoride": "chloride"}
LEFT_OUT = {"iron", "manganese", "ammonium", "boron", "phosphate"}
PHASES = {"calcite": "Calcite", "aragonite": "Aragonite", "gypsum": "Gypsum", "barite": "Barite",
          "celestite": "Celestite", "fluorite": "Fluorite", "amorphous_silica": "SiO2(a)"}


def engine(database):
    e = Phreeqc()
    if e.LoadBuiltInDatabase(database):
        raise SystemExit(e.GetErrorString())
    return e


def run(e, lines, heads, expressions):
    text = "\n".join(["SOLUTION 1", " units mol/kgw", *lines, "SELECTED_OUTPUT 1", " -reset false", " -high_precision true",
                      "USER_PUNCH 1", " -headings " + " ".join(heads), " -start"]
                     + [f" {10 * (i + 1)} PUNCH {x}" for i, x in enumerate(expressions)] + [" -end", "END"])
    if e.RunString(text):
        return None
    out = e.GetSelectedOutput()
    return {h: out[h][-1] for h in heads}


def totals(molality, factor=1.0):
    return [f" {ELEMENT[k]} {m * factor:.15g}" for k, m in molality.items() if m > 0]


HEADS = ["ph", "ionic_strength", "co2", "co2_activity", "carbon", "conductivity", *PHASES]
EXPRESSIONS = ['-LA("H+")', "MU", 'MOL("CO2") + 2 * MOL("(CO2)2")', 'LA("CO2")', 'TOT("C(4)")', "SC",
               *(f'SI("{p}")' for p in PHASES.values())]


def main():
    waters = json.load(sys.stdin)
    base, pitzer = engine("phreeqc.dat"), engine("pitzer.dat")
    answers = []
    for w in waters:
        m, t, f = w["molality"], w["temperature"], w["concentration_factor"]
        alkalinity = w["alkalinity"]
        raw = run(base, [f" temp {t}", f" pH {w['ph']}", f" Alkalinity {alkalinity:.15g}", *totals(m)], HEADS, EXPRESSIONS)
        if raw is None:
            answers.append({"failed": "raw"})
            continue
        at25 = run(base, [" temp 25", " pH 7", f" Alkalinity {alkalinity:.15g}", f" C(4) {raw['carbon']:.15g}", *totals(m)],
                   HEADS, EXPRESSIONS)
        pressure = raw["co2_activity"] - gas(base, t)
        dense = run(base, [f" temp {t}", f" pH {raw['ph'] + math.log10(f)} CO2(g) {pressure:.12f}", f" Alkalinity {alkalinity * f:.15g}",
                           *totals(m, f)], HEADS, EXPRESSIONS)
        like = {}
        for k, v in m.items():
            if k in LEFT_OUT:
                continue
            like[LIKE.get(k, k)] = like.get(LIKE.get(k, k), 0.0) + v
        osmotic = []
        for factor, ph in ((1.0, raw["ph"]), (f, dense["ph"] if dense else raw["ph"])):
            o = run(pitzer, [f" temp {t}", f" pH {ph}", f" Alkalinity {alkalinity * factor:.15g}", *totals(like, factor)],
                    ["aw", "co2"], ['LA("H2O")', 'MOL("CO2")'])
            osmotic.append(o and -math.log(10) * o["aw"] / 0.018015 - o["co2"])
        answers.append({"raw": raw, "at_25_c": at25, "concentrate": dense, "osmolality": osmotic})
    json.dump(answers, sys.stdout)


_GAS = {}


def gas(e, t):
    if t not in _GAS:
        _GAS[t] = run(e, [f" temp {t}", " pH 7"], ["k"], ['LK_PHASE("CO2(g)")'])["k"]
    return _GAS[t]


main()

"""Writes crates/water/data/{species,minerals,pitzer}.csv from PHREEQC's databases.

    python reference/scripts/water_data.py [PITZER_DAT]

Reads reference/phreeqc.dat and, for the osmotic coefficient, the pitzer.dat of the PyPI package `phreeqc` (or the file
given). Rows are copied number by number as the files have them, a later line of a block replacing an earlier one; nothing
is converted, so that a test can find each number again.
"""

import csv
import pathlib
import re
import sys

ROOT = pathlib.Path(__file__).resolve().parents[2]
OUT = ROOT / "crates" / "water" / "data"
MASTERS = "H+ H2O Ca+2 Mg+2 Na+ K+ Sr+2 Ba+2 Fe+2 Mn+2 NH4+ CO3-2 SO4-2 Cl- NO3- F- H4SiO4 H3BO3 PO4-3".split()
MINERALS = {
    "Calcite": "calcite",
    "Aragonite": "aragonite",
    "Gypsum": "gypsum",
    "Barite": "barite",
    "Celestite": "celestite",
    "Fluorite": "fluorite",
    "SiO2(a)": "amorphous_silica",
    "CO2(g)": "co2_gas",
}
BASE = "Parkhurst & Appelo 2013, Techniques and Methods 6-A43; phreeqc.dat of 22 May 2024"
BASE_PITZER = "pitzer.dat of PHREEQC 3.8.6 (Parkhurst & Appelo 2013, Techniques and Methods 6-A43)"


def block(lines, start, stop):
    inside = False
    for line in lines:
        word = line.split("#")[0].strip()
        if word == start:
            inside = True
            continue
        if inside and word == stop:
            return
        if inside:
            yield line.rstrip()


def entries(lines):
    """(equation, {option: (numbers, unit, remark)}, name) for each block of reactions."""
    current = None
    for raw in lines:
        text, _, remark = raw.partition("#")
        for part in text.split(";"):
            part = part.strip()
            if not part:
                continue
            option = re.match(r"-?(log_k|delta_h|analytic\w*|gamma|dw|Vm|viscosity|T_c|P_c|Omega)\b\s*(.*)", part)
            if option:
                key = option[1].lower()
                key = "analytic" if key.startswith("analytic") else key
                words = option[2].split()
                numbers, unit = [], ""
                for word in words:
                    try:
                        float(word)
                        numbers.append(word)
                    except ValueError:
                        unit = word
                        break
                current[1][key] = (numbers, unit, remark.strip())
            elif "=" in part:
                if current and current[0] is None:
                    current[0] = part
                else:
                    if current:
                        yield current
                    current = [part, {}, None]
            else:  # the name of a phase
                if current:
                    yield current
                current = [None, {}, part.split()[0]]
    if current:
        yield current


def numbers(options, key, count):
    found = options.get(key, ([], "", ""))[0][:count]
    return found + [""] * (count - len(found))


def terms(side):
    for term in re.split(r"\s\+\s", side):
        m = re.match(r"\s*(?:([\d.]+)\s+)?(\S+)\s*$", term)
        yield m[2], float(m[1] or 1)


def source(options, base):
    remarks = [v[2] for v in options.values() if v[2]]
    remarks = [r for r in dict.fromkeys(remarks) if r and not r.lower().startswith(("cf.", "supcrt + h2o"))]
    return "; ".join([base] + [r.encode("ascii", "replace").decode() for r in remarks])


def main():
    lines = (ROOT / "reference" / "phreeqc.dat").read_bytes().decode("latin-1").splitlines()
    known = {m: {m} for m in MASTERS}
    rows = []
    for equation, options, _ in entries(block(lines, "SOLUTION_SPECIES", "PHASES")):
        left, right = (list(terms(s)) for s in equation.split("="))
        names = [n for n, _ in left + right]
        if "e-" in names and "NH4+" not in names:
            continue
        if left == right:
            product = left[0][0]
            if product not in MASTERS or product == "H2O":
                continue
            equation = f"{product} = {product}"
        elif "NH4+" in [n for n, _ in right] and "NO3-" in names:
            # Ammonium is entered as itself: only its activity and transport parameters are used.
            product, equation = "NH4+", "NH4+ = NH4+"
            options = {k: v for k, v in options.items() if k not in ("log_k", "delta_h", "analytic")}
        else:
            product = right[0][0]
            others = [n for n in names if n != product]
            if any(n not in known for n in others):
                continue
            if product in MASTERS:
                continue
            known[product] = set()
        charge = re.search(r"([+-])(\d*)$", product)
        z = 0 if not charge else int(charge[1] + (charge[2] or "1"))
        # (CO2)2 and BF(OH)3- carry brackets, never a charge inside them.
        delta_h = options.get("delta_h", ([], "", ""))
        rows.append(
            [product, equation, z]
            + numbers(options, "log_k", 1)
            + (delta_h[0][:1] or [""])
            + ([delta_h[1] or "kJ"] if delta_h[0] else [""])
            + numbers(options, "analytic", 6)
            + numbers(options, "gamma", 2)
            + numbers(options, "dw", 6)
            + numbers(options, "vm", 10)
            + numbers(options, "viscosity", 7)
            + [source(options, BASE)]
        )
    OUT.mkdir(exist_ok=True)
    with open(OUT / "species.csv", "w", newline="") as f:
        w = csv.writer(f, lineterminator="\n", delimiter="|")
        w.writerow(
            "name equation charge log_k delta_h delta_h_unit a1 a2 a3 a4 a5 a6 gamma_a gamma_b dw dw_t dw_a dw_a2 dw_visc dw_a3"
            " vm_a1 vm_a2 vm_a3 vm_a4 vm_w vm_a0 vm_i1 vm_i2 vm_i3 vm_i4 visc_b0 visc_b1 visc_b2 visc_d1 visc_d2 visc_d3 visc_tan"
            " source".split()
        )
        w.writerows(rows)

    rows = []
    for equation, options, name in entries(block(lines, "PHASES", "EXCHANGE_MASTER_SPECIES")):
        if name in MINERALS:
            delta_h = options.get("delta_h", ([], "", ""))
            rows.append(
                [MINERALS[name], name, equation]
                + numbers(options, "log_k", 1)
                + (delta_h[0][:1] or [""])
                + ([delta_h[1] or "kJ"] if delta_h[0] else [""])
                + numbers(options, "analytic", 6)
                + [source(options, BASE)]
            )
    with open(OUT / "minerals.csv", "w", newline="") as f:
        w = csv.writer(f, lineterminator="\n", delimiter="|")
        w.writerow("mineral phase equation log_k delta_h delta_h_unit a1 a2 a3 a4 a5 a6 source".split())
        w.writerows(rows)

    path = pathlib.Path(sys.argv[1]) if len(sys.argv) > 1 else None
    if path is None:
        import phreeqc

        path = pathlib.Path(phreeqc.__file__).parent / "databases" / "pitzer.dat"
    ions = "Ca+2 Mg+2 Na+ K+ Sr+2 Cl- SO4-2 HCO3- CO3-2".split()
    rows, kind = [], None
    for raw in block(path.read_bytes().decode("latin-1").splitlines(), "PITZER", "EXCHANGE_MASTER_SPECIES"):
        text, _, remark = raw.partition("#")
        words = text.split()
        if not words:
            continue
        if words[0].startswith("-") and len(words) == 1:
            kind = words[0][1:].lower()
            continue
        count = {"b0": 2, "b1": 2, "b2": 2, "c0": 2, "theta": 2, "psi": 3}.get(kind)
        if count is None or any(n not in ions for n in words[:count]):
            continue
        values = words[count:]
        rows.append(
            [kind, " ".join(words[:count])] + values + [""] * (6 - len(values)) + ["; ".join(filter(None, [BASE_PITZER, remark.strip()]))]
        )
    with open(OUT / "pitzer.csv", "w", newline="") as f:
        w = csv.writer(f, lineterminator="\n", delimiter="|")
        w.writerow("kind ions p0 p1 p2 p3 p4 p5 source".split())
        w.writerows(rows)


main()

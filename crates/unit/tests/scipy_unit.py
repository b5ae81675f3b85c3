"""The equations of the element and of the unit, solved by SciPy, as a check on the Rust code.

Reads one JSON document per line from standard input and answers one per line. Every number is in SI units:
m, m2, m3/s, Pa, kg/m3 (of salt), C. The element is an initial-value problem in the channel's length, solved by
`solve_ivp` (DOP853 at 1e-10); rating and steady state are solved by root finding (`brentq`, `root`).

    {"kind": "unit", "elements": [{"area", "length", "rating": {...}, "a_factor", "b_factor", "drop_factor"}],
     "arrangement": "series" | "parallel", "stages": [...], "restrictor": {...}, "coefficient", "feed", ...}

Also used side by side with the Rust code by `benches/predict.rs` (with "repeat", which answers the seconds per solution).
"""
import json
import math
import sys
import time

from scipy.integrate import solve_ivp
from scipy.optimize import brentq, root

POROSITY, CHANNEL = 0.89, 0.7e-3
D_H = 4 * POROSITY / (2 / CHANNEL + (1 - POROSITY) * 8 / CHANNEL)


def viscosity(t):
    """IAPWS SR6-08, equation 8."""
    x = (t + 273.15) / 300
    return 1e-6 * (280.68 * x**-1.9 + 511.45 * x**-7.7 + 61.131 * x**-19.6 + 0.45903 * x**-40)


def density(t):
    """IAPWS SR6-08 in the code of the `iapws` package."""
    from iapws import _iapws

    return 1 / _iapws._Liquid(t + 273.15, 0.1)["v"]


DENSITY = {}


def osmotic(c, t):
    """ASTM D4516, NaCl; c in kg/m3, answer in Pa."""
    return 265.4 * c * 1e3 * (t + 273.15) / (1e3 - c)


class Element:
    def __init__(self, area, length, a, b, t, drop=1.0, k_factor=1.0):
        if t not in DENSITY:
            DENSITY[t] = density(t)
        self.area, self.length, self.a, self.b, self.t, self.drop, self.k_factor = area, length, a, b, t, drop, k_factor
        self.mu, self.rho = viscosity(t), DENSITY[t]
        self.width = area / (2 * length)
        self.d = 1.61e-9 * (t + 273.15) / 298.15 * viscosity(25) / self.mu

    def channel(self, q):
        u = max(q, 1e-15) / (POROSITY * CHANNEL * self.width)
        re = self.rho * u * D_H / self.mu
        k = 0.46 * (re * self.mu / (self.rho * self.d)) ** 0.36 * self.d / D_H * self.k_factor
        return k, (0.42 + 189.3 / re) * self.rho * u * u / (2 * D_H) * self.drop

    def local(self, k, c, dp):
        """Water flux, permeate concentration and wall concentration at one place."""
        if dp <= 0:
            return 0.0, c, c

        def wall(j):
            e = math.exp(min(j / k, 500.0))
            cp = self.b * e * c / (j + self.b * e)
            return cp, cp + (c - cp) * e

        def f(j):
            cp, cm = wall(j)
            return j - self.a * (dp - osmotic(cm, self.t) + osmotic(cp, self.t))

        # The wall's concentration must stay where the osmotic relation has a meaning.
        hi = self.a * dp
        while wall(hi)[1] > 500.0:
            hi *= 0.9
        j = brentq(f, 0.0, hi, xtol=1e-18, rtol=1e-13)
        return (j, *wall(j))

    def run(self, q, c, p, pp, rtol=1e-10):
        def rhs(_, y):
            k, grad = self.channel(y[0])
            j, cp, cm = self.local(k, y[1] / y[0], y[2] - pp)
            w = self.area / self.length
            return [-j * w, -j * cp * w, -grad, j * w * cm / (y[1] / y[0])]

        y0 = [q, q * c, p, 0.0]
        s = solve_ivp(rhs, (0, self.length), y0, method="DOP853", rtol=rtol, atol=[q * 1e-13, q * c * 1e-13, 1e-6, 1e-12])
        if not s.success:
            raise RuntimeError(s.message)
        q1, s1, p1, w = s.y[:, -1]
        return q1, s1, p1, w / max(q - q1, 1e-300)


def tcf(coefficient, t):
    return coefficient ** (t - 25)


def identify(el, coefficient, rtol=1e-10):
    r = el["rating"]
    q = r["flow"] / r["recovery"]
    cp = (1 - r["rejection"]) * r["tds"]

    def res(x):
        e = Element(el["area"], el["length"], math.exp(x[0]), math.exp(x[1]), r["temperature"])
        q1, s1, _, _ = e.run(q, r["tds"], r["pressure"], 0.0, rtol)
        return [math.log((q - q1) / r["flow"]), math.log((q * r["tds"] - s1) / (q - q1) / cp)]

    j = r["flow"] / el["area"]
    a0 = j / (r["pressure"] - osmotic(r["tds"] * 1.1, r["temperature"]))
    b0 = j * cp / r["tds"] * 0.8
    s = root(res, [math.log(a0), math.log(b0)], tol=1e-11)
    if max(abs(v) for v in res(s.x)) > 1e-8:
        raise RuntimeError("rating: " + s.message)
    f = tcf(coefficient, r["temperature"])
    return math.exp(s.x[0]) / f, math.exp(s.x[1]) / f


def membrane_pressure(stages, q, p, t):
    for s in stages:
        if s["kind"] == "pump":
            p += max(0.0, s["shutoff"] * (1 - q / s["open_flow"]))
        elif s["kind"] == "regulator":
            p = min(p, s["set"])
        elif s.get("drop"):
            p -= s["drop"] * q / s["flow"] * viscosity(t) / viscosity(25) * s.get("factor", 1.0)
    return p


def restrictor_flow(r, p, t):
    if p <= 0:
        return 0.0
    n = r["exponent"]
    m = 2 * n - 1
    return r["flow"] * (p / r["at"]) ** n * (viscosity(25) / viscosity(t)) ** m * r.get("factor", 1.0)


def unit(case, ab=None, rtol=1e-10):
    t, c, pp = case["temperature"], case["feed"], case["permeate_pressure"]
    els = []
    for i, el in enumerate(case["elements"]):
        a, b = ab[i] if ab else (el["a25"], el["b25"]) if "a25" in el else identify(el, case["coefficient"], rtol)
        f = tcf(case["coefficient"], t)
        els.append(
            Element(el["area"], el["length"], a * f * el.get("a_factor", 1), b * f * el.get("b_factor", 1), t,
                    el.get("drop_factor", 1), case.get("k_factor", 1))
        )
    series = case["arrangement"] == "series"

    def through(q):
        """Feed flow (or flows, in parallel) to each element's outlet."""
        pm = membrane_pressure(case["stages"], sum(q), case["inlet_pressure"], t)
        out = []
        if series:
            x, y, p = q[0], q[0] * c, pm
            for e in els:
                q1, s1, p1, w = e.run(x, y / x, p, pp, rtol)
                out.append((x, y, q1, s1, p1, w))
                x, y, p = q1, s1, p1
        else:
            for e, x in zip(els, q):
                out.append((x, x * c, *e.run(x, c, pm, pp, rtol)))
        return pm, out

    r = case["restrictor"]
    if series or len(els) == 1:

        def res1(q):
            try:
                _, out = through([q])
            except (ValueError, OverflowError, RuntimeError):
                # The channel ran dry: far too little feed.
                return -1.0
            return out[-1][2] - restrictor_flow(r, out[-1][4], t)

        q0 = restrictor_flow(r, max(case["inlet_pressure"], 1.0), t) + sum(0.6 * e.a * e.area * case["inlet_pressure"] for e in els)
        # A hint where to look saves time; the bracket is what counts.
        q0 = sum(case.get("hint", [q0]))
        lo, hi = 0.97 * q0, 1.03 * q0
        while res1(lo) >= 0:
            lo *= 0.85
        while res1(hi) <= 0:
            hi *= 1.15
        flows = [brentq(res1, lo, hi, rtol=1e-11, xtol=1e-18)]
    else:
        n = len(els)
        scale = restrictor_flow(r, case["inlet_pressure"], t) / n + els[0].a * els[0].area * case["inlet_pressure"] * 0.6

        def res(x):
            _, out = through([v * scale for v in x])
            pc = [o[4] for o in out]
            total = sum(o[2] for o in out) - restrictor_flow(r, sum(pc) / n, t)
            return [total / (n * scale)] + [(pc[i] - pc[0]) / 1e3 for i in range(1, n)]

        s = root(res, [v / scale for v in case.get("hint", [1.2 * scale] * n)], tol=1e-11)
        if max(abs(v) for v in res(s.x)) > 1e-7:
            raise RuntimeError("unit: " + s.message)
        flows = [v * scale for v in s.x]
    pm, out = through(flows)
    qf = sum(flows)
    qp = sum(o[0] - o[2] for o in out)
    sp = sum(o[1] - o[3] for o in out)
    last = out[-1:] if series else out
    qc, sc = sum(o[2] for o in last), sum(o[3] for o in last)
    return {
        "permeate_flow": qp, "concentrate_flow": qc, "feed_flow": qf, "membrane_pressure": pm, "concentrate_pressure": out[-1][4],
        "permeate": sp / qp, "concentrate": sc / qc, "salt_passage": sp / qp / c, "polarisation": [o[5] for o in out],
        "element_permeate": [(o[1] - o[3]) / (o[0] - o[2]) for o in out], "element_flow": [o[0] - o[2] for o in out],
    }


def answer(case):
    if case["kind"] == "identify":
        return [identify(e, case["coefficient"]) for e in case["elements"]]
    if "repeat" in case:
        rtol = case.get("rtol", 1e-8)
        ab = [(e["a25"], e["b25"]) for e in case["elements"]]
        start = time.perf_counter()
        for _ in range(case["repeat"]):
            a = unit(case, ab, rtol)
        a["seconds"] = (time.perf_counter() - start) / case["repeat"]
        return a
    return unit(case)


if __name__ == "__main__":
    for line in sys.stdin:
        if line.strip():
            print(json.dumps(answer(json.loads(line))), flush=True)

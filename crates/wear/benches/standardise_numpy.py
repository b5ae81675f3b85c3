"""The equations of ASTM D4516 with their standard deviations, vectorised in NumPy: the reference of the
benchmark. Reads eight columns of float64 from the file named first, times the best of several runs, and prints
seconds and the sums of all eight answers.

One core: the caller sets OMP_NUM_THREADS=1 and the like; these expressions are element-wise anyway.
"""
import json
import sys
import time

import numpy as np

n = int(sys.argv[2])
columns = np.fromfile(sys.argv[1], dtype=np.float64).reshape(8, n)
ref = json.loads(sys.argv[3])


def viscosity(kelvin):
    t = kelvin / 300.0
    return 1e-6 * (280.68 * t**-1.9 + 511.45 * t**-7.7 + 61.131 * t**-19.6 + 0.45903 * t**-40.0)


def osmotic(c, kelvin):
    return ref["osmotic_slope"] * c * kelvin / (1000.0 - ref["osmotic_curve"] * c / 1000.0)


def friction(flow, nu):
    u = flow / 3.6e6 / ref["channel_m2"]
    inertial = 0.42 * u * u
    viscous = 189.3 * (nu / ref["hydraulic_diameter_m"]) * u
    phi = inertial + viscous
    return phi, (2.0 * inertial + viscous) / phi, viscous / phi


def standardise():
    q, qc, t, p, d, b, cf, cp = columns
    sd_p, sd_d = ref["gauge_kpa"] * 1.5**0.5, ref["gauge_kpa"] * 2.0**0.5
    sd_q = sd_qc = ref["flow"]
    sd_t = ref["temperature_c"]
    sd_cf = np.sqrt(ref["concentration"]**2 + (ref["concentration_mg_l"] / cf)**2)
    sd_cp = np.sqrt(ref["concentration"]**2 + (ref["concentration_mg_l"] / cp)**2)
    a = ref["ln_temperature_coefficient"]
    kelvin = t + 273.15
    tcf = np.exp(a * (t - 25.0))
    y = q / (q + qc)
    mean_factor = -np.log(1.0 - y) / y
    cfb = cf * mean_factor
    pi_f, pi_p = osmotic(cfb, kelvin), osmotic(cp, kelvin)
    ndp = p - d / 2.0 - b - pi_f + pi_p
    q_std = q * ref["driving_kpa"] / (ndp * tcf)
    sp = cp / cf * (q / ref["permeate_l_h"]) / tcf * (ref["feed_side_mg_l"] / cfb) * (cf / ref["feed_mg_l"])
    channel = qc + q / 2.0
    phi, by_flow, by_nu = friction(channel, viscosity(kelvin) / 998.0)
    phi_s, _, _ = friction(ref["channel_l_h"], 0.000889996773678783 / 998.0)
    to_ref = phi_s / phi
    e = 1.0 / mean_factor - (1.0 - y)
    w = pi_f / ndp * 1000.0 / (1000.0 - ref["osmotic_curve"] * cfb / 1000.0)
    wp = pi_p / ndp * 1000.0 / (1000.0 - ref["osmotic_curve"] * cp / 1000.0)
    q_sd = np.sqrt(((1.0 + w * e) * sd_q)**2 + (w * e * sd_qc)**2 + (w * sd_cf)**2 + (wp * sd_cp)**2
                   + (((pi_f - pi_p) / ndp / kelvin - a) * sd_t)**2 + (sd_p / ndp)**2)
    sp_sd = np.sqrt(sd_cp**2 + ((1.0 - e) * sd_q)**2 + (e * sd_qc)**2 + sd_cf**2 + (a * sd_t)**2)
    half = q / (2.0 * channel)
    d_sd = np.sqrt((to_ref * sd_d)**2 + (to_ref * d)**2 * ((by_flow * half * sd_q)**2
                   + (by_flow * (1.0 - half) * sd_qc)**2 + (by_nu * 0.024 * sd_t)**2))
    return q_std, sp, d * to_ref, ndp, y, q_sd, sp_sd, d_sd


best = float("inf")
for _ in range(5):
    start = time.perf_counter()
    answers = standardise()
    best = min(best, time.perf_counter() - start)
print(json.dumps({"seconds": best, "sums": [float(np.sum(answer)) for answer in answers]}))

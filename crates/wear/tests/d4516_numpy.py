"""ASTM D4516 as its formulas stand in reference/check-values.md F1 to F4, in NumPy. Readings in, answers out."""
import json
import sys

import numpy as np

q, qc, t, p, d, b, cf, cp = np.array(json.loads(sys.argv[1])).T


def osmotic(c, t):
    return 0.2654 * c * (t + 273.15) / (1000.0 - c / 1000.0)


y = q / (q + qc)
cfb = cf * np.log(1.0 / (1.0 - y)) / y
ndp = p - d / 2 - b - osmotic(cfb, t) + osmotic(cp, t)
tcf = 1.03 ** (t - 25.0)
q_std = q * (900.9052 * 1.0) / (ndp * tcf)
sp_std = (cp / cf) * (q / 480.0) * (1.0 / tcf) * (693.147 / cfb) * (cf / 500.0)
print(json.dumps(np.stack([q_std, sp_std, ndp], axis=1).tolist()))

"""A local linear trend fitted by statsmodels to one series: the reference of the forecast's benchmark.

Prints the seconds of the best of several fits. One core: the caller sets OMP_NUM_THREADS=1.
"""
import json
import sys
import time
import warnings

import numpy as np
from statsmodels.tsa.statespace.structural import UnobservedComponents

n = int(sys.argv[1])
rng = np.random.default_rng(1)
series = -0.0003 * np.arange(n) + 0.02 * rng.standard_normal(n)
best = float("inf")
with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    for _ in range(5):
        start = time.perf_counter()
        UnobservedComponents(series, level="lltrend").fit(disp=0)
        best = min(best, time.perf_counter() - start)
print(json.dumps({"seconds": best}))

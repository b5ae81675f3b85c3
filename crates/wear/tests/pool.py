"""Lives with censoring pooled by lifelines, and a local linear trend by statsmodels, for the tests beside this file.

Prints one JSON document with the data and the reference's answers.
"""
import json
import warnings

import numpy as np
from lifelines import LogNormalAFTFitter, LogNormalFitter
from lifelines.datasets import load_rossi, load_waltons
from statsmodels.datasets import nile
from statsmodels.tsa.statespace.structural import UnobservedComponents

warnings.simplefilter("ignore")
waltons, rossi = load_waltons(), load_rossi()
plain = LogNormalFitter().fit(waltons["T"], waltons["E"])
rossi = rossi[["week", "arrest", "age"]].copy()
rossi["age"] = np.log(rossi["age"] / 25.0)
regression = LogNormalAFTFitter().fit(rossi, duration_col="week", event_col="arrest")

series = nile.load_pandas().data["volume"].to_numpy(float)
model = UnobservedComponents(series, level="lltrend")
variances = [15099.0, 1469.1, 20.0]
start = np.array([1000.0, 0.0])
covariance = np.diag([1.0e5, 100.0])
model.ssm.initialize_known(start, covariance)
model.ssm.loglikelihood_burn = 0
result = model.smooth(variances)

print(json.dumps({
    "waltons": {
        "length": waltons["T"].tolist(), "ended": waltons["E"].tolist(),
        "mu": plain.mu_, "sigma": plain.sigma_, "ln_likelihood": plain.log_likelihood_,
    },
    "rossi": {
        "length": rossi["week"].tolist(), "ended": rossi["arrest"].tolist(),
        "severity": np.exp(rossi["age"]).tolist(),
        "mu": regression.params_["mu_"]["Intercept"], "slope": regression.params_["mu_"]["age"],
        "sigma": float(np.exp(regression.params_["sigma_"]["Intercept"])),
        "ln_likelihood": regression.log_likelihood_,
        "sd_of_mu": float(regression.standard_errors_["mu_"]["Intercept"]),
    },
    "nile": {
        "series": series.tolist(), "variances": variances,
        "start": start.tolist(), "covariance": covariance.diagonal().tolist(),
        "ln_likelihood": float(model.loglike(variances)),
        "filtered": result.filtered_state.T.tolist(),
        "filtered_covariance": result.filtered_state_cov[:, :, -1].tolist(),
        "smoothed": result.smoothed_state.T.tolist(),
        "smoothed_covariance": result.smoothed_state_cov[:, :, 0].tolist(),
    },
}))

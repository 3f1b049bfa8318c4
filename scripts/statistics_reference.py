#!/usr/bin/env python3
"""Results of general-purpose statistics packages that tests/published/statistics.rs compares with.

    python3 scripts/statistics_reference.py > tests/published/statistics.json

needs numpy, scipy and statsmodels; their versions are written into the file.
"""
import json
import numpy as np
import scipy
import statsmodels
from scipy import stats
from statsmodels.regression.mixed_linear_model import MixedLM
from statsmodels.stats.meta_analysis import combine_effects

out = {"versions": {"numpy": np.__version__, "scipy": scipy.__version__, "statsmodels": statsmodels.__version__}}

out["student_below"] = [
    [t, f, float(stats.t.cdf(t, f))] for f in (1, 2, 3.7, 8, 30, 200) for t in (-4.0, -1.0, -0.2, 0.0, 0.5, 2.0, 6.0)
]
out["student_quantile"] = [[p, f, float(stats.t.ppf(p, f))] for f in (1, 2, 3.7, 8, 30, 200) for p in (0.6, 0.9, 0.975, 0.999)]
out["normal_below"] = [[z, float(stats.norm.cdf(z))] for z in (-4.0, -2.0, -0.3, 0.0, 1.0, 1.959964, 3.0)]

# random-effects means: Paule-Mandel between-study variance, standard error after Hartung and Knapp
rng = np.random.default_rng(7)
out["means"] = []
for n, spread in ((4, 0.0), (5, 30.0), (9, 5.0), (20, 12.0)):
    sd = rng.uniform(4.0, 15.0, n)
    value = 100.0 + rng.normal(0.0, np.hypot(sd, spread))
    found = combine_effects(value, sd**2, method_re="iterated", use_t=True, maxiter=5000, atol=1e-10)
    out["means"].append({
        "value": value.tolist(), "sd": sd.tolist(), "tau2": float(found.tau2),
        "mean": float(found.mean_effect_re), "sd_plain": float(found.sd_eff_w_re),
        "sd_hartung_knapp": float(found.sd_eff_w_re_hksj),
    })

# a straight line with known standard deviations: weighted least squares
import statsmodels.api as sm
x = np.arange(12.0)
sd = rng.uniform(1.0, 3.0, 12)
y = 20.0 - 0.5 * x + rng.normal(0.0, 2.2 * sd)
wls = sm.WLS(y, sm.add_constant(x), weights=sd**-2.0).fit()
out["line"] = {"x": x.tolist(), "y": y.tolist(), "sd": sd.tolist(), "slope": float(wls.params[1]), "se": float(wls.bse[1])}

# a fleet with normal errors: random slopes on the parasite term, restricted maximum likelihood
airframes, each = 8, 24
own = rng.normal(0.0, 0.003, airframes)
group = np.repeat(np.arange(airframes), each)
v = rng.normal(1.0, 0.06, airframes * each)
load = rng.uniform(1.0, 1.25, airframes * each)
terms = np.c_[v**2, 1.0 / v**2, (load**2 - 1.0) / v**2]
noise = 0.006
lost = (0.04 + own[group]) * terms[:, 0] + 0.065 * terms[:, 1] + 0.09 * terms[:, 2] + rng.normal(0.0, noise, len(group))
fit = MixedLM(lost, terms, group, exog_re=terms[:, :1]).fit(reml=True)
blup = np.array([float(np.asarray(fit.random_effects[i])[0]) for i in range(airframes)])
m, b, c = (float(p) for p in np.asarray(fit.fe_params))
out["fleet"] = {
    "group": group.tolist(), "terms": np.round(terms, 9).tolist(), "lost": np.round(lost, 12).tolist(), "noise": noise,
    "shared": [m, b, c], "glide_ratio": (1.0 / (m + blup + b)).tolist(),
    "between": float(np.sqrt(np.asarray(fit.cov_re)[0, 0])), "residual": float(np.sqrt(fit.scale)),
}
# the same without pooling: least squares with a parasite term for each airframe
columns = np.c_[(group[:, None] == np.arange(airframes)) * terms[:, :1], terms[:, 1:]]
plain = sm.OLS(lost, columns).fit()
out["fleet"]["glide_ratio_alone"] = (1.0 / (plain.params[:airframes] + plain.params[airframes])).tolist()

# probability of a step: evidences as multivariate normal densities
n, prior, before, least = 16, 0.06, 0.1, 3
sd = rng.uniform(0.02, 0.06, n)
drag = rng.normal(0.0, sd) + np.where(np.arange(n) >= 9, 0.12, 0.0)
base = np.diag(sd**2) + prior**2
flat = stats.multivariate_normal.logpdf(drag, np.zeros(n), base)
places = list(range(least, n - least + 1))
stepped = []
for k in places:
    late = (np.arange(n) >= k).astype(float)
    stepped.append(stats.multivariate_normal.logpdf(drag, np.zeros(n), base + prior**2 * np.outer(late, late)))
bayes = np.mean(np.exp(np.array(stepped) - flat))
out["step"] = {
    "drag": drag.tolist(), "sd": sd.tolist(), "place": places[int(np.argmax(stepped))],
    "probability": float(before * bayes / (before * bayes + 1.0 - before)),
}

# findings among many: Benjamini and Hochberg
from statsmodels.stats.multitest import multipletests
out["found"] = []
for n, real in ((12, 0), (29, 6), (380, 30)):
    z = rng.normal(0.0, 1.0, n) + np.where(np.arange(n) < real, 3.0, 0.0)
    p = 2.0 * stats.norm.sf(np.abs(z))
    out["found"].append({"p": p.tolist(), "found": [int(f) for f in multipletests(p, 0.05, method="fdr_bh")[0]]})

# interval of constant coverage: a truth is in it where the figure is among the 95 % of its law that are likeliest against
# the law of all figures; its ends and the share of what is missed that lies below are roots
from scipy.optimize import brentq
def ends(own, sd, centre, spread, missed=0.05):
    ppf = stats.norm.ppf
    def share(truth):
        lean = 2.0 * sd * (truth - centre) / spread**2
        if abs(lean) > 6.0:
            return float(lean > 0)
        return brentq(lambda w: ppf(missed * w) - ppf(missed * (1.0 - w)) - lean, 1e-15, 1.0 - 1e-15, xtol=1e-15)
    high = brentq(lambda t: (own - t) / sd - ppf(missed * share(t)), own, own + 6 * sd)
    low = brentq(lambda t: (own - t) / sd - ppf(1.0 - missed * (1.0 - share(t))), own - 6 * sd, own)
    return float(low), float(high)
out["interval"] = []
for case in ((0.11, 0.004, 0.105, 0.005), (0.12, 0.003, 0.105, 0.006), (0.105, 0.01, 0.105, 0.02), (0.1, 0.004, 0.11, 0.008)):
    out["interval"].append([*case, *ends(*case)])
print(json.dumps(out, indent=1))

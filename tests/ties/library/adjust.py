"""A deck's ties adjusted by scipy.optimize.least_squares, precision by numpy: the figures beside which ties are tested.

    python -m venv venv && venv/bin/pip install scipy==1.17.1 numpy==2.4.6
    venv/bin/python adjust.py > adjusted.txt

The measurements are invented: true places, noise of 3 mm rounded to millimetres (from numpy's generator, seed 7). Rows:
    point NAME at|axis|free X Y                 what is known (x, y of `at`), else where to begin, roughly
    tie FROM TO LENGTH DEVIATION
    found NAME X Y SXX SXY SYY                  places and covariances
    residual FROM TO V SV R                     found less measured, its standard deviation, redundancy number
    sum SUM DEGREES
"""
import numpy as np
import scipy
from scipy.optimize import least_squares

rng = np.random.default_rng(7)
names = ["A", "B", "C", "D", "E"] + [str(n) for n in range(1, 11)]
known = {"A": "at", "B": "axis"}
truth = {"A": (0, 0), "B": (5200, 0), "C": (1500, 850), "D": (1900, -980), "E": (4100, 1010)}
for n in range(1, 11):
    truth[str(n)] = (rng.uniform(0, 5500), rng.uniform(-1200, 1200))
ties = []
for i, a in enumerate("ABCDE"):
    for b in "ABCDE"[i + 1:]:
        ties.append((a, b, 3.0))
for n in range(1, 11):
    for a in rng.permutation(list("ABCDE"))[: rng.integers(3, 6)]:
        ties.append((str(a), str(n), float(rng.choice([2.0, 3.0, 5.0]))))
ties.append(("1", "2", 3.0))
ties.append(("7", "9", 3.0))
ends = [(names.index(a), names.index(b)) for a, b, _ in ties]
sd = np.array([s for *_, s in ties])
true = np.array([truth[n] for n in names], float)
length = np.array([round(np.hypot(*(true[a] - true[b])) + rng.normal() * s) for (a, b), s in zip(ends, sd)], float)

unknown = [(1, 0)] + [(p, c) for p in range(2, len(names)) for c in (0, 1)]


def places(x):
    at = np.zeros((len(names), 2))
    for (p, c), value in zip(unknown, x):
        at[p, c] = value
    return at


def residuals(x):
    at = places(x)
    return np.array([np.hypot(*(at[a] - at[b])) for a, b in ends]) - length


begin = np.array([round(true[p, c], -2) for p, c in unknown])
fit = least_squares(lambda x: residuals(x) / sd, begin, method="lm", xtol=1e-15, ftol=1e-15, gtol=1e-15, x_scale=1.0)
# A few Newton steps in full precision: the library stops at its own tolerance.
x = fit.x


def jacobian(x):
    at = places(x)
    J = np.zeros((len(ends), len(unknown)))
    column = {u: i for i, u in enumerate(unknown)}
    for row, (a, b) in enumerate(ends):
        unit = (at[b] - at[a]) / np.hypot(*(at[b] - at[a]))
        for c in (0, 1):
            if (a, c) in column:
                J[row, column[(a, c)]] -= unit[c]
            if (b, c) in column:
                J[row, column[(b, c)]] += unit[c]
    return J


for _ in range(5):
    J = jacobian(x) / sd[:, None]
    x = x - np.linalg.lstsq(J, residuals(x) / sd, rcond=None)[0]
assert np.abs(x - fit.x).max() < 1e-4, np.abs(x - fit.x).max()
J = jacobian(x)
Q = np.linalg.inv(J.T @ np.diag(sd**-2) @ J)
Qv = np.diag(sd**2) - J @ Q @ J.T
v = residuals(x)

print(f"# scipy {scipy.__version__}, numpy {np.__version__}")
for i, n in enumerate(names):
    at = true[i] if n in known and known[n] == "at" else np.round(true[i], -2)
    print("point", n, known.get(n, "free"), *map(float, at))
for (a, b, s), l in zip(ties, length):
    print("tie", a, b, float(l), s)
at = places(x)
column = {u: i for i, u in enumerate(unknown)}
for i, n in enumerate(names):
    def q(c, d):
        return Q[column[(i, c)], column[(i, d)]] if (i, c) in column and (i, d) in column else 0.0
    print("found", n, *map(repr, map(float, (*at[i], q(0, 0), q(0, 1), q(1, 1)))))
for k, (a, b, s) in enumerate(ties):
    print("residual", a, b, *map(repr, map(float, (v[k], np.sqrt(Qv[k, k]), Qv[k, k] / s**2))))
print("sum", repr(float(np.sum((v / sd) ** 2))), len(ends) - len(unknown))

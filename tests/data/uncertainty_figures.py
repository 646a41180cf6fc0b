"""Writes the figures that the uncertainty tests are held against.

Run in this folder with mpmath 1.4.1 and uncertainties 3.2.3 (Python 3.11):
    pip install mpmath==1.4.1 uncertainties==3.2.3 numpy && python uncertainty_figures.py
"""

import csv
import itertools

import mpmath as mp
from uncertainties import correlated_values, ufloat

mp.mp.dps = 80


def write(name, head, rows):
    with open(name, "w", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(head)
        writer.writerows(rows)


def digits(x):
    return mp.nstr(x, 25, min_fixed=0, max_fixed=0) if isinstance(x, mp.mpf) else repr(float(x))


def beta_ratio(a, b, x, y):
    """I_x(a, b) with y = 1 - x, by the series of positive terms (DLMF 8.17.8)."""
    if x > y:
        return 1 - beta_ratio(b, a, y, x)
    term = total = mp.mpf(1)
    k = 0
    while term > total * mp.mpf(10) ** -78:
        term *= (a + b + k) / (a + 1 + k) * x
        total += term
        k += 1
    return x**a * y**b / (a * mp.beta(a, b)) * total


def two_tails(t, nu):
    """P(|T| > t): arguments are the doubles the service will see, taken exactly."""
    whole = nu + t * t
    return beta_ratio(nu / 2, mp.mpf(1) / 2, nu / whole, t * t / whole)


def inside(t, nu):
    return 1 - two_tails(t, nu)


def by_bisection(f, low, high):
    low, high = mp.log(low), mp.log(high)
    for _ in range(95):
        middle = (low + high) / 2
        if f(mp.exp(middle)) > 0:
            low = middle
        else:
            high = middle
    return mp.exp((low + high) / 2)


def student():
    nus = [1.0, 1.5, 2.0, 3.0, 4.7, 5.0, 9.0, 12.796, 16.0, 29.0, 50.0, 100.0, 1234.5, 1e6]
    ps = [1e-6, 0.1, 0.5, 0.6827, 0.9, 0.95, 0.9545, 0.99, 0.9973, 0.9999, 0.999999]
    for nu, p in itertools.product(nus, ps):
        n, q = mp.mpf(nu), mp.mpf(p)
        f = (lambda t: q - inside(t, n)) if p < 0.5 else (lambda t: two_tails(t, n) - (1 - q))
        yield "quantile", repr(nu), repr(p), digits(by_bisection(f, mp.mpf(10) ** -9, mp.mpf(10) ** 9))
    ts = [-12.0, -6.5, -2.0, -1.7320508, -0.3, -1e-5, 0.0, 0.7, 2.92, 12.706]
    for nu, t in itertools.product(nus, ts):
        tails = two_tails(mp.mpf(abs(t)), mp.mpf(nu)) / 2
        yield "cumulative", repr(nu), repr(t), digits(tails if t < 0 else 1 - tails)


def normal():
    for z in [-37.0, -20.0, -8.0, -5.3, -3.0, -1.96, -1.0, -0.1, 0.0, 0.5, 1.0, 1.6449, 3.0, 6.0]:
        yield "cumulative", repr(z), digits(mp.erfc(-mp.mpf(z) / mp.sqrt(2)) / 2)
    for p in [1e-300, 1e-30, 1e-10, 1e-5, 0.001, 0.025, 0.07, 0.08, 0.3, 0.5, 0.75, 0.92, 0.93, 0.975, 0.9999]:
        # Newton from a rough start on the logarithm of the tail
        z = mp.findroot(lambda z: mp.log(mp.erfc(-z / mp.sqrt(2)) / 2) - mp.log(mp.mpf(p)),
                        -mp.sqrt(-2 * mp.log(mp.mpf(p))) if p < 0.07 else mp.mpf(p) - 0.5, solver="secant",
                        maxsteps=500)
        yield "quantile", repr(p), digits(z)


def yields():
    """Standard uncertainty of the yield in percentage points, by the uncertainties package."""
    cases = {
        # form: (dose, beverage, water, bypass, strength %) with standard uncertainties
        "percolation-espresso": ((18.0, 0.06), (36.4, 0.12), None, None, (9.1, 0.15)),
        "percolation-filter": ((20.0, 0.1), (320.0, 0.6), None, None, (1.25, 0.02)),
        "percolation-bypass": ((22.5, 0.1), (250.0, 0.5), None, (60.0, 0.3), (1.31, 0.015)),
        "immersion": ((15.0, 0.05), None, (250.0, 0.5), None, (1.22, 0.02)),
        "immersion-bypass": ((30.0, 0.1), (180.0, 0.4), (240.0, 0.5), (100.0, 0.7), (1.55, 0.02)),
        "immersion-bypass-final": ((30.0, 0.1), (280.0, 0.4), (240.0, 0.5), (100.0, 0.7), (1.55, 0.02)),
    }
    for form, given in cases.items():
        d, b, w, v, t = (None if x is None else ufloat(*x) for x in given)
        t = t / 100
        if form.startswith("percolation"):
            e = t * (b if v is None else b + v) / d
        else:
            if v is not None:
                t = t * (b + v) / b if form == "immersion-bypass" else t * b / (b - v)
            e = w / d * t / (1 - t)
        cells = [repr(y) for x in given for y in ((0.0, 0.0) if x is None else x)]
        yield [form, *cells, repr(e.nominal_value * 100), repr(e.std_dev * 100)]


def correlated():
    """u of a*b/c with correlations, by the uncertainties package."""
    values, u = [2.0, 3.0, 5.0], [0.1, 0.2, 0.3]
    for r in [(0.0, 0.0, 0.0), (0.5, -0.3, 0.2), (0.9, 0.9, 0.9), (-0.5, -0.5, 0.0)]:
        m = [[1, r[0], r[1]], [r[0], 1, r[2]], [r[1], r[2], 1]]
        cov = [[m[i][j] * u[i] * u[j] for j in range(3)] for i in range(3)]
        a, b, c = correlated_values(values, cov)
        yield [*map(repr, r), repr((a * b / c).std_dev)]


def one_scale():
    """u of the yield of brews whose masses were weighed on one scale; brews invented for the test.
    Coefficients in the order db dw dv bw bv wv: dose, beverage, brew water, bypass water."""
    brews = {"filter": ((20.0, 0.05), (288.6, 0.4), (320.0, 0.5), (60.0, 0.2), (1.37, 0.02)),
             "immersion": ((18.0, 0.05), (240.0, 0.4), (288.0, 0.5), (30.0, 0.2), (1.31, 0.02)),
             "espresso": ((18.0, 0.05), (36.4, 0.1), (45.0, 0.5), (5.0, 0.2), (8.1, 0.05))}
    for kind, given in brews.items():
        for r in [(0,) * 6, (0.9,) * 6, (1,) * 6, (-0.5, 0, 0.3, 0, -0.2, 0), (0.2, 0.3, 0.4, 0.5, 0.6, 0.7)]:
            db, dw, dv, bw, bv, wv = r
            m = [[1, db, dw, dv, 0], [db, 1, bw, bv, 0], [dw, bw, 1, wv, 0], [dv, bv, wv, 1, 0], [0, 0, 0, 0, 1]]
            u = [x[1] for x in given]
            cov = [[m[i][j] * u[i] * u[j] for j in range(5)] for i in range(5)]
            d, b, w, v, t = correlated_values([x[0] for x in given], cov)
            t = t / 100
            if kind == "immersion":
                t = t * (b + v) / b
                e = w / d * t / (1 - t)
            else:
                e = t * (b + v) / d
            cells = [repr(y) for x in given for y in x]
            yield [kind, *cells, *map(repr, map(float, r)), repr(e.nominal_value * 100), repr(e.std_dev * 100)]


def conformity():
    for nu, y, u, low, high in [("inf", 20.0, 1.0, 18.0, 22.0), ("inf", 22.3, 0.4, 18.0, 22.0),
                                ("inf", 30.0, 1.0, 18.0, 22.0), ("inf", 10.0, 1.0, 18.0, 22.0),
                                (4.0, 21.6, 0.5, 18.0, 22.0), (9.5, 1.36, 0.01, 1.15, 1.35),
                                (1.0, 18.0, 2.0, 18.0, 22.0)]:
        def lower(x):
            z = (mp.mpf(x) - mp.mpf(y)) / mp.mpf(u)
            if nu == "inf":
                return mp.erfc(-z / mp.sqrt(2)) / 2
            half = two_tails(abs(z), mp.mpf(nu)) / 2
            return half if z < 0 else 1 - half
        b, a = lower(low), 1 - lower(high)
        yield [nu, y, u, low, high, digits(b), digits(1 - b - a), digits(a)]


write("mpmath_student.csv", ["function", "degrees_of_freedom", "argument", "expected"], student())
write("mpmath_normal.csv", ["function", "argument", "expected"], normal())
write("mpmath_conformity.csv",
      ["degrees_of_freedom", "value", "u", "low", "high", "below", "within", "above"], conformity())
write("uncertainties_yield.csv",
      ["form", "dose_g", "u_dose", "beverage_g", "u_beverage", "water_g", "u_water", "bypass_g", "u_bypass",
       "strength_percent", "u_strength", "yield_percent", "u_yield_points"], yields())
write("uncertainties_correlated.csv", ["r_ab", "r_ac", "r_bc", "u"], correlated())
write("uncertainties_one_scale.csv",
      ["kind", "dose_g", "u_dose", "beverage_g", "u_beverage", "water_g", "u_water", "bypass_g", "u_bypass",
       "strength_percent", "u_strength", "r_db", "r_dw", "r_dv", "r_bw", "r_bv", "r_wv",
       "yield_percent", "u_yield_points"], one_scale())

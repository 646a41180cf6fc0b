"""A million Monte Carlo trials of the yield with numpy, on one thread: the work of
`cargo bench --bench monte_carlo`, with the same two coverage intervals.

Run with numpy in a virtual environment: python benches/monte_carlo.py
"""

import time

import numpy as np

TRIALS, P = 1_000_000, 0.95


def intervals(values):
    values.sort()
    inside = round(P * TRIALS)
    outside = TRIALS - inside
    start = (outside + 1) // 2 - 1
    widths = values[inside:] - values[:outside]
    shortest = int(np.argmin(widths))
    return [(values[r], values[r + inside]) for r in (start, shortest)]


def summary(values):
    return values.mean(), values.std(ddof=1), intervals(values)


def brew(rng):
    readings = np.array([9.05, 9.1, 9.2, 9.1, 9.15])
    dose = rng.uniform(17.95, 18.05, TRIALS)
    beverage = rng.uniform(36.3, 36.5, TRIALS)
    strength = readings.mean() + readings.std(ddof=1) / np.sqrt(5) * rng.standard_t(4, TRIALS)
    strength += rng.normal(0.0, 0.05, TRIALS)
    return summary(strength * beverage / dose)


def four_normals(rng):
    return summary(sum(rng.standard_normal(TRIALS) for _ in range(4)))


for work in (brew, four_normals):
    times = []
    for seed in range(20):
        start = time.perf_counter()
        found = work(np.random.default_rng(seed))
        times.append(time.perf_counter() - start)
    times.sort()
    print(f"{work.__name__}: median {times[10] * 1e3:.1f} ms, fastest {times[0] * 1e3:.1f} ms; {found}")

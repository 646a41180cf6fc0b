#!/usr/bin/env python3
"""The control chart of benches/charts.rs drawn with matplotlib: a hundred labelled brews with
ellipses, a window, and lines of equal ratio; figures are made anew for each chart, as a service
would. Prints charts per second on one core for SVG and PNG.

    python3 -m venv target/plot-venv && target/plot-venv/bin/pip install matplotlib
    target/plot-venv/bin/python benches/charts.py
"""

import io
import sys
import time

import matplotlib

matplotlib.use("Agg")
matplotlib.rcParams["svg.fonttype"] = "none"  # text as text, as in the service

from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure
from matplotlib.patches import Ellipse, Rectangle

COUNT = int(sys.argv[1]) if len(sys.argv) > 1 else 100
SECONDS = 10.0


def brews():
    for number in range(COUNT):
        beverage = 260.0 + 70.0 * (number % 97) / 97.0
        strength = 1.1 + 0.4 * (number % 31) / 31.0
        yield (f"brew {number}", strength * beverage / 20.0, strength)


def draw(canvas, kind):
    figure = Figure(figsize=(8, 6), dpi=100)
    canvas(figure)
    axes = figure.add_subplot()
    axes.add_patch(Rectangle((18, 1.15), 4, 0.2, alpha=0.13))
    for ratio in range(12, 26, 2):
        axes.plot([14, 26], [14 / ratio, 26 / ratio], "--", linewidth=0.8)
    for label, x, y in brews():
        axes.add_patch(Ellipse((x, y), 1.5, 0.02, angle=3.7, fill=False))
        axes.annotate(label, (x, y), xytext=(6, 3), textcoords="offset points", fontsize=8)
    points = list(brews())
    axes.scatter([x for _, x, _ in points], [y for _, _, y in points], s=25)
    axes.set_xlabel("extraction yield, % of dose")
    axes.set_ylabel("strength, % by mass")
    axes.grid(True)
    out = io.BytesIO()
    figure.savefig(out, format=kind)
    return out.tell()


for kind, canvas in (("svg", FigureCanvasSVG), ("png", FigureCanvasAgg)):
    size = draw(canvas, kind)
    begun, count = time.perf_counter(), 0
    while time.perf_counter() - begun < SECONDS:
        draw(canvas, kind)
        count += 1
    rate = count / (time.perf_counter() - begun)
    print(f"{kind}: {rate:.2f} charts of {COUNT} brews a second, {size} bytes")

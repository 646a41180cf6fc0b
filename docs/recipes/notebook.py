# %% [markdown]
# A lab course's notebook: shots in a CSV file become yields, a chart and a bibliography.
# Open it as a notebook (the cells begin with `# %%`), or run it:
# `python notebook.py espressos.csv http://127.0.0.1:8080 figures`

# %%
import io
import pathlib
import sys

import httpx
import matplotlib

matplotlib.use("Agg")
import matplotlib.pyplot as plt
import pandas as pd

usual = ["espressos.csv", "http://127.0.0.1:8080", "."]
given = sys.argv[1:4]
shots_file, base, figures = given + usual[len(given):]
service = httpx.Client(base_url=base, timeout=10)


def answered(response):
    """The response, or an error that says what the service found wrong."""
    if response.is_error:
        raise SystemExit(f"{response.status_code}: {response.text}")
    return response


# %% The whole file in one call: a row a shot. The last column, `problem`, says why a row failed.
rows = answered(service.post(
    "/v1/extraction-yield",
    content=pathlib.Path(shots_file).read_bytes(),
    headers={"content-type": "text/csv"},
))
shots = pd.read_csv(io.StringIO(rows.text))
assert shots["problem"].isna().all(), shots["problem"].dropna().to_string()
print(shots[["dose_g", "beverage_mass_g", "tds_percent", "extraction_yield_percent"]].round(2).to_string(index=False))

# %% A chart for the report: each shot, and the window that the answers were held against.
name = shots["assessment.chart"].iloc[0]
charts = answered(service.get("/v1/reference/control-charts")).json()["control_charts"]
window = next(chart for chart in charts if chart["control_chart"] == name)
low, high = window["extraction_yield_low_percent"], window["extraction_yield_high_percent"]
weak, strong = window["tds_low_percent"], window["tds_high_percent"]
figure, axes = plt.subplots(figsize=(5, 4), layout="constrained")
axes.add_patch(plt.Rectangle((low, weak), high - low, strong - weak, alpha=0.2))
axes.scatter(shots["extraction_yield_percent"], shots["tds_percent"])
axes.set(xlabel="extraction yield / %", ylabel="strength / %", title=f"{name} ({window['known']})")
pathlib.Path(figures).mkdir(parents=True, exist_ok=True)
figure.savefig(pathlib.Path(figures) / "chart.png", dpi=150)

# %% One shot with repeated readings: the uncertainty, and the derivation to hand in.
answer = answered(service.post("/v1/extraction-yield", json={
    "dose_g": 18.0,
    "beverage_mass_g": 36.0,
    "tds_readings_percent": [9.41, 9.38, 9.44, 9.40],
    "dose_half_width_g": 0.05,
    "beverage_mass_half_width_g": 0.1,
    "workings": True,
})).json()
print(f"yield {answer['extraction_yield_percent']:.2f} % ± {answer['uncertainty']['expanded_points']:.2f} points")
print(pd.DataFrame(answer["workings"])[["step", "formula", "substituted", "value", "unit"]].to_string(index=False))

# %% The bibliography of what was used, with how each source is known.
used = {source for cell in shots["sources"] for source in cell.split(";")} | set(answer["sources"])
for source in answered(service.get("/v1/sources")).json()["sources"]:
    if source["id"] in used:
        print(f"[{source['id']}] {source['citation']} ({source['known']})")

"""Runs the recipes in Python against a service and holds what they do against arithmetic.

    check.py SERVICE LIMITED_SERVICE RECIPES DEMO_DATA WORK
"""

import json
import pathlib
import subprocess
import sys
import time
from xml.etree import ElementTree

import httpx
import pandas as pd

service, limited, recipes, demo, work = sys.argv[1:]
recipes, demo, work = pathlib.Path(recipes), pathlib.Path(demo), pathlib.Path(work)
sys.path.insert(0, str(recipes))
import scale  # noqa: E402
import till  # noqa: E402


def run(*words):
    done = subprocess.run([sys.executable, *map(str, words)], capture_output=True, text=True, timeout=100)
    assert done.returncode == 0, done.stderr
    return done.stdout


def notebook():
    shots = demo / "lab-course" / "espressos.csv"
    told = run(recipes / "notebook.py", shots, service, work / "figures")
    # the yield of percolation is what is in the cup over the dose
    course = pd.read_csv(shots)
    for shot in course.itertuples():
        expected = shot.beverage_mass_g * shot.tds_percent / shot.dose_g
        assert f"{round(expected, 2):g}" in told, (expected, told)
    assert "[massbalance]" in told and "points" in told
    picture = (work / "figures" / "chart.png").read_bytes()
    assert picture.startswith(b"\x89PNG") and len(picture) > 5000


def readings():
    """An invented shot that goes on as if nobody stopped it: first drops at 6 s, 1.8 g/s."""
    return [(round(0.1 * k, 1), round(max(0.0, 1.8 * (0.1 * k - 6)), 1)) for k in range(1, 400)]


def phone():
    shot = work / "shot.csv"
    shot.write_text("time_s,mass_g\n" + "".join(f"{t},{m}\n" for t, m in readings()))
    told = run(recipes / "scale.py", shot, service, 36, 20)
    # a busy machine may lose answers; the shot is stopped all the same
    assert told.startswith("stop at 2"), told
    with httpx.Client(base_url=service, timeout=5) as client:
        stop_s, followed = scale.follow(readings(), client, 36.0, speed=1000)
        # the rule's own arithmetic, with the true flow of the invented shot
        rule, flow = followed.rule, 1.8
        ahead_g = flow * (rule["delay_s"] + rule["drain_per_flow_s"]) + rule["drain_base_g"]
        expected_s = 6 + (36.0 - ahead_g) / flow
        assert abs(stop_s - expected_s) < 0.25, (stop_s, expected_s)
        assert abs(followed.answer["stop_at_s"] - expected_s) < 0.3, (followed.answer, expected_s)
        # whatever the portions, the answer is that to all readings at once
        sent = followed.readings
        whole = client.post("/v1/stop-time", json={
            "time_s": [t for t, _ in sent], "mass_g": [m for _, m in sent], "target_beverage_mass_g": 36.0,
        }).json()
        assert whole["stop_at_s"] == followed.answer["stop_at_s"]


def phone_alone():
    """The network is gone in the midst of the shot: the phone stops it all the same."""
    network = Counting(lost_after=100)
    with httpx.Client(base_url=service, transport=network) as client:
        stop_s, followed = scale.follow(readings(), client, 36.0, speed=1000)
    assert stop_s is not None and followed.lost > 0, (stop_s, followed.lost)


class Counting(httpx.BaseTransport):
    """The network, with what went over it."""

    def __init__(self, lost_after=None):
        self.inner, self.seen, self.is_down = httpx.HTTPTransport(), [], False
        self.lost_after = lost_after

    def handle_request(self, request):
        if self.is_down or len(self.seen) == self.lost_after:
            raise httpx.ConnectError("no network", request=request)
        response = self.inner.handle_request(request)
        self.seen.append(response.status_code)
        return response


def shop():
    told = run(recipes / "till.py", service, "flat_white")
    assert "18.0 g in" in told, told
    network = Counting()
    kept = till.Recipes(service, transport=network)
    order = {"drink": "espresso", "servings": 1, "dose_g": 18}
    first = kept.recipe(**order)
    assert kept.recipe(**dict(reversed(order.items()))) == first and network.seen == [200]
    # an hour later: asked again, and not sent again
    address = next(iter(kept.kept))
    kept.kept[address] = (0.0, *kept.kept[address][1:])
    assert kept.recipe(**order) == first and network.seen == [200, 304]
    kept.kept[address] = (0.0, *kept.kept[address][1:])
    network.is_down = True
    assert kept.recipe(**order) == first
    for wrong, code, part in [
        ({"drink": "soup"}, "unreachable", "card on the wall"),
        ({"drink": "espresso", "servings": 0}, "validation_failed", "servings"),
    ]:
        network.is_down = code == "unreachable"
        try:
            kept.recipe(**wrong)
            raise AssertionError(wrong)
        except till.Failure as failure:
            assert failure.code == code and part in str(failure), (failure.code, str(failure))
            assert failure.reference or code == "unreachable"


def busy_shop():
    """A service that allows a call a second: what it asks to wait is waited, and no more."""
    network, started = Counting(), time.monotonic()
    kept = till.Recipes(limited, transport=network)
    for servings in range(1, 5):
        assert kept.recipe(drink="espresso", servings=servings, dose_g=18)["servings"] == servings
    assert 429 in network.seen, network.seen
    assert time.monotonic() - started < 20


def sheet():
    """What the office printed, where there is one: yields and the table of another address."""
    printed = work / "sheet.csv"
    if not printed.exists():
        # only that it is well formed and asks by its three formulas
        text = (recipes / "spreadsheet.fods").read_text()
        formulas = [value for cell in ElementTree.fromstring(text).iter() for value in cell.attrib.values()
                    if "COM.MICROSOFT.WEBSERVICE" in value]
        assert len(formulas) == 3, formulas
        print("sheet: NOT CALCULATED, since there is no office: only its form was read", file=sys.stderr)
        return
    lines = printed.read_text().splitlines()
    yields = [line.rsplit(",", 1)[1] for line in lines[2:5]]
    assert abs(float(yields[0]) - 36.4 * 9.4 / 18) < 1e-9 and float(yields[1]) == 18.0, yields
    assert "says why" in yields[2], yields
    table = pd.read_csv(pathlib.Path(printed).open(), skiprows=len(lines[:lines.index("")]) + 1)
    assert table["beverage_mass_g"][0] == 36 and table["brew_ratio_text"][0] == "1:2", table


for check in (notebook, phone, phone_alone, shop, busy_shop, sheet):
    begun = time.monotonic()
    check()
    print(f"{check.__name__}: {time.monotonic() - begun:.1f} s")

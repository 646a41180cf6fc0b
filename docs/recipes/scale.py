"""A phone beside an espresso machine: the readings of a scale, ten times a second, to `stop-time`.

    python scale.py shot.csv http://127.0.0.1:8080 36 [speed]

The file has the columns time_s and mass_g; a real app reads its scale instead. Only readings
that are new are sent, with `resume` from the last answer. A network must not stop a shot: the
phone decides by itself with the `stop_rule` of the last answer that came, and goes on when one is
late or lost. Keep a time limit beside it, and a person at the machine: hot water runs until the
pump stops.
"""

import csv
import sys
import time

import httpx

PERIOD_S = 0.1
# a later answer than this is of no use to the reading that asked for it
PATIENCE_S = 0.25
# what the phone knows about a rule's flow: the slope of its own last second of readings
SLOPE_S = 1.0


class Shot:
    """A shot as the phone knows it."""

    def __init__(self, service, target_g):
        self.service, self.target_g = service, target_g
        self.readings, self.sent = [], 0
        self.resume = self.rule = self.zero_g = None
        self.lost = 0
        self.answer = None

    def ask(self):
        """Sends what is new; what is lost is sent again with the next readings."""
        new = self.readings[self.sent:]
        request = {
            "time_s": [time_s for time_s, _ in new],
            "mass_g": [mass_g for _, mass_g in new],
            "target_beverage_mass_g": self.target_g,
        }
        if self.resume:
            request["resume"] = self.resume
        try:
            response = self.service.post("/v1/stop-time", json=request)
        except httpx.TransportError:
            self.lost += 1
            return
        if response.status_code == 422 and self.resume:
            # of another version of the service: all readings of the shot, without the state
            self.resume, self.sent = None, 0
            return
        if response.is_error:
            self.lost += 1
            return
        self.answer = response.json()
        self.resume, self.rule = self.answer["resume"], self.answer["stop_rule"]
        self.zero_g = self.answer.get("zero_g")
        self.sent += len(new)

    def is_due(self):
        """Whether the command must go out now, by the rule alone, without the network."""
        now_s, mass_g = self.readings[-1]
        past = [reading for reading in self.readings if now_s - reading[0] <= SLOPE_S]
        if self.rule is None or self.zero_g is None or len(past) < 3:
            return False
        mean_t = sum(t for t, _ in past) / len(past)
        mean_m = sum(m for _, m in past) / len(past)
        spread = sum((t - mean_t) ** 2 for t, _ in past)
        flow = sum((t - mean_t) * (m - mean_m) for t, m in past) / spread
        # the slope is that of the middle of the second, so the mass is carried on to now
        mass_g = mean_m + flow * (now_s - mean_t) - self.zero_g
        ahead_s = self.rule["delay_s"] + self.rule["drain_per_flow_s"]
        return flow > 0 and mass_g + flow * ahead_s + self.rule["drain_base_g"] >= self.target_g


def follow(readings, service, target_g, speed=1.0):
    """The moment at which the phone sends the command, on the clock of the readings, and the shot."""
    shot, started = Shot(service, target_g), time.monotonic()
    for number, reading in enumerate(readings):
        wait = number * PERIOD_S / speed - (time.monotonic() - started)
        time.sleep(max(wait, 0))
        shot.readings.append(reading)
        shot.ask()
        if shot.is_due():
            return reading[0], shot
    return None, shot


def main():
    file, base, target = sys.argv[1:4]
    speed = float(sys.argv[4]) if len(sys.argv) > 4 else 1.0
    with open(file, newline="") as lines:
        readings = [(float(row["time_s"]), float(row["mass_g"])) for row in csv.DictReader(lines)]
    # one connection for the shot, and no answer waited for longer than it is of use
    with httpx.Client(base_url=base, timeout=PATIENCE_S) as service:
        stop_s, shot = follow(readings, service, float(target), speed)
    if stop_s is None:
        raise SystemExit("the readings end before the shot is to be stopped")
    foretold = shot.answer.get("stop_at_s")
    said = "nothing" if foretold is None else f"{foretold:.2f} s"
    print(f"stop at {stop_s:.2f} s; the service foretold {said}; {shot.lost} answers lost")


if __name__ == "__main__":
    main()

#!/usr/bin/env python3
"""A table of a million rows through the service, beside polars and pandas, in one run.

Each reads the same CSV, works out the yield of every row and a few columns more, and writes
CSV: the service over loopback HTTP with every check of a request, once with all columns of its
answer and once with those that the two libraries write, and these in a process of their own,
without checks.
They are measured in turn, and the medians are compared, by the clock and by the processor time of
all threads, which other work on the machine disturbs less. Prints rows and bytes a second, the
ratios, and the most memory that each had. Needs curl, and polars and pandas from their package
index. Build first: cargo build --release
"""

import os
import pathlib
import random
import resource
import statistics
import subprocess
import sys
import tempfile
import time

ROWS, ROUNDS = 1_000_000, 3
PROGRAM = pathlib.Path(__file__).parent.parent / "target/release/extraction-maths"
HEADER = "dose_g,beverage_mass_g,tds_percent"
# what the libraries work out too
SELECTED = (
    "dissolved_solids_g,extraction_yield_percent,brew_ratio,assessment.strength,assessment.extraction,"
    "assessment.to_reach_middle.extraction_yield_change_points,assessment.to_reach_middle.tds_change_points,"
    "sources"
)


def write_table(path):
    """Invented shots: a dose, a beverage mass and a strength."""
    draw = random.Random(1)
    with open(path, "w", encoding="ascii") as out:
        out.write(HEADER + "\n")
        for _ in range(ROWS):
            dose, ratio = draw.uniform(16, 21), draw.uniform(1.7, 2.4)
            strength = draw.uniform(17, 23) / ratio
            out.write(f"{dose:.1f},{dose * ratio:.1f},{strength:.2f}\n")


def with_polars(source, target):
    import polars as pl

    table = pl.read_csv(source)
    dissolved = pl.col("tds_percent") * pl.col("beverage_mass_g") / 100
    table = table.with_columns(dissolved.alias("dissolved_solids_g"))
    extracted = 100 * pl.col("dissolved_solids_g") / pl.col("dose_g")
    ratio = pl.col("beverage_mass_g") / pl.col("dose_g")
    table = table.with_columns(extracted.alias("extraction_yield_percent"), ratio.alias("brew_ratio"))
    extracted, strength = pl.col("extraction_yield_percent"), pl.col("tds_percent")
    table.with_columns(
        pl.when(strength < 8).then(pl.lit("weak")).when(strength <= 12).then(pl.lit("within"))
        .otherwise(pl.lit("strong")).alias("strength"),
        pl.when(extracted < 18).then(pl.lit("under")).when(extracted <= 22).then(pl.lit("within"))
        .otherwise(pl.lit("over")).alias("extraction"),
        (20 - extracted).alias("extraction_yield_change_points"),
        (10 - strength).alias("tds_change_points"),
        pl.lit("massbalance").alias("sources"),
    ).write_csv(target)


def with_pandas(source, target):
    import numpy as np
    import pandas as pd

    table = pd.read_csv(source)
    table["dissolved_solids_g"] = table.tds_percent * table.beverage_mass_g / 100
    table["extraction_yield_percent"] = 100 * table.dissolved_solids_g / table.dose_g
    table["brew_ratio"] = table.beverage_mass_g / table.dose_g
    strength, extracted = table.tds_percent, table.extraction_yield_percent
    table["strength"] = np.where(strength < 8, "weak", np.where(strength <= 12, "within", "strong"))
    table["extraction"] = np.where(extracted < 18, "under", np.where(extracted <= 22, "within", "over"))
    table["extraction_yield_change_points"] = 20 - extracted
    table["tds_change_points"] = 10 - strength
    table["sources"] = "massbalance"
    table.to_csv(target, index=False)


def in_a_process(name, source, target):
    """Seconds by clock and by processor, without the start of the interpreter, and peak MiB."""
    command = [sys.executable, __file__, name, source, target]
    said = subprocess.run(command, check=True, capture_output=True, text=True).stdout.split()
    seconds, processor, memory = map(float, said)
    return seconds, processor, memory


def worker(name, source, target):
    work = {"polars": with_polars, "pandas": with_pandas}[name]
    __import__(name)
    begin, used = time.perf_counter(), time.process_time()
    work(source, target)
    seconds, processor = time.perf_counter() - begin, time.process_time() - used
    print(seconds, processor, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)


def processor_time(process):
    """Seconds that a process has used, of all its threads."""
    stat = pathlib.Path(f"/proc/{process.pid}/stat").read_text(encoding="ascii")
    user, system = stat.rsplit(")", 1)[1].split()[11:13]
    return (int(user) + int(system)) / os.sysconf("SC_CLK_TCK")


def through_the_service(service, url, source, target):
    command = ["curl", "-sSf", "-T", source, "-X", "POST", "-H", "content-type: text/csv", "-o", target]
    begin, used = time.perf_counter(), processor_time(service)
    subprocess.run([*command, url], check=True)
    return time.perf_counter() - begin, processor_time(service) - used


def peak(process):
    status = pathlib.Path(f"/proc/{process.pid}/status").read_text(encoding="ascii")
    return next(int(line.split()[1]) / 1024 for line in status.splitlines() if line.startswith("VmHWM"))


def main():
    with tempfile.TemporaryDirectory() as folder:
        source = f"{folder}/asked.csv"
        write_table(source)
        command = [PROGRAM, "serve", "--listen", "127.0.0.1:0", "--log", "error"]
        service = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
        try:
            base = service.stdout.readline().removeprefix("listening on ").strip()
            url = base + "/v1/extraction-yield"
            calls = {"service": f"{url}?select={SELECTED}", "all columns": url}
            times = {name: [] for name in [*calls, "polars", "pandas"]}
            memory = {}
            for _ in range(ROUNDS):
                for name, address in calls.items():
                    times[name].append(through_the_service(service, address, source, f"{folder}/{name}.csv"))
                for name in ("polars", "pandas"):
                    *taken, memory[name] = in_a_process(name, source, f"{folder}/{name}.csv")
                    times[name].append(taken)
            memory |= dict.fromkeys(calls, peak(service))
        finally:
            service.terminate()
            service.wait()
        medians = {name: [statistics.median(each) for each in zip(*all_times)] for name, all_times in times.items()}
        own, own_processor = medians["service"]
        for name, (middle, processor) in medians.items():
            written = pathlib.Path(f"{folder}/{name}.csv").stat().st_size
            print(
                f"{name:11} {middle:6.2f} s  {ROWS / middle / 1e3:6.0f} thousand rows/s  "
                f"{written / middle / 1e6:5.0f} MB/s written ({written / 1e6:.0f} MB)  {memory[name]:4.0f} MiB"
                f"  service is {middle / own:.2f} times as fast, {processor / own_processor:.2f} by processor time"
            )


if __name__ == "__main__":
    worker(*sys.argv[1:]) if len(sys.argv) > 1 else main()

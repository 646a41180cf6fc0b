#!/usr/bin/env python3
"""What the service does when things go wrong around it; loopback only, bounded in time.

usage: faults.py PROGRAM [--soak SECONDS] [--callers COUNT]

Replicas behind HAProxy are killed and drained under load, a replica runs out of descriptors and
near a limit of memory, dozens of callers stall, and a quota meets more addresses than it can
hold. Prints what it saw, and ends with 1 when a promise of docs/SPECIFICATION.md was not kept.
Needs haproxy and prlimit.
"""

import argparse
import http.client
import json
import pathlib
import re
import signal
import socket
import subprocess
import sys
import tempfile
import threading
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
JSON = {"content-type": "application/json"}
GOOD = [
    ("POST", "/v1/ratio", '{"dose_g":18,"brew_ratio":2}', '"beverage_mass_g":36.0'),
    ("POST", "/v1/extraction-yield",
     '{"dose_g":18,"beverage_mass_g":36,"tds_percent":10}', '"extraction_yield_percent":20.0'),
    ("GET", "/v1/ratio?dose_g=20&brew_ratio=2", None, '"beverage_mass_g":40.0'),
]
HOSTILE = [
    ("POST", "/v1/ratio", '{"dose_g":', 400),
    ("POST", "/v1/ratio", '{"dose_g":-1,"brew_ratio":2}', 422),
    ("GET", "/v1/no-such-thing", None, 404),
    ("POST", "/v1/ratio", "[" * 5000, 400),
]
failures = []


def expect(holds, what):
    print(("  ok      " if holds else "  FAILED  ") + what, flush=True)
    if not holds:
        failures.append(what)


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


class Replica:
    def __init__(self, program, *arguments, limits=()):
        self.program, self.arguments, self.limits = program, arguments, limits
        self.port = free_port()
        self.start()

    def start(self):
        # prlimit becomes the program, so that the process is the service itself
        before = ["prlimit", *self.limits] if self.limits else []
        started = time.monotonic()
        self.process = subprocess.Popen(
            [*before, self.program, "serve", "--listen", f"127.0.0.1:{self.port}", "--log", "error",
             "--drain-wait", "2", "--grace", "10", *self.arguments],
            stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        while not self.is_ready():
            if self.process.poll() is not None or time.monotonic() - started > 10:
                raise SystemExit("the program did not become ready")
            time.sleep(0.002)
        return time.monotonic() - started

    def is_ready(self):
        try:
            return ask(self.port, "GET", "/readyz", None)[0] == 200
        except OSError:
            return False

    def status(self, name):
        text = pathlib.Path(f"/proc/{self.process.pid}/status").read_text()
        return int(re.search(rf"^{name}:\s+(\d+)", text, re.M).group(1))

    def descriptors(self):
        return len(list(pathlib.Path(f"/proc/{self.process.pid}/fd").iterdir()))

    def is_alive(self):
        return self.process.poll() is None

    def end(self):
        self.process.send_signal(signal.SIGTERM)
        return self.process.wait(20)


def ask(port, method, path, body, timeout=10):
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=timeout)
    try:
        connection.request(method, path, body, JSON if body else {})
        response = connection.getresponse()
        return response.status, response.read().decode()
    finally:
        connection.close()


class Load:
    """Callers that each call again once they are answered, one call in ten hostile."""

    def __init__(self, port, callers=8):
        self.port, self.ending = port, threading.Event()
        self.times, self.bad = [], []
        self.threads = [threading.Thread(target=self.call, args=(n,)) for n in range(callers)]
        for thread in self.threads:
            thread.start()

    def call(self, number):
        connection = None
        count = number
        while not self.ending.is_set():
            count += 1
            hostile = count % 10 == 0
            method, path, body, wanted = (HOSTILE if hostile else GOOD)[count % 3]
            begun = time.monotonic()
            try:
                connection = connection or http.client.HTTPConnection("127.0.0.1", self.port, timeout=15)
                connection.request(method, path, body, JSON if body else {})
                response = connection.getresponse()
                status, text = response.status, response.read().decode()
                is_good = status == wanted if hostile else status == 200 and wanted in text
                outcome = None if is_good else f"{method} {path}: {status} {text[:80]}"
            except (OSError, http.client.HTTPException) as error:
                connection, outcome = None, f"{method} {path}: {error!r}"
            self.times.append(time.monotonic() - begun)
            if outcome:
                self.bad.append(outcome)

    def end(self):
        self.ending.set()
        for thread in self.threads:
            thread.join()
        times = sorted(self.times)
        at = lambda share: 1000 * times[int(share * (len(times) - 1))]
        return f"{len(times)} calls, p50 {at(0.5):.2f} ms, p99 {at(0.99):.2f} ms"


def balanced(program, ports, front):
    """HAProxy with the configuration of deploy/, on other ports."""
    text = (ROOT / "deploy/haproxy.cfg").read_text()
    for old, new in zip(("127.0.0.1:8080", "127.0.0.1:8081", "127.0.0.1:8082"), (front, *ports)):
        text = text.replace(old, f"127.0.0.1:{new}")
    config = tempfile.NamedTemporaryFile("w", suffix=".cfg", delete=False)
    config.write(text)
    config.close()
    return subprocess.Popen(["haproxy", "-db", "-f", config.name], stdin=subprocess.DEVNULL,
                            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)


def replicas(program):
    print("two replicas behind HAProxy, one killed, then each drained in turn, under load")
    pair = [Replica(program), Replica(program)]
    front = free_port()
    proxy = balanced(program, [replica.port for replica in pair], front)
    try:
        until(lambda: answers(front), "the balancer answers")
        load = Load(front)
        time.sleep(1)
        pair[0].process.kill()
        pair[0].process.wait()
        time.sleep(1)
        pair[0].start()
        time.sleep(1.5)
        killed = list(load.bad)
        codes = []
        for turn in range(5):
            replica = pair[(turn + 1) % 2]
            codes.append(replica.end())
            replica.start()
            # the balancer must have seen it before the other one goes
            time.sleep(1.2)
        figures = load.end()
        print(f"  {figures}")
        expect(len(killed) <= 8, f"kill -9: {len(killed)} calls failed, at most the 8 in flight")
        expect(codes == [0] * 5, f"five drains ended with {codes}")
        lost = load.bad[len(killed):]
        expect(not lost, f"drains: {len(lost)} calls failed {lost[:3]}")
    finally:
        proxy.kill()
        proxy.wait()
        for replica in pair:
            replica.process.kill()


def answers(port):
    try:
        return ask(port, "GET", "/livez", None, 1)[0] == 200
    except (OSError, http.client.HTTPException):
        return False


def until(holds, what, seconds=15):
    begun = time.monotonic()
    while not holds():
        if time.monotonic() - begun > seconds:
            expect(False, what)
            return
        time.sleep(0.02)


def few_descriptors(program):
    print("64 descriptors, 200 connections")
    replica = Replica(program, limits=["--nofile=64"])
    idle = []
    for _ in range(200):
        connection = socket.socket()
        connection.settimeout(1)
        try:
            connection.connect(("127.0.0.1", replica.port))
            idle.append(connection)
        except OSError:
            connection.close()
    time.sleep(0.5)
    for connection in idle:
        connection.close()
    until(lambda: answers(replica.port), "it answers again")
    expect(replica.is_alive() and answers(replica.port), "it lives and answers once they are gone")
    expect(replica.end() == 0, "it drains as ever")


def little_memory(program):
    print("512 MiB of address space more than at rest, the largest requests eight at a time")
    probe = Replica(program)
    at_rest = probe.status("VmSize")
    probe.end()
    replica = Replica(program, limits=[f"--as={(at_rest + 512 * 1024) * 1024}"])
    call = {"calculation": "extraction-yield",
            "request": {"dose_g": 18, "beverage_mass_g": 36, "tds_percent": 10, "workings": True}}
    capabilities = json.loads(ask(replica.port, "GET", "/v1/capabilities", None)[1])
    most = re.search(r'"(?:batch_calls|batch_items|calls)[^"]*":\s*(\d+)', json.dumps(capabilities))
    count = int(most.group(1)) if most else 100
    bodies = json.dumps({"calls": [{"id": str(n), **call} for n in range(count)]})
    statuses = in_parallel(8, lambda _: ask(replica.port, "POST", "/v1/batch", bodies, 30)[0])
    expect(set(statuses) <= {200, 413, 422, 503}, f"batches of {count} calls: {sorted(set(statuses))}")
    table = "dose_g,beverage_mass_g,tds_percent\n" + "18,36,10\n" * 10_000
    statuses = in_parallel(8, lambda _: rows(replica.port, table))
    expect(set(statuses) == {200}, f"tables of 10 000 rows: {sorted(set(statuses))}")
    expect(replica.is_alive() and answers(replica.port), f"it lives; at most {replica.status('VmHWM') // 1024} MiB resident")
    expect(replica.end() == 0, "it drains as ever")


def rows(port, table):
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
    connection.request("POST", "/v1/extraction-yield", table, {"content-type": "text/csv"})
    response = connection.getresponse()
    lines = response.read().count(b"\n")
    connection.close()
    return response.status if lines == 10_001 else f"{lines} lines"


def in_parallel(count, work):
    results = [None] * count

    def one(number):
        try:
            results[number] = work(number)
        except (OSError, http.client.HTTPException) as error:
            results[number] = repr(error)

    threads = [threading.Thread(target=one, args=(n,)) for n in range(count)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return results


def slow_callers(program):
    print("36 stalled bodies, 36 readers that do not read, and a load beside them")
    replica = Replica(program, "--body-deadline", "2")
    stalled, deaf = [], []
    for _ in range(36):
        connection = socket.create_connection(("127.0.0.1", replica.port))
        connection.sendall(b"POST /v1/ratio HTTP/1.1\r\nhost: a\r\ncontent-type: application/json\r\ncontent-length: 99\r\n\r\n{")
        stalled.append(connection)
        connection = socket.create_connection(("127.0.0.1", replica.port))
        connection.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 4096)
        connection.sendall(b"GET /openapi.json HTTP/1.1\r\nhost: a\r\n\r\n" * 4)
        deaf.append(connection)
    load = Load(replica.port, 4)
    time.sleep(4)
    figures = load.end()
    print(f"  {figures}")
    expect(not load.bad, f"the others are answered meanwhile {load.bad[:3]}")
    ended = sum(b" 408 " in read_all(connection)[:32] for connection in stalled)
    expect(ended == 36, f"{ended} of 36 stalled bodies ended with 408")
    for connection in deaf:
        connection.close()
    expect(replica.is_alive() and answers(replica.port), "it lives")
    expect(replica.end() == 0, "it drains as ever")


def read_all(connection):
    connection.settimeout(5)
    try:
        return connection.recv(65536)
    except OSError:
        return b""
    finally:
        connection.close()


def many_callers(program, count):
    print(f"a quota, and calls from {count} addresses")
    replica = Replica(program, "--rate-per-second", "1", "--rate-burst", "100",
                      "--trusted-proxies", "127.0.0.0/8")
    before = replica.status("VmRSS")
    with socket.create_connection(("127.0.0.1", replica.port)) as connection:
        connection.settimeout(10)
        statuses = {}
        for start in range(0, count, 100):
            # 10.0.0.0/8 has room for all of them
            addresses = (f"10.{n >> 16}.{n >> 8 & 255}.{n & 255}" for n in range(start, start + 100))
            connection.sendall("".join(
                "HEAD /v1/ratio?dose_g=18&brew_ratio=2 HTTP/1.1\r\nhost: a\r\n"
                f"x-forwarded-for: {address}\r\n\r\n" for address in addresses).encode())
            text = b""
            while text.count(b"\r\n\r\n") < 100:
                text += connection.recv(65536)
            for status in re.findall(rb"HTTP/1.1 (\d+)", text):
                statuses[status] = statuses.get(status, 0) + 1
    grown = (replica.status("VmRSS") - before) / 1024
    # who comes when the memory for buckets is full shares one with others, and may be refused
    expect(set(statuses) <= {b"200", b"429"}, f"all are answered {statuses}")
    expect(grown < 32, f"memory grew by {grown:.1f} MiB, less than 32")
    expect(answers(replica.port), "it answers")
    expect(replica.end() == 0, "it drains as ever")


def soak(program, seconds):
    print(f"{seconds} s of load, one call in ten hostile")
    replica = Replica(program)
    load = Load(replica.port, 4)
    time.sleep(min(5, seconds / 4))
    first = (replica.status("VmRSS"), replica.descriptors(), replica.status("Threads"))
    time.sleep(seconds - min(5, seconds / 4))
    last = (replica.status("VmRSS"), replica.descriptors(), replica.status("Threads"))
    figures = load.end()
    print(f"  {figures}")
    print(f"  KiB resident, descriptors, threads: {first} early, {last} at the end")
    expect(not load.bad, f"all are answered {load.bad[:3]}")
    expect(last[0] - first[0] < 8192, f"memory grew by {last[0] - first[0]} KiB, less than 8 MiB")
    expect(last[1] <= first[1] + 4, "no descriptor is lost")
    expect(replica.end() == 0, "it drains as ever")


def start(program):
    print("from start to ready, and at rest")
    replica = Replica(program)
    replica.end()
    times = []
    for _ in range(10):
        times.append(1000 * replica.start())
        resident = replica.status("VmRSS") / 1024
        replica.process.kill()
        replica.process.wait()
    median = sorted(times)[5]
    expect(median < 100, f"ready in {median:.0f} ms (median of 10), less than 100")
    expect(resident < 20, f"{resident:.1f} MiB resident, less than 20")
    size = pathlib.Path(program).stat().st_size / 2**20
    expect(size < 20, f"{size:.1f} MiB of program, less than 20")


def main():
    reader = argparse.ArgumentParser()
    reader.add_argument("program")
    reader.add_argument("--soak", type=float, default=12, metavar="SECONDS")
    reader.add_argument("--callers", type=int, default=120_000, metavar="COUNT")
    asked = reader.parse_args()
    start(asked.program)
    replicas(asked.program)
    few_descriptors(asked.program)
    little_memory(asked.program)
    slow_callers(asked.program)
    many_callers(asked.program, asked.callers)
    soak(asked.program, asked.soak)
    if failures:
        sys.exit("\n".join(["not kept:", *failures]))


main()

"""Servers on one core, load from another, and what both say of themselves."""

import http.client
import os
import re
import socket
import statistics
import subprocess
import time

SERVER_CORE, LOAD_CORE = 0, 1
CONNECTIONS = 16
QUOTES = "/v1/quote"
HERE = os.path.dirname(os.path.abspath(__file__))
TICKS_PER_S = os.sysconf("SC_CLK_TCK")


def program(name):
    return os.path.join(os.environ["PONDWRIGHT_PROGRAMS"], name)


def on_core(core):
    """For a child between fork and exec, so that what counts its cores at the start counts one."""
    return lambda: os.sched_setaffinity(0, {core})


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


class Server:
    """A process that serves on a port of loopback, stopped at the end of a with block."""

    def __init__(self, command):
        self.port = free_port()
        self.began_s = time.perf_counter()
        self.process = subprocess.Popen([word.replace("PORT", str(self.port)) for word in command], stdin=subprocess.DEVNULL,
                                        stderr=subprocess.DEVNULL, preexec_fn=on_core(SERVER_CORE))

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.process.terminate()
        try:
            self.process.wait(20)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()

    def ask(self, method, path, body=None):
        client = http.client.HTTPConnection("127.0.0.1", self.port, timeout=20)
        client.request(method, path, body, {"Content-Type": "application/json"} if body else {})
        reply = client.getresponse()
        answer = reply.read()
        client.close()
        return reply.status, answer

    def wait(self, method="GET", path="/readyz", body=None):
        """Seconds from exec to the first 200."""
        while True:
            try:
                if self.ask(method, path, body)[0] == 200:
                    return time.perf_counter() - self.began_s
            except OSError:
                pass
            if self.process.poll() is not None:
                raise SystemExit(f"{self.process.args[0]} ended with {self.process.returncode}")
            if time.perf_counter() - self.began_s > 60:
                raise SystemExit(f"{self.process.args[0]} is not ready after a minute")
            time.sleep(0.0002)

    def memory_mb(self):
        """Resident now, and at its most."""
        with open(f"/proc/{self.process.pid}/status", encoding="ascii") as status:
            text = status.read()
        return tuple(int(re.search(rf"{name}:\s+(\d+) kB", text)[1]) * 1024 / 1e6 for name in ("VmRSS", "VmHWM"))

    def cpu_s(self):
        """Processor time so far: own, and in the kernel."""
        with open(f"/proc/{self.process.pid}/stat", encoding="ascii") as stat:
            words = stat.read().rsplit(")", 1)[1].split()
        return int(words[11]) / TICKS_PER_S, int(words[12]) / TICKS_PER_S


def ours(config=None):
    return Server([os.environ["PONDWRIGHT_BIN"], "serve", "--config", config or os.environ["PONDWRIGHT_CONFIG"], "--listen",
                   "127.0.0.1:PORT"])


def floor(mode, file):
    return Server([program("floor"), mode, "PORT", file])


def peer(mode, file):
    return Server(["node", os.path.join(HERE, "peer", "peer.mjs"), mode, "PORT", file])


def wrk(server, bodies, seconds):
    """One round: requests a second, and the server's processor time for one in microseconds, own and the kernel's."""
    before = server.cpu_s()
    text = subprocess.run(
        ["wrk", "-t1", f"-c{CONNECTIONS}", f"-d{seconds}s", "-s", os.path.join(HERE, "post.lua"),
         f"http://127.0.0.1:{server.port}{QUOTES}"],
        env={**os.environ, "BENCH_BODIES": ":".join(bodies)}, preexec_fn=on_core(LOAD_CORE), check=True, capture_output=True,
        text=True).stdout
    after = server.cpu_s()
    if "Non-2xx" in text or "Socket errors" in text:
        raise SystemExit(f"wrk had answers that are none:\n{text}")
    requests = int(re.search(r"(\d+) requests in", text)[1])
    return {"requests": requests, "per_second": float(re.search(r"Requests/sec:\s+([\d.]+)", text)[1]),
            "own_us": (after[0] - before[0]) / requests * 1e6, "kernel_us": (after[1] - before[1]) / requests * 1e6,
            "busy": (sum(after) - sum(before)) / seconds}


def median_round(rounds):
    return {key: statistics.median(each[key] for each in rounds) for key in rounds[0]}


def steady(server, body, per_second, seconds):
    """An open load at a mean rate, see steady.c. Times in ms."""
    text = subprocess.run(
        [program("steady"), str(server.port), QUOTES, body, str(CONNECTIONS), str(per_second), str(seconds)],
        preexec_fn=on_core(LOAD_CORE), check=True, capture_output=True, text=True).stdout
    numbers = [float(word) for word in text.split()]
    names = ("p50_ms", "p90_ms", "p99_ms", "p999_ms", "longest_ms")
    return {"requests": numbers[0], "per_second": numbers[1], **{name: us / 1000 for name, us in zip(names, numbers[2:])}}

"""A service whose wall clock jumps.

  clocks.py PROGRAM SHIM CONFIG FOLDER

CONFIG is a copy that may be changed; FOLDER takes logs. SHIM (clock.c) shifts the wall clock of the program by what a
file says. What must not notice: the deadline of a request, its duration in log and metrics, limits of clients and of
wrong tokens, the watchdog, the end. What must: the date of a quote that gives none, the log's own, the time of a load.
Waits of a minute are for what never comes; nothing here depends on how fast anything is.
"""
import atexit
import http.client
import json
import mmap
import os
import re
import signal
import socket
import struct
import subprocess
import sys
import time

PATIENCE_S = 60
FAR_S = 400 * 86400
SIGNS = 5  # of life waited for after a jump; each is due after 0.2 s, so that the reaper looks several times
TOKEN = "demo-token-of-no-value-whatever"
POND = {"region": "small-a", "pond": {"outline": {"kind": "rectangle", "length_m": 4, "width_m": 3}, "depth_m": 1}}
UNDATED = json.dumps(POND).encode()
DATED = json.dumps({**POND, "issued_on": "2026-11-02"}).encode()


class Clock:
    def __init__(self, path):
        with open(path, "wb") as file:
            file.write(bytes(8))
        with open(path, "r+b") as file:
            self.map = mmap.mmap(file.fileno(), 8)
        self.path, self.shift_s = path, 0

    def jump_to(self, shift_s):
        self.shift_s = shift_s
        self.map[:] = struct.pack("=q", shift_s)

    def now_s(self):
        return time.time() + self.shift_s

    def day(self):
        return time.strftime("%Y-%m-%d", time.gmtime(self.now_s()))


class Service:
    """The program with its clock in our hand; every request comes from another address unless one is named."""

    def __init__(self, program, shim, config, folder, clock, deadline_s):
        self.clock, self.clients = clock, 0
        self.log = f"{folder}/clocks-{deadline_s}.log"
        with open(f"{config}/service.json", encoding="utf-8") as file:
            settings = json.load(file)
        settings.update(requests_per_minute=1, trusted_proxies=["127.0.0.1"], deadline_s=deadline_s,
                        owner_token_file="owner-token")
        with open(f"{config}/service.json", "w", encoding="utf-8") as file:
            json.dump(settings, file)
        with open(f"{config}/owner-token", "w", encoding="utf-8") as file:
            file.write(TOKEN)
        self.signs = socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM)
        self.signs.bind(f"{folder}/notify-{deadline_s}")
        self.signs.settimeout(PATIENCE_S)
        # the shim is there before the sanitizer's own functions, which is what that would complain of
        sanitizer = os.environ.get("ASAN_OPTIONS", "") + ":verify_asan_link_order=0"
        with open(self.log, "wb") as log:
            self.process = subprocess.Popen(
                [program, "serve", "--config", config, "--listen", "127.0.0.1:0"], stderr=log,
                env={**os.environ, "LD_PRELOAD": shim, "PONDWRIGHT_CLOCK": clock.path, "ASAN_OPTIONS": sanitizer,
                     "NOTIFY_SOCKET": f"{folder}/notify-{deadline_s}", "WATCHDOG_USEC": "400000"})
        atexit.register(self.process.kill)  # of a process that has ended it does nothing
        self.wait_for("READY=1")
        self.port = next(int(line["address"].rsplit(":", 1)[1]) for line in self.lines() if line["event"] == "listening")

    def lines(self):
        with open(self.log, encoding="utf-8") as file:
            return [json.loads(line) for line in file]

    def wait_for(self, word):
        while word not in self.signs.recv(4096).decode():
            pass

    def signs_waiting(self):
        self.signs.setblocking(False)
        try:
            while True:
                self.signs.recv(4096)
        except BlockingIOError:
            self.signs.settimeout(PATIENCE_S)

    def clog_signs(self):
        """Fills the queue of its manager, as one that reads no more would leave it."""
        filler = socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM)
        filler.setblocking(False)
        try:
            while True:
                filler.sendto(b"STATUS=full", self.signs.getsockname())
        except BlockingIOError:
            filler.close()

    def client(self):
        self.clients += 1
        return f"198.18.{self.clients >> 8}.{self.clients % 256}"

    def ask(self, path, body=None, client=None, token=None):
        headers = {"X-Forwarded-For": client or self.client(), "Content-Type": "application/json"}
        if token is not None:
            headers["Authorization"] = f"Bearer {token}"
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE_S)
        connection.request("POST" if body is not None else "GET", path, body, headers)
        answer = connection.getresponse()
        content = answer.read()
        connection.close()
        return answer.status, answer.headers, content

    def begin(self, body, unsent):
        """A request whose last bytes are not sent yet."""
        connection = socket.create_connection(("127.0.0.1", self.port), timeout=PATIENCE_S)
        head = (f"POST /v1/quote HTTP/1.1\r\nHost: x\r\nX-Forwarded-For: {self.client()}\r\nConnection: close\r\n"
                f"Content-Type: application/json\r\nContent-Length: {len(body)}\r\n\r\n")
        connection.sendall(head.encode() + body[:-unsent])
        return connection

    def metric(self, name):
        _, _, text = self.ask("/metrics")
        return [float(value) for value in re.findall(rf"^{name}(?:{{.*}})? (\S+)$", text.decode(), flags=re.M)]

    def stop(self):
        self.process.send_signal(signal.SIGTERM)
        assert self.process.wait(PATIENCE_S) == 0, "it did not end well"


def retry_after(answer):
    status, headers, content = answer
    assert status == 429, (status, content)
    seconds = int(headers["Retry-After"])
    assert 1 <= seconds <= 60, f"Retry-After: {seconds}"
    return seconds


def wrong_token(service):
    return service.ask("/v1/quote", DATED, token="not-" + TOKEN)[0]


def reload_and_wait(service):
    service.process.send_signal(signal.SIGHUP)
    service.wait_for("READY=1")
    loaded_at_s, = service.metric("pondwright_rates_loaded_timestamp_seconds")
    assert abs(loaded_at_s - service.clock.now_s()) < 3600, "the load has another time than the wall clock"


def jump_under(service, shift_s):
    """One jump, with a request half in, a client over its limit and a guesser over his."""
    limited = service.client()
    assert service.ask("/v1/quote", DATED, limited)[0] == 200
    wait_s = retry_after(service.ask("/v1/quote", DATED, limited))
    while wrong_token(service) != 429:
        pass
    rest = b" " * SIGNS + UNDATED[-1:]
    half = service.begin(UNDATED[:-1] + rest, len(rest))
    service.clock.jump_to(shift_s)
    assert retry_after(service.ask("/v1/quote", DATED, limited)) <= wait_s
    service.signs_waiting()
    for i in range(SIGNS):
        service.wait_for("WATCHDOG=1")
        half.sendall(rest[i:i + 1])
    days = {service.clock.day()}
    half.sendall(rest[SIGNS:])
    answer = http.client.HTTPResponse(half)
    answer.begin()
    content = answer.read()
    half.close()
    judge_date(answer.status, json.loads(content), days | {service.clock.day()})


def judge_date(status, said, days):
    """The day of an enquiry without one is the wall clock's, for better or worse: before the first edition none is priced."""
    if status == 422:
        (fault,) = said["errors"]
        assert fault["code"] == "no-edition" and fault["detail"][-10:] in days, fault
    else:
        assert status == 200 and said["issued_on"] in days, said


def far_and_back(program, shim, config, folder):
    clock = Clock(f"{folder}/shift")
    service = Service(program, shim, config, folder, clock, 600)
    _, _, right = service.ask("/v1/quote", DATED)
    for shift_s in (FAR_S, -FAR_S, 0):
        jump_under(service, shift_s)
        assert service.ask("/v1/quote", DATED)[2] == right, "a quote with a date of its own has changed"
        assert service.ask("/v1/quote", DATED, token=TOKEN)[0] == 200
        until_s = time.monotonic() + PATIENCE_S
        while wrong_token(service) != 401:
            assert time.monotonic() < until_s, "wrong tokens are never forgotten"
            time.sleep(0.1)
        reload_and_wait(service)
        assert service.lines()[-1]["ts"][:10] == clock.day(), "the log has another day"
    assert min(service.metric("[a-z_]+")) >= 0
    assert sum(service.metric("pondwright_http_request_duration_seconds_sum")) < 3600
    clock.jump_to(-86400)
    service.stop()
    durations_ms = [line["duration_ms"] for line in service.lines() if "duration_ms" in line]
    assert len(durations_ms) > 20 and min(durations_ms) >= 0 and max(durations_ms) < 3.6e6, durations_ms


def deadline_holds(program, shim, config, folder):
    """Nobody reads this service's signs of life in the end, which must not keep it from ending."""
    clock = Clock(f"{folder}/shift-2")
    service = Service(program, shim, config, folder, clock, 1)
    for shift_s in (-FAR_S, FAR_S):
        half = service.begin(DATED, 1)
        clock.jump_to(shift_s)
        try:
            while half.recv(4096):
                pass
        except ConnectionResetError:
            pass
        half.close()
    assert sum(service.metric("pondwright_http_connections_cut_total")) >= 2
    service.clog_signs()
    service.stop()


far_and_back(*sys.argv[1:])
deadline_holds(*sys.argv[1:])

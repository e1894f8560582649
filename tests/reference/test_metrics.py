"""The metrics read by the rules of Prometheus' text format 0.0.4, as a strict reader of its own here (promtool is not at
hand in every build): every line, names, labels and their escapes, types before samples, one group for each metric, no sample
twice, histograms that add up, counters that never fall, and promtool's own advice on names."""

import json
import os
import re
import signal
import subprocess
import tempfile
import time
import urllib.error
import urllib.request

NAME = re.compile(r"[a-zA-Z_:][a-zA-Z0-9_:]*")
LABEL = re.compile(r'([a-zA-Z_][a-zA-Z0-9_]*)="((?:[^"\\\n]|\\["\\n])*)"')
SAMPLE = re.compile(r"^([a-zA-Z_:][a-zA-Z0-9_:]*)(?:\{(.*)\})? (\S+)$")
KINDS = {"counter", "gauge", "histogram", "summary", "untyped"}
SUFFIXES = {"histogram": ("_bucket", "_sum", "_count"), "summary": ("_sum", "_count", "")}


def labels_of(text):
    """The labels of one sample, none of them twice; the text must hold nothing else."""
    labels, at = {}, 0
    while at < len(text):
        match = LABEL.match(text, at)
        assert match, f"label at {text[at:]!r}"
        assert match[1] not in labels, f"label {match[1]} twice"
        labels[match[1]] = match[2]
        at = match.end()
        assert at == len(text) or text[at] == ",", text
        at += at < len(text)
    return labels


def base_of(name, kinds):
    """The metric that a sample belongs to."""
    for base, kind in kinds.items():
        if name in [base + suffix for suffix in SUFFIXES.get(kind, ("",))]:
            return base
    raise AssertionError(f"{name} has no TYPE before it")


def read(text):
    """{(name, labels): value} and {metric: kind} of a whole exposition."""
    kinds, helps, samples, ended, current = {}, {}, {}, set(), None
    assert text.endswith("\n")
    for line in text[:-1].split("\n"):
        assert line == line.strip() and line, repr(line)
        if line.startswith("#"):
            _, word, name, rest = line.split(" ", 3)
            assert word in ("HELP", "TYPE") and NAME.fullmatch(name), line
            table = helps if word == "HELP" else kinds
            assert name not in table, f"{word} of {name} twice"
            table[name] = rest
            if word == "TYPE":
                assert rest in KINDS, line
                assert name in helps, f"{name} has no HELP"
            base = name
        else:
            match = SAMPLE.match(line)
            assert match, line
            key = (match[1], tuple(sorted(labels_of(match[2] or "").items())))
            assert key not in samples, f"{key} twice"
            samples[key] = float(match[3])
            base = base_of(match[1], kinds)
        if base != current:
            assert base not in ended, f"{base} in two groups"
            ended.add(current)
            current = base
    return samples, kinds


def check_names(kinds):
    """What promtool says of names: units in full and in base units, _total for counters alone."""
    for name, kind in kinds.items():
        assert (kind == "counter") == name.endswith("_total"), f"{name} is a {kind}"
        assert not re.search(r"_(ms|milliseconds|minutes|hours|kilobytes|megabytes|percent)(_|$)", name), name
        assert not name.endswith(("_count", "_sum", "_bucket")), name
        assert name.startswith(("pondwright_", "process_")), name


def check_histograms(samples, kinds):
    for name in (name for name, kind in kinds.items() if kind == "histogram"):
        series = {}
        for (sample, labels), value in samples.items():
            if sample == name + "_bucket":
                bound = dict(labels)["le"]
                rest = tuple(pair for pair in labels if pair[0] != "le")
                series.setdefault(rest, []).append((float(bound.replace("+Inf", "inf")), value))
        for rest, buckets in series.items():
            buckets.sort()
            counts = [count for _, count in buckets]
            assert counts == sorted(counts), f"{name}{rest} falls"
            assert buckets[-1][0] == float("inf")
            assert counts[-1] == samples[(name + "_count", rest)]
            assert samples[(name + "_sum", rest)] >= 0


class Service:
    def __init__(self, folder):
        with open(os.path.join(folder, "log"), "wb") as log:
            self.process = subprocess.Popen(
                [os.environ["PONDWRIGHT_BIN"], "serve", "--config", os.environ["PONDWRIGHT_CONFIG"], "--listen", "127.0.0.1:0"],
                stderr=log)
        while True:
            with open(os.path.join(folder, "log"), encoding="utf-8") as log:
                match = re.search(r'"address":"(127\.0\.0\.1:\d+)"', log.read())
            if match:
                break
            assert self.process.poll() is None, "the service ended at its start"
            time.sleep(0.02)
        self.url = "http://" + match[1]

    def ask(self, path, body=None, **headers):
        data = None if body is None else body.encode()
        request = urllib.request.Request(self.url + path, data, {"Content-Type": "application/json", **headers})
        try:
            with urllib.request.urlopen(request, timeout=60) as reply:
                return reply.status, reply.headers, reply.read().decode()
        except urllib.error.HTTPError as error:
            return error.code, error.headers, error.read().decode()


def scrape(service):
    status, headers, text = service.ask("/metrics")
    assert status == 200
    assert headers["Content-Type"] == "text/plain; version=0.0.4; charset=utf-8", headers["Content-Type"]
    samples, kinds = read(text)
    check_names(kinds)
    check_histograms(samples, kinds)
    return samples, kinds


def use(service):
    """Something for every metric to count, odd words among it that must not become labels."""
    good = {"region": "demo-north", "pond": {"outline": {"kind": "circle", "diameter_m": 3}, "depth_m": 1}}
    assert service.ask("/v1/quote", json.dumps(good))[0] == 200
    assert service.ask("/v1/quote", json.dumps({**good, "colour\n\"\\": 1}))[0] == 422
    assert service.ask("/v1/quote", "{")[0] == 400
    assert service.ask("/v1/quote", json.dumps(good), Authorization="Bearer x")[0] == 401
    assert service.ask("/no/such%22path")[0] == 404
    assert service.ask("/v1/regions/demo-north")[0] == 200
    service.process.send_signal(signal.SIGHUP)
    while "\npondwright_rates_reloads_total{" not in service.ask("/metrics")[2]:
        time.sleep(0.02)


def wanted(samples):
    names = {name for name, _ in samples}
    for name in ("pondwright_http_requests_total", "pondwright_http_request_duration_seconds_bucket", "pondwright_quotes_total",
                 "pondwright_rates_reloads_total", "pondwright_rates_info", "pondwright_build_info",
                 "pondwright_rejected_fields_total", "process_resident_memory_bytes", "process_open_fds"):
        assert name in names, f"{name} is missing"


def main():
    with tempfile.TemporaryDirectory() as folder:
        service = Service(folder)
        try:
            first, kinds = scrape(service)
            use(service)
            second, _ = scrape(service)
            wanted(second)
            for key, value in first.items():
                kind = kinds[base_of(key[0], kinds)]
                assert kind == "gauge" or second[key] >= value, f"{key} fell"
            assert not any("such" in str(key) or "colour" in str(key) for key in second)
        finally:
            service.process.terminate()
            assert service.process.wait(30) == 0
    print(f"{len(second)} samples of {len(kinds)} metrics")


main()

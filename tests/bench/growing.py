"""How cost grows: with the size of the configuration, and with what an enquiry holds."""

import glob
import json
import math
import os
import shutil
import statistics
import subprocess
import time

from serving import QUOTES, SERVER_CORE, on_core, ours, program
from stages import instructions, stage_times_ns, times_ns

REGIONS, EDITIONS = 200, 10
PHONE = "1-phone-call"


def fixture(name):
    return os.path.join(os.environ["PONDWRIGHT_FIXTURES"], name, "enquiry.json")


def read(path):
    with open(path, encoding="utf-8") as file:
        return json.load(file)


def write(path, value):
    os.makedirs(os.path.dirname(path), exist_ok=True)
    with open(path, "w", encoding="utf-8") as file:
        json.dump(value, file, ensure_ascii=False)


def copied_config(folder):
    shutil.rmtree(folder, ignore_errors=True)
    shutil.copytree(os.environ["PONDWRIGHT_CONFIG"], folder)
    return folder


# ---- 200 regions with 10 editions ----

def dearer(value, times):
    """Every price a little other, so that no two editions are the same."""
    if isinstance(value, dict):
        return {key: dearer(each, times) for key, each in value.items()}
    return round(value * times, 2) if isinstance(value, (int, float)) and not isinstance(value, bool) else value


def editions_added(folder, edition, count, seed):
    """Older ones, from 1990 on."""
    for i in range(count):
        copy = {**edition, "from": f"{1990 + i}-01-01", "prices": dearer(edition["prices"], 1 + (seed * EDITIONS + i) / 1e4)}
        write(os.path.join(folder, f"{1990 + i}-01.json"), copy)


def big_config(folder):
    """The shipped regions as they are, with older editions, and copies of them."""
    regions = sorted(glob.glob(os.path.join(copied_config(folder), "regions", "*")))
    for n in range(REGIONS):
        base = regions[n % len(regions)]
        newest = sorted(path for path in glob.glob(os.path.join(base, "20*.json")))
        region = read(os.path.join(base, "region.json"))
        target = base
        if n >= len(regions):
            target = f"{base}-{n:03d}"
            region = {**region, "title": f"{region['title']}, copy {n}"}
            region.pop("postcodes", None)  # a postcode belongs to one region
            write(os.path.join(target, "region.json"), region)
            shutil.copy(newest[-1], target)
        editions_added(target, read(newest[-1]), EDITIONS - len(glob.glob(os.path.join(target, "20*.json"))), n)
    return folder


def check_s(config):
    began = time.perf_counter()
    subprocess.run([os.environ["PONDWRIGHT_BIN"], "check", "--config", config], check=True, capture_output=True,
                   preexec_fn=on_core(SERVER_CORE))
    return time.perf_counter() - began


def asked(server):
    with open(fixture(PHONE), "rb") as body:
        status, answer = server.ask("POST", QUOTES, body.read())
    answer = json.loads(answer)
    return status, {key: value for key, value in answer.items() if key not in ("config", "reference")}


def loaded(config, starts):
    """Seconds to ready, memory then and at most, and the answer to a phone call."""
    ready_s = []
    for _ in range(starts):
        with ours(config) as server:
            ready_s.append(server.wait())
            memory = server.memory_mb()
            answer = asked(server)
    return {"ready_s": statistics.median(ready_s), "resident_mb": memory[0], "most_mb": memory[1]}, answer


def measure_load(folder, starts):
    big = big_config(os.path.join(folder, "config-big"))
    result, answers = {}, []
    for key, config in (("small", os.environ["PONDWRIGHT_CONFIG"]), ("big", big)):
        result[key], answer = loaded(config, starts)
        result[key]["check_s"] = check_s(config)
        result[key]["files"] = len(glob.glob(os.path.join(config, "**", "*.json"), recursive=True))
        answers.append(answer)
    result["same_answer"] = answers[0] == answers[1] and answers[0][0] == 200
    times = {key: [] for key in ("small", "big")}
    for _ in range(5):  # in turn, so that what else the machine does meets both
        for key, config in (("small", None), ("big", big)):
            times[key].append(stage_times_ns("quote, phone call", config))
    for key, each in times.items():
        result[key]["quote_us"] = min(time["whole quote, phone call"] for time in each) / 1000
        result[key]["answer_us"] = min(time["answer a quote, phone call"] for time in each) / 1000
    shutil.rmtree(big)
    return result


# ---- growth ----

def grown(config, enquiry, more=()):
    """Instructions and time of what `growth` measures."""
    command = [program("growth"), config, enquiry]
    return {name: {"instructions": number, "ns": times[name]}
            for times in [times_ns([*command, "time", *more])]
            for name, number in instructions([*command, "count", *more]).items()}


def copies(entries, round_, pick):
    return [{**entry, "id": f"{entry['id']}-copy-{round_}"} for entry in pick(entries)]


def with_copies(folder, path, key, rounds, pick):
    """The configuration with so many copies of the same entries of one file."""
    file = os.path.join(copied_config(folder), path)
    document = read(file)
    document[key] = document[key] + [copy for i in range(rounds) for copy in copies(document[key], i, pick)]
    write(file, document)
    return folder


def some_build_ups(entries):
    return [entry for entry in entries if "choose" not in entry and not entry.get("layer")]


def some_rules(entries):
    return [entry for entry in entries if not entry.get("sum")][:35]


def by_entries(folder, path, key, pick, steps):
    table = []
    each = len(pick(read(os.path.join(os.environ["PONDWRIGHT_CONFIG"], path))[key]))
    for rounds in steps:
        config = with_copies(os.path.join(folder, "config-grown"), path, key, rounds, pick)
        table.append({"size": rounds * each, **grown(config, fixture(PHONE))})
    shutil.rmtree(os.path.join(folder, "config-grown"))
    return table


def by_samples(sizes):
    return [{"size": size, **grown(os.environ["PONDWRIGHT_CONFIG"], fixture(PHONE), [str(size)])} for size in sizes]


def wavy_pond(corners):
    """A pond of about 8 by 6 m whose edge goes in and out."""
    points = []
    for i in range(corners):
        turn = 2 * math.pi * i / corners
        reach = 1 + 0.12 * math.sin(5 * turn) + (0.04 if i % 2 else 0)
        points.append([round(6 + 4 * reach * math.cos(turn), 3), round(5 + 3 * reach * math.sin(turn), 3)])
    return points


def by_corners(folder, sizes):
    table, path = [], os.path.join(folder, "wavy.json")
    for size in sizes:
        enquiry = read(fixture("3a-rebuild-agreed"))
        enquiry["pond"]["outline"] = {"kind": "polygon", "points_m": wavy_pond(size)}
        write(path, enquiry)
        table.append({"size": size, **grown(os.environ["PONDWRIGHT_CONFIG"], path)})
    os.remove(path)
    return table


def measure_growth(folder):
    return {
        "build-ups": by_entries(folder, "build-ups/preliminaries.json", "build_ups", some_build_ups, range(0, 5)),
        "rules": by_entries(folder, "rules/common.json", "rules", some_rules, range(0, 5)),
        "samples": by_samples((256, 512, 1024, 2048, 4096)),
        "corners": by_corners(folder, (12, 25, 50, 100, 200)),
    }


# ---- what it says ----

def off_a_line(table, name):
    """Largest distance from the straight line of least squares, as a share of the greatest value."""
    xs, ys = [row["size"] for row in table], [row[name]["instructions"] for row in table]
    slope, offset = statistics.linear_regression(xs, ys)
    return max(abs(y - (slope * x + offset)) for x, y in zip(xs, ys)) / max(ys), slope


def power(table, name):
    """The exponent with which cost grows between the two greatest sizes."""
    a, b = table[-2:]
    return math.log(b[name]["instructions"] / a[name]["instructions"]) / math.log(b["size"] / a["size"])

"""What was measured, in Markdown: tables, and the targets that it meets or misses."""

import os
import re
import subprocess

from growing import off_a_line, power
from stages import made_by

HERE = os.path.dirname(os.path.abspath(__file__))
README = os.path.join(HERE, "README.md")
LINE_MOST = 0.02     # off a straight line, of the greatest value
FLAT_MB = 0.25       # more after a million requests than after a twentieth of them
SAME_PRICE = 1.1     # time of a quote with the great configuration against the shipped one: what is more is no noise
POWER_MOST = 2.05    # of the crossing test, which looks at every pair of edges


def table(head, rows):
    lines = [head, ["---"] + ["---:"] * (len(head) - 1), *rows]
    return "\n".join("| " + " | ".join(str(cell) for cell in line) + " |" for line in lines) + "\n"


def whole(number):
    return f"{number:,.0f}"


def digits(number):
    """Three of them, more before the point."""
    return whole(number) if number >= 100 else f"{number:.3g}"


# ---- tables ----

SERVERS = {
    "ours": "**pondwright**, a quote",
    "bytes": "bare libmicrohttpd, the same bytes: the floor",
    "tree": "bare libmicrohttpd, a jansson tree of the answer copied and dumped",
    "schema": "Fastify, nothing priced, stringified by response schema",
    "plain": "Fastify, nothing priced, JSON.stringify",
}


def ratio(rates, fixture, other):
    return rates[fixture]["ours"]["per_second"] / rates[fixture][other]["per_second"]


def best_peer(rates, fixture):
    return max(("schema", "plain"), key=lambda name: rates[fixture][name]["per_second"])


def rates_table(results):
    rates = results["rates"]
    names = list(rates)
    rows = [["bytes of the answer", *(whole(results["bytes"][name]) for name in names)]]
    rows += [[title, *(whole(rates[name][key]["per_second"]) for name in names)] for key, title in SERVERS.items()]
    rows += [["ours / floor", *(f"**{ratio(rates, name, 'bytes'):.2f}**" for name in names)],
             ["ours / jansson tree", *(f"{ratio(rates, name, 'tree'):.2f}" for name in names)],
             ["ours / the faster Fastify", *(f"**{ratio(rates, name, best_peer(rates, name)):.2f}**" for name in names)],
             ["processor time of one of ours, own + kernel, us",
              *(f"{rates[name]['ours']['own_us']:.0f} + {rates[name]['ours']['kernel_us']:.0f}" for name in names)],
             ["the same of the floor",
              *(f"{rates[name]['bytes']['own_us']:.0f} + {rates[name]['bytes']['kernel_us']:.0f}" for name in names)],
             ["share of its core that the server was busy: ours, floor",
              *(f"{rates[name]['ours']['busy']:.2f}, {rates[name]['bytes']['busy']:.2f}" for name in names)]]
    return "Requests a second, medians:\n\n" + table(["", *names], rows)


def half_load_table(results):
    keys = ("p50_ms", "p90_ms", "p99_ms", "p999_ms", "longest_ms")
    rows = [[name, whole(row["per_second"]), *(f"{row[key]:.2f}" for key in keys)]
            for name, row in results["half_load"].items()]
    return "Half of that load, ms from when a request falls due:\n\n" + table(
        ["", "a second", "p50", "p90", "p99", "p99.9", "longest"], rows)


def start_table(results):
    memory, load = results["memory"], results["load"]
    rows = [["ready after the start, ms", f"{load['small']['ready_s'] * 1000:.0f}", f"{load['big']['ready_s'] * 1000:.0f}"],
            ["`pondwright check`, ms", f"{load['small']['check_s'] * 1000:.0f}", f"{load['big']['check_s'] * 1000:.0f}"],
            ["resident once ready, MB", f"{load['small']['resident_mb']:.1f}", f"{load['big']['resident_mb']:.1f}"],
            ["most while loading, MB", f"{load['small']['most_mb']:.1f}", f"{load['big']['most_mb']:.1f}"],
            ["whole quote in core, phone call, us", f"{load['small']['quote_us']:.1f}", f"{load['big']['quote_us']:.1f}"],
            ["whole answer without HTTP, us", f"{load['small']['answer_us']:.1f}", f"{load['big']['answer_us']:.1f}"]]
    return table(["", f"shipped, {load['small']['files']} files", f"200 regions x 10 editions, {load['big']['files']} files"],
                 rows) + (
        f"\nResident memory: {memory['start_mb']:.2f} MB at the start, {memory['early_mb']:.2f} MB after "
        f"{whole(memory['early'])} requests, {memory['end_mb']:.2f} MB after {whole(memory['requests'])} "
        "(the three fixtures in turn).\n")


def stages_table(results):
    times, counts = results["stage_ns"], results["stage_instructions"]
    subjects = ("phone call", "rebuild", "fish pool")
    mine = [name for name in times if name.endswith(subjects)]
    steps = dict.fromkeys(name.rsplit(", ", 1)[0] for name in mine)

    def cell(name):
        return f"{digits(times[name] / 1000)} ({digits(counts[name] / 1000)})" if name in times else ""

    text = "One call in us, and in brackets in thousands of instructions:\n\n"
    text += table(["", *subjects], [[step, *(cell(f"{step}, {subject}") for subject in subjects)] for step in steps])
    return text + "\n" + table(["shapes", "ns", "instructions"],
                               [[name, whole(times[name]), whole(counts[name])] for name in times if name not in mine])


def growth_table(results):
    growth, rows = results["growth"], []
    for what, name in (("build-ups", "price"), ("build-ups", "answer"), ("rules", "price"), ("rules", "answer"),
                       ("samples", "range"), ("corners", "check the outline"), ("corners", "prepare the outline"),
                       ("corners", "price"), ("corners", "answer")):
        grown = growth[what]
        off, slope = off_a_line(grown, name)
        says = f"power {power(grown, name):.2f}" if what == "corners" else f"{whole(slope)} each, {off * 100:.2f} % off a line"
        rows.append([f"{name} by {what}", ", ".join(("+" if what in ("build-ups", "rules") else "") + str(row["size"])
                                                   for row in grown),
                     ", ".join(whole(row[name]["instructions"] / 1000) for row in grown),
                     ", ".join(digits(row[name]["ns"] / 1000) for row in grown), says])
    return table(["", "size", "thousands of instructions", "us", "growth"], rows)


def profile_table(results):
    text = "From the body to the whole answer, without HTTP and the kernel; instructions of one call.\n"
    for profile in results["profiles"]:
        rows = [[f"`{a[0]}`", whole(a[1]), f"{a[2]:.1f}", f"`{b[0]}`", whole(b[1]), f"{b[2]:.1f}"]
                for a, b in zip(profile["inclusive"], profile["exclusive"])]
        text += f"\n{profile['stage']}, {whole(profile['instructions'])} in all:\n\n"
        text += table(["with all that it calls", "instructions", "%", "by itself", "instructions", "%"], rows)
    return text


def machine_table(results):
    return table(["", ""], [[key, value] for key, value in results["machine"].items()])


# ---- targets ----

def targets(results):
    """(what, wanted, measured, met)"""
    rates, times, growth, load, memory = (results[key] for key in ("rates", "stage_ns", "growth", "load", "memory"))
    found = []

    def add(what, wanted, measured, met):
        found.append((what, wanted, measured, met))

    for name in rates:
        add(f"requests a second against the floor, {name}", "at least 0.4", f"{ratio(rates, name, 'bytes'):.2f}",
            ratio(rates, name, "bytes") >= 0.4)
    for name in rates:
        against = ratio(rates, name, best_peer(rates, name))
        add(f"against the idle peer, {name}", "at least 2", f"{against:.2f}", against >= 2)
    for name, row in results["half_load"].items():
        add(f"p99 at half load, {name}", "at most 2 ms", f"{row['p99_ms']:.2f} ms", row["p99_ms"] <= 2)
    for name, most_us in (("rebuild", 15), ("phone call", 5)):
        us = times[f"whole quote, {name}"] / 1000
        add(f"whole quote in core, {name}", f"at most {most_us} us", f"{us:.1f} us", us <= most_us)
    for name in ("phone call", "rebuild", "fish pool"):
        times_as_long = times[f"answer a comparison, {name}"] / times[f"answer a quote, {name}"]
        add(f"/v1/compare against /v1/quote, {name}", "at most 2.5", f"{times_as_long:.2f}", times_as_long <= 2.5)
    for name in ("phone call", "rebuild", "fish pool"):
        ms = times[f"answer a range, {name}"] / 1e6
        add(f"/v1/range at its default, {name}", "at most 25 ms", f"{ms:.1f} ms", ms <= 25)
    add("resident memory", "under 16 MB", f"{memory['end_mb']:.1f} MB", memory["end_mb"] < 16)
    more = memory["end_mb"] - memory["early_mb"]
    add(f"the same after {whole(memory['requests'])} requests", f"flat: at most {FLAT_MB} MB more", f"{more:+.2f} MB",
        more <= FLAT_MB)
    ready_ms = results["load"]["small"]["ready_s"] * 1000
    add("ready after the start", "within 50 ms", f"{ready_ms:.0f} ms", ready_ms <= 50)
    big = load["big"]
    add("200 regions x 10 editions ready", "under 2 s", f"{big['ready_s']:.2f} s", big["ready_s"] < 2)
    add("and its memory while it loads", "under 150 MB", f"{big['most_mb']:.0f} MB", big["most_mb"] < 150)
    same = max(big[key] / load["small"][key] for key in ("quote_us", "answer_us"))
    add("and a quote's cost under it", f"unchanged: at most {SAME_PRICE} times", f"{same:.2f} times", same <= SAME_PRICE)
    add("and the quote itself", "the same", "the same" if load["same_answer"] else "another", load["same_answer"])
    for what, name in (("build-ups", "answer"), ("rules", "answer"), ("samples", "range")):
        off = off_a_line(growth[what], name)[0]
        add(f"{name} by {what}, in instructions", f"linear: at most {LINE_MOST * 100:g} % off a line", f"{off * 100:.2f} %",
            off <= LINE_MOST)
    grows = power(growth["corners"], "answer")
    add("answer by corners, in instructions", f"the crossing test's square: power at most {POWER_MOST}", f"{grows:.2f}",
        grows <= POWER_MOST)
    return found


def targets_table(results):
    found = targets(results)
    text = table(["target", "wanted", "measured", ""],
                 [[what, wanted, measured, "met" if met else "**missed**"] for what, wanted, measured, met in found])
    return text + f"\n{sum(row[3] for row in found)} of {len(found)} met.\n"


PARTS = {"targets": targets_table, "machine": machine_table, "rates": rates_table, "half load": half_load_table,
         "start": start_table, "stages": stages_table, "growth": growth_table, "profile": profile_table}


def render(results):
    return {name: part(results) for name, part in PARTS.items()}


def print_all(results):
    for name, text in render(results).items():
        print(f"\n## {name}\n\n{text}")


def paste(results):
    """Into README.md, between the markers of each part."""
    with open(README, encoding="utf-8") as file:
        page = file.read()
    for name, text in render(results).items():
        page, found = re.subn(rf"(<!-- {name}: made by run -->\n).*?(<!-- {name}: end -->)",
                              lambda match, text=text: f"{match[1]}\n{text}\n{match[2]}", page, flags=re.S)
        if found != 1:
            raise SystemExit(f"README.md has {found} places for {name}")
    with open(README, "w", encoding="utf-8") as file:
        file.write(page)


# ---- the machine ----

def said_by(*command):
    """The first line, or "unknown"."""
    try:
        lines = subprocess.run(command, capture_output=True, text=True, check=True).stdout.splitlines()
    except (FileNotFoundError, subprocess.CalledProcessError):
        lines = []
    return lines[0].strip() if lines else "unknown"


def packed(package):
    return said_by("dpkg-query", "--show", "--showformat=${Version}\n", package)


def machine():
    with open("/proc/cpuinfo", encoding="utf-8") as info:
        model = re.search(r"^model name\s*:\s*(.*)$", info.read(), re.M)
    with open(os.path.join(HERE, "peer", "package.json"), encoding="utf-8") as file:
        fastify = re.search(r'"fastify": "(.*?)"', file.read())[1]
    with open("/proc/loadavg", encoding="ascii") as load:
        busy = load.read().split()[0]
    return {
        "processor": f"{model[1] if model else 'unknown'}, {os.cpu_count()} cores", "kernel": os.uname().release,
        "compiler": f"{made_by()['compiler']}, Release (-O2 -g)", "libc": made_by()["libc"],
        "libmicrohttpd": packed("libmicrohttpd12"), "jansson": packed("libjansson4"), "wrk": packed("wrk"),
        "valgrind": packed("valgrind"), "Node.js": said_by("node", "--version"), "Fastify": fastify,
        "source": said_by("git", "-C", HERE, "log", "-1", "--format=%h of %cs"), "load average before": busy,
    }

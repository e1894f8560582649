"""Performs every worked example of config/README.md on a copy of config/, as its text says, and looks what it does.

Environment: PONDWRIGHT_BIN the program, PONDWRIGHT_SOURCE the source tree.
"""

import copy
import glob
import json
import os
import re
import shutil
import signal
import socket
import subprocess
import tempfile
import time
import unittest
import urllib.request

PROGRAM = os.environ["PONDWRIGHT_BIN"]
CONFIG = os.path.join(os.environ["PONDWRIGHT_SOURCE"], "config")
STEP = re.compile(r"^(?P<label>[A-Z][a-z-]*): (?:`(?P<file>[^`]+)`, (?P<what>new file|add to|add at the front of|replace)"
                  r"(?: `(?P<member>[^`]+)`)?|copy `(?P<source>[^`]+)` to `(?P<target>[^`]+)`)$", re.M)
BLOCK = re.compile(r"\s*```json\n(.*?)\n```", re.S)


def steps_of_readme():
    """Steps by the label of their example, in order."""
    with open(os.path.join(CONFIG, "README.md"), encoding="utf-8") as file:
        text = file.read()
    text = text[text.index("## Worked examples"):]
    examples = {}
    for step in STEP.finditer(text):
        found = step.groupdict()
        if found["source"] is None:
            block = BLOCK.match(text, step.end())
            assert block, "no block after: " + step.group(0)
            found["value"] = json.loads(block.group(1))
        examples.setdefault(found["label"], []).append(found)
    assert text.count("```json") == sum(step["source"] is None for steps in examples.values() for step in steps)
    return examples


EXAMPLES = steps_of_readme()


def holder_of(root, path):
    *way, last = path.split(".")
    for name in way:
        root = root[name]
    return root, last


def change(root, step):
    holder, name = holder_of(root, step["member"])
    value = copy.deepcopy(step["value"])
    if step["what"] == "replace":
        assert name in holder, name
        holder[name] = value
    elif step["what"] == "add at the front of":
        holder[name].insert(0, value)
    elif isinstance(holder[name], list):
        holder[name].append(value)
    else:
        assert not set(holder[name]) & set(value)
        holder[name].update(value)


def write(path, value):
    os.makedirs(os.path.dirname(path), exist_ok=True)
    with open(path, "w", encoding="utf-8") as file:
        json.dump(value, file, ensure_ascii=False, indent=2)


def perform(directory, label):
    for step in EXAMPLES[label]:
        if step["source"]:
            target = os.path.join(directory, step["target"])
            assert not os.path.exists(target)
            os.makedirs(os.path.dirname(target), exist_ok=True)
            shutil.copy(os.path.join(directory, step["source"]), target)
        elif step["what"] == "new file":
            path = os.path.join(directory, step["file"])
            assert not os.path.exists(path)
            write(path, step["value"])
        else:
            paths = glob.glob(os.path.join(directory, step["file"]))
            assert paths, step["file"]
            for path in paths:
                with open(path, encoding="utf-8") as file:
                    root = json.load(file)
                change(root, step)
                write(path, root)


def pond(**more):
    enquiry = {"region": "demo-north", "issued_on": "2026-11-25", "shell": "plain-concrete",
               "pond": {"outline": {"kind": "circle", "diameter_m": 5}, "depth_m": 1}}
    enquiry.update(more)
    return enquiry


class Examples(unittest.TestCase):
    def setUp(self):
        room = tempfile.TemporaryDirectory()
        self.addCleanup(room.cleanup)
        self.config = os.path.join(room.name, "config")
        shutil.copytree(CONFIG, self.config)

    def check(self):
        """Counts by what they count; a fault fails the test."""
        done = subprocess.run([PROGRAM, "check", "--config", self.config], capture_output=True, text=True, check=False)
        self.assertEqual(done.returncode, 0, done.stderr)
        return {what: int(count) for count, what in re.findall(r"^ *(\d+) (.+)$", done.stdout, re.M)}

    def ask(self, command, enquiry):
        done = subprocess.run([PROGRAM, command, "--config", self.config, "-"], input=json.dumps(enquiry),
                              capture_output=True, text=True, check=False)
        answer = json.loads(done.stdout)
        self.assertNotIn("errors", answer)
        return answer

    def more_of(self, label, what):
        before = self.check()[what]
        perform(self.config, label)
        self.assertEqual(self.check()[what], before + 1)

    def test_price(self):
        later = pond(issued_on="2027-01-05", start_on="2027-04-01")
        before = self.ask("quote", later)
        self.more_of("Price", "editions")
        after = self.ask("quote", later)
        self.assertEqual((before["edition"], after["edition"]), ("2026-10", "2027-01"))
        self.assertGreater(after["price"]["net_minor"], before["price"]["net_minor"])
        self.assertEqual(self.ask("quote", pond(issued_on="2026-12-31"))["edition"], "2026-10")

    def test_region(self):
        self.more_of("Region", "regions")
        answer = self.ask("quote", pond(region="demo-south"))
        self.assertEqual((answer["region"], answer["currency"]), ("demo-south", "GBP"))
        self.assertGreater(answer["price"]["net_minor"], self.ask("quote", pond())["price"]["net_minor"])

    def test_pump(self):
        self.more_of("Pump", "pumps")
        answer = self.ask("water", {"region": "demo-north", "water": {"flow_l_per_h": 2600, "static_m": 4.8, "run_m": 5}})
        self.assertEqual(answer["water"]["pump"], "demo-pump-7000-high")

    def test_shell(self):
        self.more_of("Shell", "shells")
        single = self.ask("quote", pond(shell="epdm-liner"))
        double = self.ask("quote", pond(shell="epdm-liner-double"))
        self.assertEqual(double["shell"], "epdm-liner-double")
        self.assertEqual(double["takeoff"]["underlay_m2"], 2 * single["takeoff"]["underlay_m2"])

    def test_build_up(self):
        self.more_of("Build-up", "build-ups")
        lines = [line for section in self.ask("quote", pond())["sections"] for line in section["lines"]]
        self.assertIn("hand-over-walk", [line.get("build_up") for line in lines])

    def test_plant(self):
        self.more_of("Plant", "plants")

    def test_rule(self):
        self.more_of("Rule", "rules")
        large = pond(site={"carry_m": 60}, pond={"outline": {"kind": "circle", "diameter_m": 14}, "depth_m": 1.2})
        self.assertIn("own-large-machine-on-lawn", [flag["id"] for flag in self.ask("quote", large)["flags"]])
        self.assertNotIn("own-large-machine-on-lawn", [flag["id"] for flag in self.ask("quote", pond())["flags"]])

    def test_assumption(self):
        self.more_of("Assumption", "assumptions")
        for region, width_m in (("demo-isle", 1.4), ("demo-north", 1)):
            assumed = {row["pointer"]: row["value"] for row in self.ask("quote", pond(region=region))["assumed"]}
            self.assertEqual(assumed["/site/access_width_m"], width_m)

    def test_all_together(self):
        self.assertEqual(len(EXAMPLES), 8)
        for label in EXAMPLES:
            perform(self.config, label)
        self.check()


class Served(unittest.TestCase):
    """A service that runs takes examples up when it is told."""

    def setUp(self):
        room = tempfile.TemporaryDirectory()
        self.addCleanup(room.cleanup)
        self.config = os.path.join(room.name, "config")
        shutil.copytree(CONFIG, self.config)
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            self.address = "127.0.0.1:%d" % probe.getsockname()[1]
        self.service = subprocess.Popen([PROGRAM, "serve", "--config", self.config, "--listen", self.address],
                                        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        self.addCleanup(self.stop)
        self.until(lambda: self.get("/readyz"))

    def stop(self):
        self.service.terminate()
        self.assertEqual(self.service.wait(30), 0)

    def until(self, ready):
        for _ in range(600):
            if ready():
                return
            time.sleep(0.05)
        self.fail("waited for half a minute")

    def get(self, path):
        try:
            with urllib.request.urlopen("http://%s%s" % (self.address, path), timeout=10) as answer:
                return answer.status == 200
        except OSError:
            return False

    def post(self, path, enquiry):
        request = urllib.request.Request("http://%s%s" % (self.address, path), json.dumps(enquiry).encode(),
                                         {"Content-Type": "application/json"})
        with urllib.request.urlopen(request, timeout=30) as answer:
            return json.load(answer)

    def taken_up(self, label, path, enquiry):
        """The answers before and after an example and a SIGHUP."""
        before = self.post(path, enquiry)
        digest = self.post("/v1/quote", pond())["config"]
        perform(self.config, label)
        self.assertEqual(self.post(path, enquiry), before)
        self.service.send_signal(signal.SIGHUP)
        self.until(lambda: self.post("/v1/quote", pond())["config"] != digest)
        return before, self.post(path, enquiry)

    def test_price_changes_the_next_quote(self):
        before, after = self.taken_up("Price", "/v1/quote", pond(issued_on="2027-01-05", start_on="2027-04-01"))
        self.assertGreater(after["price"]["net_minor"], before["price"]["net_minor"])

    def test_pump_is_chosen_at_once(self):
        before, after = self.taken_up("Pump", "/v1/water", {"region": "demo-north", "water": {
            "flow_l_per_h": 2600, "static_m": 4.8, "run_m": 5}})
        self.assertNotEqual(before["water"]["pump"], "demo-pump-7000-high")
        self.assertEqual(after["water"]["pump"], "demo-pump-7000-high")


if __name__ == "__main__":
    unittest.main()

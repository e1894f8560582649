"""Rates as a sheet and back, read and written by Python's csv module; and the walk of config/README.md from a price
change to a new edition, performed on a copy of the configuration with a running service."""
import csv
import io
import json
import os
import re
import shlex
import shutil
import signal
import subprocess
import tempfile
import time
import unittest
import urllib.request

PROGRAM = os.environ["PONDWRIGHT_BIN"]
CONFIG = os.environ["PONDWRIGHT_CONFIG"]
SOURCE = os.environ["PONDWRIGHT_SOURCE"]
COLUMNS = ["kind", "item", "pack", "title", "unit", "price", "supplier", "as_of", "source"]
POND = {"region": "demo-north", "issued_on": "2026-11-25", "shell": "rendered-concrete",
        "pond": {"outline": {"kind": "circle", "diameter_m": 4}, "depth_m": 1}}


def run(*arguments, status=0):
    done = subprocess.run([PROGRAM, *arguments], capture_output=True)
    assert done.returncode == status, (arguments, done.returncode, done.stderr.decode())
    return done


def content(path):
    with open(path, "rb") as file:
        return file.read()


def read_sheet(data):
    return list(csv.reader(io.StringIO(data.decode("utf-8"), newline="")))


def write_sheet(path, rows, **dialect):
    with open(path, "w", encoding=dialect.pop("encoding", "utf-8"), newline="") as out:
        csv.writer(out, **dialect).writerows(rows)


class Rates(unittest.TestCase):
    def setUp(self):
        self.work = tempfile.mkdtemp()
        self.addCleanup(shutil.rmtree, self.work)
        self.config = os.path.join(self.work, "config")
        shutil.copytree(CONFIG, self.config)
        self.sheet = os.path.join(self.work, "rates.csv")

    def edition(self, region, name):
        with open(os.path.join(self.config, "regions", region, name + ".json"), encoding="utf-8") as file:
            return json.load(file)

    def export(self, region="demo-north", edition="2026-10"):
        return run("rates", "export", "--config", self.config, "--region", region, "--edition", edition).stdout

    def importing(self, *more, region="demo-north", old="2026-10", new="2027-01", status=0):
        return run("rates", "import", "--config", self.config, "--region", region, "--from", old, "--edition", new,
                   *more, status=status)

    def rows_of(self, document):
        """What the sheet must hold, counted from the JSON without the program."""
        def leaves(value):
            if isinstance(value, dict):
                return sum(leaves(v) for k, v in value.items())
            if isinstance(value, list):
                return sum(leaves(v) for v in value)
            return 1
        return leaves({key: value for key, value in document.items() if key != "sources"})

    def test_every_edition_comes_back_whole(self):
        for region in sorted(os.listdir(os.path.join(self.config, "regions"))):
            for name in sorted(os.listdir(os.path.join(self.config, "regions", region))):
                if name == "region.json":
                    continue
                old, edition = name[:-5], self.edition(region, name[:-5])
                data = self.export(region, old)
                rows = read_sheet(data)
                self.assertEqual(rows[0], COLUMNS)
                self.assertEqual(len(rows) - 1, self.rows_of(edition))
                self.assertTrue(all(len(row) == len(COLUMNS) for row in rows))
                self.assertEqual(data.count(b"\r\n"), len(rows))
                write_sheet(self.sheet, rows)
                self.importing(self.sheet, region=region, old=old, new="2031-01")
                again = self.edition(region, "2031-01")
                self.assertEqual(again.pop("from"), "2031-01-01")
                edition.pop("from")
                self.assertEqual(again, edition)
                self.assertEqual(list(again), list(edition))
                os.remove(os.path.join(self.config, "regions", region, "2031-01.json"))

    def test_prices_are_those_of_the_file(self):
        edition = self.edition("demo-north", "2026-10")
        for row in read_sheet(self.export())[1:]:
            if row[0] == "price":
                self.assertEqual(float(row[5]), edition["prices"][row[1]][row[2]])
            elif row[0] in ("labour", "sum"):
                self.assertEqual(float(row[5]), edition[row[0] + "s" if row[0] == "sum" else row[0]][row[1]])

    def test_other_dialects_that_spreadsheets_write(self):
        rows = read_sheet(self.export())
        dialects = [dict(quoting=csv.QUOTE_ALL), dict(lineterminator="\n"), dict(encoding="utf-8-sig"),
                    dict(quoting=csv.QUOTE_ALL, lineterminator="\n", encoding="utf-8-sig")]
        shouted = [[("TRUE" if cell == "true" else cell) for cell in row] for row in rows]
        for number, dialect in enumerate(dialects):
            write_sheet(self.sheet, shouted, **dialect)
            self.importing(self.sheet, new="20%d-01" % (31 + number))
            again = self.edition("demo-north", "20%d-01" % (31 + number))
            self.assertEqual(again["prices"], self.edition("demo-north", "2026-10")["prices"])
            self.assertIs(again["invented"], True)

    def test_sources_are_kept_and_come_back(self):
        rows = read_sheet(self.export())
        cement = next(row for row in rows if row[1:3] == ["cement", "bag"])
        cement[5], cement[7], cement[8] = "6.95", "2026-11-20", 'list of "demo" merchant, page 3'
        write_sheet(self.sheet, rows)
        self.importing(self.sheet)
        self.assertEqual(self.edition("demo-north", "2027-01")["sources"],
                         {"cement/bag": {"as_of": "2026-11-20", "source": 'list of "demo" merchant, page 3'}})
        again = read_sheet(self.export(edition="2027-01"))
        self.assertEqual(next(row for row in again if row[1:3] == ["cement", "bag"]), cement)

    def test_every_slip_is_said_with_its_line_and_nothing_is_written(self):
        good = read_sheet(self.export())
        at = next(i for i, row in enumerate(good) if row[1:3] == ["cement", "bag"])

        def refuses(change, *words):
            rows = [list(row) for row in good]
            change(rows)
            write_sheet(self.sheet, rows)
            said = self.importing(self.sheet, status=1).stderr.decode()
            for word in words:
                self.assertIn(word, said)
            self.assertFalse(os.path.exists(os.path.join(self.config, "regions", "demo-north", "2027-01.json")))

        line = "%s:%d:" % (self.sheet, at + 1)
        refuses(lambda r: r[at].__setitem__(5, "6,95"), line, "no number")
        refuses(lambda r: r[at].__setitem__(5, "-1"), line, "no price")
        refuses(lambda r: r[at].__setitem__(5, "6.9500001"), line, "decimals")
        refuses(lambda r: r[at].__setitem__(1, "cemnet"), line, "did you mean cement")
        refuses(lambda r: r[at].__setitem__(7, "20.11.2026"), line, "as_of")
        refuses(lambda r: r[at].__setitem__(8, "=A1"), line, "formula")
        refuses(lambda r: r[at].pop(), line, "8 fields")
        refuses(lambda r: r.insert(at, r[at]), "%s:%d:" % (self.sheet, at + 2), "second time")
        refuses(lambda r: r.pop(at), "cement bag is missing")
        refuses(lambda r: r[0].__setitem__(5, "cost"), self.sheet + ":1:", "must begin")
        refuses(lambda r: [row.__setitem__(5, "0.9") for row in r if row[1] == "/payment/0/share"], "/payment", "add up")
        with open(self.sheet, "wb") as out:
            out.write(self.export() + b'price,"cement')
        said = self.importing(self.sheet, status=1).stderr.decode()
        self.assertIn(":%d: a quote is opened and never closed" % (len(good) + 1), said)

    def test_an_edition_that_is_there_is_never_changed(self):
        before = content(os.path.join(self.config, "regions/demo-north/2026-10.json"))
        said = self.importing(new="2026-10", status=1).stderr.decode()
        self.assertIn("is there already", said)
        self.importing(new="2026-13", status=2)
        self.importing(new="next", status=2)
        self.assertEqual(content(os.path.join(self.config, "regions/demo-north/2026-10.json")), before)

    def test_a_uniform_rise_raises_every_price_to_the_nearest_coin(self):
        said = self.importing("--rise", "3.5", "--enquiries",
                              os.path.join(SOURCE, "tests/fixtures/2-new-garden-pond/enquiry.json")).stdout.decode()
        old, new = self.edition("demo-north", "2026-10"), self.edition("demo-north", "2027-01")
        for item, packs in old["prices"].items():
            for pack, price in packs.items():
                self.assertAlmostEqual(new["prices"][item][pack], price * 1.035, delta=0.005 + 1e-9)
        self.assertEqual(new["shares"], old["shares"])
        self.assertEqual(new["minimum_charge"], old["minimum_charge"])
        self.assertRegex(said, r"2-new-garden-pond/enquiry.json: net £[\d,.]+ -> £[\d,.]+ \(\+3\.[3-7] %\)")


class Walk(unittest.TestCase):
    """config/README.md, section "From a price change to a new edition", line by line."""

    def quote(self, day):
        request = urllib.request.Request(self.url + "/v1/quote", json.dumps({**POND, "issued_on": day}).encode(),
                                         {"Content-Type": "application/json"})
        with urllib.request.urlopen(request, timeout=20) as reply:
            return json.load(reply)

    def start(self):
        self.log = open(os.path.join(self.work, "log"), "w+b")
        self.service = subprocess.Popen([PROGRAM, "serve", "--config", self.config, "--listen", "127.0.0.1:0"],
                                        stderr=self.log)
        self.addCleanup(self.stop)
        self.url = "http://" + self.wait_for(rb"127\.0\.0\.1:\d+").decode()

    def stop(self):
        self.service.send_signal(signal.SIGTERM)
        self.assertEqual(self.service.wait(20), 0)
        self.log.close()

    def wait_for(self, pattern, times=1):
        for _ in range(600):
            with open(os.path.join(self.work, "log"), "rb") as log:
                found = re.findall(pattern, log.read())
            if len(found) >= times:
                return found[-1]
            time.sleep(0.05)
        self.fail("the service did not say %r" % pattern)

    def test_the_walk(self):
        self.work = tempfile.mkdtemp()
        self.addCleanup(shutil.rmtree, self.work)
        self.config = os.path.join(self.work, "config")
        shutil.copytree(CONFIG, self.config)
        shutil.copytree(os.path.join(SOURCE, "tests/fixtures"), os.path.join(self.work, "tests/fixtures"))
        text = content(os.path.join(CONFIG, "README.md")).decode()
        section = re.search(r"\n## From a price change to a new edition\n(.*?)\n## ", text, re.S).group(1)
        commands = [line.strip() for line in section.split("\n") if line.startswith("       ")]
        item, pack, old, new = re.search(r"the price of `(\S+)`, `(\S+)` from ([\d.]+) to ([\d.]+)", section).groups()
        self.assertEqual(len(commands), 5)
        self.start()
        before = self.quote("2027-01-02")
        for command in commands:
            command = command.replace("build/pondwright", shlex.quote(PROGRAM)).replace('"$(pidof pondwright)"', str(self.service.pid))
            done = subprocess.run(command, shell=True, cwd=self.work, capture_output=True, text=True)
            self.assertEqual(done.returncode, 0, command + done.stderr)
            if " rates export " in command:
                self.edit(item, pack, old, new)
            if " rates.csv --enquiries" in command:
                self.assertIn("price %s %s: %g -> %g" % (item, pack, float(old), float(new)), done.stdout)
                self.assertRegex(done.stdout, r"3a-rebuild-agreed/enquiry.json: net £")
        for _ in range(200):
            after = self.quote("2027-01-02")
            if after["edition"] == "2027-01":
                break
            time.sleep(0.05)
        self.assertEqual((before["edition"], after["edition"]), ("2026-10", "2027-01"))
        self.assertGreaterEqual(after["price"]["net_minor"], before["price"]["net_minor"])
        self.assertEqual(self.quote("2026-12-31")["price"], self.quote_of_old())

    def quote_of_old(self):
        done = subprocess.run([PROGRAM, "quote", "--config", CONFIG], input=json.dumps({**POND, "issued_on": "2026-12-31"}),
                              capture_output=True, text=True, check=True)
        return json.loads(done.stdout)["price"]

    def edit(self, item, pack, old, new):
        path = os.path.join(self.work, "rates.csv")
        rows = read_sheet(content(path))
        row = next(row for row in rows if row[1:3] == [item, pack])
        self.assertEqual(row[5], old)
        row[5], row[7], row[8] = new, "2026-11-20", "demo merchant's list, invented"
        write_sheet(path, rows)


if __name__ == "__main__":
    unittest.main()

"""A rate sheet goes through a real spreadsheet, LibreOffice Calc without a screen: CSV to its own file and back to CSV
again. The edition that is made of it is the one that it came from."""
import csv
import json
import os
import shutil
import subprocess
import tempfile
import unittest

PROGRAM = os.environ["PONDWRIGHT_BIN"]
CONFIG = os.environ["PONDWRIGHT_CONFIG"]
AS_CSV = "Text - txt - csv (StarCalc):44,34,76,1"  # comma, double quote, UTF-8, from line 1


class Spreadsheet(unittest.TestCase):
    def setUp(self):
        self.work = tempfile.mkdtemp()
        self.addCleanup(shutil.rmtree, self.work)
        self.config = os.path.join(self.work, "config")
        shutil.copytree(CONFIG, self.config)

    def convert(self, to, path, *more):
        out = os.path.join(self.work, to.split(":")[0])
        environment = {**os.environ, "HOME": self.work}
        environment.pop("LD_PRELOAD", None)
        subprocess.run(["soffice", "--headless", "--norestore", "--convert-to", to, *more, "--outdir", out, path],
                       check=True, capture_output=True, env=environment, timeout=200)
        return os.path.join(out, os.path.splitext(os.path.basename(path))[0] + "." + to.split(":")[0])

    def rates(self, *arguments):
        subprocess.run([PROGRAM, "rates", *arguments], check=True, capture_output=True)

    def edition(self, name):
        with open(os.path.join(self.config, "regions", "demo-north", name + ".json"), encoding="utf-8") as file:
            return json.load(file)

    def test_a_sheet_comes_back_from_a_spreadsheet_without_loss(self):
        sheet = os.path.join(self.work, "rates.csv")
        self.rates("export", "--config", self.config, "--region", "demo-north", "--edition", "2026-10", sheet)
        with open(sheet, encoding="utf-8", newline="") as file:
            rows = list(csv.reader(file))
        cement = next(row for row in rows if row[1:3] == ["cement", "bag"])
        cement[7:] = ["2026-11-20", "list of 2026, \"page 3\""]
        with open(sheet, "w", encoding="utf-8", newline="") as file:
            csv.writer(file).writerows(rows)
        back = self.convert("csv:" + AS_CSV, self.convert("ods", sheet, "--infilter=" + AS_CSV))
        self.rates("import", "--config", self.config, "--region", "demo-north", "--from", "2026-10", "--edition",
                   "2027-01", back)
        old, new = self.edition("2026-10"), self.edition("2027-01")
        self.assertEqual(new.pop("from"), "2027-01-01")
        old.pop("from")
        self.assertEqual(new.pop("sources"), {"cement/bag": {"as_of": cement[7], "source": cement[8]}})
        self.assertEqual(new, old)


if __name__ == "__main__":
    unittest.main()

#!/usr/bin/python3
"""Writes tests/reference/README.md: runs the reference tests that keep a record and puts every check into a table.

    PONDWRIGHT_BIN=build/pondwright tests/reference/report.py"""
import json
import os
import re
import subprocess
import sys
import tempfile

HERE = os.path.dirname(os.path.abspath(__file__))
ROOT = os.path.dirname(os.path.dirname(HERE))
PARTS = ("geometry", "water", "materials", "money", "rules", "programme")
HEAD = os.path.join(HERE, "README.head.md")


def environment():
    defaults = {"PONDWRIGHT_BIN": os.path.join(ROOT, "build", "pondwright"), "PONDWRIGHT_CONFIG": os.path.join(ROOT, "config"),
                "PONDWRIGHT_FIXTURES": os.path.join(ROOT, "tests", "fixtures"), "PONDWRIGHT_SOURCE": ROOT}
    return {**defaults, **os.environ}


def rows_of(part):
    with tempfile.NamedTemporaryFile(suffix=".json") as file:
        done = subprocess.run(["/usr/bin/python3", "-B", os.path.join(HERE, f"test_{part}.py")], env={**environment(), "PONDWRIGHT_RECORD": file.name},
                              capture_output=True, text=True, check=False)
        print(done.stdout.strip().splitlines()[-1] if done.stdout.strip() else done.stderr, file=sys.stderr)
        text = file.read()
    if not text:
        sys.exit(f"test_{part}.py kept no record")
    return json.loads(text)


def shown(value):
    return f"{value:.9g}" if isinstance(value, float) else str(value)


def cell(text):
    """No bars, and no figure that only a random name holds."""
    return re.sub(r"\s+", " ", str(text)).replace("|", "\\|")


def table(rows):
    lines = ["| check | source | our value | theirs | difference | allowed | checks |", "|---|---|---|---|---|---|---|"]
    for row in rows:
        check = row["check"] + (f". {row['note']}" if row["note"] else "")
        lines.append("| " + " | ".join(cell(value) for value in (check, row["source"] or "own promise", shown(row["ours"]), shown(row["theirs"]),
                                                                  row["difference"], row["allowed"], row["count"])) + " |")
    return lines


def main():
    with open(HEAD, encoding="utf-8") as file:
        lines = [file.read().rstrip(), ""]
    failed, total = 0, 0
    for part in PARTS:
        found = rows_of(part)
        failed += len(found["failures"])
        total += sum(row["count"] for row in found["rows"])
        lines += [f"## {part.capitalize()}", "", *table(found["rows"]), ""]
    lines += [f"{total} checks, {failed} failed.", ""]
    with open(os.path.join(HERE, "README.md"), "w", encoding="utf-8") as file:
        file.write("\n".join(lines))
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())

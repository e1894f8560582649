#!/usr/bin/python3
"""Draws how the price narrows while questions are answered: tests/reference/range-narrowing.svg.

    PONDWRIGHT_BIN=build/pondwright tests/reference/answers_svg.py

Invented callers know an oval of 5.5 by 3.5 m, 0.6 m deep, and nothing else. Each one's answers are drawn from config/unknowns.json
(the row that holds always), by a generator with a fixed seed. They are asked in three orders: the first of ask_next, again after
every answer; the order of the form; a random one. The curves are the mean over the callers of P90 - P10 of the gross price."""

import json
import os
import random
import subprocess
import sys

ROOT = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
PROGRAM = os.environ.get("PONDWRIGHT_BIN", os.path.join(ROOT, "build", "pondwright"))
CONFIG = os.path.join(ROOT, "config")
CALLERS = 12
ORDERS = ("advised", "form", "random")
COLOURS = {"advised": "#0a5d5d", "form": "#b35c00", "random": "#767676"}
NAMES = {"advised": "as advised", "form": "as the form has it", "random": "at random"}
WIDTH, HEIGHT, LEFT, TOP, RIGHT, BOTTOM = 720, 400, 80, 30, 20, 60


def usual_rows():
    with open(os.path.join(CONFIG, "unknowns.json"), encoding="utf-8") as file:
        rows = json.load(file)["unknowns"]
    return {row["pointer"]: row for row in rows if "pointer" in row and "when" not in row and "region" not in row}


def answer_of(row, chance):
    if "words" not in row:
        return round(chance.triangular(row["low"], row["high"], row["likely"]), 3)
    word = chance.choices(list(row["words"]), list(row["words"].values()))[0]
    return {"true": True, "false": False}.get(word, word)


def answers_of_caller(rows, chance):
    answers = {pointer: answer_of(row, chance) for pointer, row in rows.items()}
    if answers["/pond/profile/kind"] != "battered":
        for name in ("side_slope", "shelf_width_m", "shelf_depth_m"):
            del answers["/pond/profile/" + name]
    return answers


def enquiry_with(answers):
    enquiry = {"region": "demo-north", "issued_on": "2026-11-25",
               "pond": {"outline": {"kind": "ellipse", "length_m": 5.5, "width_m": 3.5}, "depth_m": 0.6}}
    for pointer, value in answers.items():
        place = enquiry
        *holders, name = pointer.strip("/").split("/")
        for holder in holders:
            place = place.setdefault(holder, {})
        place[name] = value
    if "profile" in enquiry["pond"]:
        enquiry["pond"]["profile"].setdefault("kind", "battered")
    return enquiry


def ranged(answers):
    done = subprocess.run([PROGRAM, "range", "--config", CONFIG, "-"], input=json.dumps(enquiry_with(answers)),
                          capture_output=True, text=True, check=False)
    if done.returncode:
        sys.exit(f"{done.stdout}{done.stderr}")
    return json.loads(done.stdout)


def next_pointer(order, found, left, shuffled):
    """The question to ask, of those that the range still has; a bed's kind before what belongs to it."""
    asked = [entry["pointer"] for entry in found["ask_next"] if entry["pointer"] in left]
    if not asked:
        return None
    if order == "advised":
        return asked[0]
    return next(pointer for pointer in (left if order == "form" else shuffled) if pointer in asked)


def widths(order, answers, chance):
    known, found = {}, ranged({})
    shuffled = list(answers)
    chance.shuffle(shuffled)
    path = [found["gross"]["high_minor"] - found["gross"]["low_minor"]]
    while True:
        left = {pointer: value for pointer, value in answers.items() if pointer not in known}
        pointer = next_pointer(order, found, left, shuffled)
        if pointer is None:
            return path
        if pointer.startswith("/pond/profile/"):
            known["/pond/profile/kind"] = answers["/pond/profile/kind"]
        known[pointer] = answers.get(pointer)
        found = ranged(known)
        path.append(found["gross"]["high_minor"] - found["gross"]["low_minor"])


def curves():
    rows = usual_rows()
    sums = {}
    for order in ORDERS:
        paths = []
        for caller in range(CALLERS):
            answers = answers_of_caller(rows, random.Random(caller))
            answers = {pointer: value for pointer, value in answers.items()
                       if not pointer.startswith(("/old_pond", "/stream"))}
            paths.append(widths(order, answers, random.Random(1000 + caller)))
        longest = max(map(len, paths))
        padded = [path + [path[-1]] * (longest - len(path)) for path in paths]
        sums[order] = [sum(column) / CALLERS / 100 for column in zip(*padded)]
    return sums


def draw(found):
    steps = max(map(len, found.values())) - 1
    most = max(max(path) for path in found.values())
    step_px, unit_px = (WIDTH - LEFT - RIGHT) / steps, (HEIGHT - TOP - BOTTOM) / most
    base = HEIGHT - BOTTOM
    parts = [f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" font-family="sans-serif" font-size="13">',
             "<title>Width of the price range as questions are answered</title>",
             f'<rect width="{WIDTH}" height="{HEIGHT}" fill="#fff"/>']
    for amount in range(0, int(most) + 1, 500):
        y = base - amount * unit_px
        parts.append(f'<path d="M{LEFT} {y:.1f}H{WIDTH - RIGHT}" stroke="#ddd"/>'
                     f'<text x="{LEFT - 8}" y="{y + 4:.1f}" text-anchor="end">{amount}</text>')
    for step in range(0, steps + 1, 2):
        parts.append(f'<text x="{LEFT + step * step_px:.1f}" y="{base + 18}" text-anchor="middle">{step}</text>')
    for place, (order, path) in enumerate(found.items()):
        points = " ".join(f"{LEFT + i * step_px:.1f},{base - width * unit_px:.1f}" for i, width in enumerate(path))
        parts.append(f'<polyline points="{points}" fill="none" stroke="{COLOURS[order]}" stroke-width="2.5"/>'
                     f'<text x="{WIDTH - RIGHT - 150}" y="{TOP + 16 + 18 * place}" fill="{COLOURS[order]}">{NAMES[order]}</text>')
    parts.append(f'<text x="{(LEFT + WIDTH - RIGHT) / 2}" y="{HEIGHT - 14}" text-anchor="middle">questions answered</text>'
                 f'<text transform="translate(18 {(TOP + base) / 2}) rotate(-90)" text-anchor="middle">'
                 f"P90 - P10 of the gross price, mean of {CALLERS} invented callers</text></svg>")
    return "\n".join(parts) + "\n"


def main():
    found = curves()
    target = os.path.join(ROOT, "tests", "reference", "range-narrowing.svg")
    with open(target, "w", encoding="utf-8") as file:
        file.write(draw(found))
    for order, path in found.items():
        print(f"{NAMES[order]}: {' '.join(f'{width:.0f}' for width in path)}")


if __name__ == "__main__":
    main()

"""The register of a reference test: every check with its source, what pondwright says, what the source says, and how far
apart they may be. PONDWRIGHT_RECORD names a file to which the rows are written for report.py."""
import json
import math
import os
import sys

COMMON_PRACTICE = "common practice, no source"


class Record:
    def __init__(self, part):
        self.part = part
        self.rows = []
        self.failures = []

    def _row(self, check, source, ours, theirs, difference, allowed, count, note):
        self.rows.append({"part": self.part, "check": check, "source": source, "ours": ours, "theirs": theirs,
                          "difference": difference, "allowed": allowed, "count": count, "note": note})

    def fail(self, check, text):
        self.failures.append(f"{check}: {text}")

    def number(self, check, source, ours, theirs, relative=0.0, absolute=0.0, note=""):
        """One figure against one figure. Allowed: relative share of theirs, plus an absolute amount."""
        self.numbers(check, source, [("", ours, theirs)], relative, absolute, note)

    def numbers(self, check, source, triples, relative=0.0, absolute=0.0, note=""):
        """Many figures (name, ours, theirs) that stand in one row: the one that is furthest off for what is allowed."""
        triples = list(triples)
        worst = None
        for name, ours, theirs in triples:
            finite = all(isinstance(x, (int, float)) and math.isfinite(x) for x in (ours, theirs))
            off = abs(ours - theirs) if finite else math.inf
            limit = relative * abs(theirs) + absolute if finite else 0
            used = 0 if off == 0 else off / limit if limit > 0 else math.inf
            if not off <= limit:
                self.fail(check, f"{name} ours {ours!r}, theirs {theirs!r}")
            if worst is None or used > worst[0]:
                worst = (used, name, ours, theirs, off)
        if worst is None:
            self.fail(check, "nothing was checked")
            return
        _, name, ours, theirs, off = worst
        share = off / abs(theirs) if theirs else off
        self._row(check + (f" (furthest off: {name})" if name else ""), source, ours, theirs,
                  f"{share:.1e}" if theirs else f"{off:.1e} absolute", _allowed(relative, absolute), len(triples), note)

    def same(self, check, source, triples, note=""):
        """Things (name, ours, theirs) that must be equal."""
        triples = list(triples)
        wrong = [(name, ours, theirs) for name, ours, theirs in triples if ours != theirs]
        for name, ours, theirs in wrong[:20]:
            self.fail(check, f"{name} ours {ours!r}, theirs {theirs!r}")
        if not triples:
            self.fail(check, "nothing was checked")
        few = len(triples) == 1 and not isinstance(triples[0][1], (dict, list, set))
        self._row(check, source, triples[0][1] if few else f"{len(triples) - len(wrong)} the same",
                  triples[0][2] if few else f"{len(triples)}", "none" if not wrong else f"{len(wrong)} differ", "equal",
                  len(triples), note)

    def holds(self, check, source, cases, note=""):
        """Properties: cases of (name, true or false)."""
        cases = list(cases)
        broken = [name for name, true in cases if not true]
        for name in broken[:20]:
            self.fail(check, str(name))
        if not cases:
            self.fail(check, "nothing was checked")
        self._row(check, source, f"{len(cases) - len(broken)} hold", f"{len(cases)}",
                  "none" if not broken else f"{len(broken)} broken", "all", len(cases), note)

    def finish(self):
        path = os.environ.get("PONDWRIGHT_RECORD")
        if path:
            with open(path, "w", encoding="utf-8") as file:
                json.dump({"rows": self.rows, "failures": self.failures}, file)
        for failure in self.failures:
            print("FAILED", failure)
        print(f"{self.part}: {sum(row['count'] for row in self.rows)} checks in {len(self.rows)} rows, "
              f"{len(self.failures)} failed")
        sys.exit(1 if self.failures else 0)


def _allowed(relative, absolute):
    parts = ([f"{relative:.2g} of it"] if relative else []) + ([f"{absolute:.2g}"] if absolute else [])
    return " + ".join(parts) or "0"

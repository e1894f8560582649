"""Permission, species and safety flags of /v1/screen against vectors and cases.

vectors.json: 25 sites with the whole set of flags that they must raise, written beside the statutes before the rules were
put into config/. common-cases.json and nation-cases.json: for each rule facts that make it fire, keep it silent, and leave
it unknown; null where a rule has no such case. Which statute or guidance a rule rests on stands at the rule itself, under
`source`, and each answer repeats it."""
import os

from program import FIXTURES, Service, config_folder, read_json
from record import Record

WORKED = "vectors written from the statutes and official pages that the rules name"
record = Record("rules")
service = Service()


def fixture(name):
    return read_json(os.path.join(FIXTURES, "rules", name))


def flags_of(facts_of):
    """Flags of each set of facts, as {id: (level, raised_by)}."""
    enquiries = [{"region": "demo-north", "issued_on": "2026-11-25", "facts": facts} for facts in facts_of]
    return service.ask_all("/v1/screen", enquiries,
                           take=lambda answer: {flag["id"]: (flag["level"], flag["raised_by"]) for flag in answer["flags"]})


def shown(level, flags):
    """Ids of one column of a vector: ? marks what an unknown raised."""
    levels = {"stop": ("stop",), "check_or_ask": ("check", "ask"), "note": ("note",)}[level]
    return sorted(rule + ("?" if raised == "unknown" else "") for rule, (of, raised) in flags.items() if of in levels)


def vectors():
    rows = fixture("vectors.json")
    found = flags_of(row["facts"] for row in rows)
    for level in ("stop", "check_or_ask", "note"):
        record.same(f"25 sites, every flag of the column {level}", WORKED,
                    [(f"site {row['no']}", shown(level, flags), sorted(row[level])) for row, flags in zip(rows, found)])


def cases():
    rules = {rule["id"]: rule for document in config_folder("rules").values() for rule in document["rules"]}
    tried = {"fires": set(), "silent": set(), "unknown": set()}
    for name in ("common-cases.json", "nation-cases.json"):
        document = fixture(name)
        rows = document if isinstance(document, list) else document["cases"]
        for kind in ("fires", "silent", "unknown"):
            asked = [row for row in rows if row[kind] is not None]
            found = flags_of({"nation": row["nation"], **row[kind]} for row in asked)
            record.holds(f"{name}: {len(asked)} cases of {kind}", "the statute or guidance at each rule",
                         [(f"{row['rule']} {row['nation']} {row[kind]}: {flags.get(row['rule'])}", answers(kind, rules[row["rule"]], flags.get(row["rule"])))
                          for row, flags in zip(asked, found)])
            tried[kind] |= {row["rule"] for row in asked}
    record.holds("every rule of config/rules/ has a case that fires it", "", [(rule, rule in tried["fires"]) for rule in rules])
    record.holds("every rule but those that always speak has a case that keeps it silent", "",
                 [(rule, rule in tried["silent"] or always_speaks(document)) for rule, document in rules.items()])
    record.holds("every rule that speaks when a fact is unknown has such a case", "",
                 [(rule, rule in tried["unknown"]) for rule, document in rules.items() if speaks_unknown(document)])


def always_speaks(rule):
    return rule.get("when") in (None, True) or rule["id"] == "ask-locally"


def unknown_level(rule):
    """What a rule says while a fact that it needs is unknown: ask unless it says otherwise; a note is silent."""
    return "none" if rule["level"] == "note" else rule.get("unknown", "ask")


def speaks_unknown(rule):
    return unknown_level(rule) != "none" and not always_speaks(rule)


def answers(kind, rule, flag):
    if kind == "silent":
        return flag is None
    if kind == "fires":
        return flag == (rule["level"], "fact")
    return flag == (unknown_level(rule), "unknown") if unknown_level(rule) != "none" else flag is None


def sources():
    """A flag says whom to ask, why, and where that is written."""
    documents = config_folder("rules")
    rules = [rule for document in documents.values() for rule in document["rules"]]
    record.holds(f"each of {len(rules)} rules names a source, an authority and when it was checked", "",
                 [(rule["id"], all(rule.get(key) for key in ("source", "authority", "verified"))) for rule in rules])


def main():
    vectors()
    cases()
    sources()
    service.close()
    record.finish()


if __name__ == "__main__":
    main()

"""The digest of a configuration and the reference of a quote, worked out anew with Python's hashlib (FIPS 180-4) from what
server/config.h and server/reference.h say of them. The symbols are those of Crockford's base 32 with its check symbols,
the check is the number modulo 37 ("Base 32 Encoding", D. Crockford, crockford.com)."""

import hashlib
import json
import os
import subprocess

from program import CONFIG, FIXTURES, PROGRAM, fixtures

SYMBOLS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ*~$=U"


def config_digest(folder):
    """Every JSON file by its path, the bytes of the path deciding: path, NUL, size in eight bytes, content."""
    paths = [os.path.relpath(os.path.join(holder, name), folder) for holder, _, names in os.walk(folder) for name in names
             if name.endswith(".json")]
    digest = hashlib.sha256()
    for path in sorted(paths, key=os.fsencode):
        with open(os.path.join(folder, path), "rb") as file:
            content = file.read()
        digest.update(os.fsencode(path) + b"\0" + len(content).to_bytes(8, "big") + content)
    return digest.hexdigest()


def reference(canonical, edition, digest):
    """The first 55 bits in eleven symbols, and a twelfth that checks them."""
    bits = int.from_bytes(hashlib.sha256(canonical + f"\n{edition}\n{digest}".encode()).digest()[:8], "big") >> 9
    return "".join(SYMBOLS[bits >> 5 * place & 31] for place in reversed(range(11))) + SYMBOLS[bits % 37]


def quote(fixture):
    return subprocess.run([PROGRAM, "quote", "--config", CONFIG, os.path.join(FIXTURES, fixture, "enquiry.json")],
                          check=True, capture_output=True).stdout


def canonical_of(answer):
    """The bytes of the enquiry as they stand in the answer, of which it is the last member."""
    start = answer.rindex(b'"enquiry":') + len(b'"enquiry":')
    return answer[start:answer.rindex(b"}")]


def test_digests_and_references():
    digest = config_digest(CONFIG)
    for fixture in fixtures():
        text = quote(fixture)
        answer = json.loads(text)
        assert json.loads(canonical_of(text)) == answer["enquiry"], fixture
        assert answer["config"] == digest, (fixture, answer["config"], digest)
        expected = reference(canonical_of(text), answer["edition"], digest)
        assert answer["reference"] == expected, (fixture, answer["reference"], expected)


if __name__ == "__main__":
    test_digests_and_references()
    print("config digest and", len(fixtures()), "references: as hashlib has them")

#!/usr/bin/env python3
"""The fingerprint, the content digest and the readable form, written a second time.

Follows packages/core/docs/fingerprint.md and nothing else; Python's standard library only. Memory is a plain map from
address to byte and the covered bytes are a plain set of addresses: slow, and different from the other one in every
step. Use it on small memories.

    fingerprint.py check     compares the vector files beside it with what it computes; exit code 1 on a difference
    fingerprint.py write     writes what it computes into the vector files
    fingerprint.py answer    reads cases from standard input, one JSON object a line, and writes one answer a line

A case or vector is one of
    { "segments": [[address, "hex"], ...], "part": { "spans": [[start, end], ...], "masked": [...], "erased": byte or null } }
    { "segments": [...] }                  for the content digest
    { "digest": "hex" }                    for the readable form
    { "text": "..." }                      for reading one that was typed in
"""

import hashlib
import json
import pathlib
import sys

ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
TAKEN_FOR = {"O": "0", "I": "1", "L": "1"}
PASSED_OVER = "\t\n\r \u00a0\u202f-\u2010\u2011\u2012\u2013\u2014\u2015\u2212"
FILES = ("fingerprints.json", "contents.json", "readable.json", "typed.json")


def memory_of(segments):
    """A map from address to byte."""
    memory = {}
    for address, digits in segments:
        for offset, byte in enumerate(bytes.fromhex(digits)):
            if address + offset in memory or address + offset >= 2**32:
                raise ValueError(f"expected disjoint segments below 2**32, got another byte at {address + offset}")
            memory[address + offset] = byte
    return memory


def runs_of(addresses):
    """Sorted (start, length) of the maximal runs of consecutive addresses."""
    runs = []
    for address in sorted(addresses):
        if runs and runs[-1][0] + runs[-1][1] == address:
            runs[-1][1] += 1
        else:
            runs.append([address, 1])
    return runs


def fingerprint(memory, part):
    covered = set()
    for start, end in part["spans"]:
        covered.update(range(start, end))
    for start, end in part["masked"]:
        covered = {address for address in covered if not start <= address < end}
    if not covered:
        return {"kind": "nothing-covered"}
    lines = ["assay fingerprint 1"]
    lines += [f"{start} {length}" for start, length in runs_of(covered)]
    lines += [f"content {len(covered)}"]
    recipe = "".join(line + "\n" for line in lines).encode("ascii")
    recipe_digest = hashlib.sha256(recipe).hexdigest()
    missing = covered - memory.keys()
    if missing and (part["erased"] is None or missing == covered):
        return {
            "kind": "missing",
            "recipe": recipe_digest,
            "missing": [[start, start + length] for start, length in runs_of(missing)],
        }
    content = bytes(memory.get(address, part["erased"]) for address in sorted(covered))
    digest = hashlib.sha256(recipe + content).hexdigest()
    return {
        "kind": "computed",
        "recipeText": recipe.decode("ascii"),
        "recipe": recipe_digest,
        "digest": digest,
        "readable": readable(digest),
        "filled": len(missing),
    }


def content(memory):
    rows = sorted({address // 16 for address, byte in memory.items() if byte != 0xFF})
    if not rows:
        return {"content": None}
    stream = b"assay content 1\n"
    for first, count in runs_of(rows):
        stream += (16 * first).to_bytes(8, "big") + (16 * count).to_bytes(8, "big")
        stream += bytes(memory.get(address, 0xFF) for address in range(16 * first, 16 * (first + count)))
    return {"content": hashlib.sha256(stream).hexdigest()}


def product(a, b):
    """In the field of 32 elements, modulo x^5 + x^2 + 1: multiplied as polynomials, then divided with remainder."""
    result = 0
    for i in range(5):
        if b >> i & 1:
            result ^= a << i
    for i in range(8, 4, -1):
        if result >> i & 1:
            result ^= 0b100101 << (i - 5)
    return result


DAMM = [[product(2, state ^ value) for value in range(32)] for state in range(32)]


def check_value(values):
    state = 0
    for value in values:
        state = DAMM[state][value]
    return next(value for value in range(32) if DAMM[state][value] == 0)


def written(values):
    text = "".join(ALPHABET[value] for value in values)
    return "-".join(text[i : i + 4] for i in range(0, len(text), 4))


def readable(digest):
    bits = "".join(f"{byte:08b}" for byte in bytes.fromhex(digest))
    values = [int(bits[i : i + 5], 2) for i in range(0, 100, 5)]
    return written(values + [check_value(values)])


def typed(text):
    values = []
    for character in text:
        if character in PASSED_OVER:
            continue
        capital = character.upper() if "a" <= character <= "z" else character
        value = ALPHABET.find(TAKEN_FOR.get(capital, capital))
        if value < 0:
            return {"damage": "character", "character": character}
        values.append(value)
    if len(values) != 21:
        return {"damage": "length", "found": len(values)}
    if check_value(values[:-1]) != values[-1]:
        return {"damage": "check", "found": ALPHABET[values[-1]]}
    bits = "".join(f"{value:05b}" for value in values[:-1])
    return {"readable": written(values), "digits": f"{int(bits, 2):025x}"}


def answer(case):
    if "text" in case:
        return typed(case["text"])
    if "digest" in case:
        return {"readable": readable(case["digest"])}
    memory = memory_of(case["segments"])
    return fingerprint(memory, case["part"]) if "part" in case else content(memory)


def vectors(write):
    here = pathlib.Path(__file__).resolve().parent
    different = 0
    for name in FILES:
        path = here / name
        document = json.loads(path.read_text("utf-8"))
        for vector in document["vectors"]:
            expected = answer(vector["input"])
            if vector.get("expected") != expected:
                different += 1
                print(f"{name}: {vector['id']}: expected {json.dumps(vector.get('expected'))}, got {json.dumps(expected)}")
            vector["expected"] = expected
        if write:
            path.write_text(layout(document), "utf-8")
    return different


def layout(document):
    """The document as text, one line for each member of a vector."""
    entries = [
        "    {\n" + ",\n".join(f"      {json.dumps(key)}: {json.dumps(vector[key])}" for key in vector) + "\n    }"
        for vector in document["vectors"]
    ]
    head = [f"  {json.dumps(key)}: {json.dumps(document[key])},\n" for key in document if key != "vectors"]
    return "{\n" + "".join(head) + '  "vectors": [\n' + ",\n".join(entries) + "\n  ]\n}\n"


def main(arguments):
    if arguments == ["check"]:
        return 1 if vectors(write=False) else 0
    if arguments == ["write"]:
        vectors(write=True)
        return 0
    if arguments == ["answer"]:
        for line in sys.stdin:
            print(json.dumps(answer(json.loads(line))))
        return 0
    print(__doc__, file=sys.stderr)
    return 2


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

#!/usr/bin/env python3
"""The record, read and checked a second time.

Follows packages/core/docs/record.md and nothing else; Python's standard library only. The canonical form is spelled
character by character instead of by json.dumps, so that it is different from the other one in every step.

    record.py verify FILE    exit code 0 when the file is a record that holds, 1 when not, with the reason
    record.py answer         reads entries from standard input, one JSON object a line; writes canonical form and digest
"""

import hashlib
import json
import sys

SHORT = {'"': '\\"', "\\": "\\\\", "\b": "\\b", "\t": "\\t", "\n": "\\n", "\f": "\\f", "\r": "\\r"}


def units(text):
    """The UTF-16 code units of a text, as something that sorts."""
    encoded = text.encode("utf-16-be")
    return [encoded[i] * 256 + encoded[i + 1] for i in range(0, len(encoded), 2)]


def quoted(text):
    spelled = '"'
    for character in text:
        if character in SHORT:
            spelled += SHORT[character]
        elif ord(character) < 0x20:
            spelled += "\\u00" + "0123456789abcdef"[ord(character) // 16] + "0123456789abcdef"[ord(character) % 16]
        else:
            spelled += character
    return spelled + '"'


def canonical(value):
    if value is None:
        return "null"
    if value is True:
        return "true"
    if value is False:
        return "false"
    if isinstance(value, int):
        if abs(value) > 2**53 - 1:
            raise ValueError(f"expected a number of at most 53 bits, got {value}")
        return str(value)
    if isinstance(value, str):
        return quoted(value)
    if isinstance(value, list):
        return "[" + ",".join(canonical(one) for one in value) + "]"
    if isinstance(value, dict):
        members = sorted(value, key=units)
        return "{" + ",".join(quoted(key) + ":" + canonical(value[key]) for key in members) + "}"
    raise ValueError(f"expected a value of JSON with whole numbers, got {value!r}")


def digest_of(entry):
    rest = {key: entry[key] for key in entry if key != "digest"}
    return hashlib.sha256(b"assay record entry 1\x0a" + canonical(rest).encode("utf-8")).hexdigest()


def text_of(record):
    lines = ",\n".join(canonical(entry) for entry in record["entries"])
    return '{"schema":"assay.record/1","entries":[\n' + lines + '\n],"last":' + canonical(record["last"]) + "}\n"


def problem_of(content):
    """What is wrong with a record's file, or None."""
    record = json.loads(content.decode("utf-8"))
    previous = None
    for number, entry in enumerate(record["entries"], 1):
        if entry["number"] != number:
            return f"entry {entry['number']} in place {number}"
        if entry["previous"] != previous:
            return f"entry {number} follows another"
        previous = digest_of(entry)
        if entry["digest"] != previous:
            return f"entry {number} was changed"
    if record["last"] != {"number": len(record["entries"]), "digest": previous}:
        return "the end is another"
    if text_of(record).encode("utf-8") != content:
        return "laid out otherwise"
    return None


def main(arguments):
    if len(arguments) == 2 and arguments[0] == "verify":
        with open(arguments[1], "rb") as file:
            problem = problem_of(file.read())
        print("holds" if problem is None else problem)
        return 0 if problem is None else 1
    if arguments == ["answer"]:
        for line in sys.stdin.buffer:
            entry = json.loads(line)
            print(json.dumps({"canonical": canonical(entry), "digest": digest_of(entry)}))
        return 0
    print(__doc__, file=sys.stderr)
    return 2


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

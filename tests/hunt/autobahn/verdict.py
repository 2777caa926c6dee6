"""Counts what the Autobahn cases came to, names what failed, and exits 1 if anything did."""

import collections
import json
import sys

FINE = {"OK", "NON-STRICT", "INFORMATIONAL"}

with open(sys.argv[1], encoding="utf-8") as file:
    (cases,) = json.load(file).values()
for field in ("behavior", "behaviorClose"):
    counts = collections.Counter(case[field] for case in cases.values())
    print(f"{field}: " + ", ".join(f"{count} {what}" for what, count in counts.most_common()))
wrong = {
    name: (case["behavior"], case["behaviorClose"], case["remoteCloseCode"])
    for name, case in cases.items()
    if case["behavior"] not in FINE or case["behaviorClose"] not in FINE
}
for name, what in sorted(wrong.items(), key=lambda one: [int(n) for n in one[0].split(".")]):
    print(name, *what)
print(f"{len(cases)} cases, {len(wrong)} wrong")
sys.exit(1 if wrong or len(cases) < 247 else 0)

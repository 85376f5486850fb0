#!/usr/bin/env python3
"""Second implementation of the likelihoods, by plain enumeration of products; shares no code with core/isolate.

`enumerate.py` writes random_models.json: models, evidence and the posterior of each, for tst_enumeration.
Rules as isolate.h states them: slip and floor in every row, presence as a mixture, the latest of repeats in one state, one leading
item a group and the others to the power 0.2, and a fifth of the weight against contacts and wires of a disturbed place.
"""
import json
import math
import pathlib
import random


def clean(row, slip, floor):
    total = sum(row)
    mixed = [max((1 - slip) * p / total + slip / len(row), floor) for p in row]
    total = sum(mixed)
    return [p / total for p in mixed]


def bell(density, x):
    kind, a, b = density
    if kind == "normal":
        return math.exp(-(((x - a) / b) ** 2) / 2) / (b * math.sqrt(2 * math.pi))
    z = math.log(x / a) / math.log(b)
    return math.exp(-z * z / 2) / (x * math.log(b) * math.sqrt(2 * math.pi))


def wide(check):
    rows = [r for r in check["given"] + check.get("absent", []) if not isinstance(r[0], (int, float))]
    logs = all(r[0] == "lognormal" for r in rows)
    means, squares = [], []
    for kind, a, b in rows:
        m = math.log(a) if logs else a
        s = b if kind == "normal" else math.log(b) if logs else a * math.log(b)
        means.append(m)
        squares.append(m * m + s * s)
    mean = sum(means) / len(rows)
    sd = 3 * math.sqrt(max(sum(squares) / len(rows) - mean * mean, 1e-12))
    return ["lognormal", math.exp(mean), math.exp(sd)] if logs else ["normal", mean, sd]


def likelihood(model, check, cause, answer, presence):
    slip, floor = model["slip"], model["floor"]
    share = {"showing": 1, "absent": 0, "unknown": 0.95 if model["causes"][cause]["mode"] == "hard" else 0.5}[presence]
    given, absent = check["given"][cause], check.get("absent", check["given"])[cause]
    if isinstance(answer, str):
        at = check["outcomes"].index(answer)
        return share * clean(given, slip, floor)[at] + (1 - share) * clean(absent, slip, floor)[at]
    seen = share * bell(given, answer) + (1 - share) * bell(absent, answer)
    return (1 - slip) * seen + max(slip * bell(wide(check), answer), floor * 1e-6)


def counted(evidence):
    last = {(e["check"], e["presence"], tuple(sorted(e["disturbed"]))): n for n, e in enumerate(evidence)}
    return [e for n, e in enumerate(evidence) if n in last.values()]


def soften(model, e, row, priors):
    causes = model["causes"]
    touched = [c["cause_class"] in ("contact", "wiring") and c["place"] in e["disturbed"] for c in causes]
    if all(touched) or not any(touched):
        return row
    rest = sum(p * l for p, l, t in zip(priors, row, touched) if not t) / sum(p for p, t in zip(priors, touched) if not t)
    return [rest * (l / rest) ** 0.2 if t and l < rest else l for l, t in zip(row, touched)]


def posterior(model, evidence):
    causes, checks = model["causes"], {c["id"]: c for c in model["checks"]}
    total = sum(c["prior"] for c in causes)
    priors = [c["prior"] / total for c in causes]
    rows = []
    for e in counted(evidence):
        row = [likelihood(model, checks[e["check"]], k, e["answer"], e["presence"]) for k in range(len(causes))]
        rows.append((checks[e["check"]].get("group", ""), soften(model, e, row, priors)))

    def strength(row):
        mean = sum(p * math.log(l) for p, l in zip(priors, row))
        return sum(p * math.log(l) ** 2 for p, l in zip(priors, row)) - mean * mean

    leaders = {}
    for n, (group, row) in enumerate(rows):
        if group and (group not in leaders or strength(row) > strength(rows[leaders[group]][1])):
            leaders[group] = n
    p = priors[:]
    for n, (group, row) in enumerate(rows):
        power = 0.2 if group and leaders[group] != n else 1.0
        p = [v * l**power for v, l in zip(p, row)]
        total = sum(p)
        p = [v / total for v in p]
    return p


def random_row(rng, n):
    row = [rng.random() ** 3 for _ in range(n)]
    if rng.random() < 0.3:
        row[rng.randrange(n)] = 0.0
    total = sum(row)
    return [round(v / total, 4) for v in row]


def random_density(rng, kind):
    a, b = (rng.uniform(1, 30), rng.uniform(0.3, 4)) if kind == "normal" else (rng.uniform(0.1, 50), rng.uniform(1.3, 5))
    return [kind, round(a, 3), round(b, 3)]


def random_model(rng):
    classes, modes, places = ["unit", "sensor", "contact", "wiring", "none"], ["hard", "intermittent", "conditional"], ["", "a", "b"]
    causes = [{"id": f"c{n}", "cause_class": rng.choice(classes), "place": rng.choice(places), "prior": round(rng.uniform(0.1, 5), 3), "mode": rng.choice(modes)}
              for n in range(rng.randint(2, 9))]
    checks = []
    for n in range(rng.randint(2, 8)):
        check = {"id": f"k{n}", "outcomes": [], "group": rng.choice(["", "", "g", "h"])}
        kind = rng.choice(["outcomes", "outcomes", "normal", "lognormal"])
        if kind == "outcomes":
            check["outcomes"] = [f"o{i}" for i in range(rng.randint(2, 6))]
        make = (lambda: random_row(rng, len(check["outcomes"]))) if kind == "outcomes" else (lambda: random_density(rng, kind))
        check["given"] = [make() for _ in causes]
        if rng.random() < 0.5:
            check["absent"] = [make() for _ in causes]
        checks.append(check)
    return {"causes": causes, "checks": checks, "slip": rng.choice([0.02, 0.02, 0.0, 0.1]), "floor": 0.002}


def random_evidence(rng, model):
    evidence = []
    for n in range(rng.randint(0, 12)):
        check = rng.choice(model["checks"])
        answer = rng.choice(check["outcomes"]) if check["outcomes"] else round(rng.uniform(0.5, 40), 3)
        evidence.append({"id": f"e{n}", "check": check["id"], "answer": answer, "presence": rng.choice(["showing", "absent", "unknown"]),
                         "disturbed": rng.choice([[], [], ["a"], ["a", "b"]])})
    return evidence


def main():
    rng = random.Random(20260617)
    cases = []
    for _ in range(80):
        model = random_model(rng)
        evidence = random_evidence(rng, model)
        cases.append({"model": model, "evidence": evidence, "posterior": posterior(model, evidence)})
    path = pathlib.Path(__file__).with_name("random_models.json")
    path.write_text("[\n" + ",\n".join(json.dumps(c) for c in cases) + "\n]\n")


if __name__ == "__main__":
    main()

"""Rows out of records: what a shop does with its own jobs. Counts are added to the expert's row, which stands for `TRUST` looks of its own."""
import json, math

TRUST = 6          # looks that an expert's word is worth
MOST = 60          # looks that count at most: a shop has no more of one cause
FEWEST = 8         # fewer looks in one state: the other state's row stands for it
HISTORY = {"write_up"}


def read(path):
    """{check: {cause: {presence: record}}}, from the lines of `campaign --records`."""
    out = {}
    for line in open(path):
        r = json.loads(line)
        out.setdefault(r["check"], {}).setdefault(r["cause"], {})[r["presence"]] = r
    return out


def together(records):
    """States put together, where a check tells of the past or of the state itself."""
    first = next(iter(records.values()))
    if "outcomes" in first:
        return {"looks": sum(r["looks"] for r in records.values()), "outcomes": [sum(v) for v in zip(*(r["outcomes"] for r in records.values()))]}
    return {"looks": sum(r["looks"] for r in records.values()), "numbers": sum((r["numbers"] for r in records.values()), [])}


def shares(expert, record):
    n = min(record["looks"], MOST)
    p = [(TRUST * e + n * c / record["looks"]) / (TRUST + n) for e, c in zip(expert, record["outcomes"])]
    p = [max(round(v, 2), .01) for v in p]
    top = p.index(max(p))
    p[top] = round(p[top] + 1 - sum(p), 2)
    return p


def density(expert, record):
    kind, a, b = expert
    lognormal = kind == "lognormal"
    xs = [math.log(max(x, 1e-3)) if lognormal else x for x in record["numbers"]]
    ea, eb = (math.log(a), math.log(b)) if lognormal else (a, b)
    n = min(len(xs), MOST)
    m = sum(xs) / len(xs)
    v = sum((x - m) ** 2 for x in xs) / len(xs)
    # the expert's mean and spread, then the records', each by its weight; the spread never below a third of the expert's
    mean = (TRUST / 3 * ea + n * m) / (TRUST / 3 + n)
    spread = max(math.sqrt((TRUST / 3 * eb ** 2 + n * v) / (TRUST / 3 + n)), eb / 3)
    digits = lambda x: float("%.3g" % x)
    return (kind, digits(math.exp(mean)), max(digits(math.exp(spread)), 1.05)) if lognormal else (kind, digits(mean), digits(spread))


def learned(expert, records):
    return shares(expert, records) if isinstance(expert, list) else density(expert, records)


def of_check(check, stage, expert, records):
    """{cause: (showing, absent)} for the causes on record; `expert`: cause -> (showing, absent) rows."""
    out = {}
    for cause, by in records.get(check, {}).items():
        showing, absent = expert(cause)
        if stage in HISTORY or check == "shows_now":
            row = learned(showing, together(by))
            out[cause] = (row, row)
            continue
        use = {p: r for p, r in by.items() if r["looks"] >= FEWEST} or by
        s, a = use.get("showing"), use.get("absent")
        out[cause] = (learned(showing, s or a), learned(absent, a or s))
    return out

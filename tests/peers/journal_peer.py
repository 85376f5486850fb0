"""journal_peer.py SAMPLE CLI: an export verifies by public tools alone, and no changed export does."""
import pathlib
import random
import subprocess
import sys
import tempfile

HERE = pathlib.Path(__file__).resolve().parent


def by_hand(path):
    return subprocess.run(["bash", HERE / "verify_by_hand.sh", path], capture_output=True, text=True)


with tempfile.TemporaryDirectory() as folder:
    store, export = pathlib.Path(folder) / "store", pathlib.Path(folder) / "job.jsonl"
    subprocess.run([sys.argv[1], store], check=True)
    subprocess.run([sys.argv[2], "job", "export", "job", "--data", store, "--file", export], check=True)
    good = by_hand(export)
    if good.returncode != 0 or "4 entries hold." not in good.stdout:
        sys.exit(f"the good export: {good.stdout}{good.stderr}")
    lines = export.read_text().splitlines(keepends=True)
    draw = random.Random(20261126)
    changed = pathlib.Path(folder) / "changed.jsonl"
    for turn in range(40):
        bad = list(lines)
        at = draw.randrange(1, len(lines))
        # Inside of the strings: a figure or a letter becomes another.
        places = [i for i, c in enumerate(bad[at]) if c.isalnum() and bad[at][i - 1] != "\\"]
        keys = [bad[at].find(f'"{key}":') for key in ("body", "envelope", "hash", "salt", "signature")]
        places = [i for i in places if not any(0 <= i - key <= len("signature") + 2 for key in keys)]
        place = draw.choice(places)
        bad[at] = bad[at][:place] + ("0" if bad[at][place] != "0" else "1") + bad[at][place + 1:]
        changed.write_text("".join(bad))
        if by_hand(changed).returncode == 0:
            sys.exit(f"line {at + 1}, character {place}: a change that nobody sees")
    print("an export of 4 entries holds; 40 changed ones do not")

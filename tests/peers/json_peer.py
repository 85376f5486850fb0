"""json_peer.py PROGRAM: the documents of PROGRAM against a canonicaliser of another make.

Always 20,000 documents as entries take them against Python's json (RFC 8785 reduces to sorted keys and no white space where keys are
ASCII and numbers are integers). With CHOCKSIDE_LONG a million of any kind against Node: JSON.stringify is the number and string
serialiser that RFC 8785 section 3.2.2 itself points to, and its sort() compares UTF-16 code units as section 3.2.3 asks.
"""
import json
import os
import pathlib
import subprocess
import sys
import time

HERE = pathlib.Path(__file__).resolve().parent


def by_python(program, count, seed):
    ran = subprocess.run([program, str(count), str(seed)], capture_output=True, check=True)
    lines = ran.stdout.decode("utf-8").split("\n")[:-1]
    for line in lines:
        loose, canonical = line.split("\t")
        # json.dumps escapes U+007F not at all and knows the short escapes, as the standard wants.
        theirs = json.dumps(json.loads(loose), sort_keys=True, separators=(",", ":"), ensure_ascii=False)
        if theirs != canonical:
            sys.exit(f"differ, seed {seed}:\n in    {loose}\n ours  {canonical}\n peer  {theirs}")
    return len(lines)


def by_node(program, count, seed):
    made = subprocess.Popen([program, str(count), str(seed), "--reals"], stdout=subprocess.PIPE)
    read = subprocess.run(["node", HERE / "json_peer.js"], stdin=made.stdout, capture_output=True, text=True)
    if made.wait() != 0 or read.returncode != 0:
        sys.exit(f"node, seed {seed}: {read.stdout}{read.stderr}")
    return int(read.stdout)


seed = int(time.strftime("%Y%m%d"))
figures = {"seed": seed, "python": by_python(sys.argv[1], 20_000, seed)}
if os.environ.get("CHOCKSIDE_LONG"):
    figures["node"] = by_node(sys.argv[1], 1_000_000, seed)
    if figures["node"] != 1_000_000:
        sys.exit(f"node read {figures['node']}")
print(json.dumps(figures))

#!/usr/bin/env python3
"""run.py FUZZER CORPUS SECONDS: every file of the corpus, then so many seconds of new ones; with CHOCKSIDE_LONG set, 10^7 of them.

What a run finds is kept in a folder of its own, so that the corpus in the tree stays what was chosen.
"""
import os
import pathlib
import subprocess
import sys
import tempfile

fuzzer, corpus = (pathlib.Path(name).resolve() for name in sys.argv[1:3])
long = bool(os.environ.get("CHOCKSIDE_LONG"))
files = sorted(corpus.iterdir())
if not files:
    sys.exit("the corpus is empty")
# A long run keeps two frames of each allocation, not thirty, and is a sixth faster; the file it leaves tells the rest when run again.
environment = {**os.environ, "ASAN_OPTIONS": "detect_leaks=1:allocator_may_return_null=1" + ":malloc_context_size=2" * long, "UBSAN_OPTIONS": "print_stacktrace=1"}
most = ["-rss_limit_mb=2048", "-timeout=10", "-max_len=8192", f"-artifact_prefix={fuzzer.parent}/"]
with tempfile.TemporaryDirectory() as folder:
    found, logs = pathlib.Path(folder, "found"), pathlib.Path(folder, "logs")
    found.mkdir()
    logs.mkdir()
    runs = [[*files], [f"-max_total_time={sys.argv[3]}", *most, found, corpus]]
    if long:
        # Each core its share, over one corpus.
        cores = os.cpu_count() or 1
        runs[1] = [f"-jobs={cores}", f"-workers={cores}", f"-runs={-(-10_000_000 // cores)}", *most, found, corpus]
    for arguments in runs:
        ran = subprocess.run([fuzzer, *arguments], cwd=logs, env=environment, capture_output=True, text=True, errors="replace")
        said = [log.read_text(errors="replace") for log in sorted(logs.iterdir())] or [ran.stderr]
        if ran.returncode:
            sys.exit("\n".join(text[-6000:] for text in said))
        for text in said:
            print(text.strip().splitlines()[-1])

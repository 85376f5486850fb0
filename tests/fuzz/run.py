#!/usr/bin/env python3
"""run.py FUZZER CORPUS SECONDS: every file of the corpus, then so many seconds of new ones; with CHOCKSIDE_LONG set, 10^7 of them.

What a run finds is kept in a folder of its own, so that the corpus in the tree stays what was chosen.
"""
import os
import pathlib
import subprocess
import sys
import tempfile

fuzzer, corpus = map(pathlib.Path, sys.argv[1:3])
long = bool(os.environ.get("CHOCKSIDE_LONG"))
files = sorted(corpus.iterdir())
if not files:
    sys.exit("the corpus is empty")
# A long run keeps two frames of each allocation, not thirty, and is a sixth faster; the file it leaves tells the rest when run again.
environment = {**os.environ, "ASAN_OPTIONS": "detect_leaks=1:allocator_may_return_null=1" + ":malloc_context_size=2" * long, "UBSAN_OPTIONS": "print_stacktrace=1"}
length = ["-runs=10000000"] if long else [f"-max_total_time={sys.argv[3]}"]
with tempfile.TemporaryDirectory() as found:
    for arguments in ([*files], [*length, "-rss_limit_mb=2048", "-timeout=10", "-max_len=8192", f"-artifact_prefix={fuzzer.parent}/", found, corpus]):
        ran = subprocess.run([fuzzer, *arguments], env=environment, capture_output=True, text=True, errors="replace")
        if ran.returncode:
            sys.exit(ran.stderr[-6000:])
        print(ran.stderr.strip().splitlines()[-1])

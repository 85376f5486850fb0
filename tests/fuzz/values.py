#!/usr/bin/env python3
"""values.py FUZZER FOLDER...: profiles with one number or word at a time put in another's place: edges of integers and doubles, other kinds.

A fuzzer that changes bytes seldom writes a whole number of its own; this writes all of those. 3,000 by chance of the small profiles in CI; 100,000
of all with CHOCKSIDE_LONG set.
"""
import os
import pathlib
import random
import re
import subprocess
import sys
import tempfile

NUMBERS = re.compile(r'(?<![\w"])-?\d+(?:\.\d+)?(?![\w"])|"0[xX][0-9A-Fa-f]+"')
WORDS = re.compile(r'"[a-z_0-9]+"(?=\s*[,}\]])')
FOR_NUMBERS = ["-1", "0", "1", "63", "64", "65", "255", "-2147483648", "2147483647", "4294967296", "-9223372036854775808", "9223372036854775807", "1e308", "-1e308",
               "1e-320", "0.5", '"0xFFFFFFFFFFFFFFFF"', '"0x8000000000000000"', '""', "null", "[]", "{}", "true"]
FOR_WORDS = ['""', '"u8"', '"i64"', '"text"', '"bcd"', '"arinc429"', '"f64"', '"end"', '"lines"', '"cobs"', '"slip"', "0", "[]", "{}"]

long = bool(os.environ.get("CHOCKSIDE_LONG"))
fuzzer = pathlib.Path(sys.argv[1]).resolve()
texts = [path.read_text(errors="replace") for folder in sys.argv[2:] for path in sorted(pathlib.Path(folder).iterdir()) if path.is_file() and "schema" not in path.name and (long or path.stat().st_size < 10_000)]
places = [(text, m.start(), m.end(), other) for text in texts for what, others in ((NUMBERS, FOR_NUMBERS), (WORDS, FOR_WORDS)) for m in what.finditer(text) for other in others]
count = 100_000 if long else 3_000
places = random.Random(20261127).sample(places, min(count, len(places)))

environment = {**os.environ, "ASAN_OPTIONS": "detect_leaks=1:allocator_may_return_null=1", "UBSAN_OPTIONS": "print_stacktrace=1"}
for at in range(0, len(places), 500):
    with tempfile.TemporaryDirectory() as folder:
        files = []
        for n, (text, begin, end, other) in enumerate(places[at:at + 500]):
            files.append(pathlib.Path(folder, f"{n}"))
            files[-1].write_text(text[:begin] + other + text[end:])
        ran = subprocess.run([fuzzer, "-rss_limit_mb=2048", "-timeout=10", *files], env=environment, capture_output=True, text=True, errors="replace", cwd=folder)
        if ran.returncode:
            last = int(re.findall(r"Running: .*?(\d+)$", ran.stderr, re.MULTILINE)[-1])
            text, begin, end, other = places[at + last]
            sys.exit(f"{ran.stderr[-6000:]}\nat ...{text[max(0, begin - 60):begin]}>>>{other}<<<{text[end:end + 40]}...")
print(f"{len(places)} profiles")

"""Targets 1 and 2: time from exec to the first frame on the glass, and peak resident memory, over a plain Controls page.

Both programs draw by software on the offscreen platform, pinned to one core, in turn (A B A B ...) after one warm-up each; the ratio
is the median of the pairs' ratios, so that a slow minute of the machine meets both.
"""
import os
import pathlib
import re
import statistics
import subprocess
import tempfile
import time

LINE = re.compile(rb"^FF ([\d.]+) RSS (\d+)", re.MULTILINE)


class NotMeasured(Exception):
    pass


def start_once(command, environment, core):
    """(milliseconds from exec to the first frame, peak resident MiB) of one start."""
    read, write = os.pipe()
    child = os.fork()
    if child == 0:
        os.dup2(write, 1)
        os.sched_setaffinity(0, {core})
        environment["T0_NS"] = str(time.clock_gettime_ns(time.CLOCK_MONOTONIC))
        os.execve(command[0], command, environment)
    os.close(write)
    with os.fdopen(read, "rb") as pipe:
        output = pipe.read()
    _, status, usage = os.wait4(child, 0)
    hit = LINE.search(output)
    if not hit:
        raise NotMeasured(f"{command[0]}: no first frame (status {status})")
    return float(hit[1]), usage.ru_maxrss / 1024


def environment(home):
    kept = {name: os.environ[name] for name in ("PATH", "LANG", "LD_LIBRARY_PATH") if name in os.environ}
    return {
        **kept, "HOME": home, "XDG_RUNTIME_DIR": home, "QT_QPA_PLATFORM": "offscreen", "QT_QUICK_BACKEND": "software",
        "CHOCKSIDE_FIRST_FRAME": "1",
    }


def pairs(app, floor, home, runs, core):
    env = environment(home)
    start_once(app, dict(env), core)
    start_once(floor, dict(env), core)
    return [(start_once(app, dict(env), core), start_once(floor, dict(env), core)) for _ in range(runs)]


def spread(values):
    return f"{statistics.median(values):.1f} ({min(values):.1f}-{max(values):.1f})"


def rows_of(store, measured):
    """Two rows, in the shape of the other benchmarks' JSON lines."""
    names = [(1, "first frame", "ms"), (2, "peak resident memory", "MiB")]
    for at, (target, what, unit) in enumerate(names):
        ours, floors = [a[at] for a, _ in measured], [b[at] for _, b in measured]
        ratios = [a[at] / b[at] for a, b in measured]
        yield {
            "target": target, "name": f"home screen, {store}: {what}", "ratio": statistics.median(ratios), "bound": 1.25,
            "low": min(ratios), "high": max(ratios),
            "method": f"{spread(ours)} over {spread(floors)} {unit}, a plain Controls page, {len(measured)} pairs",
        }


def fill(bin_dir, folder, jobs):
    program = bin_dir / "start_store"
    if not program.exists():
        raise NotMeasured("no program start_store: a store cannot be filled")
    subprocess.run([program, folder, str(jobs)], check=True, stdout=subprocess.DEVNULL)


def measure(bin_dir, runs, core):
    bin_dir = pathlib.Path(bin_dir).resolve()
    floor = [str(bin_dir / "qml_floor")]
    for store, jobs in (("empty store", 0), ("10,000 jobs", 10_000)):
        try:
            if not (bin_dir / "chockside").exists():
                raise NotMeasured("the app is not built")
            with tempfile.TemporaryDirectory() as home:
                data = os.path.join(home, "data")
                os.mkdir(data)
                if jobs:
                    fill(bin_dir, data, jobs)
                yield from rows_of(store, pairs([str(bin_dir / "chockside"), "--data", data], floor, home, runs, core))
        except (NotMeasured, subprocess.CalledProcessError) as problem:
            yield {"target": 1, "name": f"home screen, {store}", "ratio": None, "bound": 1.25, "method": f"not measured: {problem}"}

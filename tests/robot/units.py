#!/usr/bin/env python3
"""units.py CHOCKSIDE_CLI [--out FOLDER] [--profiles NAME,NAME] [--faults ID,ID] [--seeds N,N]

One whole job over a pseudo-terminal for each unit that speaks as its profile says: lines with a XOR (PRU-5), COBS (PRU-7), counted
frames with odd parity (PRU-9). CHOCKSIDE_LONG=1: every fault of every book. What is asked of a job is what robot.py asks; and a part
comes off only where that part is what is wrong.
"""
import argparse
import json
import os
import pathlib
import subprocess
import sys
import tempfile

import robot

SHORT = [("sandgrouse_12_pru_5", "pushed_contact", 11), ("sandgrouse_12_pru_7", "breaker_resistance", 11), ("sandgrouse_12_pru_9", "static_water", 3)]
PARTS = {"unit": "PRU-", "sensor": ("RMS-1", "PSP-4")}


def book(profile):
    return json.loads((robot.ROOT / f"assets/practice/{profile}.practice.json").read_text())


def cases(options):
    if not (os.environ.get("CHOCKSIDE_LONG") or options.profiles or options.faults):
        return SHORT
    profiles = options.profiles or [profile for profile, _, _ in SHORT]
    return [(profile, fault["id"], seed) for profile in profiles for fault in book(profile)["faults"] if not options.faults or fault["id"] in options.faults for seed in options.seeds]


def work(cli, out, case):
    profile, fault, seed = case
    command = [cli, "rehearse", "--json", "--profile", profile, "--out", out / f"{profile}-{fault}-{seed}", "--seed", str(seed), "--scale", str(robot.SCALE), "--fault", fault]
    try:
        ran = subprocess.run(command, capture_output=True, text=True, timeout=300)
        return json.loads(ran.stdout.strip().splitlines()[-1])
    except (subprocess.TimeoutExpired, json.JSONDecodeError, IndexError) as problem:
        return {"broken": f"{type(problem).__name__}"}


def clean(cli, profile):
    return subprocess.run([cli, "profile", "check", robot.ROOT / f"assets/profiles/{profile}.json"], capture_output=True).returncode == 0


def complaints(cli, case, job):
    wrong = robot.complaints(cli, ("", case[2], ""), job)
    off = job.get("part_off", "")
    if off and not off.startswith(PARTS.get(job["truth_class"], "nothing else")):
        wrong.append(f"{off} came off, and was good")
    tail = book(case[0])["aircraft"]["tail"]
    if "journal" in job and tail not in pathlib.Path(job["journal"]).name:
        wrong.append(f"not the aircraft {tail}")
    return wrong


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("cli")
    parser.add_argument("--out", type=pathlib.Path)
    for many in ("--profiles", "--faults"):
        parser.add_argument(many, type=lambda text: text.split(","))
    parser.add_argument("--seeds", type=lambda text: [int(seed) for seed in text.split(",")], default=[11, 12])
    options = parser.parse_args()
    chosen = cases(options)
    faulty = [profile for profile in sorted({profile for profile, _, _ in chosen}) if not clean(options.cli, profile)]
    for profile in faulty:
        print(f"FAIL {profile} has complaints")
    with tempfile.TemporaryDirectory() as made:
        out = options.out or pathlib.Path(made)
        good = robot.report(chosen, lambda case: work(options.cli, out, case), lambda case, job: complaints(options.cli, case, job), lambda case: f"{case[0][-5:]} {case[1]} {case[2]}", 6, least_allowed=0)
    return 0 if good and not faulty else 1


if __name__ == "__main__":
    sys.exit(main())

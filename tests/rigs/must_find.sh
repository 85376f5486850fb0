#!/usr/bin/env bash
# must_find.sh PROGRAM ARGUMENTS: 0 where the rig says that it found the fault (exit 1), 1 where it did not or broke down.
"$@"
code=$?
[ "$code" = 1 ] || { echo "expected exit 1, got $code"; exit 1; }

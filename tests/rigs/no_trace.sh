#!/usr/bin/env bash
# no_trace.sh PLANTED_LIBRARY LIBRARY...: the rigs' own library shows its planted bugs, by symbol and by name; no other does.
set -euo pipefail
traces() { { nm -C "$1" 2>/dev/null; strings -a "$1"; } | grep -ciE 'planted|told_before_commit|folder_not_synced|synchronous_off' || true; }
[ "$(traces "$1")" -gt 0 ] || { echo "$1: this test finds nothing where there is something"; exit 1; }
shift
for library; do
  found=$(traces "$library")
  echo "$library: $found"
  [ "$found" = 0 ] || exit 1
done

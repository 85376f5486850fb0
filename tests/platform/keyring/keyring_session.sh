#!/usr/bin/env bash
# keyring_session.sh PROGRAM: a session bus and an open keyring in folders of their own, for the one program.
set -euo pipefail
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT
export HOME=$place XDG_RUNTIME_DIR=$place/run XDG_DATA_HOME=$place/data
mkdir -m 700 "$XDG_RUNTIME_DIR"
dbus-run-session -- bash -c 'printf "invented" | gnome-keyring-daemon --unlock --components=secrets >/dev/null; exec "$0" TestKeyring -nocrashhandler' "$1"
DBUS_SESSION_BUS_ADDRESS=unix:path=$place/nobody "$1" TestSilentBus -nocrashhandler

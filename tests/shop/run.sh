#!/usr/bin/env bash
# run.sh TEST BUILD_BIN: installs the public peers in a temporary folder of the build, starts one test. What lacks is a failed test.
set -euo pipefail
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
export CHOCKSIDE_SHOP=$2/chockside-shop CHOCKSIDE_CLI=$2/chockside-cli
modules=$2/../shop-peers
for tool in node npm; do command -v $tool >/dev/null || { echo "$tool is not here" >&2; exit 1; }; done
case $1 in *tus_test*|*tus_peer_test*|*page_test*)
  if ! cmp -s "$here/package-lock.json" "$modules/package-lock.json" || [ ! -d "$modules/node_modules/tus-js-client" ]; then
    mkdir -p "$modules"
    cp "$here/package.json" "$here/package-lock.json" "$modules/"
    (cd "$modules" && flock . npm ci --ignore-scripts --no-audit --no-fund --loglevel=error)
  fi
  export CHOCKSIDE_NODE_MODULES=$modules/node_modules ;;
esac
read -r -a words <<<"$1"
exec timeout -s KILL "${3:-150}" node "$here/${words[0]}" "${words[@]:1}"

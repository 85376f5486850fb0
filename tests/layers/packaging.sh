#!/usr/bin/env bash
# packaging.sh ROOT: the desktop entry and the component description by freedesktop.org's own checkers, the package list by apt.
# Exit 77 (skipped) where none of the checkers is installed.
set -u
cd "$1/platform/packaging" || exit 1
bad=0 ran=0
if command -v desktop-file-validate >/dev/null; then ran=1; desktop-file-validate ./*.desktop || bad=1; fi
if command -v appstreamcli >/dev/null; then ran=1; appstreamcli validate --no-net --no-color ./*.metainfo.xml || bad=1; fi
if command -v dpkg-query >/dev/null; then
  for word in $(sed 's/#.*//; /^\[/d' ../packages); do
    dpkg-query -W "$word" >/dev/null 2>&1 || [ -n "$(apt-cache search --names-only "^$word\$" 2>/dev/null)" ] || echo "not known to this apt: $word"
  done
  twice=$(sed 's/#.*//; /^\[/d; /^ *$/d' ../packages | sort | uniq -d)
  [ -z "$twice" ] || { echo "listed twice: $twice"; bad=1; }
fi
id=org.chockside.Chockside
grep -q "<id>$id</id>" $id.metainfo.xml && grep -q "Icon=$id" $id.desktop && [ -f ../../assets/packaging/$id.svg ] || { echo "the id differs between files"; bad=1; }
[ $ran = 1 ] || exit 77
exit $bad

#!/bin/bash
# SPDX-License-Identifier: MIT
# The package: check.sh BUILD SOURCE. Makes the .deb, unpacks it into a folder of its own and runs command and window from there.
# Status 77: the tools for it are not installed.
set -u
build=$1; source=$2
fail() { printf 'package: %s\n' "$*" >&2; exit 1; }
for tool in cpack dpkg-deb dpkg-shlibdeps; do
  command -v "$tool" >/dev/null || { echo "package: $tool is not installed: nothing was packed"; exit 77; }
done
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT

cpack -G DEB --config "$build/CPackConfig.cmake" -B "$work/out" >"$work/log" 2>&1 || { tail -n 20 "$work/log" >&2; fail "cpack stopped"; }
deb=$(ls "$work"/out/*.deb) || fail "no package was made"
case "${deb##*/}" in spanwright_*_*.deb) ;; *) fail "its name is ${deb##*/}" ;; esac

depends=$(dpkg-deb -f "$deb" Depends)
for need in libc6 libqt6widgets6 libqt6svg6 fonts-dejavu-core; do
  case "$depends" in *$need*) ;; *) fail "it does not depend on $need, only on: $depends" ;; esac
done
[ -n "$(dpkg-deb -f "$deb" Description)" ] || fail "it has no description"

root=$work/root
dpkg-deb -x "$deb" "$root" || fail "it cannot be unpacked"
for file in bin/spanwright bin/spanwright-desk share/applications/spanwright-desk.desktop share/mime/packages/spanwright.xml \
  share/icons/hicolor/scalable/apps/spanwright.svg share/icons/hicolor/scalable/mimetypes/text-x-spanwright-job.svg \
  share/metainfo/invalid.spanwright.desk.metainfo.xml share/man/man1/spanwright.1.gz share/man/man1/spanwright-desk.1.gz \
  share/doc/spanwright/copyright share/spanwright/sheets/eu/floor-joist.spansheet; do
  [ -s "$root/usr/$file" ] || fail "it lacks usr/$file"
done
(cd "$source/sheets" && find . -type f -name '*.csv' -o -type f -name '*.spansheet') | while read -r file; do
  cmp -s "$source/sheets/$file" "$root/usr/share/spanwright/sheets/$file" || { echo "differs: $file"; exit 1; }
done || fail "sheets or tables are missing"

# Desktop entry, types and icons are what the standards ask for.
if command -v desktop-file-validate >/dev/null; then
  desktop-file-validate "$root/usr/share/applications/spanwright-desk.desktop" || fail "the desktop entry is not valid"
fi
if command -v xmllint >/dev/null; then
  xmllint --noout "$root"/usr/share/mime/packages/*.xml "$root"/usr/share/metainfo/*.xml "$root"/usr/share/icons/hicolor/scalable/*/*.svg || fail "not XML"
fi
if command -v update-mime-database >/dev/null; then
  update-mime-database "$root/usr/share/mime" >/dev/null 2>&1 || fail "the MIME types are not taken"
  grep -q 'text/x-spanwright-job:\*.spanjob' "$root/usr/share/mime/globs" || fail "*.spanjob has no type"
  grep -q 'text/x-spanwright-sheet:\*.spansheet' "$root/usr/share/mime/globs" || fail "*.spansheet has no type"
fi

# From there, with nothing of the source tree named.
unset SPANWRIGHT_SHEETS
export ASAN_OPTIONS=detect_leaks=0
cp "$root"/usr/share/doc/spanwright/examples/packing-shed/packing-shed.spanjob "$work/shed.spanjob"
cd "$work" || exit 1
"$root/usr/bin/spanwright" sheets >"$work/sheets.txt" || fail "the command lists no sheets"
grep -q 'eu/floor-joist' "$work/sheets.txt" || fail "the command does not find its sheets"
# Its own, not those of the tree it was built from: a sheet that stands only here is listed.
printf 'sheet   zz-trial\ntitle   Trial\npart    P\ngiven   a = 1\n' >"$root/usr/share/spanwright/sheets/eu/zz-trial.spansheet"
"$root/usr/bin/spanwright" sheets | grep -q 'eu/zz-trial' || fail "the command takes other sheets than those beside it"
"$root/usr/bin/spanwright" report shed.spanjob --brief -o brief.pdf >/dev/null 2>&1
[ "$(head -c 5 brief.pdf)" = "%PDF-" ] || fail "the command writes no PDF"
QT_QPA_PLATFORM=offscreen HOME=$work XDG_RUNTIME_DIR=$work timeout 60 "$root/usr/bin/spanwright-desk" --help >"$work/help.txt" || fail "the window does not start"
grep -q 'spanjob' "$work/help.txt" || fail "the window says nothing of itself"
QT_QPA_PLATFORM=offscreen HOME=$work XDG_RUNTIME_DIR=$work timeout 5 "$root/usr/bin/spanwright-desk" shed.spanjob
[ $? -eq 124 ] || fail "the window did not stay open on the example"
echo "package: ${deb##*/}, $(du -k "$deb" | cut -f1) KiB"

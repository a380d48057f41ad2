# SPDX-License-Identifier: MIT
# Shared by examples/run and tests/run: what must be installed, and how the project is built.
# shellcheck shell=bash

say() { printf '==> %s\n' "$*"; }
fail() { printf 'stopped: %s\n' "$*" >&2; exit 1; }

# Debian 12 package names. `build` is enough for the command; `check` for all tests.
packages_build="coinor-libclp-dev pkg-config g++ cmake ninja-build libmuparser-dev nlohmann-json3-dev libcli11-dev libboost-dev libeigen3-dev"
packages_gui="qt6-base-dev qt6-svg-dev libqpdf-dev libgl-dev fonts-dejavu-core"
packages_check="doctest-dev libgsl-dev libudunits2-dev units libxml2-utils poppler-utils desktop-file-utils shared-mime-info dpkg-dev xvfb xauth calculix-ccx"
packages_bench="libbenchmark-dev"

# need PACKAGE...: installs what is missing by apt; on another system says what is needed.
need() {
  if [ -n "${SPANWRIGHT_SKIP_SETUP:-}" ]; then say "set-up skipped, as SPANWRIGHT_SKIP_SETUP asks"; return 0; fi
  if ! command -v apt-get >/dev/null 2>&1 || ! command -v dpkg-query >/dev/null 2>&1; then
    cat >&2 <<TXT
stopped: this machine has no apt, so nothing can be installed for you. Install what these Debian packages hold
  $*
(a C++20 compiler, CMake 3.25 or later, Ninja, muParser 2.3, nlohmann/json 3.11, CLI11 2.1, Boost 1.74 headers, Eigen 3.4; for the
tests also doctest 2.4, GSL, UDUNITS-2, GNU units, xmllint, CalculiX), then run this again with SPANWRIGHT_SKIP_SETUP=1 before it.
TXT
    exit 1
  fi
  local missing=() p
  for p in "$@"; do
    case "$(dpkg-query -W -f='${db:Status-Status}' "$p" 2>/dev/null)" in installed) ;; *) missing+=("$p") ;; esac
  done
  [ ${#missing[@]} -eq 0 ] && return 0
  local as=()
  if [ "$(id -u)" -ne 0 ]; then
    command -v sudo >/dev/null 2>&1 || fail "these packages are missing and you are not root: apt-get install ${missing[*]}"
    as=(sudo)
  fi
  say "installing by apt: ${missing[*]}"
  local log; log=$(mktemp)
  if ! { "${as[@]}" apt-get update -q && "${as[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -q -y --no-install-recommends "${missing[@]}"; } >"$log" 2>&1; then
    tail -n 20 "$log" >&2; rm -f "$log"
    fail "apt could not install: ${missing[*]}"
  fi
  rm -f "$log"
}

# build CONFIGURATION FOLDER [cmake option...] -- [target...]: configures and builds, quietly unless something is wrong.
build() {
  local config=$1 folder=$2; shift 2
  local options=() log
  while [ $# -gt 0 ] && [ "$1" != "--" ]; do options+=("$1"); shift; done
  [ "${1:-}" = "--" ] && shift
  mkdir -p "$folder"; log="$folder/set-up.log"
  say "configuring ($config) in ${folder#"$root"/}"
  cmake -S "$root" -B "$folder" -G Ninja -DCMAKE_BUILD_TYPE="$config" "${options[@]}" >"$log" 2>&1 || { tail -n 30 "$log" >&2; fail "cmake could not configure; the whole log is $log"; }
  say "building (a few minutes the first time)"
  if [ -t 1 ]; then cmake --build "$folder" --target "${@:-all}" || fail "the build stopped"
  else cmake --build "$folder" --target "${@:-all}" >>"$log" 2>&1 || { grep -E -A12 'error|FAILED' "$log" | tail -n 60 >&2; fail "the build stopped; the whole log is $log"; }
  fi
}

#!/usr/bin/env bash
# Counts the instructions of `list` on one walk and compares them with the recorded figure: it tells of a program that got
# slower on any machine, however busy. More than a tenth over the figure fails; --record writes the present one.
# Needs valgrind and a release build: cargo build --release && tests/outside/instructions.sh
set -euo pipefail
cd "$(dirname "$0")/../.."
figure=tests/outside/instructions.txt
program=${CARGO_TARGET_DIR:-target}/release/storystick
[ -x "$program" ] || { echo "no $program: cargo build --release" >&2; exit 1; }
out=$(mktemp)
trap 'rm -f "$out"' EXIT
valgrind --tool=callgrind --callgrind-out-file="$out" "$program" list --format json examples/walnut-house.vtt >/dev/null 2>&1
now=$(sed -n 's/^\(summary\|totals\): *\([0-9]*\).*/\2/p' "$out" | head -1)
[ -n "$now" ] || { echo "valgrind gave no count" >&2; exit 1; }
if [ "${1:-}" = --record ]; then
  echo "$now" >"$figure"
  echo "recorded $now instructions"
  exit 0
fi
was=$(cat "$figure")
echo "instructions: $now, recorded $was"
if [ "$now" -gt $((was + was / 10)) ]; then
  echo "more than a tenth over the recorded figure: find out why, or --record it with the reason in the commit" >&2
  exit 1
fi

#!/usr/bin/env bash
# Counts the instructions of `list` on one walk and on a long one strung together from the examples, and compares them with the
# recorded figures: it tells of a program that got slower on any machine, however busy. More than a tenth over a figure fails;
# --record writes the present ones. They are of the release profile in Cargo.toml.
# Needs valgrind and a release build: cargo build --release && tests/outside/instructions.sh
set -euo pipefail
cd "$(dirname "$0")/../.."
figures=tests/outside/instructions.txt
program=${CARGO_TARGET_DIR:-target}/release/storystick
[ -x "$program" ] || { echo "no $program: cargo build --release" >&2; exit 1; }
command -v valgrind >/dev/null || { echo "no valgrind: apt-get install valgrind" >&2; exit 1; }
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
# What a person has set up for themselves is none of it.
export XDG_CONFIG_HOME=$folder HOME=$folder

# The words of two examples over and over, a cue a second.
awk -v bytes=300000 '
  !/-->/ && / / { said[n++] = $0 }
  function stamp(s) { return sprintf("%02d:%02d:%02d.000", s / 3600, int(s / 60) % 60, s % 60) }
  END {
    print "WEBVTT"
    for (i = 0; size < bytes; i++) {
      cue = sprintf("\n%s --> %s\n%s", stamp(i), stamp(i + 1), said[i % n])
      print cue
      size += length(cue) + 1
    }
  }' examples/walnut-house.vtt examples/counter-to-kerb.srt >"$folder/long.vtt"

# The instructions of `list` on a walk.
count() {
  valgrind --tool=callgrind --callgrind-out-file="$folder/count" "$program" list --format json "$1" >/dev/null 2>&1
  sed -n 's/^\(summary\|totals\): *\([0-9]*\).*/\2/p' "$folder/count" | head -1
}

failed=0
[ "${1:-}" = --record ] && : >"$figures"
for walk in examples/walnut-house.vtt "$folder/long.vtt"; do
  name=$(basename "$walk")
  now=$(count "$walk")
  [ -n "$now" ] || { echo "valgrind gave no count for $name" >&2; exit 1; }
  if [ "${1:-}" = --record ]; then
    echo "$name $now" | tee -a "$figures"
    continue
  fi
  was=$(sed -n "s/^$name //p" "$figures")
  [ -n "$was" ] || { echo "$figures has no figure for $name: --record it" >&2; exit 1; }
  echo "$name: $now instructions, recorded $was"
  if [ "$now" -gt $((was + was / 10)) ]; then
    echo "$name: more than a tenth over the recorded figure: find out why, or --record it with the reason in the commit" >&2
    failed=1
  fi
done
exit "$failed"

#!/usr/bin/env bash
# Packs the program with its manual pages and completions: ./package.sh [PROGRAM] [FOLDER]
# Without PROGRAM it is built for release. Gives FOLDER/storystick-VERSION-ARCHITECTURE.tar.gz (FOLDER: the build's `package`), laid out
# as below /usr/local; the same sources and program give the same bytes.
set -euo pipefail
cd "$(dirname "$0")"
target=${CARGO_TARGET_DIR:-target}
program=${1:-}
if [ -z "$program" ]; then
  cargo build --release
  program=$target/release/storystick
fi
program=$(realpath "$program")
out=${2:-$target/package}
name=storystick-$("$program" --version | cut -d' ' -f2)-$(uname -m)
mkdir -p "$out"
root=$(mktemp -d)
trap 'rm -rf "$root"' EXIT
top=$root/$name
man=$top/share/man/man1
shells=$top/share
install -Dm755 "$program" "$top/bin/storystick"
for file in README.md LICENSE-MIT LICENSE-APACHE; do
  install -Dm644 "$file" "$top/share/doc/storystick/$file"
done
mkdir -p "$man"
"$program" man >"$man/storystick.1"
# The manual page names the commands' own pages, "storystick-list(1)".
commands=$("$program" man | grep -o 'storystick\\-[a-z]*(1)' | sed 's/.*\\-//; s/(1)//' | sort -u)
for command in $commands; do
  # `help` is the parser's own, and has no page.
  [ "$command" = help ] || "$program" man "$command" >"$man/storystick-$command.1"
done
completions() { mkdir -p "$(dirname "$2")" && "$program" completions "$1" >"$2"; }
completions bash "$shells/bash-completion/completions/storystick"
completions zsh "$shells/zsh/site-functions/_storystick"
completions fish "$shells/fish/vendor_completions.d/storystick.fish"
tar --sort=name --owner=0 --group=0 --numeric-owner --mtime="@${SOURCE_DATE_EPOCH:-0}" -C "$root" -cf - "$name" | gzip -9n >"$out/$name.tar.gz"
echo "$out/$name.tar.gz: $(find "$man" -type f | wc -l) manual pages, completions for bash, fish and zsh"

#!/usr/bin/env bash
# Every page of handouts, and the stick, for lists that are hard on a page: through an HTML validator from the npm registry
# (html-validate), at a phone's width in Chromium, and printed.
# Usage: pages.sh PROGRAM. Needs node and chromium; the validator is installed into a temporary folder and then works offline.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
program=$(realpath "$1")
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
python3 "$here/lists.py" "$work/lists"
for list in "$work"/lists/*.json; do
  "$program" handouts "$list" -o "$work/pages/$(basename "$list" .json)" --words 2>/dev/null
  "$program" handouts "$list" -o "$work/pages/$(basename "$list" .json)-es" --words --language es 2>/dev/null
done
for walk in "$work"/lists/*.vtt; do
  "$program" list "$walk" -o "$work/pages/stick-$(basename "$walk" .vtt).html" 2>/dev/null
done
python3 "$here/narrow.py" "$work/pages"
cd "$work"
echo '{"private": true}' >package.json
echo '{"extends": ["html-validate:standard"]}' >.htmlvalidate.json
npm install --silent --no-audit --no-fund html-validate@9 >/dev/null
npx html-validate "pages/**/*.html"
echo "$(find pages -name '*.html' | wc -l) pages are valid HTML"

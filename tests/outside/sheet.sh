#!/usr/bin/env bash
# A table of hard words opened by a spreadsheet's reader from the npm registry (xlsx): nothing in it is a formula, no cell is lost.
# Usage: sheet.sh PROGRAM. Needs node and python3.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
program=$(realpath "$1")
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work"
python3 "$here/lists.py" lists
python3 - <<'P'
import json
kept = json.load(open("lists/odd.json"))
hard = ["=1+2", "+1", "-1+1", "@SUM(1)", "\t=1", "\r=1", '=HYPERLINK("http://x","y")\nnext; line, "q"', "＝1"]
for number, item in enumerate(kept["items"], 1):
    item["number"] = number
    word = hard[number % len(hard)]
    item.update(text=word, where=word, element=word, fault=word, area=[word], by=word)
json.dump(kept, open("hard.json", "w"))
P
"$program" list hard.json --format csv --bom -o hard.csv 2>/dev/null
printf 'a\n=1+2\n' >control.csv
echo '{"private": true}' >package.json
npm install --silent --no-audit --no-fund xlsx@0.18.5 >/dev/null
node - <<'N'
const xlsx = require("xlsx"), fs = require("fs");
const open = name => { const book = xlsx.read(fs.readFileSync(name)); return book.Sheets[book.SheetNames[0]]; };
const formulas = sheet => Object.keys(sheet).filter(k => k[0] !== "!" && sheet[k].f !== undefined);
const sheet = open("hard.csv"), rows = xlsx.utils.sheet_to_json(sheet, { header: 1 });
const fail = why => { console.error(why); process.exit(1); };
if (formulas(open("control.csv")).length !== 1) fail("the reader takes no cell for a formula, so it shows nothing");
if (formulas(sheet).length > 0) fail(`formulas in ${formulas(sheet)}`);
if (rows[0][0] !== "number" || rows.length !== 7 || rows.some((row, n) => n > 0 && row[0] !== n)) fail("rows or cells are lost");
console.log(`${rows.length - 1} rows of hard words open in a spreadsheet's reader, and none is a formula`);
N

#!/usr/bin/env bash
# The review's page in a real browser. Installs what it needs: Debian's chromium, and two npm packages beside the build.
# Usage: tests/browser/run.sh [PROGRAM]   (default: the debug build, built here)
set -euo pipefail
cd "$(dirname "$0")/../.."
target=${CARGO_TARGET_DIR:-target}
if ! command -v chromium >/dev/null || ! command -v npm >/dev/null; then
  apt-get update -q
  command -v chromium >/dev/null || apt-get install -qy chromium
  command -v npm >/dev/null || apt-get install -qy nodejs npm
fi
tools=$target/browser
mkdir -p "$tools"
if [ ! -d "$tools/node_modules/playwright-core" ] || [ ! -d "$tools/node_modules/axe-core" ]; then
  (cd "$tools" && { [ -f package.json ] || npm init -y >/dev/null; } && PLAYWRIGHT_SKIP_BROWSER_DOWNLOAD=1 npm install --no-fund --no-audit playwright-core@1 axe-core@4)
fi
program=${1:-}
if [ -z "$program" ]; then
  cargo build --quiet
  program=$target/debug/storystick
fi
NODE_PACKAGES=$(realpath "$tools") PROGRAM=$(realpath "$program") node tests/browser/review.mjs

#!/usr/bin/env bash
# What spile shows, in a real browser: the report and the page. Installs Debian's Chromium where there is none, checks the
# types in the page's comments, then runs the tests. SPILE_BIN: a spile built already.
set -euo pipefail
cd "$(dirname "$0")"

if [[ -z "${SPILE_BROWSER:-}" ]] && ! command -v chromium >/dev/null; then
  apt-get update -qq
  apt-get install -y -qq --no-install-recommends chromium >/dev/null
fi
npm ci --no-audit --no-fund --loglevel=error

if [[ -z "${SPILE_BIN:-}" ]]; then
  cargo build --locked
  SPILE_BIN="$(cd ../.. && pwd)/target/debug/spile"
fi
export SPILE_BIN

npx tsc --project .
node --test --test-reporter=spec ./*.test.mjs

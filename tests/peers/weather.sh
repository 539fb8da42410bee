#!/usr/bin/env bash
# Judges two measured years and counts the fit hours against a count made elsewhere. The years, NREL's TMY3, come with the
# wheel of pvlib, which is fetched without what it depends on into a virtual environment under target/.
set -euo pipefail
cd "$(dirname "$0")/../.."

pvlib=0.16.1
venv=target/venv-pvlib-$pvlib
if ! ls "$venv"/lib/python*/site-packages/pvlib/data/723170TYA.CSV >/dev/null 2>&1; then
    rm -rf "$venv"
    python3 -m venv "$venv"
    "$venv"/bin/pip install --quiet --disable-pip-version-check --no-deps --no-compile --only-binary :all: "pvlib==$pvlib"
fi
SPILE_TMY3=$(dirname "$PWD/$(ls "$venv"/lib/python*/site-packages/pvlib/data/723170TYA.CSV)")
export SPILE_TMY3
cargo test --locked --test weather -- --ignored measured

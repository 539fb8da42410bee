#!/usr/bin/env bash
# Runs the comparison with what it needs: GEOS's C library as the wheel of shapely 2.2.0 ships it, installed
# into a virtual environment under target/. Arguments go to the program; `test` runs the crate's tests. What measures time
# is built for release; the rest shares what spile's own tests were built from.
set -euo pipefail
cd "$(dirname "$0")"

shapely=2.2.0
venv=target/venv-shapely-$shapely
if ! ls "$venv"/lib/python*/site-packages/shapely.libs/libgeos_c-*.so* >/dev/null 2>&1; then
    rm -rf "$venv"
    python3 -m venv "$venv"
    "$venv"/bin/pip install --quiet --disable-pip-version-check --no-deps --only-binary :all: "shapely==$shapely"
fi
SPILE_GEOS=$(ls "$PWD/$venv"/lib/python*/site-packages/shapely.libs/libgeos_c-*.so*)
export SPILE_GEOS

case "${1:-}" in
time | growth) exec cargo run --locked --release --quiet -- "$@" ;;
esac
if [ "${1:-}" = test ]; then
    shift
    exec cargo test --locked "$@"
fi
exec cargo run --locked --quiet -- "$@"

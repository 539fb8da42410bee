#!/usr/bin/env bash
# Reads templates with other programs' eyes: pages rasterised and measured, their vectors and texts taken out of the PDF,
# tiles joined by their crosses and laid over the drawing to scale. The readers, pypdfium2 and pypdf, are fetched as wheels
# into a virtual environment under target/.
set -euo pipefail
cd "$(dirname "$0")/../.."

venv=target/venv-pdf-1
if ! "$venv"/bin/python -c 'import numpy, pypdf, pypdfium2' >/dev/null 2>&1; then
    rm -rf "$venv"
    python3 -m venv "$venv"
    "$venv"/bin/pip install --quiet --disable-pip-version-check --only-binary :all: \
        numpy==2.4.6 pypdf==7.1.1 pypdfium2==5.15.2
fi
# The program as the tests build it, so that it is built once.
cargo test --locked --no-run --quiet --test command_line
"$venv"/bin/python tests/peers/template.py target/debug/spile "$PWD/target/templates"

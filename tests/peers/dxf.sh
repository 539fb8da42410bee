#!/usr/bin/env bash
# Writes drawings afresh with ezdxf 1.4.2, of every version and unit, and compares what spile reads in them with what
# ezdxf makes of them; then audits what `spile cut` writes and compares its areas with the figures.
# ezdxf is fetched as a wheel into a virtual environment under target/.
set -euo pipefail
cd "$(dirname "$0")/../.."

ezdxf=1.4.2
venv=target/venv-ezdxf-$ezdxf
if ! "$venv"/bin/python -c 'import ezdxf' >/dev/null 2>&1; then
    rm -rf "$venv"
    python3 -m venv "$venv"
    "$venv"/bin/pip install --quiet --disable-pip-version-check --only-binary :all: "ezdxf==$ezdxf"
fi
files=$PWD/target/dxf-written
rm -rf "$files"
"$venv"/bin/python tests/peers/dxf/write.py "$files"
SPILE_DXF_FILES=$files cargo test --locked --test dxf against_ezdxf

# The program as the tests build it, so that it is built once.
cargo test --locked --no-run --quiet --test command_line
"$venv"/bin/python tests/peers/dxf/audit.py target/debug/spile target/dxf-cut layouts/*.toml

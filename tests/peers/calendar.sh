#!/usr/bin/env bash
# Reads programmes in RFC 5545 with another program's parser, over changes of the clocks. The parser, icalendar, is fetched as
# a wheel into a virtual environment under target/.
set -euo pipefail
cd "$(dirname "$0")/../.."

venv=target/venv-calendar-1
if ! "$venv"/bin/python -c 'import icalendar' >/dev/null 2>&1; then
    rm -rf "$venv"
    python3 -m venv "$venv"
    "$venv"/bin/pip install --quiet --disable-pip-version-check --only-binary :all: icalendar==6.3.1 tzdata==2025.2
fi
# The program as the tests build it, so that it is built once.
cargo test --locked --no-run --quiet --test command_line
# Both read the same zones, whether or not the machine has any.
TZDIR=$("$venv"/bin/python -c 'import pathlib, tzdata; print(pathlib.Path(tzdata.__file__).parent / "zoneinfo")')
export TZDIR PYTHONTZPATH=$TZDIR
"$venv"/bin/python tests/peers/programme_calendar.py target/debug/spile layouts/guillemot.toml "$PWD/target/calendars"

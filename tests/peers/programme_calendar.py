"""Reads a programme's calendar with a general-purpose parser and holds it against the programme's JSON.

    python programme_calendar.py SPILE LAYOUT FOLDER
"""

import datetime
import json
import pathlib
import subprocess
import sys
import zoneinfo

import icalendar


def run(spile, *arguments):
    return subprocess.run([spile, "programme", *arguments], check=True, capture_output=True).stdout


def whole(spile, layout, start, zone, folder):
    """Every stretch of work, and the two moments at the end, stand in the calendar at the very same moments."""
    text = pathlib.Path(layout).read_text(encoding="utf-8")
    named = pathlib.Path(folder) / "layout.toml"
    if zone:
        text = text.replace("[programme]\n", f'[programme]\ntime_zone = "{zone}"\n', 1)
    named.write_text(text, encoding="utf-8")
    written = pathlib.Path(folder) / "programme.ics"
    run(spile, named, "--start", start, "--out", written)
    raw = written.read_bytes()
    assert all(len(line) <= 75 for line in raw.split(b"\r\n")), "a line is longer than 75 octets"
    assert raw.count(b"\n") == raw.count(b"\r\n"), "a line does not end in CRLF"
    calendar = icalendar.Calendar.from_ical(raw)
    events = calendar.walk("VEVENT")
    assert all(not event.errors for event in events)
    assert len({str(event["UID"]) for event in events}) == len(events), "two events with one UID"
    for event in events:
        assert event["DTSTAMP"].dt.tzinfo is not None
    plan = json.loads(run(spile, named, "--start", start, "--json"))
    place = zoneinfo.ZoneInfo(zone) if zone else None

    def local(moment):
        moment = datetime.datetime.fromisoformat(moment)
        # Summer time or not, as the zone's own rules have it.
        return moment.replace(tzinfo=place).astimezone(datetime.timezone.utc) if place else moment

    begins = [event["DTSTART"].dt for event in events]
    seen = 0
    for activity in plan["activities"]:
        for span in activity["spans"]:
            begin, end = local(span["from"]), local(span["to"])
            inside = [
                event
                for event in events
                if "DTEND" in event and event["DTSTART"].dt <= begin and end <= event["DTEND"].dt
            ]
            assert len(inside) == 1, (activity["id"], span)
            seen += 1
    for name in ("may_be_walked_on", "cured"):
        assert local(plan["likely"][name]) in begins, name
    alarms = [alarm for event in events for alarm in event.walk("VALARM")]
    off = [alarm for alarm in alarms if "tape" in str(alarm["DESCRIPTION"])]
    recoat = [alarm for alarm in alarms if "recoat" in str(alarm["DESCRIPTION"])]
    assert off and recoat
    # The alarm of a coat comes 12 h before it would be too old.
    for event in events:
        for alarm in event.walk("VALARM"):
            if "recoat" not in str(alarm["DESCRIPTION"]):
                continue
            trigger = alarm["TRIGGER"].dt
            at = event["DTSTART"].dt + trigger if isinstance(trigger, datetime.timedelta) else trigger
            limits = [
                local(activity["recoat_by"]) - datetime.timedelta(hours=12)
                for activity in plan["activities"]
                if activity["recoat_by"]
            ]
            assert at in limits, at
    return seen, len(alarms)


def main():
    spile, layout, folder = sys.argv[1:]
    pathlib.Path(folder).mkdir(parents=True, exist_ok=True)
    # Floating; over a spring and an autumn change of the clocks; south of the equator.
    for start, zone in [
        ("2027-05-03", None),
        ("2027-03-22", "Europe/Berlin"),
        ("2027-10-25", "Europe/Berlin"),
        ("2027-03-08", "America/New_York"),
        ("2027-09-27", "Pacific/Auckland"),
    ]:
        spans, alarms = whole(spile, layout, start, zone, folder)
        print(f"{start} {zone or 'local'}: {spans} stretches of work, {alarms} alarms, as the programme has them")


main()

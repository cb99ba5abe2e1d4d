"""What a calendar says, read by icalendar.

Reads an iCalendar file from standard input and writes its name, and each event's
UID, summary, description, first day and last day, as JSON.
"""

import json
import sys
from datetime import timedelta

from icalendar import Calendar


def event(component):
    first = component.decoded("DTSTART")
    end = component.decoded("DTEND", first + timedelta(days=1))
    return {
        "uid": str(component["UID"]),
        "summary": str(component["SUMMARY"]),
        "description": str(component.get("DESCRIPTION", "")),
        "stamp": component.decoded("DTSTAMP").isoformat(),
        "first": first.isoformat(),
        "last": (end - timedelta(days=1)).isoformat(),
    }


def main():
    calendar = Calendar.from_ical(sys.stdin.buffer.read())
    events = [event(component) for component in calendar.walk("VEVENT")]
    json.dump({"name": str(calendar["NAME"]), "events": events}, sys.stdout)


main()

//! The programme for calendars: RFC 5545 (Internet Calendaring and Scheduling Core Object Specification). An event for each
//! day of each activity; an alarm before tape has to come off and before a coat becomes too old.
//!
//! Where the layout names a time zone, moments are written in UTC, so that no definition of the zone has to travel along;
//! otherwise they are local wherever they are read ("floating", section 3.3.5).

use jiff::civil::DateTime;
use jiff::tz::TimeZone;

use crate::layout::Bound;
use crate::programme::{ActivityKind, Placed, Programme, minutes};
use crate::units::Time;

/// A line may have so many octets (section 3.1).
const MOST_OCTETS: usize = 75;
/// How long before a coat becomes too old the alarm comes.
const AHEAD: Time = Time::hours(12.0);

/// The calendar of the likely schedule.
#[must_use]
pub fn icalendar(programme: &Programme) -> String {
    let zone = programme
        .zone
        .as_ref()
        .and_then(|name| TimeZone::get(name).ok());
    let mut lines = Lines {
        text: String::new(),
        zone,
    };
    lines.add("BEGIN", "VCALENDAR");
    lines.add("VERSION", "2.0");
    lines.add("PRODID", "-//spile//programme//EN");
    lines.add("CALSCALE", "GREGORIAN");
    // When it was made would differ from run to run; the day it is counted from does not.
    let counted_from = match programme.from {
        Bound::Start(date) | Bound::Ready(date) => date,
    };
    let stamp = format!("{}T000000Z", counted_from.strftime("%Y%m%d"));
    for (number, placed) in programme.likely.placed.iter().enumerate() {
        let mut spans = placed.spans.iter().peekable();
        let mut day = 0;
        while let Some(span) = spans.next() {
            let mut end = span.to;
            while let Some(next) = spans.next_if(|next| next.from.date() == span.from.date()) {
                end = next.to;
            }
            day += 1;
            lines.event(
                programme,
                placed,
                (span.from, end),
                &format!("{number}-{day}"),
                &stamp,
            );
        }
    }
    lines.ready(programme, &stamp);
    lines.add("END", "VCALENDAR");
    lines.text
}

struct Lines {
    text: String,
    zone: Option<TimeZone>,
}

impl Lines {
    /// A content line, folded (section 3.1).
    fn add(&mut self, name: &str, value: &str) {
        let mut octets = 0;
        for letter in format!("{name}:{value}").chars() {
            if octets + letter.len_utf8() > MOST_OCTETS {
                self.text.push_str("\r\n ");
                octets = 1;
            }
            octets += letter.len_utf8();
            self.text.push(letter);
        }
        self.text.push_str("\r\n");
    }

    /// Text, escaped (section 3.3.11).
    fn words(&mut self, name: &str, words: &str) {
        let mut escaped = String::new();
        for letter in words.chars() {
            match letter {
                '\\' | ';' | ',' => {
                    escaped.push('\\');
                    escaped.push(letter);
                }
                '\n' => escaped.push_str("\\n"),
                letter if letter.is_control() => {}
                letter => escaped.push(letter),
            }
        }
        self.add(name, &escaped);
    }

    fn moment(&mut self, name: &str, at: DateTime) {
        let written = self.written(at);
        self.add(name, &written);
    }

    fn written(&self, at: DateTime) -> String {
        // A moment that a change of the clocks leaves out or has twice: the later, the first (RFC 5545, 3.3.5).
        let absolute = self
            .zone
            .as_ref()
            .and_then(|zone| at.to_zoned_datetime(zone.clone()).ok());
        match absolute {
            Some(zoned) => zoned
                .with_time_zone(TimeZone::UTC)
                .datetime()
                .strftime("%Y%m%dT%H%M%SZ")
                .to_string(),
            None => at.strftime("%Y%m%dT%H%M%S").to_string(),
        }
    }

    fn event(
        &mut self,
        programme: &Programme,
        placed: &Placed,
        (from, to): (DateTime, DateTime),
        number: &str,
        stamp: &str,
    ) {
        let activity = &placed.activity;
        self.add("BEGIN", "VEVENT");
        self.words("UID", &format!("{}-{number}@spile.invalid", activity.id));
        self.add("DTSTAMP", stamp);
        self.moment("DTSTART", from);
        self.moment("DTEND", to);
        self.words("SUMMARY", &activity.title);
        let mut said = programme.title.clone();
        if let Some(wait) = placed.waited_for() {
            said += &format!("\n{wait}");
        }
        self.words("DESCRIPTION", &said);
        if let ActivityKind::Unmask(_) = activity.kind {
            self.alarm("Take the tape off", ("TRIGGER", "-PT30M"));
        }
        if let Some(by) = placed.recoat_by {
            self.words(
                "COMMENT",
                &format!("to be laid by {}", by.strftime("%Y-%m-%d %H:%M")),
            );
            let ahead = by.saturating_sub(minutes(AHEAD));
            let words = "The last hours to recoat without sanding";
            if self.zone.is_some() {
                // In UTC, as the section on alarms asks (3.8.6.3).
                let moment = self.written(ahead);
                self.alarm(words, ("TRIGGER;VALUE=DATE-TIME", &moment));
            } else {
                let after = ahead.duration_since(from).as_mins();
                let sign = if after < 0 { "-" } else { "" };
                let trigger = format!("{sign}PT{}M", after.unsigned_abs());
                self.alarm(words, ("TRIGGER", &trigger));
            }
        }
        self.add("END", "VEVENT");
    }

    fn alarm(&mut self, words: &str, (name, trigger): (&str, &str)) {
        self.add("BEGIN", "VALARM");
        self.add("ACTION", "DISPLAY");
        self.words("DESCRIPTION", words);
        self.add(name, trigger);
        self.add("END", "VALARM");
    }

    /// When the deck may be walked on, and when it is cured.
    fn ready(&mut self, programme: &Programme, stamp: &str) {
        let plan = &programme.likely;
        for (id, at, words) in [
            ("walked-on", plan.walked_on, "The deck may be walked on"),
            ("ready", plan.ready, "The deck is cured"),
        ] {
            self.add("BEGIN", "VEVENT");
            self.words("UID", &format!("{id}@spile.invalid"));
            self.add("DTSTAMP", stamp);
            self.moment("DTSTART", at);
            self.words("SUMMARY", &format!("{words}: {}", programme.title));
            self.add("END", "VEVENT");
        }
    }
}

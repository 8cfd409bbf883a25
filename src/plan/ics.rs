//! The plan as a calendar (RFC 5545): an event for each visit, a to-do for each promise.
//!
//! UIDs are UUIDs (version 5) of the first walk's hash and what the entry is about; a visit keeps its UID when only its days
//! move, a promise as long as its item lives.

use jiff::Timestamp;
use uuid::Uuid;

use super::{Plan, Visit};
use crate::list::List;
use crate::report::words::heading;

/// The calendar. `now` is stamped on every entry, in seconds since 1970, UTC.
pub fn write(list: &List, plan: &Plan, now: i64) -> String {
    let stamp = Timestamp::from_second(now)
        .unwrap_or_default()
        .strftime("%Y%m%dT%H%M%SZ")
        .to_string();
    let walk = list.walks.first().map_or("", |w| w.sha256.as_str());
    let mut out = Lines::default();
    for line in [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//storystick//plan//EN",
        "CALSCALE:GREGORIAN",
    ] {
        out.line(line);
    }
    for v in &plan.visits {
        let mut ids: Vec<&str> = v.steps.iter().map(|s| s.id.as_str()).collect();
        ids.sort_unstable();
        out.line("BEGIN:VEVENT");
        out.line(&format!(
            "UID:{}",
            uid(walk, &format!("visit:{}:{}", v.trade, ids.join(",")))
        ));
        out.line(&format!("DTSTAMP:{stamp}"));
        out.line(&format!(
            "DTSTART;VALUE=DATE:{}",
            v.start.strftime("%Y%m%d")
        ));
        // The end is not part of an event.
        let end = v.end.tomorrow().unwrap_or(v.end);
        out.line(&format!("DTEND;VALUE=DATE:{}", end.strftime("%Y%m%d")));
        out.text("SUMMARY", &summary(v));
        out.text("DESCRIPTION", &description(v));
        out.line("TRANSP:TRANSPARENT");
        out.line("END:VEVENT");
    }
    for p in &plan.promises {
        out.line("BEGIN:VTODO");
        out.line(&format!(
            "UID:{}",
            uid(walk, &format!("promise:{}:{}", p.id, p.number))
        ));
        out.line(&format!("DTSTAMP:{stamp}"));
        out.text(
            "SUMMARY",
            &format!("Number {}: {}", p.number, super::write::promise(p)),
        );
        out.text("DESCRIPTION", &p.about);
        if let Some(day) = p.by_date {
            out.line(&format!("DUE;VALUE=DATE:{}", day.strftime("%Y%m%d")));
        }
        out.line("STATUS:NEEDS-ACTION");
        out.line("END:VTODO");
    }
    out.line("END:VCALENDAR");
    out.0
}

fn summary(v: &Visit) -> String {
    let numbers: Vec<u32> = v.steps.iter().map(|s| s.number).collect();
    format!("{}: {}", v.trade, super::write::numbers(&numbers))
}

fn description(v: &Visit) -> String {
    v.steps
        .iter()
        .map(|s| format!("{}. {}: {}", s.number, heading(&s.area), s.todo))
        .collect::<Vec<_>>()
        .join("\n")
}

fn uid(walk: &str, about: &str) -> Uuid {
    Uuid::new_v5(
        &Uuid::NAMESPACE_URL,
        format!("storystick:{walk}:{about}").as_bytes(),
    )
}

#[derive(Default)]
struct Lines(String);

impl Lines {
    /// A property of text, with what has a meaning in it escaped (3.3.11).
    fn text(&mut self, name: &str, text: &str) {
        let mut value = String::new();
        for c in text.chars() {
            match c {
                '\\' | ';' | ',' => {
                    value.push('\\');
                    value.push(c);
                }
                '\n' => value.push_str("\\n"),
                c if c.is_control() => value.push(' '),
                c => value.push(c),
            }
        }
        self.line(&format!("{name}:{value}"));
    }

    /// A content line, folded to 75 octets (3.1), never inside a character.
    fn line(&mut self, line: &str) {
        let mut taken = 0;
        for c in line.chars() {
            if taken + c.len_utf8() > 75 {
                self.0.push_str("\r\n ");
                taken = 1;
            }
            self.0.push(c);
            taken += c.len_utf8();
        }
        self.0.push_str("\r\n");
    }
}

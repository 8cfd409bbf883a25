//! Plain text with time stamps, as people and programs write them.

mod stamp;

use super::draft::{Draft, Kind, Notes};
use super::labels::{self, Class};
use super::text::{Line, lines};
use super::webvtt::short;
use stamp::{Stamp, Style, bare, stamp};

/// Where a line has a stamp at or near its start.
struct Head<'a> {
    /// What stands before the stamp: a name, or a heading.
    before: &'a str,
    stamp: Stamp,
    /// What stands behind it.
    after: &'a str,
}

fn is_ornament(c: char) -> bool {
    c.is_whitespace() || matches!(c, '*' | '_' | '>' | '#' | '•' | '-' | '–' | '|')
}

fn head(line: &str) -> Option<Head<'_>> {
    let body = line.trim_start_matches(is_ornament);
    if let Some(stamp) = stamp(body) {
        return Some(Head {
            before: "",
            stamp,
            after: &body[stamp.used..],
        });
    }
    // "Speaker 2 [0:05] …", "Dave (0:05): …", "Dave 0:05" and nothing behind it.
    let label = |before: &str| {
        labels::classify(before.trim_end().trim_end_matches([':', '*', '_'])).is_some()
    };
    for (i, _) in body
        .char_indices()
        .take(48)
        .filter(|(_, c)| matches!(c, '[' | '('))
    {
        if let Some(stamp) = stamp(&body[i..]) {
            return label(&body[..i]).then(|| Head {
                before: &body[..i],
                stamp,
                after: &body[i + stamp.used..],
            });
        }
    }
    let last = body.trim_end().rsplit([' ', '\t']).next()?;
    let i = body.trim_end().len() - last.len();
    let stamp = bare(last).filter(|s| s.used == last.len())?;
    (i > 0 && i < 48 && label(&body[..i])).then(|| Head {
        before: &body[..i],
        stamp,
        after: "",
    })
}

/// Whether any line carries a stamp.
pub(crate) fn looks_like(text: &str) -> bool {
    lines(text).any(|line| head(line.text).is_some())
}

/// Which stamps count in this file: bare ones only where they outnumber those in brackets.
fn styles(text: &str) -> (bool, Option<char>) {
    let mut counts = [0usize; 4];
    for line in lines(text) {
        if let Some(head) = head(line.text) {
            counts[head.stamp.style as usize] += 1;
        }
    }
    let inline = match counts {
        [0, 0, ..] => None,
        [square, round, ..] if square >= round => Some('['),
        _ => Some('('),
    };
    (counts[3] > counts[0] + counts[1] + counts[2], inline)
}

struct Reader<'n, 't> {
    out: Vec<Draft>,
    /// Names that stood before stamps without a colon, by the index of their draft.
    names: Vec<usize>,
    /// Names that stood alone behind stamps, likewise.
    behind: Vec<usize>,
    /// Lines before the first stamp.
    lead: Vec<Line<'t>>,
    notes: &'n mut Notes<'t>,
}

/// Reads stamped text.
pub(crate) fn read<'t>(text: &'t str, notes: &mut Notes<'t>) -> Vec<Draft> {
    let (bare, inline) = styles(text);
    let mut reader = Reader {
        out: Vec::new(),
        names: Vec::new(),
        behind: Vec::new(),
        lead: Vec::new(),
        notes,
    };
    let mut blank = true;
    for line in lines(text) {
        match head(line.text).filter(|h| bare || h.stamp.style != Style::Bare) {
            Some(head) => reader.open(line, &head, inline),
            None => reader.more(line, inline, blank),
        }
        blank = line.is_blank();
    }
    if let Some(line) = reader.lead.iter().find(|l| !l.is_blank()) {
        let line = *line;
        reader.notes.add(Kind::LeftOut, line.at, || {
            format!(
                "left out, as no time stands before it: {}",
                short(line.text)
            )
        });
    }
    reader.settle_names();
    reader.out
}

impl<'t> Reader<'_, 't> {
    fn open(&mut self, line: Line<'t>, head: &Head, inline: Option<char>) {
        let mut speaker = None;
        let mut text = String::new();
        let before = head
            .before
            .trim()
            .trim_end_matches([':', '*', '_'])
            .trim_matches(is_ornament);
        let mut likely = false;
        match labels::classify(before) {
            Some(Class::Certain) => speaker = Some(before.to_owned()),
            Some(Class::Likely) => {
                speaker = Some(before.to_owned());
                likely = !head.before.contains(':');
            }
            _ => text.push_str(before),
        }
        if before.is_empty()
            && let Some((name, class)) = self.take_heading(head.after.trim().is_empty())
        {
            likely = class == Class::Likely;
            match class {
                Class::Word => text = name,
                _ => speaker = Some(name),
            }
        }
        let mut after = head
            .after
            .trim_start_matches(|c: char| c == ':' || c == ',' || is_ornament(c) && c != '>');
        if speaker.is_none() && text.is_empty() {
            let name = after.trim().trim_end_matches(['*', '_']);
            let ends = name.ends_with(['.', '?', '!', ',']);
            match labels::classify(name).filter(|_| !ends) {
                Some(Class::Certain) => (speaker, after) = (Some(name.to_owned()), ""),
                Some(Class::Likely) => {
                    self.behind.push(self.out.len());
                    (speaker, after) = (Some(name.to_owned()), "");
                }
                _ => {}
            }
        }
        if likely {
            self.names.push(self.out.len());
        }
        let Stamp { start, end, .. } = head.stamp;
        self.out.push(Draft {
            at: line.at,
            start,
            end,
            text,
            speaker,
            words: Vec::new(),
        });
        self.append(line.at, after, inline);
    }

    /// Takes a name or heading that stands alone on the line above a stamp.
    fn take_heading(&mut self, alone: bool) -> Option<(String, Class)> {
        let above = match self.out.last() {
            Some(draft) => draft.text.rsplit('\n').next().unwrap_or("").to_owned(),
            None => self
                .lead
                .iter()
                .rev()
                .find(|l| !l.is_blank())?
                .text
                .to_owned(),
        };
        // A blank line (kept as an empty one) or a colon tells a heading from the last line of what was said.
        let parted = match self.out.last() {
            Some(draft) => draft.text[..draft.text.len() - above.len()].ends_with("\n\n"),
            None => true,
        };
        let name = above.trim().trim_matches(is_ornament);
        let colon = name.ends_with(':');
        let name = name.trim_end_matches(':').trim_end_matches(['*', '_']);
        let class = labels::classify(name)?;
        let taken = match class {
            Class::Certain => true,
            _ => (alone && parted) || (colon && class == Class::Likely),
        };
        if !taken {
            return None;
        }
        match self.out.last_mut() {
            Some(draft) => draft.text.truncate(draft.text.len() - above.len()),
            None => {
                let last = self.lead.iter().rposition(|l| !l.is_blank())?;
                self.lead.truncate(last);
            }
        }
        Some((
            name.to_owned(),
            if colon && class == Class::Likely {
                Class::Certain
            } else {
                class
            },
        ))
    }

    /// A line without a stamp at its start: it goes on with the piece before.
    fn more(&mut self, line: Line<'t>, inline: Option<char>, after_blank: bool) {
        let Some(last) = self.out.last_mut() else {
            self.lead.push(line);
            return;
        };
        if line.is_blank() {
            return;
        }
        if !last.text.is_empty() {
            last.text.push_str(if after_blank { "\n\n" } else { "\n" });
        }
        self.append(line.at, line.text, inline);
    }

    /// Adds text to the last piece; a stamp inside it, in the brackets that this file uses, begins another.
    fn append(&mut self, at: usize, text: &str, inline: Option<char>) {
        let mut from = 0;
        if let Some(open) = inline {
            for (i, _) in text.match_indices(open) {
                if i >= from
                    && let Some(found) = stamp(&text[i..])
                {
                    self.push(&text[from..i]);
                    let Stamp {
                        start, end, used, ..
                    } = found;
                    self.out.push(Draft {
                        at,
                        start,
                        end,
                        ..Draft::default()
                    });
                    from = i + used;
                }
            }
        }
        self.push(&text[from..]);
    }

    fn push(&mut self, text: &str) {
        if let Some(last) = self.out.last_mut() {
            if !last.text.is_empty() && !last.text.ends_with('\n') {
                last.text.push('\n');
            }
            last.text.push_str(text.trim());
        }
    }

    /// What looked like a name and stood there only once may be none: it goes back to the text.
    ///
    /// A name behind a stamp must also have words below it, as must two thirds of all pieces: "Perfect" may be all that was said.
    fn settle_names(&mut self) {
        let mut counts = std::collections::BTreeMap::new();
        for name in self.out.iter().filter_map(|d| d.speaker.as_ref()) {
            *counts.entry(name.clone()).or_insert(0usize) += 1;
        }
        let again = counts.values().any(|n| *n > 1);
        let named = self
            .behind
            .iter()
            .filter(|i| !self.out[**i].text.is_empty())
            .count();
        let headed = again && named * 3 >= self.out.len() * 2;
        let many = again && self.names.len() * 2 >= self.out.len();
        for (i, known) in self
            .names
            .iter()
            .map(|i| (*i, many))
            .chain(self.behind.iter().map(|i| (*i, headed)))
        {
            let draft = &mut self.out[i];
            let Some(name) = draft.speaker.take_if(|name| {
                let alone = self.behind.contains(&i) && (!headed || draft.text.is_empty());
                alone || (!known && counts.get(name) == Some(&1))
            }) else {
                continue;
            };
            let text = std::mem::take(&mut draft.text);
            draft.text = if text.is_empty() {
                name
            } else {
                format!("{name}\n{text}")
            };
        }
    }
}

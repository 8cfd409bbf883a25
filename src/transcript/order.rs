//! Times made usable: finite, in order, with an end that is not before the start.

use super::draft::{Draft, Kind, Notes, Timed};
use super::error::TranscriptError;
use super::time::{LONGEST, show};

/// Drops what lies beyond any recording, sorts, fills in and mends ends.
pub(crate) fn order(
    drafts: Vec<Draft>,
    file: &str,
    notes: &mut Notes,
) -> Result<Vec<Draft>, TranscriptError> {
    let mut out: Vec<Draft> = Vec::with_capacity(drafts.len());
    let mut absurd: Option<(usize, u64)> = None;
    for mut draft in drafts {
        if !draft.start.is_finite() || draft.start > LONGEST {
            let hours = if draft.start.is_finite() {
                (draft.start / 3600.0) as u64
            } else {
                u64::MAX
            };
            absurd = absurd.or(Some((draft.at, hours)));
            notes.add(Kind::Skipped, draft.at, || {
                format!("cue skipped, it starts at {hours} hours")
            });
            continue;
        }
        if draft.start < 0.0 {
            notes.add(Kind::Mended, draft.at, || {
                format!(
                    "starts {:.3} s before the recording, read as 0:00",
                    -draft.start
                )
            });
            draft.start = 0.0;
        }
        if let Some(end) = draft.end {
            if !end.is_finite() || end > LONGEST {
                notes.add(Kind::Mended, draft.at, || {
                    "the end is beyond any recording, read as open".to_owned()
                });
                draft.end = None;
            } else if end < draft.start {
                notes.add(Kind::Mended, draft.at, || {
                    format!(
                        "ends at {}, before its start at {}; read as ending where it starts",
                        show(end),
                        show(draft.start)
                    )
                });
                draft.end = Some(draft.start);
            }
        }
        out.push(draft);
    }
    if let (Some((at, hours)), true) = (absurd, out.is_empty()) {
        return Err(TranscriptError::AbsurdTimes {
            file: file.to_owned(),
            line: notes.line(at),
            hours,
        });
    }
    let mut sorted = true;
    for pair in out.windows(2) {
        if pair[1].start < pair[0].start {
            sorted = false;
            notes.add(Kind::Backwards, pair[1].at, || {
                format!(
                    "time goes back from {} to {}; sorted",
                    show(pair[0].start),
                    show(pair[1].start)
                )
            });
        }
    }
    if !sorted {
        out.sort_by(|a, b| a.start.total_cmp(&b.start));
    }
    fill_ends(&mut out);
    for draft in &mut out {
        mend_words(draft);
    }
    Ok(out)
}

/// Where no end is given it is the next start; the last one lasts 2 s, or a second for every 15 characters.
///
/// Several pieces with one start and no ends (stamps are often whole seconds) share the time up to the next start.
fn fill_ends(drafts: &mut [Draft]) {
    let mut i = 0;
    while i < drafts.len() {
        if drafts[i].end.is_some() {
            i += 1;
            continue;
        }
        let start = drafts[i].start;
        let same = drafts[i..]
            .iter()
            .take_while(|d| d.start == start && d.end.is_none())
            .count();
        let next = drafts[i + same..]
            .iter()
            .map(|d| d.start)
            .find(|s| *s > start);
        let lengths: Vec<f64> = drafts[i..i + same]
            .iter()
            .map(|d| d.text.chars().count() as f64)
            .collect();
        let all: f64 = lengths.iter().sum();
        let end = next.unwrap_or_else(|| start + (all / 15.0).max(2.0));
        let mut done = 0.0;
        for (draft, length) in drafts[i..i + same].iter_mut().zip(lengths) {
            let share = |part: f64| {
                if all > 0.0 {
                    start + (end - start) * part / all
                } else {
                    start
                }
            };
            draft.start = share(done);
            done += length;
            draft.end = Some(if done == all { end } else { share(done) });
        }
        i += same;
    }
}

/// Word times in order, inside the hours that a recording can have, each with an end.
fn mend_words(draft: &mut Draft) {
    let length = draft.text.len();
    draft.words.retain(|w| {
        w.start.is_finite()
            && w.start <= LONGEST
            && w.range.start < w.range.end
            && w.range.end <= length
    });
    let mut from = 0;
    draft.words.retain(|w| {
        let fits = w.range.start >= from;
        if fits {
            from = w.range.end;
        }
        fits
    });
    let mut last = 0.0f64;
    let ends: Vec<f64> = draft
        .words
        .iter()
        .skip(1)
        .map(|w| w.start)
        .chain(draft.end)
        .collect();
    for (Timed { start, end, .. }, next) in draft.words.iter_mut().zip(ends) {
        *start = start.max(last);
        let given = end.filter(|e| e.is_finite() && *e <= LONGEST);
        *end = Some(given.unwrap_or_else(|| next.min(*start + 1.0)).max(*start));
        last = *start;
    }
}

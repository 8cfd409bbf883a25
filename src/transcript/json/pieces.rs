//! From the objects of one list to drafts of cues.

use std::ops::ControlFlow;

use super::super::draft::Draft;
use super::super::time::UnitGuess;
use super::fields::{Moment, plain};
use super::raw::Node;
use super::shapes::{Listed, Reader};
use super::words::{self, Spoken};

impl<'a> Reader<'a> {
    /// Makes cues of the entries of a list; plain numbers get their unit from all of them together.
    pub(super) fn pieces(&mut self, list: Vec<Listed<'a>>) -> Vec<Draft> {
        let mut opened = Vec::with_capacity(list.len());
        let (mut cues, mut inner) = (UnitGuess::default(), UnitGuess::default());
        for Listed { mut entry, .. } in list {
            let spoken = entry
                .words
                .map(|list| self.spoken(list))
                .unwrap_or_default();
            words::measure(&spoken, &mut inner);
            if let (Some(start), Some(end)) = (entry.start.filter(|s| !s.sure), entry.end) {
                let chars = match &entry.text {
                    Some(text) => text.trim().len(),
                    None => spoken.iter().map(|w| w.text.len() + 1).sum(),
                };
                cues.add(start.value, end.value - start.value, chars);
            }
            if !spoken.is_empty() {
                entry.words = None;
            }
            opened.push((entry, spoken));
        }
        let (scale, word_scale) = (cues.scale(), inner.scale());
        let mut out: Vec<Draft> = Vec::with_capacity(opened.len());
        let mut last_end = Some(Moment {
            value: 0.0,
            sure: true,
        });
        for (entry, spoken) in opened {
            let start = entry.start.or_else(|| entry.result_end.and(last_end));
            let end = entry.end.or(entry.result_end);
            last_end = end.or(last_end);
            let Some(start) = start.filter(|_| entry.start.is_some() || spoken.is_empty()) else {
                let found = words::group(&spoken, entry.speaker.as_ref(), word_scale);
                let words = entry.text.is_some() || !spoken.is_empty();
                if found.is_empty() && words {
                    self.skip(
                        entry.at,
                        if entry.bad_time {
                            "its start cannot be read as a time"
                        } else {
                            "it has no start"
                        },
                    );
                }
                out.extend(found);
                continue;
            };
            let (text, times) = match entry.text {
                Some(text) => {
                    let times = words::align(&text, &spoken, word_scale);
                    (text, times)
                }
                None => words::join(&spoken, word_scale),
            };
            let who = entry
                .speaker
                .or_else(|| spoken.iter().find_map(|w| w.speaker.clone()));
            let speaker = who.map(|w| w.to_string());
            let (start, end) = (start.seconds(scale), end.map(|e| e.seconds(scale)));
            out.push(Draft {
                at: entry.at,
                start,
                end,
                text,
                speaker,
                words: times,
            });
        }
        out
    }

    /// Puts the speakers of a list beside the words on these, by their start times.
    pub(super) fn label(&mut self, spoken: &mut [Spoken], labels: Node<'a>) {
        let mut known = std::collections::BTreeMap::new();
        let segments = labels
            .fields()
            .into_iter()
            .find(|(key, _)| plain(key) == "segments");
        if let Some((_, segments)) = segments {
            for segment in self.entries_of(segments) {
                let items = segment
                    .entry
                    .words
                    .map(|list| self.entries_of(list))
                    .unwrap_or_default();
                for item in items {
                    let who = item.entry.speaker.or_else(|| segment.entry.speaker.clone());
                    if let (Some(start), Some(who)) = (item.entry.start, who) {
                        known.insert(start.value.to_bits(), who);
                    }
                }
            }
        }
        for word in spoken.iter_mut().filter(|w| w.speaker.is_none()) {
            word.speaker = word
                .start
                .and_then(|s| known.get(&s.value.to_bits()).cloned());
        }
    }
}

/// Where the last result repeats all words of those before it (as it does to give them speakers), only it is kept.
pub(super) fn drop_summary<'a>(list: &mut Vec<Listed<'a>>, reader: &mut Reader<'a>) {
    let Some((last, before)) = list.split_last() else {
        return;
    };
    let Some(words) = last
        .entry
        .words
        .filter(|_| last.entry.start.is_none() && !before.is_empty())
    else {
        return;
    };
    let all = reader.spoken(words);
    let Some(first_word) = before[0]
        .entry
        .words
        .and_then(|w| reader.spoken(w).into_iter().next())
    else {
        return;
    };
    let (Some(first), Some(again)) = (first_word.start, all.first().and_then(|w| w.start)) else {
        return;
    };
    let mut count = 0;
    for listed in before {
        if let Some(list) = listed.entry.words {
            list.each(|_| {
                count += 1;
                ControlFlow::Continue(())
            });
        }
    }
    if again == first && all.len() >= count && count > 0 {
        list.drain(..list.len() - 1);
    }
}

/// Puts what several channels said in order of time; each channel without speakers gets its number.
pub(super) fn merge(found: Vec<Vec<Draft>>) -> Vec<Draft> {
    let spoken = found.iter().filter(|f| !f.is_empty()).count();
    let overlap = spoken > 1 && {
        let ends: Vec<f64> = found.iter().filter_map(|f| Some(f.last()?.start)).collect();
        let starts: Vec<f64> = found
            .iter()
            .filter_map(|f| Some(f.first()?.start))
            .collect();
        starts.iter().skip(1).zip(&ends).any(|(s, e)| s < e)
    };
    let mut out = Vec::new();
    for (index, channel) in found.into_iter().enumerate() {
        for mut draft in channel {
            if overlap && draft.speaker.is_none() {
                draft.speaker = Some(format!("Channel {}", index + 1));
            }
            out.push(draft);
        }
    }
    if overlap {
        out.sort_by(|a, b| a.start.total_cmp(&b.start));
    }
    out
}

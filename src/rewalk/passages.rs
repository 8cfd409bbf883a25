//! What is said of single items: the stretch of words that is on one, and what is said of one in passing.

use std::collections::BTreeSet;
use std::ops::Range;

use crate::lexicon::Kind;
use crate::lexicon::source::CueKind;
use crate::list::Work;

use super::hearing::{By, DESCRIBED, Hearing, LONG, MIND, NAMED};
use super::named::Fit;
use super::scene::Scene;
use super::track::{self, Track};
use super::words::{self, Verdict};

impl Hearing<'_, '_> {
    /// What is said of the items that the words are on, stretch by stretch.
    pub(super) fn passages(&mut self) {
        let n = self.track.item.len();
        let mut c = 0;
        while c < n {
            let Some(i) = self.track.item[c] else {
                c += 1;
                continue;
            };
            let end = (c..n).find(|e| self.track.item[*e] != Some(i)).unwrap_or(n);
            self.passage(i, c..end);
            c = end;
        }
    }

    pub(super) fn passage(&mut self, i: usize, range: Range<usize>) {
        let lacking = self.scene.items[i].work == Work::Install;
        let fit = |c: usize| self.clauses[c].items.get(&i).map_or(0.0, |f| f.all);
        let named: Vec<usize> = range.clone().filter(|c| fit(*c) >= NAMED).collect();
        if named.is_empty() {
            return;
        }
        let chosen = self.alike(i, &named);
        let mut told: Vec<(Verdict, Range<usize>)> = Vec::new();
        let mut from = range.start;
        // The last clause that names it or says what came of it.
        let mut at = named[0];
        for c in range.clone() {
            if fit(c) > 0.0 {
                at = c;
            } else if c > at + LONG {
                break;
            } else if self.clauses[c].judged {
                at = c;
            }
            if self.other_work(i, c) && !told.is_empty() {
                continue;
            }
            let own = if self.heard[c].stuck(&self.scene.items[i].stems) {
                Some(Verdict::Still)
            } else if !lacking && self.heard[c].denies(&self.scene.items[i].stems) {
                Some(Verdict::Good)
            } else {
                self.verdict(c, lacking)
            };
            let own = own.or_else(|| {
                let asked = c > range.start && fit(c - 1) >= NAMED;
                asked.then(|| self.heard[c].answer()).flatten()
            });
            // What is only fine after it was not may be something else.
            let turns = own == Some(Verdict::Good)
                && fit(c) == 0.0
                && self.heard[c].only_fine()
                && told.last().is_some_and(|t| t.0 != Verdict::Good)
                && told
                    .last()
                    .is_some_and(|t| self.heard[t.1.end - 1].verdict().is_some());
            if let Some(v) = own.filter(|_| !turns && !self.other_deed(i, c)) {
                told.push((v, from..c + 1));
                from = c + 1;
            }
        }
        // "No. Nothing there. The soap dispenser?": said just before it was named.
        let before = range.start.checked_sub(1).filter(|b| {
            self.track.item[*b].is_none()
                && self.track.area[*b] == self.track.area[range.start]
                && !self.clauses[*b].part
                && !self.clauses[*b].whole
                && self.heard[*b].points()
        });
        if told.is_empty()
            && let Some(b) = before
            && let Some(v) = self.verdict(b, false)
        {
            self.tell(
                &chosen,
                v,
                b..range.end,
                "said just before it was named",
                None,
            );
            return;
        }
        if told.is_empty() {
            let weak = range.clone().rev().find_map(|c| self.leaning(c));
            let words: usize = range.clone().map(|c| self.heard[c].all.len()).sum();
            let asked = range.clone().all(|c| self.stages.clauses[c].question);
            if let Some(v) = weak {
                let how = "by what is named with it";
                self.tell(&chosen, v, range, how, Some(By::Leaning));
            } else if words >= DESCRIBED && !asked {
                let how = "spoken of, and no fault told";
                self.tell(&chosen, Verdict::Good, range, how, Some(By::Spoken));
            }
            return;
        }
        for (v, r) in told {
            let how = if r.len() > 1 {
                "said with its name"
            } else {
                "its own words"
            };
            // What was missing and is there is no more missing, whatever else is said of it.
            let there = lacking && v == Verdict::Good && self.heard[r.end - 1].there();
            self.tell(&chosen, v, r, how, there.then_some(By::Certain));
        }
    }

    /// An item of the new walk that asks for other work than the old one was, after that was told done, is new.
    pub(super) fn new_about_old(&mut self) {
        let scene = self.scene;
        let done: BTreeSet<(usize, usize)> = self
            .out
            .iter()
            .filter(|e| e.verdict == Verdict::Good && matches!(e.by, By::Words | By::Certain))
            .map(|e| (e.item, e.clause))
            .collect();
        self.out.retain(|e| {
            let By::Item(n) = e.by else { return true };
            let other = scene.new.items[n].work != scene.items[e.item].work;
            let lately = (e.item, e.clause.saturating_sub(LONG))..(e.item, e.clause);
            !(other && done.range(lately).next().is_some())
        });
    }

    /// Whether a clause tells of a deed that is no answer to an item, but to another of its place: "they swept".
    pub(super) fn other_deed(&self, i: usize, c: usize) -> bool {
        let own = &self.scene.items[i];
        let fits = self.clauses[c].items.contains_key(&i);
        let deed = self.heard[c]
            .deed(self.cues)
            .filter(|w| *w != own.work && !fits);
        deed.is_some_and(|w| {
            let here = self.scene.of(Some(own.area)).iter();
            here.filter(|j| self.scene.items[**j].work == w).count() == 1
        })
    }

    /// Whether a clause asks for other work than that of an item: what is new about a part is no word on the old.
    pub(super) fn other_work(&self, i: usize, c: usize) -> bool {
        let clause = &self.stages.clauses[c];
        let needs = self
            .stages
            .scan
            .cues_within(&clause.tokens)
            .any(|m| matches!(m.0, CueKind::Need | CueKind::Negation));
        let mut named = self
            .stages
            .scan
            .within(&clause.tokens)
            .filter(|m| m.kind == Kind::Work)
            .map(|m| self.scene.names.work(m.entry));
        let fits = self.clauses[c]
            .items
            .get(&i)
            .is_some_and(|f| f.all >= NAMED);
        needs
            && !fits
            && named
                .next()
                .flatten()
                .is_some_and(|w| w != self.scene.items[i].work)
    }

    /// What is said of an item of another place in passing: its words are those of one item alone.
    pub(super) fn asides(&mut self) {
        let told: BTreeSet<usize> = self.out.iter().map(|e| e.item).collect();
        for c in 0..self.heard.len() {
            let here = self.track.item[c].is_some_and(|i| self.clauses[c].items.contains_key(&i));
            let sure = |f: &Fit| f.tells >= NAMED;
            let fits = self.clauses[c].items.iter().filter(|(_, f)| sure(f));
            let fits: Vec<(usize, Fit)> = fits.take(2).map(|(i, f)| (i, *f)).collect();
            let &[(i, fit)] = fits.as_slice() else {
                continue;
            };
            // One word in common is chance, unless it is the fault and denied: "no chirping up here".
            if fit.all < 1.0 && !(self.heard[c].denied() && fit.part == 0.0) {
                continue;
            }
            if here || told.contains(&i) || self.track.area[c] == Some(self.scene.items[i].area) {
                continue;
            }
            // Named by its part alone it must be the only one of its name, and the speaker may be a while at it.
            let reach = if fit.part >= 0.8 { MIND } else { 0 };
            let ends = (c..(c + reach + 1).min(self.heard.len()))
                .take_while(|e| *e == c || !self.clauses[*e].part)
                .find_map(|e| {
                    Some((
                        e,
                        self.verdict(e, self.scene.items[i].work == Work::Install)?,
                    ))
                });
            if let Some((e, v)) = ends {
                self.tell(&[i], v, c..e + 1, "named in passing", None);
            }
        }
    }

    /// The items that words on one of them are on as well: those that fit them as well, and where all of a kind are meant those of
    /// the same part, also in other places.
    pub(super) fn alike(&self, i: usize, named: &[usize]) -> Vec<usize> {
        let scene = self.scene;
        let mut out = vec![i];
        let part = scene.items[i].part.as_ref();
        for &c in named {
            let fits = &self.clauses[c].items;
            let best = fits.get(&i).map_or(0.0, |f| f.all);
            let every = self.heard[c].every();
            let plural = self.heard[c]
                .all
                .iter()
                .any(|w| w.ends_with('s') && part.is_some_and(|p| words::stem(w) == p.head));
            let mut others: Vec<(usize, &Fit)> = if every && plural {
                fits.iter().collect()
            } else {
                let here = scene.of(Some(scene.items[i].area)).iter();
                here.filter_map(|j| Some((*j, fits.get(j)?))).collect()
            };
            others.sort_unstable_by_key(|o| o.0);
            for (j, fit) in others {
                let (a, b) = (&scene.items[i], &scene.items[j]);
                let here =
                    a.area == b.area && (fit.all + 0.05 >= best || (every && fit.part >= 0.8));
                let all = every
                    && plural
                    && a.part.as_ref().map(|p| &p.name) == b.part.as_ref().map(|p| &p.name);
                if (here || all) && !out.contains(&j) {
                    out.push(j);
                }
            }
        }
        out
    }
}

/// What is said of a matter a little later, without its name and with nothing else named between, is still of it.
pub(super) fn keep_in_mind(
    scene: &Scene<'_>,
    heard: &[words::Heard<'_>],
    clauses: &[track::Said],
    mut track: Track,
) -> Track {
    let mut topic: Option<(usize, usize)> = None;
    let mut last_word: Option<bool> = None;
    for c in 0..clauses.len() {
        let good = heard[c].verdict().map(|v| v == Verdict::Good);
        if let Some(i) = track.item[c] {
            if topic.is_none_or(|t| t.0 != i) {
                last_word = None;
            }
            if clauses[c].items.contains_key(&i) {
                topic = Some((i, c));
            }
            last_word = good.or(last_word);
            continue;
        }
        let Some((i, last)) = topic else { continue };
        let said = &clauses[c];
        let away = track.area[c] != Some(scene.items[i].area);
        // What is told is told: the opposite is said of something else, unless it is set against it.
        // "no chirping up here" is of another place's item.
        let other = said.items.iter().any(|(j, f)| j != i && f.all >= NAMED)
            && !said.items.contains_key(&i);
        let turns = last_word.is_some() && good.is_some() && good != last_word;
        if away
            || said.part
            || said.whole
            || c > last + LONG
            || other
            || (turns && !heard[c].contrasts())
        {
            topic = None;
        } else if said.judged {
            last_word = good;
            track.item[last + 1..=c].fill(Some(i));
            topic = Some((i, c));
        }
    }
    track
}

//! Decides what becomes of a matter: items, a cleared mark, or passed over with a reason.

use std::ops::Range;

use crate::lexicon::source::CueKind;
use crate::lexicon::{Kind, Lexicon, Sense};
use crate::list::{ClearedKind, Standing, Work};

use super::super::events::{Event, Saying, Target};
use super::super::mentions::Thing;
use super::super::misheard;
use super::super::model;
use super::super::normalize::Speech;
use super::super::scan::Scan;
use super::super::segment::{Clause, Joint};

use super::{Finding, Matter, Outcome, bad, name};

/// Decides a matter.
pub fn decide(
    m: &Matter,
    speech: &Speech<'_>,
    clauses: &[Clause],
    scan: &Scan,
    lexicon: &Lexicon,
) -> Vec<Finding> {
    each(m, speech, clauses, scan, lexicon, |d| d.run())
}

/// The findings of a matter of which it is known that it is an item or that it is fine.
pub fn forced(
    m: &Matter,
    item: bool,
    speech: &Speech<'_>,
    clauses: &[Clause],
    scan: &Scan,
    lexicon: &Lexicon,
) -> Vec<Finding> {
    each(m, speech, clauses, scan, lexicon, |d| d.forced(item))
}

fn each(
    m: &Matter,
    speech: &Speech<'_>,
    clauses: &[Clause],
    scan: &Scan,
    lexicon: &Lexicon,
    run: impl Fn(&Decide<'_, '_>) -> Vec<Finding>,
) -> Vec<Finding> {
    let danger = scan
        .cues_within(&m.tokens)
        .any(|(k, _)| *k == CueKind::Danger);
    let around = m.tokens.start.saturating_sub(12)..m.tokens.end + 12;
    let areas: Vec<Range<usize>> = scan
        .within(&around)
        .filter(|a| a.kind == Kind::Area)
        .map(|a| a.tokens.clone())
        .collect();
    let areas = &areas;
    let of = |thing| {
        let decide = Decide {
            m,
            thing,
            speech,
            clauses,
            scan,
            lexicon,
            danger,
            areas,
        };
        run(&decide)
    };
    let mut found = match &m.things[..] {
        [] => of(None),
        [one] => of(Some(one)),
        many => many.iter().flat_map(|t| of(Some(t))).collect(),
    };
    // They stay until the list is made.
    found.shrink_to_fit();
    found
}

struct Decide<'a, 'r> {
    m: &'a Matter,
    thing: Option<&'a Thing>,
    speech: &'a Speech<'r>,
    clauses: &'a [Clause],
    scan: &'a Scan,
    lexicon: &'a Lexicon,
    /// The words tell of a danger.
    danger: bool,
    /// Names of places in the matter's words.
    areas: &'a [Range<usize>],
}

impl Decide<'_, '_> {
    fn run(&self) -> Vec<Finding> {
        // What was taken back or is to stay as it is does not count; what is said after that does.
        let mut live: Vec<&Event> = Vec::new();
        let mut dropped: Vec<(&Event, &'static str)> = Vec::new();
        let mut relieved = false;
        for e in &self.m.events {
            match e.saying {
                Saying::TakeBack => {
                    // Only the last thing said is taken back: what was asked, else the last sentence's faults.
                    let asked = live
                        .iter()
                        .any(|o| matches!(o.saying, Saying::AskedFault(_)));
                    let last = live
                        .iter()
                        .rev()
                        .find(|o| bad(o))
                        .map(|o| self.clauses[o.clause].sentence);
                    let bad = |o: &Event| {
                        bad(o)
                            && if asked {
                                matches!(o.saying, Saying::AskedFault(_))
                            } else {
                                Some(self.clauses[o.clause].sentence) == last
                            }
                    };
                    relieved |= live.iter().any(|o| bad(o));
                    dropped.extend(live.iter().filter(|o| bad(o)).map(|o| (*o, "taken back")));
                    live.retain(|o| !bad(o));
                }
                Saying::Leave => {
                    dropped.extend(
                        live.iter()
                            .filter(|o| bad(o))
                            .map(|o| (*o, "to stay as it is")),
                    );
                    live.retain(|o| !bad(o));
                }
                _ => live.push(e),
            }
        }
        let mut items = self.items(&live);
        // An everyday word is a part only where the fault or the work is told in one breath with it.
        if let Some(t) = self.thing
            && t.entry.is_some_and(|e| self.lexicon.element(e).weak)
            && !live.iter().any(|e| {
                (bad(e) || matches!(e.saying, Saying::Ask | Saying::Doubt)) && {
                    let c = &self.clauses[e.clause].tokens;
                    let held = super::holding(self.clauses, &t.tokens);
                    // In the next breath of the same sentence, or in answer to a question about it.
                    let points = (c.start..c.end.min(c.start + 3))
                        .any(|i| matches!(self.speech.word(i), "it" | "they"));
                    let next = held.is_some_and(|h| {
                        let head = t.phrase.start <= self.clauses[h].tokens.start + 2;
                        let asks = matches!(e.saying, Saying::Ask | Saying::Doubt);
                        e.clause == h + 1
                            && head
                            && (points
                                && self.speech.punctuated
                                && matches!(
                                    self.clauses[e.clause].joint,
                                    Joint::But | Joint::Comma
                                )
                                && matches!(
                                    self.speech.word(t.phrase.start),
                                    "the" | "this" | "that" | "these" | "those"
                                )
                                && self.clauses[h].sentence == self.clauses[e.clause].sentence
                                || asks && self.clauses[h].question)
                    });
                    next || c.start <= t.tokens.start && t.tokens.end <= c.end
                }
            })
            && !t.fresh
            && super::holding(self.clauses, &(t.phrase.start..t.tokens.end))
                .is_none_or(|c| self.clauses[c].tokens.len() > t.phrase.len() + 1)
        {
            items.clear();
        }
        // Without a part an item is only what somebody can find by the place alone: a clean, a danger.
        let danger = self.danger;
        if self.thing.is_none() {
            items.retain(|f| {
                matches!(
                    &f.outcome,
                    Outcome::Item {
                        work: Work::Clean,
                        ..
                    }
                ) || danger
            });
        }
        let mut out = Vec::new();
        if items.is_empty() {
            out.extend(self.cleared(&live, relieved));
        } else {
            out.extend(self.praise_beside(&live));
            out.extend(items);
        }
        if out.is_empty() {
            let passed = dropped
                .iter()
                .map(|(e, r)| (*e, *r))
                .chain(live.iter().filter_map(|e| match e.saying {
                    Saying::Passed(reason) => Some((*e, reason)),
                    Saying::WasFault(_) => Some((*e, "told of an earlier time")),
                    Saying::AskedFault(_) => Some((*e, "only asked")),
                    Saying::Fault(_) | Saying::Needed(_) | Saying::Absent => {
                        Some((*e, "no building part or place told"))
                    }
                    _ => None,
                }));
            for (e, reason) in passed.take(1) {
                out.push(self.finding(Outcome::Passed(reason), &[e]));
            }
        }
        out
    }

    /// Its findings where the kind is known.
    fn forced(&self, item: bool) -> Vec<Finding> {
        let live: Vec<&Event> = self.m.events.iter().collect();
        let found = if item {
            self.items(&live)
        } else {
            self.cleared(&live, false)
        };
        if item || !found.is_empty() {
            return found;
        }
        vec![self.finding(Outcome::Cleared(ClearedKind::Sound), &live)]
    }

    fn entry(&self) -> Option<&crate::lexicon::source::Element> {
        if let Some(via) = self
            .m
            .via
            .or_else(|| self.m.events.iter().find_map(|e| e.via))
        {
            return Some(self.lexicon.element(via));
        }
        self.thing
            .and_then(|t| t.entry)
            .map(|e| self.lexicon.element(e))
    }

    fn class_in(&self, map: &std::collections::BTreeMap<String, Work>) -> Option<Work> {
        let e = self.entry()?;
        map.get(&e.id).or_else(|| map.get(&e.group)).copied()
    }

    fn fault_class(&self, fault: u16) -> Work {
        let f = self.lexicon.fault(fault);
        if self.entry().is_some_and(|e| e.group == "sealant") && f.work != Some(Work::Clean) {
            return Work::Seal;
        }
        self.class_in(&f.works).or(f.work).unwrap_or(Work::Repair)
    }

    fn deed_class(&self, deed: u16) -> Work {
        let w = self.lexicon.work(deed);
        self.class_in(&w.works).or(w.class).unwrap_or(Work::Repair)
    }

    /// A part that is missing: caulk is sealed, all else installed.
    fn absent_class(&self) -> Work {
        match self.entry().map(|e| e.group.as_str()) {
            Some("sealant") => Work::Seal,
            Some("paint") => Work::TouchUp,
            _ => Work::Install,
        }
    }

    fn items(&self, live: &[&Event]) -> Vec<Finding> {
        let fault = live.iter().find_map(|e| match e.saying {
            Saying::Fault(f) => Some(f),
            _ => None,
        });
        // The wrong thing is wrong whatever else it does.
        let wrong = live.iter().find_map(|e| match e.saying {
            Saying::Fault(f) if self.lexicon.fault(f).id == "wrong-one" => Some(f),
            _ => None,
        });
        let fault = wrong.or(fault);
        let asked = live.iter().find_map(|e| match e.saying {
            Saying::AskedFault(f) => Some(f),
            _ => None,
        });
        let absent = live.iter().any(|e| e.saying == Saying::Absent);
        let last_doubt = live
            .iter()
            .rposition(|e| matches!(e.saying, Saying::Doubt | Saying::Ask));
        let last_good = live.iter().rposition(|e| {
            // "it was painted in February" puts nothing right that is told before it.
            let long_ago = matches!(e.saying, Saying::Worked(_))
                && (e.tokens.start.saturating_sub(2)..e.tokens.start)
                    .any(|i| matches!(self.speech.word(i), "was" | "were"));
            !long_ago
                && matches!(
                    e.saying,
                    Saying::Fine | Saying::Done | Saying::Worked(_) | Saying::NoFault(_)
                )
        });
        let last_bad = live.iter().rposition(|e| bad(e));
        // A verdict after the fault, with nothing against it, settles it.
        if let (Some(g), Some(b)) = (last_good, last_bad)
            && g > b
            && !(live[g].saying == Saying::Fine && self.only_runs(live[g]))
            && !live
                .iter()
                .any(|e| matches!(e.saying, Saying::Needed(_) | Saying::New))
            && !self.against(live[g])
        {
            return Vec::new();
        }
        let mut works: Vec<(Work, Option<u16>, usize)> = Vec::new();
        for (i, e) in live.iter().enumerate() {
            let found = match e.saying {
                Saying::Needed(w) => (self.deed_class(w), Some(w)),
                Saying::New => (Work::Replace, None),
                _ => continue,
            };
            if !works.iter().any(|(c, _, _)| *c == found.0) {
                works.push((found.0, found.1, i));
            }
        }
        // "take it off and bed it again", "rake that out and seal it": the work named is one, its last word the class.
        if absent
            && works
                .iter()
                .all(|(c, _, _)| matches!(c, Work::Install | Work::Repair | Work::Adjust))
            && !works.is_empty()
        {
            let deed = works[0].1;
            works = vec![(self.absent_class(), deed, works[0].2)];
        }
        // "it's off its track, hang it back on": putting back what came off is mending.
        if let (Some(f), false) = (fault, absent)
            && matches!(self.fault_class(f), Work::Repair | Work::Adjust)
        {
            for w in &mut works {
                let back = self.clauses[live[w.2].clause].tokens.clone();
                if w.0 == Work::Install && back.into_iter().any(|i| self.speech.word(i) == "back") {
                    w.0 = self.fault_class(f);
                }
            }
        }
        let decided = works.last().is_some_and(|(_, _, i)| {
            last_doubt.is_none_or(|d| *i > d || !live[d..].iter().any(|e| e.saying == Saying::Ask))
        });
        let evidence: Vec<&Event> = live
            .iter()
            .copied()
            .filter(|e| {
                !matches!(
                    e.saying,
                    Saying::Fine
                        | Saying::Done
                        | Saying::Passed(_)
                        | Saying::NoFault(_)
                        | Saying::Worked(_)
                )
            })
            .collect();
        // A doubt alone makes a question only of a part that was named before it, and by more than an everyday word.
        let asked_for = live.iter().any(|e| e.saying == Saying::Ask);
        let doubt_alone =
            !asked_for && fault.is_none() && asked.is_none() && !absent && works.is_empty();
        let named = self.thing.is_some_and(|t| {
            t.entry.is_some_and(|e| !self.lexicon.element(e).weak)
                && live.iter().any(|e| {
                    e.saying == Saying::Doubt
                        && (e.tokens.start >= t.tokens.end
                            || self.clauses[e.clause].question
                            || matches!(
                                self.speech.word(t.phrase.start.saturating_sub(1)),
                                "whether" | "if" | "what" | "why" | "who"
                            ) && e.tokens.end <= t.phrase.start
                                && t.phrase.start - e.tokens.end <= 2)
                })
        });
        if doubt_alone && !named {
            return Vec::new();
        }
        let query = last_doubt.is_some()
            && !decided
            && (fault.is_some() || asked.is_some() || self.thing.is_some() || !works.is_empty());
        // Where a part is missing, a question after it asks where it has got to, unless it asks whether it is wanted.
        let query = query && !(absent && last_doubt.is_some_and(|d| !self.wanted_at_all(live, d)));
        if query {
            let sure = live[last_doubt.unwrap_or(0)].saying == Saying::Doubt
                && !live.iter().any(|e| e.saying == Saying::Ask)
                && !self.doubts_cause(live);
            if !sure {
                return vec![self.finding(
                    Outcome::Item {
                        work: Work::Check,
                        fault: fault.or(asked),
                        deed: None,
                        standing: Standing::Query,
                    },
                    &evidence,
                )];
            }
        }
        if !works.is_empty() {
            return works
                .iter()
                .map(|(work, deed, _)| {
                    self.finding(
                        Outcome::Item {
                            work: *work,
                            fault,
                            deed: *deed,
                            standing: Standing::Outstanding,
                        },
                        &evidence,
                    )
                })
                .collect();
        }
        if absent {
            return vec![self.finding(
                Outcome::Item {
                    work: self.absent_class(),
                    fault: None,
                    deed: None,
                    standing: Standing::Outstanding,
                },
                &evidence,
            )];
        }
        if let Some(f) = fault {
            // Of several faults told of one part, the first names it.
            return vec![self.finding(
                Outcome::Item {
                    work: self.fault_class(f),
                    fault: Some(f),
                    deed: None,
                    standing: Standing::Outstanding,
                },
                &evidence,
            )];
        }
        Vec::new()
    }

    /// Whether a doubt about a missing part is whether it is to be there at all; one told before it always is.
    fn wanted_at_all(&self, live: &[&Event], doubt: usize) -> bool {
        let told = live.iter().position(|e| e.saying == Saying::Absent);
        let clause = &self.clauses[live[doubt].clause].tokens;
        told.is_none_or(|a| doubt < a)
            || clause.clone().any(|i| {
                matches!(
                    self.speech.word(i),
                    "meant"
                        | "supposed"
                        | "need"
                        | "needs"
                        | "needed"
                        | "wanted"
                        | "want"
                        | "should"
                        | "whether"
                        | "required"
                        | "plan"
                )
            })
    }

    /// "It drains", "hot", "works": that a thing does its work does not undo a fault told of it.
    fn only_runs(&self, e: &Event) -> bool {
        let words = self.speech.words(&e.tokens);
        !words.contains(' ')
            && (words.ends_with('s') && !words.ends_with("ss")
                || matches!(
                    words,
                    "hot" | "warm" | "full" | "lit" | "work" | "come on" | "clear"
                ))
    }

    /// The doubt is about what is wrong or what to do, not about something else.
    fn doubts_cause(&self, live: &[&Event]) -> bool {
        let Some(at) = live.iter().position(|e| e.saying == Saying::Doubt) else {
            return false;
        };
        let words = self.speech.words(&live[at].tokens);
        [
            "know",
            "sure",
            "tell",
            "either",
            "swear",
            "clear",
            "meant",
            "supposed",
            "idea",
            "could be",
            "one or",
            "of the two",
        ]
        .iter()
        .any(|w| words.contains(w))
    }

    /// A verdict introduced by "but" or the like stands against what was said before.
    fn against(&self, e: &Event) -> bool {
        self.clauses[e.clause].joint == Joint::But
    }

    fn cleared(&self, live: &[&Event], relieved: bool) -> Vec<Finding> {
        let good: Vec<&Event> = live
            .iter()
            .copied()
            .filter(|e| {
                matches!(
                    e.saying,
                    Saying::Fine
                        | Saying::Done
                        | Saying::Worked(_)
                        | Saying::NoFault(_)
                        | Saying::AllGood
                        | Saying::WasFault(_)
                        | Saying::Fault(_)
                )
            })
            .collect();
        let said = |f: fn(&Saying) -> bool| live.iter().any(|e| f(&e.saying));
        let done = said(|s| matches!(s, Saying::Done | Saying::Worked(_)));
        let fine = said(|s| matches!(s, Saying::Fine | Saying::NoFault(_) | Saying::AllGood));
        let was = said(|s| matches!(s, Saying::WasFault(_)));
        let kind = if done || was && fine {
            ClearedKind::MadeGood
        } else if fine || relieved {
            ClearedKind::Sound
        } else {
            return Vec::new();
        };
        if self.thing.is_none() && !said(|s| matches!(s, Saying::AllGood | Saying::Fine)) {
            return Vec::new();
        }
        // A bare "good" with nothing told of is no verdict of the whole place.
        if self.thing.is_none()
            && !live.iter().any(|e| {
                e.saying == Saying::AllGood && e.tokens.len() > 1
                    || e.target == Target::Place && e.saying != Saying::AllGood
                    || {
                        let mut c = self.clauses[e.clause].tokens.clone();
                        let sentence = self.clauses[e.clause].sentence;
                        if let Some(before) = e.clause.checked_sub(1).map(|b| &self.clauses[b])
                            && (before.sentence == sentence || before.tokens.len() <= 4)
                        {
                            c.start = before.tokens.start;
                        }
                        if let Some(after) = self.clauses.get(e.clause + 1)
                            && after.sentence == sentence
                        {
                            c.end = after.tokens.end;
                        }
                        let c = &c;
                        c.clone().any(|i| {
                            matches!(
                                self.speech.word(i),
                                "room"
                                    | "here"
                                    | "place"
                                    | "everything"
                                    | "rest"
                                    | "otherwise"
                                    | "nothing"
                                    | "all"
                                    | "else"
                                    | "one"
                            )
                        }) || self.places_named(c)
                    }
            })
        {
            return Vec::new();
        }
        // Somebody called by name, a word by itself: no part of the building.
        if let Some(t) = self.thing
            && t.entry.is_none()
            && t.phrase.start == t.tokens.start
            && !live.iter().any(|e| {
                let c = &self.clauses[e.clause].tokens;
                c.start <= t.tokens.start && t.tokens.end <= c.end
            })
        {
            return Vec::new();
        }
        let all: Vec<&Event> = if good.is_empty() { live.to_vec() } else { good };
        if all.is_empty() {
            let first = &self.m.events[0];
            return vec![self.finding(Outcome::Cleared(kind), &[first])];
        }
        vec![self.finding(Outcome::Cleared(kind), &all)]
    }

    fn places_named(&self, words: &Range<usize>) -> bool {
        self.areas
            .iter()
            .any(|a| a.start >= words.start && a.end <= words.end)
    }

    /// "Good, good, but there's a chip": praise that came first and stands is a mark of its own.
    fn praise_beside(&self, live: &[&Event]) -> Vec<Finding> {
        let first_bad = live.iter().position(|e| bad(e)).unwrap_or(0);
        let praise: Vec<&Event> = live[..first_bad]
            .iter()
            .copied()
            .filter(|e| matches!(e.saying, Saying::Fine | Saying::Done | Saying::Worked(_)))
            .collect();
        let Some(p) = praise.last() else {
            return Vec::new();
        };
        let apart = live.get(first_bad).is_some_and(|b| {
            b.clause > p.clause && self.clauses[b.clause].joint != Joint::Comma
                || self.clauses[b.clause].joint == Joint::But
        });
        let doubt = live
            .iter()
            .any(|e| matches!(e.saying, Saying::Doubt | Saying::Ask));
        if !apart || doubt || self.thing.is_none() {
            return Vec::new();
        }
        let kind = if praise
            .iter()
            .any(|e| matches!(e.saying, Saying::Done | Saying::Worked(_)))
        {
            ClearedKind::MadeGood
        } else {
            ClearedKind::Sound
        };
        vec![self.finding(Outcome::Cleared(kind), &praise)]
    }

    fn finding(&self, outcome: Outcome, evidence: &[&Event]) -> Finding {
        let mut said: Vec<Range<usize>> = Vec::new();
        for e in evidence {
            let clause = &self.clauses[e.clause].tokens;
            let mut r = e.tokens.clone();
            // The words of the part, where they stand in the same clause, belong to what was said.
            if let Some(t) = self.thing
                && clause.start <= t.phrase.start
                && t.tokens.end <= clause.end
            {
                r = r.start.min(t.phrase.start)..r.end.max(t.tokens.end);
            } else if clause.len() <= 12 {
                r = clause.clone();
            }
            match said.last_mut() {
                Some(last) if r.start <= last.end + 3 => last.end = last.end.max(r.end),
                _ => said.push(r),
            }
        }
        if let Some(t) = self.thing
            && !said
                .iter()
                .any(|r| r.start <= t.tokens.start && t.tokens.end <= r.end)
        {
            match said.first_mut() {
                Some(first)
                    if t.phrase.start < first.start
                        && first.start - t.tokens.end.min(first.start) <= 6 =>
                {
                    first.start = t.phrase.start
                }
                _ => said.insert(0, t.phrase.clone()),
            }
        }
        said.sort_by_key(|r| (r.start, r.end));
        said.dedup();
        let mut why = Vec::new();
        match self.thing {
            Some(t) => match t.entry {
                Some(e) => {
                    why.push(format!("element: elements/{}", self.lexicon.element(e).id));
                }
                None => {
                    why.push(format!("element: unknown word {:?} as the subject", t.name));
                }
            },
            None => {
                why.push("element: none told, the area as a whole".to_string());
            }
        }
        if let Outcome::Item { fault, deed, .. } = &outcome {
            match (deed, fault) {
                (Some(d), _) => why.push(format!("work: works/{}", self.lexicon.work(*d).id)),
                (None, Some(f)) => why.push(format!("work: faults/{}", self.lexicon.fault(*f).id)),
                (None, None) => {}
            }
        }
        why.extend(self.heard(&said));
        for e in evidence {
            why.push(format!(
                "{}: {:?}",
                name(&e.saying),
                self.speech.words(&e.tokens)
            ));
        }
        let features = model::features(
            self.m,
            self.thing,
            &outcome,
            self.speech,
            self.clauses,
            self.lexicon,
        );
        let confidence = model::chance(&features, self.lexicon);
        if matches!(outcome, Outcome::Item { .. }) {
            why.push(model::reasons(&features, self.lexicon));
        }
        Finding {
            outcome,
            thing: self.thing.cloned(),
            place: self.m.place,
            said,
            scope: self.m.tokens.clone(),
            why,
            confidence: (confidence.clamp(0.01, 0.99) * 100.0).round() / 100.0,
            features,
        }
    }

    /// What the words heard in these stretches were taken for, where they are no form of what they mean.
    fn heard(&self, said: &[Range<usize>]) -> Vec<String> {
        said.iter()
            .flat_map(|r| self.scan.within(r))
            .filter(|m| m.name == Sense::HEARD)
            .map(|m| {
                let meant = misheard::meant(self.lexicon, m.kind, m.entry);
                format!(
                    "heard: {:?}, taken for {meant:?}",
                    self.speech.words(&m.tokens)
                )
            })
            .collect()
    }
}

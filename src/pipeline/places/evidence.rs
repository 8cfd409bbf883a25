//! What speaks for and against a named place being where the speaker now is, as features by name. Their weights stand in
//! `lexicon/moves.yaml`.

use std::ops::Range;

use crate::lexicon::{Kind, Role};

use super::super::grammar;
use super::super::house::Named;
use super::super::normalize::Stop;
use super::Walker;
use super::frames::SILENCE;

/// How far before a name its clause's words are looked at, in words.
const REACH: usize = 8;
/// How far after a name parts of the place may follow, in words.
const FOLLOW: usize = 12;
/// A silence that ends a thought, in seconds.
const BREATH: f64 = 0.9;

/// Words with which the way to a place begins.
fn leads_off(word: &str) -> bool {
    matches!(
        word,
        "across"
            | "along"
            | "around"
            | "back"
            | "behind"
            | "beside"
            | "beyond"
            | "down"
            | "first"
            | "from"
            | "here"
            | "in"
            | "inside"
            | "into"
            | "last"
            | "left"
            | "next"
            | "off"
            | "on"
            | "onto"
            | "opposite"
            | "out"
            | "outside"
            | "over"
            | "past"
            | "right"
            | "round"
            | "second"
            | "straight"
            | "that"
            | "there"
            | "this"
            | "through"
            | "to"
            | "under"
            | "underneath"
            | "up"
    )
}

impl Walker<'_, '_> {
    /// What is known of a name in its clause that may speak for or against an arrival.
    pub(super) fn evidence(&self, c: usize, named: &Named) -> Vec<String> {
        let clause = &self.clauses[c];
        let speech = self.speech;
        let whole = named.whole(speech);
        let (from, to) = (clause.tokens.start, clause.tokens.end);
        let next = named.tokens.end;
        let mut out: Vec<String> = vec!["bias".into()];
        let mut add = |f: String| out.push(f);
        let mode = if speech.punctuated { "p" } else { "u" };

        // Where in its clause and sentence it stands.
        let opens = self.opening(&clause.tokens);
        let lead = whole.start.saturating_sub(opens.max(from));
        let place = match lead {
            0 => "first",
            1 => "second",
            2..=3 => "early",
            _ => "late",
        };
        add(format!("{mode}-{place}"));
        let opened = whole.start > from && opens > from;
        if opened {
            add("opened".into());
        }
        let heads = self.only_places_before(c);
        if heads {
            add(format!("{place}-heads-sentence"));
        }
        add(match to - from {
            0..=3 => "clause-tiny",
            4..=7 => "clause-short",
            8..=14 => "clause-middling",
            _ => "clause-long",
        }
        .to_string());

        // What stands before it.
        let article = (whole.start < named.tokens.start)
            .then(|| speech.word(whole.start))
            .filter(|w| grammar::is_determiner(w) || matches!(*w, "the" | "a" | "an"))
            .or_else(|| {
                grammar::is_determiner(speech.word(named.tokens.start))
                    .then(|| speech.word(named.tokens.start))
            })
            .unwrap_or("none")
            .to_string();
        add(format!("article-{article}"));
        let mut word_before = |k: usize, name: &str| {
            let word = if whole.start >= from + k {
                let w = speech.word(whole.start - k);
                if grammar::is_function(w) || matches!(w, "way" | "back" | "next" | "last") {
                    w.to_string()
                } else if w.ends_with("ing") {
                    "ing".to_string()
                } else {
                    "other".to_string()
                }
            } else {
                "start".to_string()
            };
            add(format!("{name}-{word}"));
            word
        };
        let before = word_before(1, "before");
        let second = word_before(2, "second");
        add(format!("both-{second}-{before}"));
        add(format!("led-{before}-{article}"));

        // How its clause and its sentence begin: "over the lawn to the guest house", "across the landing is …".
        let begins = speech.word(opens.min(whole.start)).to_string();
        let sentence = self.sentence_start(c);
        let sentence_begins = speech
            .word(self.opening(&(sentence..to)).min(whole.start))
            .to_string();
        if opens < whole.start {
            if grammar::is_function(&begins) || leads_off(&begins) {
                add(format!("begins-{begins}"));
            }
            if leads_off(&begins) {
                add(format!("leads-off-{before}"));
                add(format!("leads-off-{place}"));
            }
        }
        if sentence < from {
            if leads_off(&sentence_begins) {
                add(format!("sentence-leads-off-{place}"));
            }
            let verb = (sentence..whole.start).any(|i| {
                let w = speech.word(i);
                grammar::is_auxiliary(w) || grammar::is_linking(w)
            });
            add(format!(
                "sentence-{}-{place}",
                if verb { "verb" } else { "verbless" }
            ));
        }
        let verb = (from..whole.start).any(|i| {
            let w = speech.word(i);
            grammar::is_auxiliary(w) || grammar::is_linking(w)
        });
        if lead > 0 {
            add(format!(
                "{}-{place}",
                if verb { "verb" } else { "verbless" }
            ));
            if !verb {
                add(format!(
                    "verbless-after-{}",
                    match speech.tokens[next - 1].stop {
                        Stop::None if next < to => "word",
                        Stop::None => "cut",
                        Stop::Comma => "comma",
                        Stop::Question => "question",
                        _ => "stop",
                    }
                ));
            }
        }

        // What stands after it.
        let stop = speech.tokens[next - 1].stop;
        let after = if next >= to {
            match stop {
                Stop::None => "cut",
                Stop::Comma => "comma",
                Stop::Question => "question",
                _ => "stop",
            }
            .to_string()
        } else {
            let w = speech.word(next);
            let kind = self
                .scan
                .mentions_near(next, next)
                .iter()
                .find(|m| m.tokens.start == next && m.kind != Kind::Trade)
                .map(|m| m.kind);
            match kind {
                Some(Kind::Element) => "part".to_string(),
                Some(Kind::Area) => "area".to_string(),
                Some(Kind::Fault) => "fault".to_string(),
                Some(Kind::Work) => "work".to_string(),
                _ if grammar::is_function(w) => format!("w-{w}"),
                _ => "other".to_string(),
            }
        };
        add(format!("after-{after}"));
        add(format!("{place}-after-{after}"));
        if heads {
            add(format!("heads-after-{after}"));
        }

        add(format!("{mode}-{place}-after-{after}"));
        let sole = lead == 0 && next >= to;
        if sole {
            add(format!("{mode}-sole"));
        }
        if self.ends_its_thought(c, named) && self.way_to(c, named).is_some() {
            add("told-after-the-way".into());
        }
        if self.only_where_it_lies(c, named) {
            add("where-it-lies".into());
        }

        // The silences about it.
        let pause = speech.tokens[whole.start].pause;
        if pause > BREATH {
            add(format!("{mode}-after-breath"));
        } else if pause > SILENCE {
            add(format!("{mode}-after-silence"));
        }
        if speech.tokens.get(next).is_some_and(|t| t.pause > SILENCE) {
            add(format!("{mode}-before-silence"));
        }

        // How long nothing was said before its thought began: people walk from room to room in silence.
        let began = &speech.tokens[self.sentence_start(c)];
        let quiet = match began.pause {
            p if p >= 4.0 => "very-long",
            p if p >= 2.5 => "long",
            p if p >= 1.5 => "some",
            p if p >= 1.0 => "short",
            _ if began.passage => "passage",
            _ => "none",
        };
        add(format!("quiet-{quiet}"));
        let far = match whole.start.saturating_sub(self.opening(&(sentence..to))) {
            0 => "first",
            1..=3 => "early",
            4..=8 => "late",
            _ => "far",
        };
        add(format!("quiet-{quiet}-{far}"));
        if heads {
            add(format!("quiet-{quiet}-heads"));
        }

        // The cues of its clause.
        let near = from.max(whole.start.saturating_sub(REACH))..to;
        for (kind, m) in self.scan.cues_within(&near) {
            let side = if m.tokens.end <= whole.start {
                if m.tokens.end == whole.start {
                    "right-before"
                } else {
                    "before"
                }
            } else if m.tokens.start >= next {
                "behind"
            } else {
                "at"
            };
            add(format!("cue-{kind:?}-{side}"));
        }
        if self.led(c, &whole, &named.tokens).is_some() {
            add("led-by-cue".into());
        }
        if self.beside(&whole, from).is_some() {
            add("beside".into());
        }
        if self.tells_of_memory(c) {
            add("memory".into());
        }
        if clause.question {
            add("asked".into());
        }
        if self.compares(clause, whole.start) {
            add("compared".into());
        }

        // The parts and faults of its clause, and the parts that follow.
        for (range, side) in [(from..whole.start, "before"), (next..to, "behind")] {
            for (kind, name) in [
                (Kind::Element, "part"),
                (Kind::Fault, "fault"),
                (Kind::Work, "work"),
            ] {
                if self.has(&range, kind) {
                    add(format!("{name}-{side}"));
                }
            }
        }
        if self.is_part_name(next, named) {
            add("names-a-part".into());
            add(format!("names-a-part-quiet-{quiet}-{far}"));
        }
        let follow = to..(to + FOLLOW).min(speech.tokens.len());
        // Where the speech ends with the name, what would follow is not known.
        let unknown = follow.is_empty() && self.beside(&whole, from).is_none();
        if unknown || self.has(&follow, Kind::Element) {
            add("parts-follow".into());
        }
        if self.has(&follow, Kind::Area) {
            add("places-follow".into());
        }
        self.fitting_evidence(named, &mut add);
        for w in [
            "back", "next", "here", "now", "through", "out", "down", "up", "into", "over", "along",
            "last", "so", "okay", "right", "go", "going", "come", "coming", "came", "off",
        ] {
            if (from..whole.start).any(|i| speech.word(i) == w) {
                add(format!("said-{w}"));
            }
        }

        // The place itself.
        match named.kind {
            None => add("kind-none".into()),
            Some(k) => {
                let k = self.lexicon.area(k);
                for (flag, name) in [
                    (k.unit, "unit"),
                    (k.part, "part"),
                    (k.child, "child"),
                    (k.outdoor, "outdoor"),
                    (k.numbered, "numbered"),
                    (k.public && !self.out.house.public, "public-in-a-home"),
                ] {
                    if flag {
                        add(format!("kind-{name}"));
                        if name == "part" {
                            add(format!("{name}-{place}"));
                            add(format!("{name}-after-{after}"));
                        }
                    }
                }
            }
        }
        if named.number.is_some() {
            add(format!("number-{place}"));
        }
        if named.number_only {
            add(format!("bare-number-{place}"));
            add(format!("bare-number-after-{after}"));
        }
        if named.own.is_some() {
            add("own-name".into());
        }
        if named.own.is_some() && named.kind.is_none() {
            add(format!("unknown-{place}"));
            add(format!("unknown-after-{after}"));
            add(format!("unknown-quiet-{quiet}"));
        }
        if named.another {
            add("another".into());
        }
        if named.again {
            add("again".into());
        }
        let newness = if self.out.arrivals.is_empty() {
            "nowhere-yet"
        } else if self.out.house.current_is(named, self.lexicon) {
            "is-current"
        } else if self.out.house.known(named, self.lexicon) {
            "known-place"
        } else {
            "new-place"
        };
        add(newness.into());
        add(format!("{mode}-{place}-{newness}"));
        if sole && named.kind.is_some_and(|k| self.lexicon.area(k).part) {
            add(format!("{mode}-sole-part"));
        }
        if let Some(a) = self.out.arrivals.last() {
            add(match whole.start.saturating_sub(a.token) {
                0..=5 => "just-arrived",
                6..=20 => "arrived-lately",
                21..=60 => "arrived-some-time-ago",
                _ => "arrived-long-ago",
            }
            .to_string());
        }
        out.sort();
        out.dedup();
        out
    }

    /// The log odds of an arrival.
    pub(super) fn odds_of_arrival(&self, evidence: &[String]) -> f64 {
        let weights = &self.lexicon.data().moves;
        let weight = |f: &String| {
            weights
                .binary_search_by(|w| w.id.as_str().cmp(f))
                .map_or(0.0, |i| weights[i].weight)
        };
        evidence.iter().map(weight).sum()
    }

    fn has(&self, range: &Range<usize>, kind: Kind) -> bool {
        self.scan.within(range).any(|m| {
            m.kind == kind && (kind != Kind::Element || matches!(m.role, Role::Noun | Role::Nouns))
        })
    }
}

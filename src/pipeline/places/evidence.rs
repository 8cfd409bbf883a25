//! What speaks for and against a named place being where the speaker now is, as features by name. Their weights stand in
//! `lexicon/moves.yaml`.

use std::ops::Range;

use crate::lexicon::{Kind, Role};

use super::super::grammar;
use super::super::house::Named;
use super::super::normalize::Stop;
use super::frames::SILENCE;
use super::way::sets_off;
use super::{Frame, Walker};

/// How far before a name its clause's words are looked at, in words.
const REACH: usize = 8;
/// How far after a name parts of the place may follow, in words.
const FOLLOW: usize = 12;
/// A silence that ends a thought, in seconds.
const BREATH: f64 = 0.9;

/// Hardly any name has more features with a weight.
const MOST: usize = 48;

/// Small words before a name that say how one gets along.
fn leads_on(word: &str) -> bool {
    matches!(
        word,
        "back"
            | "next"
            | "here"
            | "now"
            | "through"
            | "out"
            | "down"
            | "up"
            | "into"
            | "over"
            | "along"
            | "last"
            | "so"
            | "okay"
            | "right"
            | "go"
            | "going"
            | "come"
            | "coming"
            | "came"
            | "off"
    )
}

/// Words with which the way to a place begins, or the pointing at it.
fn leads_off(word: &str) -> bool {
    sets_off(word)
        || matches!(
            word,
            "from"
                | "here"
                | "in"
                | "inside"
                | "into"
                | "on"
                | "onto"
                | "out"
                | "outside"
                | "that"
                | "there"
                | "this"
                | "to"
                | "underneath"
        )
}

impl Walker<'_, '_> {
    /// Tells what is known of a name in its clause that may speak for or against an arrival, each by the pieces of its name.
    pub(super) fn evidence(&self, c: usize, named: &Named, add: &mut dyn FnMut(&[&str])) {
        let clause = &self.clauses[c];
        let speech = self.speech;
        let whole = named.whole(speech);
        let (from, to) = (clause.tokens.start, clause.tokens.end);
        let next = named.tokens.end;
        add(&["bias"]);
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
        add(&[mode, "-", place]);
        let opened = whole.start > from && opens > from;
        if opened {
            add(&["opened"]);
        }
        let heads = self.only_places_before(c);
        if heads {
            add(&[place, "-heads-sentence"]);
        }
        add(&[match to - from {
            0..=3 => "clause-tiny",
            4..=7 => "clause-short",
            8..=14 => "clause-middling",
            _ => "clause-long",
        }]);

        // What stands before it.
        let article = (whole.start < named.tokens.start)
            .then(|| speech.word(whole.start))
            .filter(|w| grammar::is_determiner(w) || matches!(*w, "the" | "a" | "an"))
            .or_else(|| {
                grammar::is_determiner(speech.word(named.tokens.start))
                    .then(|| speech.word(named.tokens.start))
            })
            .unwrap_or("none");
        add(&["article-", article]);
        let mut word_before = |k: usize, name: &str| {
            let word = if whole.start >= from + k {
                let w = speech.word(whole.start - k);
                if grammar::is_function(w) || matches!(w, "way" | "back" | "next" | "last") {
                    w
                } else if w.ends_with("ing") {
                    "ing"
                } else {
                    "other"
                }
            } else {
                "start"
            };
            add(&[name, "-", word]);
            word
        };
        let before = word_before(1, "before");
        let second = word_before(2, "second");
        add(&["both-", second, "-", before]);
        add(&["led-", before, "-", article]);

        // How its clause and its sentence begin: "over the lawn to the guest house", "across the landing is …".
        let begins = speech.word(opens.min(whole.start));
        let sentence = self.sentence_start(c);
        let sentence_begins = speech.word(self.opening(&(sentence..to)).min(whole.start));
        if opens < whole.start {
            if grammar::is_function(begins) || leads_off(begins) {
                add(&["begins-", begins]);
            }
            if leads_off(begins) {
                add(&["leads-off-", before]);
                add(&["leads-off-", place]);
            }
        }
        if sentence < from {
            if leads_off(sentence_begins) {
                add(&["sentence-leads-off-", place]);
            }
            let verb = (sentence..whole.start).any(|i| {
                let w = speech.word(i);
                grammar::is_auxiliary(w) || grammar::is_linking(w)
            });
            add(&[
                "sentence-",
                if verb { "verb" } else { "verbless" },
                "-",
                place,
            ]);
        }
        let verb = (from..whole.start).any(|i| {
            let w = speech.word(i);
            grammar::is_auxiliary(w) || grammar::is_linking(w)
        });
        if lead > 0 {
            add(&[if verb { "verb" } else { "verbless" }, "-", place]);
            if !verb {
                add(&[
                    "verbless-after-",
                    match speech.tokens[next - 1].stop {
                        Stop::None if next < to => "word",
                        Stop::None => "cut",
                        Stop::Comma => "comma",
                        Stop::Question => "question",
                        _ => "stop",
                    },
                ]);
            }
        }

        // What stands after it.
        let stop = speech.tokens[next - 1].stop;
        let (sort, after) = if next >= to {
            let stop = match stop {
                Stop::None => "cut",
                Stop::Comma => "comma",
                Stop::Question => "question",
                _ => "stop",
            };
            ("", stop)
        } else {
            let w = speech.word(next);
            let kind = self
                .scan
                .mentions_near(next, next)
                .iter()
                .find(|m| m.tokens.start == next && m.kind != Kind::Trade)
                .map(|m| m.kind);
            match kind {
                Some(Kind::Element) => ("", "part"),
                Some(Kind::Area) => ("", "area"),
                Some(Kind::Fault) => ("", "fault"),
                Some(Kind::Work) => ("", "work"),
                _ if grammar::is_function(w) => ("w-", w),
                _ => ("", "other"),
            }
        };
        add(&["after-", sort, after]);
        add(&[place, "-after-", sort, after]);
        if heads {
            add(&["heads-after-", sort, after]);
        }

        add(&[mode, "-", place, "-after-", sort, after]);
        let sole = lead == 0 && next >= to;
        if sole {
            add(&[mode, "-sole"]);
        }
        if self.ends_its_thought(c, named) && self.way_to(c, named).is_some() {
            add(&["told-after-the-way"]);
        }
        if self.only_where_it_lies(c, named) {
            add(&["where-it-lies"]);
        }

        // The silences about it.
        let pause = speech.tokens[whole.start].pause;
        if pause > BREATH {
            add(&[mode, "-after-breath"]);
        } else if pause > SILENCE {
            add(&[mode, "-after-silence"]);
        }
        if speech.tokens.get(next).is_some_and(|t| t.pause > SILENCE) {
            add(&[mode, "-before-silence"]);
        }

        // How long nothing was said before its thought began: people walk from room to room in silence.
        let began = &speech.tokens[self.sentence_start(c)];
        let quiet = match began.pause {
            p if p >= 4.0 => "very-long",
            p if p >= 2.5 => "long",
            p if p >= 1.5 => "some",
            p if p >= 1.0 => "short",
            _ if began.passage => "passage",
            _ if !speech.silences => "unknown",
            _ => "none",
        };
        add(&["quiet-", quiet]);
        let far = match whole.start.saturating_sub(self.opening(&(sentence..to))) {
            0 => "first",
            1..=3 => "early",
            4..=8 => "late",
            _ => "far",
        };
        add(&["quiet-", quiet, "-", far]);
        if heads {
            add(&["quiet-", quiet, "-heads"]);
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
            add(&["cue-", kind.name(), "-", side]);
        }
        if self.led(c, &whole, &named.tokens).is_some() {
            add(&["led-by-cue"]);
        }
        if self.beside(&whole, from).is_some() {
            add(&["beside"]);
        }
        if self.tells_of_memory(c) {
            add(&["memory"]);
        }
        if clause.question {
            add(&["asked"]);
        }
        if self.compares(clause, whole.start) {
            add(&["compared"]);
        }

        // The parts and faults of its clause, and the parts that follow.
        for (range, side) in [(from..whole.start, "before"), (next..to, "behind")] {
            for (kind, name) in [
                (Kind::Element, "part"),
                (Kind::Fault, "fault"),
                (Kind::Work, "work"),
            ] {
                if self.has(&range, kind) {
                    add(&[name, "-", side]);
                }
            }
        }
        if self.is_part_name(next, named) {
            add(&["names-a-part"]);
            add(&["names-a-part-quiet-", quiet, "-", far]);
        }
        let follow = to..(to + FOLLOW).min(speech.tokens.len());
        // Where the speech ends with the name, what would follow is not known.
        let unknown = follow.is_empty() && self.beside(&whole, from).is_none();
        if unknown || self.has(&follow, Kind::Element) {
            add(&["parts-follow"]);
        }
        if self.has(&follow, Kind::Area) {
            add(&["places-follow"]);
        }
        self.fitting_evidence(named, add);
        for w in (from..whole.start)
            .map(|i| speech.word(i))
            .filter(|w| leads_on(w))
        {
            add(&["said-", w]);
        }

        // The place itself.
        match named.kind {
            None => add(&["kind-none"]),
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
                        add(&["kind-", name]);
                        if name == "part" {
                            add(&[name, "-", place]);
                            add(&[name, "-after-", sort, after]);
                        }
                    }
                }
            }
        }
        if named.number.is_some() {
            add(&["number-", place]);
        }
        if named.number_only {
            add(&["bare-number-", place]);
            add(&["bare-number-after-", sort, after]);
        }
        if named.own.is_some() {
            add(&["own-name"]);
        }
        if named.own.is_some() && named.kind.is_none() {
            add(&["unknown-", place]);
            add(&["unknown-after-", sort, after]);
            add(&["unknown-quiet-", quiet]);
        }
        if named.another {
            add(&["another"]);
        }
        if named.again {
            add(&["again"]);
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
        add(&[newness]);
        add(&[mode, "-", place, "-", newness]);
        if sole && named.kind.is_some_and(|k| self.lexicon.area(k).part) {
            add(&[mode, "-sole-part"]);
        }
        if let Some(a) = self.out.arrivals.last() {
            add(&[match whole.start.saturating_sub(a.token) {
                0..=5 => "just-arrived",
                6..=20 => "arrived-lately",
                21..=60 => "arrived-some-time-ago",
                _ => "arrived-long-ago",
            }]);
        }
    }

    /// The log odds of an arrival, by all that is known of a name and by the frame that it stands in.
    pub(super) fn odds_of_arrival(&self, c: usize, named: &Named, frame: Frame) -> f64 {
        let mut rows: Vec<usize> = Vec::with_capacity(MOST);
        self.evidence(c, named, &mut |f| rows.extend(self.moves.row(f)));
        // Each counts once, in the order of their names.
        rows.sort_unstable();
        rows.dedup();
        frame.evidence(&mut |f| rows.extend(self.moves.row(f)));
        rows.into_iter().map(|r| self.moves.of(r)[0]).sum()
    }

    /// The names of all that speaks for or against an arrival, as `odds_of_arrival` weighs it.
    pub(super) fn told_of_arrival(&self, c: usize, named: &Named, frame: Frame) -> Vec<String> {
        let mut out: Vec<String> = Vec::new();
        self.evidence(c, named, &mut |f| out.push(f.concat()));
        out.sort();
        out.dedup();
        frame.evidence(&mut |f| out.push(f.concat()));
        out
    }

    fn has(&self, range: &Range<usize>, kind: Kind) -> bool {
        self.scan.within(range).any(|m| {
            m.kind == kind && (kind != Kind::Element || matches!(m.role, Role::Noun | Role::Nouns))
        })
    }
}

//! Stage 2: sentences and clauses, with punctuation and without.

use std::collections::BTreeSet;
use std::ops::Range;

use crate::lexicon::source::CueKind;
use crate::lexicon::{Kind, Role};

use super::grammar;
use super::normalize::{Speech, Stop};
use super::scan::Scan;

/// A silence, in seconds, that ends a sentence where there is no punctuation.
const LONG_PAUSE: f64 = 0.9;
/// A silence, in seconds, that ends a clause there.
const SHORT_PAUSE: f64 = 0.35;

/// How a clause hangs on what stands before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Joint {
    /// It begins a sentence.
    Start,
    /// A comma or a dash.
    Comma,
    /// "and", "so", "then", a new subject.
    And,
    /// "but", "except", "apart from": what follows stands against what was said.
    But,
}

/// Words after which a thought is cut in any case. Nobody speaks so long a one; only what is no speech has it, and the
/// stages that compare the words of a thought with each other would never be done with it.
const LONGEST_CLAUSE: usize = 300;

/// The same for what runs on without a stop, in words.
const LONGEST_SENTENCE: usize = 6000;

/// A piece of a sentence with at most one thing said of one subject.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Clause {
    /// Its words.
    pub tokens: Range<usize>,
    /// Which sentence it belongs to.
    pub sentence: usize,
    /// How it hangs on the one before.
    pub joint: Joint,
    /// It is asked.
    pub question: bool,
    /// Another person speaks than in the clause before.
    pub turn: bool,
}

/// The clauses that share words with a stretch, by number.
pub fn about(clauses: &[Clause], range: &Range<usize>) -> Range<usize> {
    let from = clauses.partition_point(|c| c.tokens.end <= range.start);
    let to = clauses.partition_point(|c| c.tokens.start < range.end);
    from..to.max(from)
}

/// The words of the clauses in which something was said, in order, joined by blanks.
pub fn words_about(clauses: &[Clause], said: &[Range<usize>], speech: &Speech<'_>) -> String {
    let mut at: Vec<usize> = said.iter().flat_map(|r| about(clauses, r)).collect();
    at.sort_unstable();
    at.dedup();
    let words: Vec<&str> = at
        .into_iter()
        .map(|c| speech.words(&clauses[c].tokens))
        .collect();
    words.join(" ")
}

/// Cuts the speech into clauses.
pub fn clauses(speech: &Speech<'_>, scan: &Scan) -> Vec<Clause> {
    let n = speech.tokens.len();
    let mut joints: Vec<Option<Joint>> = vec![None; n];
    for (kind, m) in &scan.cues {
        let at = m.tokens.start;
        // "nothing but", "all but one" hang together; a contrast opens a clause.
        if *kind == CueKind::Except
            && !matches!(
                speech.word(at.saturating_sub(1)),
                "nothing" | "anything" | "all"
            )
        {
            joints[at] = Some(Joint::But);
        }
    }
    let parts = if speech.punctuated {
        BTreeSet::new()
    } else {
        part_edges(speech, scan)
    };
    // Where a verdict ends, and where a work word waits for its object.
    let (mut verdicts, mut orders, mut told) = (BTreeSet::new(), BTreeSet::new(), BTreeSet::new());
    if !speech.punctuated {
        verdicts.extend(
            scan.cues
                .iter()
                .filter(|(k, _)| matches!(k, CueKind::Fine | CueKind::Done))
                .map(|(_, m)| m.tokens.end),
        );
        orders.extend(
            scan.mentions
                .iter()
                .filter(|m| {
                    m.kind == Kind::Work
                        && (m.role == Role::Base
                            || m.role == Role::Past
                                && m.tokens.start > 0
                                && matches!(
                                    speech.word(m.tokens.start - 1),
                                    "not" | "never" | "have" | "they" | "he" | "finally" | "just"
                                ))
                })
                .map(|m| m.tokens.end),
        );
        told.extend(predicates(speech, scan));
    }
    let (opens, closes) = if speech.punctuated {
        Default::default()
    } else {
        room_edges(speech, scan)
    };
    let mut out: Vec<Clause> = Vec::new();
    let (mut start, mut sentence, mut joint, mut turn) = (0, 0, Joint::Start, false);
    let mut opened = 0;
    for i in 0..n {
        let t = &speech.tokens[i];
        let next = i + 1;
        let ends = t.stop >= Stop::End
            || next == n
            || next - opened >= LONGEST_SENTENCE
            || speech.tokens[next].turn
            || opens.contains(&next)
            || !speech.punctuated && stops_here(speech, scan, i);
        let cut = if ends {
            Some(Joint::Start)
        } else if closes.contains(&next) {
            Some(Joint::Comma)
        } else if joints[next].is_some() {
            joints[next]
        } else if t.stop == Stop::Comma {
            Some(Joint::Comma)
        } else if matches!(
            speech.word(next),
            "and" | "so" | "because" | "then" | "or" | "plus"
        ) && (starts_clause(speech, next + 1) || orders_at(speech, scan, next))
        {
            Some(Joint::And)
        } else if next - start >= LONGEST_CLAUSE {
            Some(Joint::And)
        } else if !speech.punctuated
            && !inside_a_number(speech, next)
            && next > start + 1
            && (speech.tokens[next].pause > SHORT_PAUSE
                || parts.contains(&next)
                || told.contains(&next)
                || opens_past(speech, next)
                || verdicts.contains(&next)
                    && matches!(
                        speech.word(next),
                        "the" | "this" | "that" | "these" | "those" | "a" | "another" | "both"
                    )
                || starts_clause(speech, next)
                    && !grammar::leads_on(speech.word(i))
                    && !(orders.contains(&next)
                        && (grammar::points_back(speech.word(next))
                            || grammar::is_determiner(speech.word(next)))))
        {
            Some(Joint::And)
        } else {
            None
        };
        if let Some(j) = cut {
            out.push(Clause {
                tokens: start..next,
                sentence,
                joint,
                question: false,
                turn,
            });
            if ends {
                let question = t.stop == Stop::Question && interrogative(speech, &out, sentence);
                if question {
                    for c in out.iter_mut().rev().take_while(|c| c.sentence == sentence) {
                        c.question = true;
                    }
                }
                sentence += 1;
                opened = next;
            }
            (start, joint) = (next, j);
            turn = next < n && speech.tokens[next].turn;
        }
    }
    out
}

/// "two oh four", "forty one": one number, told in words.
fn inside_a_number(speech: &Speech<'_>, next: usize) -> bool {
    let unit = grammar::number(speech.word(next)).is_some_and(|n| n < 10);
    let before = speech.word(next - 1);
    let tens = grammar::number(before).is_some_and(|n| n >= 20 && n % 10 == 0 && n < 100);
    unit && speech.tokens[next].pause < SHORT_PAUSE && (matches!(before, "oh" | "o") || tens)
}

/// "… so change that": after "so" or "then" a work is told to be done.
fn orders_at(speech: &Speech<'_>, scan: &Scan, at: usize) -> bool {
    if !matches!(speech.word(at), "so" | "then") {
        return false;
    }
    let verb = at + 1 + usize::from(speech.word(at + 1) == "just");
    scan.mentions_near(verb, verb)
        .iter()
        .any(|m| m.tokens.start == verb && m.kind == Kind::Work && m.role == Role::Base)
}

/// A question by its words, not by a rising voice ("see how it sits proud?").
fn interrogative(speech: &Speech<'_>, out: &[Clause], sentence: usize) -> bool {
    let starts = out.iter().rev().take_while(|c| c.sentence == sentence);
    starts.map(|c| c.tokens.start).any(|s| {
        let first = (s..s + 4)
            .find(|i| {
                !matches!(
                    speech.word(*i),
                    "okay" | "so" | "and" | "but" | "well" | "oh" | "then" | "or" | "now"
                )
            })
            .unwrap_or(s);
        matches!(
            speech.word(first),
            "is" | "are"
                | "was"
                | "were"
                | "do"
                | "does"
                | "did"
                | "has"
                | "have"
                | "had"
                | "can"
                | "could"
                | "will"
                | "would"
                | "should"
                | "what"
                | "where"
                | "when"
                | "why"
                | "who"
                | "whose"
                | "which"
                | "how"
                | "any"
                | "am"
        )
    })
}

/// Without punctuation: a long silence, or a word that opens a new thought after a short one.
fn stops_here(speech: &Speech<'_>, scan: &Scan, i: usize) -> bool {
    let next = i + 1;
    if next >= speech.tokens.len() || grammar::leads_on(speech.word(i)) {
        return false;
    }
    let pause = speech.tokens[next].pause;
    if pause > LONG_PAUSE {
        return true;
    }
    let word = speech.word(next);
    let strong = matches!(word, "okay" | "alright" | "anyway")
        || word == "next" && speech.word(next + 1) != "to";
    let opener = strong
        || scan
            .cues_near(next, next)
            .iter()
            .any(|(k, m)| *k == CueKind::Opener && m.tokens.start == next);
    strong || opener && pause > SHORT_PAUSE
}

/// Without punctuation a part of which something is said at once opens a clause: "gutters are on | downspouts are on".
fn part_edges(speech: &Speech<'_>, scan: &Scan) -> BTreeSet<usize> {
    let says = |at: usize| {
        let word = speech.word(at);
        grammar::is_auxiliary(word)
            || grammar::is_linking(word)
            || matches!(word, "not" | "never")
            || scan.cues_near(at, at).iter().any(|(k, m)| {
                m.tokens.start == at && matches!(k, CueKind::Fine | CueKind::Done | CueKind::Absent)
            })
            || scan.mentions_near(at, at).iter().any(|m| {
                m.tokens.start == at
                    && m.kind == Kind::Fault
                    && !matches!(m.role, Role::Noun | Role::Nouns)
            })
    };
    // A part that nothing before it governs begins a thought of its own: "I don't see any wasps | brick …".
    let unbound = |at: usize| {
        let before = if at > 0 {
            speech.word(at - 1)
        } else {
            return false;
        };
        let governed = grammar::is_determiner(before)
            || grammar::is_describing(before)
            || grammar::is_spot(before)
            || grammar::is_host(before)
            || grammar::is_beside(before)
            || grammar::is_auxiliary(before)
            || grammar::is_linking(before)
            || grammar::is_verb_like(before)
            || grammar::is_joiner(before)
            || grammar::number(before).is_some()
            || before.len() < 3
            || matches!(
                before,
                "not"
                    | "never"
                    | "just"
                    | "still"
                    | "also"
                    | "only"
                    | "more"
                    | "any"
                    | "bad"
                    | "good"
                    | "open"
                    | "clean"
                    | "them"
            );
        let object = scan
            .mentions_near(at, at)
            .iter()
            .any(|o| o.tokens.end == at && o.kind != Kind::Trade)
            || scan.cues_near(at, at).iter().any(|(k, o)| {
                o.tokens.end == at
                    && matches!(
                        k,
                        CueKind::Need
                            | CueKind::Absent
                            | CueKind::Negation
                            | CueKind::Ask
                            | CueKind::Arrive
                            | CueKind::Beside
                            | CueKind::Promise
                    )
            });
        let verb = before.ends_with("ed") || before.ends_with("ing") || before.ends_with("en");
        !governed && !object && !verb
    };
    let mut out = BTreeSet::new();
    for m in scan
        .mentions
        .iter()
        .filter(|m| m.kind == Kind::Element && matches!(m.role, Role::Noun | Role::Nouns))
    {
        if !says(m.tokens.end) && !unbound(m.tokens.start) {
            continue;
        }
        let mut start = m.tokens.start;
        while start > 0
            && (matches!(
                speech.word(start - 1),
                "the" | "this" | "that" | "these" | "those" | "your" | "both" | "one" | "all"
            ) || grammar::is_describing(speech.word(start - 1)))
        {
            start -= 1;
        }
        // "at the bottom | grab bar isn't in": a place on the part before is complete by itself.
        if start < m.tokens.start
            && start > 0
            && grammar::is_determiner(speech.word(start))
            && (grammar::is_host(speech.word(start - 1))
                || grammar::is_beside(speech.word(start - 1)))
            && (start + 1..m.tokens.start).all(|k| grammar::is_spot(speech.word(k)))
            && start + 1 < m.tokens.start
        {
            out.insert(m.tokens.start);
            continue;
        }
        // "the pantry door": the place's name belongs to it.
        if let Some(a) = scan
            .mentions_near(start, start)
            .iter()
            .find(|a| a.kind == Kind::Area && a.tokens.end == start)
            && speech.tokens[start].pause < SHORT_PAUSE
            && a.tokens.start > 1
            && matches!(
                speech.word(a.tokens.start - 1),
                "the" | "this" | "your" | "of"
            )
            && !matches!(
                speech.word(a.tokens.start - 2),
                "in" | "at" | "from" | "to" | "into" | "through" | "is" | "now" | "so" | "okay"
            )
        {
            start = a.tokens.start;
            while start > 0 && matches!(speech.word(start - 1), "the" | "this" | "that" | "your") {
                start -= 1;
            }
        }
        let before = if start > 0 {
            speech.word(start - 1)
        } else {
            ""
        };
        if !grammar::leads_on(before)
            && !grammar::is_host(before)
            && !grammar::is_beside(before)
            && before != "'s"
            && !grammar::is_verb_like(before)
            && !grammar::is_linking(before)
        {
            out.insert(start);
        }
    }
    out
}

/// Without punctuation a room's name by itself opens a thought: where such a thought begins, and where the name ends.
fn room_edges(speech: &Speech<'_>, scan: &Scan) -> (BTreeSet<usize>, BTreeSet<usize>) {
    let (mut opens, mut closes) = (BTreeSet::new(), BTreeSet::new());
    for (room, part) in &scan.rooms {
        // "so through to the living room": the words that lead there open the thought.
        let lead = scan
            .cues_near(room.start, room.end)
            .iter()
            .filter(|(k, m)| {
                *k == CueKind::Arrive
                    && m.tokens.len() > 1
                    && m.tokens.end >= room.start
                    && m.tokens.end <= room.end
                    && m.tokens.start < room.start
            })
            .map(|(_, m)| m.tokens.start)
            .min();
        if let Some(lead) = lead {
            let mut start = lead;
            while start > 0
                && matches!(
                    speech.word(start - 1),
                    "okay"
                        | "so"
                        | "now"
                        | "then"
                        | "and"
                        | "right"
                        | "well"
                        | "i"
                        | "we"
                        | "am"
                        | "are"
                        | "next"
                        | "back"
                        | "just"
                )
            {
                start -= 1;
            }
            let before = if start > 0 {
                speech.word(start - 1)
            } else {
                ""
            };
            if start < lead
                || speech.tokens[start].pause > SHORT_PAUSE
                || !grammar::leads_on(before)
                    && (!grammar::is_pronoun(before) || matches!(before, "there" | "here"))
                    && !grammar::is_host(before)
            {
                opens.insert(start);
            }
            continue;
        }
        let mut first = room.start;
        if first > 0
            && matches!(speech.word(first - 1), "that" | "this")
            && (grammar::is_auxiliary(speech.word(room.end)) || speech.word(room.end) == "'s")
        {
            first -= 1;
        }
        while first > 0
            && grammar::is_describing(speech.word(first - 1))
            && speech.tokens[first].pause < SHORT_PAUSE
        {
            first -= 1;
        }
        let before = if first > 0 {
            speech.word(first - 1)
        } else {
            ""
        };
        let after = speech.word(room.end);
        // "underneath | pantry's got": nothing stands under a room without an article.
        let subject = grammar::is_auxiliary(after) || matches!(after, "'s" | "has" | "looks");
        let bare = subject && !grammar::is_determiner(speech.word(first));
        // "by the kitchen", "kitchen sink": told of something else.
        let led = matches!(
            before,
            "ask" | "call" | "calling" | "tell" | "did" | "do" | "doing" | "see" | "email"
        ) || grammar::leads_on(before)
            && !matches!(before, "and" | "so" | "then" | "or" | "because")
            || (grammar::is_host(before) || grammar::is_beside(before)) && !bare
            || matches!(
                before,
                "same" | "entire" | "called" | "not" | "no" | "like" | "or"
            );
        let names_part = scan.mentions_near(room.start, room.end).iter().any(|m| {
            m.kind == Kind::Element
                && (m.tokens.start == room.end
                    || m.tokens.start <= room.end
                        && m.tokens.end > room.end
                        && m.tokens.start >= room.start)
        });
        // A silence or an opening word before it sets the name apart.
        let silence = speech.tokens[first].pause > SHORT_PAUSE || first == 0;
        let opened = matches!(
            before,
            "okay" | "so" | "now" | "then" | "right" | "next" | "alright"
        );
        let apart = silence || opened;
        let named =
            subject && matches!(speech.word(first), "the" | "this" | "your" | "our" | "that");
        let plainly = opened
            && (matches!(after, "so" | "okay" | "now" | "um" | "and")
                || speech
                    .tokens
                    .get(room.end)
                    .is_some_and(|t| t.pause > SHORT_PAUSE));
        // "swap it | kitchen | stove's spotless": a room without an article after a thought that is complete.
        // "their little bathroom | toilet hasn't got a bead": told of by whose it is, and then a part of it.
        let theirs =
            !*part && first > 0 && matches!(speech.word(first - 1), "their" | "his" | "her");
        let after_thought = theirs
            || !*part
                && first == room.start
                && !grammar::is_determiner(speech.word(first))
                && (matches!(
                    before,
                    "it" | "them"
                        | "that"
                        | "there"
                        | "here"
                        | "again"
                        | "good"
                        | "fine"
                        | "okay"
                        | "up"
                ) || scan.mentions_near(first, first).iter().any(|m| {
                    m.tokens.end == first
                        && m.kind == Kind::Fault
                        && !matches!(m.role, Role::Noun | Role::Nouns)
                }) || scan.cues_near(first, first).iter().any(|(k, m)| {
                    m.tokens.end == first
                        && matches!(k, CueKind::Fine | CueKind::Done | CueKind::AllGood)
                }));
        if led && !silence && !after_thought
            || names_part && !apart && !after_thought
            || *part && !silence && !named && !plainly
        {
            continue;
        }
        let mut start = first;
        while start > 0
            && matches!(
                speech.word(start - 1),
                "okay"
                    | "so"
                    | "now"
                    | "then"
                    | "and"
                    | "right"
                    | "well"
                    | "next"
                    | "alright"
                    | "also"
                    | "oh"
                    | "yes"
            )
        {
            start -= 1;
        }
        opens.insert(start);
        if !grammar::is_auxiliary(after)
            && !grammar::is_host(after)
            && !grammar::is_joiner(after)
            && !matches!(
                after,
                "now"
                    | "next"
                    | "here"
                    | "first"
                    | "then"
                    | "looks"
                    | "needs"
                    | "end"
                    | "area"
                    | "side"
                    | "again"
                    | "though"
            )
        {
            closes.insert(room.end);
        }
    }
    (opens, closes)
}

/// Without punctuation: where what is said of a part is complete and another part's phrase begins: "is broken | the
/// bottom hinge", "is loose | quarter round".
fn predicates(speech: &Speech<'_>, scan: &Scan) -> BTreeSet<usize> {
    let begins = |at: usize| {
        let mut k = at;
        while k < at + 4
            && (grammar::is_determiner(speech.word(k)) && speech.word(k) != "'s"
                || grammar::is_describing(speech.word(k)))
        {
            k += 1;
        }
        let noun = scan.mentions_near(k, k).iter().any(|m| {
            m.tokens.start == k
                && (m.kind == Kind::Element || m.kind == Kind::Area)
                && matches!(m.role, Role::Noun | Role::Nouns)
        });
        noun || matches!(
            speech.word(at),
            "there" | "somebody" | "someone" | "have" | "get"
        ) && matches!(
            speech.word(at + 1),
            "is" | "'s" | "are" | "needs" | "has" | "the" | "somebody" | "a"
        )
    };
    let mut out = BTreeSet::new();
    for m in scan.mentions.iter().filter(|m| m.kind == Kind::Fault) {
        let said = match m.role {
            Role::State => {
                m.tokens.start > 0
                    && (m.tokens.start.saturating_sub(3)..m.tokens.start).any(|i| {
                        grammar::is_auxiliary(speech.word(i))
                            || matches!(speech.word(i), "got" | "gets" | "looks" | "came" | "all")
                    })
            }
            Role::Noun | Role::Nouns | Role::Past | Role::Ing => false,
            _ => true,
        };
        let at = m.tokens.end;
        if said
            && at < speech.tokens.len()
            && begins(at)
            && !grammar::is_determiner(speech.word(m.tokens.end - 1))
            && !grammar::leads_on(speech.word(m.tokens.end - 1))
        {
            out.insert(at);
        }
    }
    out
}

/// "… | last time the toilet rocked": an earlier time opens its own thought.
fn opens_past(speech: &Speech<'_>, at: usize) -> bool {
    speech.word(at) == "last"
        && matches!(speech.word(at + 1), "time" | "week" | "visit")
        && matches!(
            speech.word(at + 2),
            "the" | "it" | "this" | "that" | "they" | "we" | "i" | "these" | "there"
        )
}

/// Whether a subject with its verb begins here: "it's", "they have", "the door is", "somebody needs".
fn starts_clause(speech: &Speech<'_>, i: usize) -> bool {
    let (a, b) = (speech.word(i), speech.word(i + 1));
    let verb = |w: &str| grammar::is_auxiliary(w) || grammar::is_linking(w);
    if grammar::is_pronoun(a)
        && a != "one"
        && (verb(b)
            || matches!(
                a,
                "i" | "they" | "we" | "he" | "she" | "somebody" | "someone" | "nobody"
            ))
    {
        return true;
    }
    if matches!(
        a,
        "the"
            | "this"
            | "that"
            | "these"
            | "those"
            | "my"
            | "your"
            | "their"
            | "one"
            | "both"
            | "each"
            | "every"
            | "another"
            | "no"
    ) {
        for k in 1..=4 {
            let w = speech.word(i + k);
            if k > 1 && (grammar::is_auxiliary(w) || grammar::is_linking(w)) {
                return true;
            }
            if speech.tokens.get(i + k).is_none_or(|t| t.stop > Stop::None)
                || grammar::is_host(w)
                || grammar::is_joiner(w)
            {
                return false;
            }
        }
    }
    false
}

//! Finer clauses for speech without punctuation: "closes fine · the latch is still loose", "front door sticking · no that opens now".

use crate::lexicon::Kind;
use crate::lexicon::source::VerdictKind as K;
use crate::pipeline::grammar;
use crate::pipeline::scan::Mention;
use crate::pipeline::segment::Clause;
use crate::pipeline::trace::Stages;

use super::cues::Cues;

/// A breath between two people, in seconds.
const BREATH: f64 = 0.2;
/// How many words a clause has at least before it is cut without a breath.
const LEAST: usize = 3;
/// In how many words after its first a subject has its verb.
const VERB: usize = 7;

/// Cuts the clauses of a walk without punctuation where somebody takes breath, gives an answer, or comes to speak of something else.
pub fn cut(stages: &mut Stages<'_>, cues: &Cues) {
    if stages.speech.punctuated {
        return;
    }
    let mut out: Vec<Clause> = Vec::with_capacity(stages.clauses.len());
    // Where each old clause begins among the new ones.
    let mut starts = Vec::with_capacity(stages.clauses.len() + 1);
    for clause in &stages.clauses {
        starts.push(out.len());
        let mut rest = clause.clone();
        for at in clause.tokens.start + 1..clause.tokens.end {
            if breath(stages, at) || turn(stages, cues, rest.tokens.start, at, clause.tokens.end) {
                let mut first = rest.clone();
                first.tokens.end = at;
                rest.tokens.start = at;
                rest.turn = stages.speech.tokens[at].turn;
                out.push(first);
            }
        }
        out.push(rest);
    }
    starts.push(out.len());
    for aside in &mut stages.places.asides {
        aside.clauses = starts[aside.clauses.start]..starts[aside.clauses.end];
    }
    stages.clauses = out;
}

/// The word at a place, or none behind the last.
fn word<'s>(stages: &'s Stages<'_>, at: usize) -> &'s str {
    let known = at < stages.speech.tokens.len();
    if known { stages.speech.word(at) } else { "" }
}

fn breath(stages: &Stages<'_>, at: usize) -> bool {
    let token = &stages.speech.tokens[at];
    if token.pause >= BREATH || token.turn {
        return true;
    }
    match word(stages, at) {
        "yes" | "yeah" | "yep" | "yup" | "nope" => true,
        // "no that opens", but "no shelf".
        "no" => matches!(
            word(stages, at + 1),
            "that"
                | "it"
                | "they"
                | "this"
                | "those"
                | "still"
                | "not"
                | "nothing"
                | "nobody"
                | "he"
                | "she"
        ),
        _ => false,
    }
}

/// Whether the speaker turns to something else at a word, in a clause from `start` to `end`.
fn turn(stages: &Stages<'_>, cues: &Cues, start: usize, at: usize, end: usize) -> bool {
    let (before, here, after) = (word(stages, at - 1), word(stages, at), word(stages, at + 1));
    // A place that is named, and what follows it.
    let room = |edge: fn(&std::ops::Range<usize>) -> usize| {
        stages.scan.rooms.iter().any(|(r, part)| {
            let first = word(stages, r.start.saturating_sub(1));
            !part && edge(r) == at && r.start >= start && (r.start == start || !leads(first))
        })
    };
    if room(|r| r.end) || (room(|r| r.start) && at > start + 1) {
        return true;
    }
    // Places that the pipeline takes for no arrival: "it looks good, bathroom".
    let whole = start..end;
    let named = |edge: fn(&std::ops::Range<usize>) -> usize| {
        let mut all = stages.scan.within(&whole);
        all.any(|m| {
            let r = &m.tokens;
            let first = word(stages, r.start.saturating_sub(1));
            let free = r.start == start || !(leads(first) || article(first));
            let part = |p: &Mention| {
                p.kind == Kind::Element && p.tokens.start <= r.end && r.start <= p.tokens.start
            };
            let here = m.kind == Kind::Area && edge(r) == at;
            here && free && !stages.scan.within(&whole).any(part)
        })
    };
    if named(|r| r.start) && at > start + 1 || named(|r| r.end) {
        return true;
    }
    if matches!(here, "and" | "but") && at >= start + LEAST {
        return article(after)
            || subject(after)
            || matches!(after, "then" | "there" | "underneath" | "over");
    }
    if at < start + LEAST || leads(before) {
        return false;
    }
    match here {
        "they" | "he" | "she" | "i" | "we" | "somebody" | "nobody" => true,
        "it" => finite(after),
        _ if article(here) => {
            let names = stages
                .scan
                .within(&(at..end))
                .any(|m| matches!(m.kind, Kind::Element | Kind::Fault) && m.tokens.start <= at + 2);
            let told = (start..at).map(|i| word(stages, i)).collect::<Vec<_>>();
            let judged = cues.hits(&told).iter().any(|h| {
                h.3 == told.len()
                    && matches!(h.0, K::Fine | K::Over | K::Holds | K::Again | K::There)
            });
            let verb = (at + 2..(at + VERB).min(end)).any(|i| finite(word(stages, i)));
            names
                && (verb
                    || judged
                    || matches!(before, "now" | "too" | "before" | "was" | "that" | "it"))
        }
        _ => false,
    }
}

/// Words after which a phrase goes on.
fn leads(word: &str) -> bool {
    grammar::is_beside(word)
        || grammar::is_determiner(word)
        || matches!(
            word,
            "and"
                | "but"
                | "so"
                | "because"
                | "if"
                | "when"
                | "where"
                | "what"
                | "which"
                | "who"
                | "how"
                | "that"
                | "than"
                | "while"
                | "until"
                | "in"
                | "on"
                | "at"
                | "of"
                | "to"
                | "with"
                | "up"
                | "into"
                | "under"
                | "underneath"
                | "around"
                | "as"
                | "like"
                | "is"
                | "are"
                | "'s"
                | "do"
                | "does"
                | "did"
                | "can"
                | "could"
                | "find"
                | "feel"
                | "hear"
                | "get"
                | "got"
                | "put"
                | "have"
                | "has"
                | "not"
                | "and then"
                | "think"
                | "said"
                | "see"
                | "know"
                | "then"
        )
}

fn article(word: &str) -> bool {
    matches!(
        word,
        "the"
            | "this"
            | "that"
            | "those"
            | "these"
            | "my"
            | "your"
            | "our"
            | "his"
            | "her"
            | "their"
    )
}

fn subject(word: &str) -> bool {
    matches!(
        word,
        "they" | "he" | "she" | "i" | "we" | "it" | "somebody" | "nobody" | "you"
    )
}

fn finite(word: &str) -> bool {
    matches!(
        word,
        "is" | "are"
            | "'s"
            | "was"
            | "were"
            | "has"
            | "have"
            | "had"
            | "does"
            | "do"
            | "did"
            | "will"
            | "can"
            | "could"
            | "still"
            | "needs"
            | "looks"
            | "works"
            | "came"
            | "comes"
            | "went"
            | "goes"
            | "sits"
            | "got"
            | "stays"
            | "closes"
            | "opens"
            | "matches"
            | "never"
            | "rocks"
            | "wobbles"
            | "sticks"
            | "leaks"
            | "drips"
            | "shuts"
            | "latches"
            | "slides"
            | "runs"
            | "turns"
            | "lines"
    )
}

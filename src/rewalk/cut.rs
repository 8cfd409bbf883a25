//! Finer clauses for speech without punctuation, where a list is read aloud and answered: "front door sticking · no that opens now".

use crate::pipeline::segment::Clause;
use crate::pipeline::trace::Stages;

/// A breath between two people, in seconds.
const BREATH: f64 = 0.2;

/// Cuts the clauses of a walk without punctuation where somebody takes breath or gives an answer.
pub fn cut(stages: &mut Stages<'_>) {
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
            if apart(stages, at) {
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

fn apart(stages: &Stages<'_>, at: usize) -> bool {
    let token = &stages.speech.tokens[at];
    if token.pause >= BREATH || token.turn {
        return true;
    }
    let next = |n: usize| {
        let known = at + n < stages.speech.tokens.len();
        if known {
            stages.speech.word(at + n)
        } else {
            ""
        }
    };
    match next(0) {
        "yes" | "yeah" | "yep" | "yup" | "nope" => true,
        // "no that opens", but "no shelf".
        "no" => matches!(
            next(1),
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

//! What the speaker promises: to ask, to tell somebody, to take a picture, to come back, to do it themselves.

use std::ops::Range;

use crate::lexicon::source::CueKind;
use crate::lexicon::{Kind, Lexicon};
use crate::list::{FollowUp, Standing};

use super::super::grammar;
use super::super::normalize::Speech;
use super::super::scan::Scan;

/// Verbs after "I'll" that promise nothing about the building.
const NO_PROMISE: &[&str] = &[
    "say", "be", "see", "think", "guess", "like", "want", "know", "believe", "wait", "leave",
    "note", "mark", "show", "give", "start", "go", "come", "stand", "sit", "talk", "skip", "admit",
    "assume", "allow", "let", "keep", "live", "never", "take", "pace", "need", "have", "stop",
    "end", "finish", "die", "love", "miss", "put", "do", "not", "just", "try", "walk", "step",
];

/// What is promised in these words.
pub fn follow_up(
    scope: &Range<usize>,
    standing: Standing,
    speech: &Speech<'_>,
    scan: &Scan,
    lexicon: &Lexicon,
) -> Option<FollowUp> {
    let mut best: Option<(usize, FollowUp)> = None;
    for (_, m) in scan
        .cues_within(scope)
        .filter(|(k, _)| *k == CueKind::Promise)
    {
        if let Some(f) = lexicon.cue(m.entry).follow_up
            && best.is_none_or(|(n, _)| m.tokens.len() > n)
        {
            best = Some((m.tokens.len(), f));
        }
    }
    if let Some((_, f)) = best {
        return Some(f);
    }
    scope
        .clone()
        .find_map(|i| promised(i, scope.end, standing, speech, scan))
}

/// "I'll …", "I'm going to …", "I'm calling …", "let me …", and the verb that follows.
fn promised(
    i: usize,
    end: usize,
    standing: Standing,
    speech: &Speech<'_>,
    scan: &Scan,
) -> Option<FollowUp> {
    let w = |k: usize| if k < end { speech.word(k) } else { "" };
    let to_ask = if standing == Standing::Query {
        FollowUp::Ask
    } else {
        FollowUp::Tell
    };
    // "Picture to the boss", "photo of that": said to oneself.
    if matches!(w(i), "picture" | "photo")
        && matches!(w(i + 1), "to" | "of" | "for")
        && (i == 0 || !grammar::is_determiner(speech.word(i - 1)))
    {
        return Some(FollowUp::Photo);
    }
    // "Question for the owner", "ask the trim guys".
    if w(i) == "question" && w(i + 1) == "for"
        || w(i) == "ask" && matches!(w(i + 1), "the" | "him" | "them" | "her") && opens(i, speech)
    {
        return Some(FollowUp::Ask);
    }
    let speaker = matches!(w(i), "i" | "we") || w(i) == "let" && w(i + 1) == "me";
    let calling = w(i) == "calling" && opens(i, speech);
    if !speaker && !calling {
        return None;
    }
    let mut at = if w(i) == "let" { i + 2 } else { i + 1 };
    let future = if w(i) == "calling" {
        at = i;
        true
    } else if w(i) == "let" {
        true
    } else if w(at) == "will" {
        at += 1;
        true
    } else if matches!(w(at), "am" | "are") && matches!(w(at + 1), "going" | "gonna") {
        at += if w(at + 1) == "going" && w(at + 2) == "to" {
            3
        } else {
            2
        };
        true
    } else if matches!(w(at), "am" | "are") && w(at + 1).ends_with("ing") {
        at += 1;
        matches!(
            w(at),
            "calling"
                | "phoning"
                | "ringing"
                | "getting"
                | "texting"
                | "emailing"
                | "having"
                | "asking"
                | "telling"
                | "sending"
                | "taking"
        )
    } else {
        false
    };
    if !future {
        return None;
    }
    while matches!(w(at), "just" | "also" | "probably" | "have" | "to")
        && !(w(at) == "have" && matches!(w(at + 1), "the" | "him" | "them" | "a"))
    {
        at += 1;
    }
    let verb = w(at);
    let near = at..(at + 6).min(end);
    let says = |word: &str| near.clone().any(|k| speech.word(k) == word);
    if says("picture") || says("photo") || says("pictures") || says("photos") {
        return Some(FollowUp::Photo);
    }
    let person = scan.within(&near).any(|m| m.kind == Kind::Trade)
        || near.clone().any(|k| {
            matches!(
                speech.word(k),
                "him"
                    | "her"
                    | "them"
                    | "guy"
                    | "guys"
                    | "office"
                    | "people"
                    | "lads"
                    | "super"
                    | "inspector"
            )
        });
    match verb {
        "ask" | "asking" | "query" => Some(FollowUp::Ask),
        "find" if w(at + 1) == "out" => Some(FollowUp::Ask),
        "check" if w(at + 1) == "with" => Some(FollowUp::Ask),
        "call" | "calling" | "phone" | "phoning" | "ring" | "ringing" | "email" | "emailing"
        | "text" | "texting" => (w(at + 1) != "it" && w(at + 1) != "that").then_some(to_ask),
        "tell" | "telling" | "remind" | "mention" => Some(FollowUp::Tell),
        "have" | "having" | "get" | "getting" if person => Some(FollowUp::Tell),
        "have" if says("words") || says("word") => Some(FollowUp::Tell),
        "speak" | "talk" => Some(FollowUp::Tell),
        "let" if says("know") => Some(FollowUp::Tell),
        "come" | "be" | "go" | "swing" | "pop" if says("back") || says("by") => {
            Some(FollowUp::Return)
        }
        "look" if says("again") => Some(FollowUp::Return),
        "take" if says("care") => Some(FollowUp::Do),
        "have" => None,
        "" => None,
        _ if NO_PROMISE.contains(&verb) || grammar::is_function(verb) || verb.ends_with("ing") => {
            None
        }
        _ if w(i) == "let" => None,
        _ => Some(FollowUp::Do),
    }
}

fn opens(i: usize, speech: &Speech<'_>) -> bool {
    i == 0
        || speech.tokens[i - 1].stop > super::super::normalize::Stop::None
        || matches!(speech.word(i - 1), "so" | "and" | "then" | "okay")
}

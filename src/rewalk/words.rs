//! What the words of a second walk say of a thing that is not named with its fault: it is done, it is as it was, or half of each.

use std::collections::BTreeSet;

use crate::lexicon::words;
use crate::list::Work;
use crate::pipeline::grammar;

use super::cues::*;

/// What a clause says has become of a matter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Corrected, or found fine.
    Good,
    /// Still to do.
    Still,
    /// Partly done; how many are done and how many are left, where said.
    Partly(Option<u32>, Option<u32>),
}

/// Whether the words say so beyond doubt: a fault denied, or gone without a trace.
pub fn certain(text: &str) -> bool {
    let padded = format!(" {text} ");
    let all: Vec<&str> = text.split(' ').collect();
    let denied = (0..all.len()).any(|i| {
        matches!(all[i], "no" | "not")
            && all[i + 1..]
                .iter()
                .take(2)
                .any(|w| FAULTS.contains(&stem(w).as_str()))
    });
    is_there(text)
        || (denied && !padded.contains(" still "))
        || OVER.iter().any(|w| padded.contains(&format!(" {w} ")))
}

fn is_there(text: &str) -> bool {
    text.ends_with("there is one")
        || text.ends_with("there is one now")
        || text.ends_with("there is")
}

/// Says of the words of a clause, as folded, what became of what it speaks of. `fault` tells where a fault is named, by word.
pub fn verdict(text: &str, fault: impl Fn(usize) -> bool) -> Option<Verdict> {
    let padded = format!(" {text} ");
    let has = |list: &[&str]| list.iter().any(|w| padded.contains(&format!(" {w} ")));
    let all: Vec<&str> = text.split(' ').collect();
    if has(EARLIER) && !has(&["same", "still", "since", "now"]) && !has(OVER) {
        return None;
    }
    if let Some(p) = shares(&all) {
        return Some(p);
    }
    if has(HALF) {
        return Some(Verdict::Partly(None, left(&all)));
    }
    if has(OVER) || is_there(text) {
        return Some(Verdict::Good);
    }
    let fault = |i: usize| fault(i) || FAULTS.contains(&stem(all[i]).as_str());
    // "no gap", "does not rattle": a fault denied.
    let denied = (0..all.len()).any(|i| {
        matches!(all[i], "no" | "not" | "never" | "without")
            && (i + 1..(i + 4).min(all.len())).any(&fault)
    });
    if denied && !has(&["still", "yet"]) {
        return Some(Verdict::Good);
    }
    let nobody = (0..all.len()).any(|i| {
        matches!(all[i], "nothing" | "nobody" | "none" | "neither")
            && all[i + 1..].iter().take(5).any(|w| SEEN.contains(w))
    });
    if nobody || has(UNDONE) {
        // "one's been replaced, one hasn't"
        let other = all.iter().take(3).any(|w| *w == "one" || *w == "other");
        if other
            && !all.contains(&"no")
            && matches!(all[0], "one" | "the" | "other" | "and" | "but")
        {
            return Some(Verdict::Partly(None, Some(1)));
        }
        return Some(Verdict::Still);
    }
    // "new glass in the door", not "a new dent".
    let new = all.contains(&"new") && !(0..all.len()).any(fault);
    if new || has(SEEN_TO) {
        return Some(Verdict::Good);
    }
    None
}

/// Whether the words of a clause speak of a whole room or list, not of a part: "everything in here", "this room".
pub fn general(text: &str) -> bool {
    let padded = format!(" {text} ");
    [
        "everything",
        "the whole list",
        "whole lot",
        "this room",
        "this one 's all",
        "in here",
        "all of it",
        "all of them",
        "nothing in here",
        "the room",
        "whole room",
        "nobody 's been in",
        "nobody has been in",
        "the lot",
        "anything",
    ]
    .iter()
    .any(|w| padded.contains(&format!(" {w} ")))
}

/// Whether a place was named and not gone into.
pub fn passed_by(text: &str) -> bool {
    let padded = format!(" {text} ");
    [
        "locked",
        "not doing",
        "taped off",
        "blocked off",
        "in there with",
        "can not get in",
        "can not get into",
        "could not get in",
        "could not get into",
        "skip",
        "skipping",
        "not going in",
        "not going into",
        "not going to",
        "no time",
        "another day",
        "not today",
        "next time",
        "no key",
        "no access",
        "did not get to",
        "will not get to",
        "will not bother",
        "tomorrow",
        "leave the",
        "come back for",
        "come back to",
    ]
    .iter()
    .any(|w| padded.contains(&format!(" {w} ")))
}

/// Whether a thing is said to be there: "there's a rail on the stairs".
pub fn there(text: &str) -> bool {
    let padded = format!(" {text} ");
    let is = [
        "there is a",
        "there is an",
        "there is one",
        "there are",
        "has a",
        "has got a",
        "got a",
        "have a",
        "there is a",
        "in it now",
        "see a",
    ]
    .iter()
    .any(|w| padded.contains(&format!(" {w} ")));
    is && !["no", "not", "never", "still", "only", "just", "hole", "gap"]
        .iter()
        .any(|w| padded.contains(&format!(" {w} ")))
}

/// The class of work that a deed tells of by itself.
pub fn deed(text: &str) -> Option<Work> {
    text.split(' ').find_map(|w| match w {
        "painted" | "repainted" | "touched" => Some(Work::TouchUp),
        "caulked" | "recaulked" | "grouted" | "regrouted" | "sealed" | "resealed" => {
            Some(Work::Seal)
        }
        "cleaned" | "swept" | "vacuumed" | "mopped" | "hauled" | "wiped" | "dusted"
        | "scrubbed" | "clean" => Some(Work::Clean),
        "hung" | "installed" | "mounted" => Some(Work::Install),
        _ => None,
    })
}

/// Whether all of a kind are meant.
pub fn every(text: &str) -> bool {
    text.split(' ').any(|w| {
        matches!(
            w,
            "all" | "every" | "each" | "both" | "everything" | "whole"
        )
    })
}

/// "two of the three are done", "one of them is still loose".
fn shares(all: &[&str]) -> Option<Verdict> {
    let n = |w: &str| match w {
        "one" => Some(1),
        _ => grammar::number(w),
    };
    for i in 0..all.len() {
        let Some(part) = n(all[i]) else { continue };
        if all.get(i + 1) != Some(&"of") {
            continue;
        }
        let whole = all[i + 2..].iter().take(2).find_map(|w| n(w));
        let them = all[i + 2..]
            .iter()
            .take(2)
            .any(|w| matches!(*w, "them" | "those" | "these" | "the"));
        if whole.is_none() && !them {
            continue;
        }
        if whole.is_some_and(|w| w < part) {
            continue;
        }
        let rest = &all[i + 2..];
        let open = rest.iter().any(|w| {
            matches!(
                *w,
                "still"
                    | "left"
                    | "not"
                    | "needs"
                    | "need"
                    | "never"
                    | "missing"
                    | "loose"
                    | "outstanding"
                    | "missed"
            )
        });
        return Some(match (open, whole) {
            (true, Some(w)) => Verdict::Partly(Some(w - part), Some(part)),
            (true, None) => Verdict::Partly(None, Some(part)),
            (false, Some(w)) => Verdict::Partly(Some(part), Some(w - part)),
            (false, None) => Verdict::Partly(Some(part), None),
        });
    }
    None
}

/// "one left", "two to go", "all but one".
fn left(all: &[&str]) -> Option<u32> {
    let n = |w: &str| {
        if w == "one" {
            Some(1)
        } else {
            grammar::number(w)
        }
    };
    (0..all.len()).find_map(|i| {
        let number = n(all[i])?;
        let after = matches!(all.get(i + 1), Some(&"left"))
            || all[i + 1..].starts_with(&["to", "go"])
            || all[i + 1..].starts_with(&["more", "to", "go"]);
        let before = i >= 1 && matches!(all[i - 1], "but" | "bar");
        (after || before).then_some(number)
    })
}

/// The words of a text that carry meaning, cut to their stems.
pub fn stems(text: &str) -> BTreeSet<String> {
    words::words(text)
        .iter()
        .filter(|w| w.norm.len() > 2 && !grammar::is_function(&w.norm))
        .map(|w| stem(&w.norm))
        .filter(|s| !EMPTY.contains(&s.as_str()))
        .collect()
}

/// A word without its ending: "dripping" and "drips" are one.
pub fn stem(word: &str) -> String {
    let mut s = word;
    for end in ["ing", "ed", "es", "s", "y", "ly"] {
        if let Some(cut) = s.strip_suffix(end)
            && cut.len() >= 3
            && !(end == "s" && cut.ends_with('s'))
        {
            s = cut;
            break;
        }
    }
    let mut out = s.trim_end_matches('e').to_string();
    let b = out.as_bytes();
    if b.len() > 3 && b[b.len() - 1] == b[b.len() - 2] {
        out.pop();
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(text: &str) -> Option<Verdict> {
        verdict(text, |_| false)
    }

    #[test]
    fn tells_done_from_undone() {
        for text in [
            "that is gone",
            "the new one 's in now",
            "you would never know",
            "they swapped it",
            "does not rock anymore",
        ] {
            assert_eq!(of(text), Some(Verdict::Good), "{text}");
        }
        for text in [
            "same as last time",
            "they never came",
            "not fixed",
            "still loose",
            "nobody has been",
            "has not been painted",
        ] {
            assert_eq!(of(text), Some(Verdict::Still), "{text}");
        }
        assert_eq!(of("the hall is next to it"), None);
    }

    #[test]
    fn a_denied_fault_is_good() {
        assert_eq!(
            verdict("it does not rattle", |i| i == 3),
            Some(Verdict::Good)
        );
        assert_eq!(
            verdict("it does not close", |_| false),
            Some(Verdict::Still)
        );
    }

    #[test]
    fn counts_what_is_left() {
        assert_eq!(
            of("two of the three are done"),
            Some(Verdict::Partly(Some(2), Some(1)))
        );
        assert_eq!(
            of("one of the four is still loose"),
            Some(Verdict::Partly(Some(3), Some(1)))
        );
        assert_eq!(of("all but one"), Some(Verdict::Partly(None, Some(1))));
    }

    #[test]
    fn stems_join_forms_of_a_word() {
        assert_eq!(stem("dripping"), stem("drips"));
        assert_eq!(stem("hinges"), stem("hinge"));
        assert_eq!(stem("scratched"), stem("scratches"));
    }
}

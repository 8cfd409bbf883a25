//! What the words of a second walk say of a thing that is not named with its fault: it is done, it is as it was, or half of each.

use std::collections::BTreeSet;

use crate::lexicon::source::VerdictKind as K;
use crate::lexicon::words;
use crate::list::Work;
use crate::pipeline::grammar;

use super::cues::{Cues, Hit};

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

/// The words of one clause, as folded, with what the cues find in them.
#[derive(Debug)]
pub struct Heard<'t> {
    /// The words.
    pub all: Vec<&'t str>,
    hits: Vec<Hit>,
    /// Where faults are named, by word.
    faults: BTreeSet<usize>,
}

impl<'t> Heard<'t> {
    /// Reads the words of a clause; `faults` are the words at which the lexicon names a fault.
    pub fn new(text: &'t str, cues: &Cues, mut faults: BTreeSet<usize>) -> Heard<'t> {
        let all: Vec<&str> = text.split(' ').filter(|w| !w.is_empty()).collect();
        faults.extend((0..all.len()).filter(|i| cues.is_fault(all[*i])));
        // "on the dirty side" tells where.
        faults.retain(|i| all.get(i + 1) != Some(&"side"));
        let mut hits = cues.hits(&all);
        let longer: Vec<Hit> = hits.iter().filter(|h| decides(h.0)).copied().collect();
        // "leave it on" inside "i will leave it on" is not heard twice; "never mind" holds no "never".
        hits.retain(|h| {
            !decides(h.0)
                || !longer
                    .iter()
                    .any(|l| l.2 <= h.2 && h.3 <= l.3 && l.3 - l.2 > h.3 - h.2)
        });
        // "dead level"
        let good =
            |h: &&Hit| matches!(h.0, K::Fine | K::Over | K::SeenTo | K::Idle) && h.3 > h.2 + 1;
        for h in hits.iter().filter(good) {
            faults.retain(|i| !(h.2..h.3).contains(i) || cues.is_fault(all[*i]));
        }
        Heard { hits, all, faults }
    }

    /// Whether words of a kind stand in it.
    pub fn has(&self, kind: K) -> bool {
        self.hits.iter().any(|h| h.0 == kind)
    }

    /// Whether all of a kind are meant, not "no trouble at all".
    pub fn every(&self) -> bool {
        // "no trouble at all", "fine all week".
        let while_ = |w: &str| {
            matches!(
                w,
                "week"
                    | "day"
                    | "morning"
                    | "night"
                    | "month"
                    | "year"
                    | "winter"
                    | "way"
                    | "along"
                    | "right"
                    | "round"
                    | "around"
                    | "over"
            )
        };
        self.of(K::Every).any(|h| {
            let at = h.2 > 0 && self.all[h.2 - 1] == "at";
            !at && !self.all.get(h.3).is_some_and(|w| while_(w))
        })
    }

    /// The clause stands against what was said before it.
    pub fn contrasts(&self) -> bool {
        let opens = self.all.first().copied().unwrap_or_default();
        self.has(K::Again) || matches!(opens, "but" | "now" | "though" | "except" | "only" | "then")
    }

    /// The forms of a kind.
    pub fn of(&self, kind: K) -> impl Iterator<Item = &Hit> {
        self.hits.iter().filter(move |h| h.0 == kind)
    }

    fn says(&self, words: &[&str]) -> bool {
        self.all.iter().any(|w| words.contains(w))
    }

    /// A fault is named and denied: "no gap", "does not rattle".
    pub fn denied(&self) -> bool {
        (0..self.all.len()).any(|i| {
            matches!(self.all[i], "no" | "not" | "never" | "without")
                && (i + 1..i + 4).any(|j| self.faults.contains(&j))
        })
    }

    /// Something is said not to be there that stands in the words of an item: "no patch".
    pub fn denies(&self, stems: &BTreeSet<String>) -> bool {
        (0..self.all.len()).any(|i| {
            matches!(self.all[i], "no" | "without")
                && self.all[i + 1..]
                    .iter()
                    .take(2)
                    .any(|w| stems.contains(&stem(w)))
        })
    }

    /// It is said not to move, and an item's words tell that it was stuck.
    pub fn stuck(&self, stems: &BTreeSet<String>) -> bool {
        let stuck = [
            "stuck", "stick", "jam", "seiz", "bind", "open", "wind", "shut",
        ];
        self.has(K::Holds) && stuck.iter().any(|s| stems.contains(*s))
    }

    /// A fault is named and not denied.
    pub fn faulty(&self) -> bool {
        !self.faults.is_empty() && !self.denied()
    }

    /// Whether the words say so beyond doubt: a fault denied, or gone without a trace.
    pub fn certain(&self) -> bool {
        self.ends_there()
            || (self.denied() && !self.says(&["still"]))
            || self.has(K::Over)
            || self.has(K::Holds)
    }

    fn ends_there(&self) -> bool {
        let ends = |w: &[&str]| self.all.ends_with(w);
        ends(&["there", "is", "one"]) || ends(&["there", "is", "one", "now"])
    }

    /// What became of that which the clause speaks of.
    pub fn verdict(&self) -> Option<Verdict> {
        if self.has(K::Again) && self.faulty() {
            return Some(Verdict::Still);
        }
        if self.has(K::Earlier)
            && !self.has(K::General)
            && !self.says(&["same", "still", "since", "now"])
            && !self.has(K::Over)
        {
            return None;
        }
        if let Some(p) = shares(&self.all) {
            return Some(p);
        }
        if self.has(K::Half) {
            return Some(Verdict::Partly(None, left(&self.all)));
        }
        if self.due() {
            return Some(Verdict::Still);
        }
        if self.has(K::Over) || self.has(K::Holds) || self.ends_there() {
            return Some(Verdict::Good);
        }
        // "it does not come off" is plainer than a fault denied.
        if self.of(K::Undone).any(|h| h.3 - h.2 > 3) {
            return Some(Verdict::Still);
        }
        if self.denied() && !self.says(&["still", "yet"]) {
            return Some(Verdict::Good);
        }
        let nobody = (0..self.all.len()).any(|i| {
            matches!(self.all[i], "nothing" | "nobody" | "none" | "neither")
                && self.of(K::Deed).any(|h| h.2 > i && h.2 <= i + 5)
        });
        if nobody || self.has(K::Undone) || self.unmet() || self.same_again() {
            // "one's been replaced, one hasn't"
            let other = self
                .all
                .iter()
                .take(3)
                .any(|w| matches!(*w, "one" | "other"));
            let opens = self.all.first();
            if other
                && !self.says(&["no"])
                && opens.is_some_and(|w| matches!(*w, "one" | "the" | "other" | "and" | "but"))
            {
                return Some(Verdict::Partly(None, Some(1)));
            }
            return Some(Verdict::Still);
        }
        // "new glass in the door", not "a new dent".
        let new = self.says(&["new"]) && self.faults.is_empty();
        let fine = self.has(K::Fine) && !self.faulty();
        if new || fine || self.has(K::SeenTo) {
            return Some(Verdict::Good);
        }
        self.has(K::Again).then_some(Verdict::Still)
    }

    /// Whether only a word for its state calls it good, no deed: that may as well be said of something else.
    pub fn only_fine(&self) -> bool {
        !self.has(K::SeenTo) && !self.has(K::Over) && !self.denied()
    }

    /// "same half a key".
    fn same_again(&self) -> bool {
        [self.all.first(), self.all.last()].contains(&Some(&"same"))
    }

    /// "must be fixed", "has to be painted", "was supposed to be replaced": a deed that is still to come.
    fn due(&self) -> bool {
        self.of(K::SeenTo).any(|h| {
            let before = &self.all[h.2.saturating_sub(4)..h.2];
            before.ends_with(&["must", "be"])
                || before.ends_with(&["to", "be"])
                    && !before.iter().any(|w| matches!(*w, "used" | "had" | "got"))
        })
    }

    /// "not sanded", "not really finished": something done that was not.
    fn unmet(&self) -> bool {
        let deeds = self.of(K::SeenTo).chain(self.of(K::Fine)).map(|h| h.2);
        let new = (0..self.all.len()).filter(|i| self.all[*i] == "new");
        deeds.chain(new).any(|at| {
            let before = &self.all[at.saturating_sub(4)..at];
            before
                .last()
                .is_some_and(|w| matches!(*w, "no" | "without"))
                || before.iter().any(|w| {
                    matches!(
                        *w,
                        "not" | "never" | "nothing" | "nobody" | "need" | "needs" | "wants"
                    )
                })
        }) || (1..self.all.len()).any(|i| {
            // "has not rebalanced it"
            let w = self.all[i];
            let deed = w.len() > 4 && w.ends_with("ed") && !self.faults.contains(&i);
            let denies = |at: usize| matches!(self.all[at], "not" | "never" | "nobody");
            let between = matches!(
                self.all[i - 1],
                "been" | "really" | "properly" | "even" | "ever"
            );
            deed && (denies(i - 1) || between && i > 1 && denies(i - 2))
        })
    }

    /// An answer to an item that was just read aloud.
    pub fn answer(&self) -> Option<Verdict> {
        // "no"; "it is" only where it says no more.
        let first = |kind| {
            self.of(kind)
                .any(|h| h.2 <= 1 && (h.3 - h.2 == 1 || h.3 == self.all.len()))
        };
        if first(K::Yes) {
            Some(Verdict::Good)
        } else {
            first(K::No).then_some(Verdict::Still)
        }
    }

    /// Whether a thing is said to be there: "there's a rail on the stairs".
    pub fn there(&self) -> bool {
        self.has(K::There)
            && !self.says(&[
                "no", "not", "never", "still", "only", "just", "hole", "gap", "nothing",
            ])
    }

    /// The class of work that a deed tells of by itself.
    pub fn deed(&self, cues: &Cues) -> Option<Work> {
        self.of(K::SeenTo)
            .chain(self.of(K::Fine))
            .find_map(|h| cues.work(h.1))
    }

    /// The speaker says that it has come back.
    pub fn again(&self) -> bool {
        self.has(K::Again)
    }

    /// Whether the words point back at something: "it", "that", "they did it".
    pub fn points(&self) -> bool {
        self.says(&[
            "it", "that", "those", "these", "this", "them", "they", "he", "she", "one", "there",
            "him",
        ])
    }
}

/// Kinds of words that a longer form takes from a shorter one inside it.
fn decides(kind: K) -> bool {
    !matches!(
        kind,
        K::Place | K::Part | K::Pointing | K::Onward | K::Empty | K::Fault | K::Every | K::General
    )
}

/// "two of the three are done", "one of them is still loose".
fn shares(all: &[&str]) -> Option<Verdict> {
    let n = |w: &str| match w {
        "one" => Some(1),
        "pair" | "both" => Some(2),
        _ => grammar::number(w),
    };
    for i in 0..all.len() {
        let Some(part) = n(all[i]).filter(|_| !matches!(all[i], "pair" | "both")) else {
            continue;
        };
        if all.get(i + 1) != Some(&"of") {
            continue;
        }
        let whole = all[i + 2..].iter().take(2).find_map(|w| n(w));
        let them = all[i + 2..]
            .iter()
            .take(2)
            .any(|w| matches!(*w, "them" | "those" | "these"));
        if (whole.is_none() && !them) || whole.is_some_and(|w| w < part) {
            continue;
        }
        let open = all[i + 2..].iter().any(|w| {
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
pub fn stems(text: &str, cues: &Cues) -> BTreeSet<String> {
    words::words(text)
        .iter()
        .filter(|w| w.norm.len() > 2 && !grammar::is_function(&w.norm))
        .map(|w| stem(&w.norm))
        .filter(|s| !cues.is_empty(s))
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
    use crate::lexicon::Lexicon;

    fn of(text: &str, faults: &[usize]) -> Option<Verdict> {
        let cues = Cues::new(&Lexicon::builtin());
        Heard::new(text, &cues, faults.iter().copied().collect()).verdict()
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
            assert_eq!(of(text, &[]), Some(Verdict::Good), "{text}");
        }
        for text in [
            "same as last time",
            "they never came",
            "not fixed",
            "still loose",
            "nobody has been",
            "has not been painted",
            "it is not really sanded",
            "must be fixed by friday",
            "has to be repaired",
            "was supposed to be replaced",
        ] {
            assert_eq!(of(text, &[]), Some(Verdict::Still), "{text}");
        }
        assert_eq!(of("the hall is next to it", &[]), None);
    }

    #[test]
    fn a_denied_fault_is_good() {
        assert_eq!(of("it does not sway", &[3]), Some(Verdict::Good));
        assert_eq!(of("it does not close", &[]), Some(Verdict::Still));
    }

    #[test]
    fn counts_what_is_left() {
        assert_eq!(
            of("two of the three are done", &[]),
            Some(Verdict::Partly(Some(2), Some(1)))
        );
        assert_eq!(
            of("one of the four is still loose", &[]),
            Some(Verdict::Partly(Some(3), Some(1)))
        );
        assert_eq!(of("all but one", &[]), Some(Verdict::Partly(None, Some(1))));
    }

    #[test]
    fn stems_join_forms_of_a_word() {
        assert_eq!(stem("dripping"), stem("drips"));
        assert_eq!(stem("hinges"), stem("hinge"));
        assert_eq!(stem("scratched"), stem("scratches"));
    }
}

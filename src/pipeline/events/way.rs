//! What stands in the way: "a pallet of tiles across the fire door", "boxes stacked in front of the panel". The matter is the part that
//! must be kept free, not what stands there.

use crate::lexicon::Kind;
use crate::lexicon::source::CueKind;

use super::super::mentions::Thing;
use super::super::normalize::Stop;
use super::super::scan::Mention;
use super::{Reader, Saying, Target};

/// How many words may stand between what is put down and where, and between that and the part: "stacked right up in front of",
/// "across the back fire door".
const BETWEEN: usize = 6;
const TO_PART: usize = 4;

impl Reader<'_, '_, '_> {
    /// A part that must be kept free (`on` of the cue) and has something before it.
    pub(super) fn in_the_way(&mut self) {
        let Some(blocked) = self.lexicon.fault_by_id("blocked") else {
            return;
        };
        let cues: Vec<Mention> = self.cx.cues(CueKind::InTheWay).cloned().collect();
        for way in cues {
            let Some(thing) = self.kept_free(&way) else {
                continue;
            };
            let Some(from) = self.put_down(&way) else {
                continue;
            };
            let tokens = from..thing.tokens.end;
            // "A crack across the fire door": a fault of the part itself; and what is to be put there is not there yet.
            let other = self.cx.scan.within(&(from..way.tokens.start)).any(|m| {
                m.kind == Kind::Fault
                    && m.entry != blocked
                    && !self.cx.cues(CueKind::Stored).any(|s| overlap(s, m))
            });
            if other || self.cx.needed(&(from..way.tokens.start)).is_some() {
                continue;
            }
            let target = Target::Things(vec![thing]);
            let saying = if self.cx.denied(&way.tokens) {
                Saying::NoFault(blocked)
            } else if self.cx.past(&way.tokens) {
                Saying::WasFault(blocked)
            } else if self.cx.clause.question {
                continue;
            } else {
                Saying::Fault(blocked)
            };
            self.push(saying, target, tokens);
        }
    }

    /// The part behind the words for where, if it is one that must be kept free.
    fn kept_free(&self, way: &Mention) -> Option<Thing> {
        let on = &self.lexicon.cue(way.entry).on;
        let thing = self
            .things
            .iter()
            .find(|t| t.tokens.start >= way.tokens.end)?;
        let element = self.lexicon.element(thing.entry?);
        let near = thing.tokens.start - way.tokens.end <= TO_PART
            && (way.tokens.end..thing.tokens.start)
                .all(|i| self.cx.speech.tokens[i].stop == Stop::None);
        let kept = on.is_empty() || on.iter().any(|o| *o == element.id || *o == element.group);
        (near && kept).then(|| thing.clone())
    }

    /// Where what is put down is told before it: "a pallet", "parked". Words that say it all by themselves need no more.
    fn put_down(&self, way: &Mention) -> Option<usize> {
        let speech = self.cx.speech;
        let whole = |i: usize| speech.word(i).ends_with("ing") || speech.word(i + 1) == "against";
        if whole(way.tokens.start) {
            return Some(way.tokens.start);
        }
        let far = way.tokens.start.saturating_sub(BETWEEN);
        let before = far.max(self.cx.clause.tokens.start)..way.tokens.start;
        let told = self.cx.cues(CueKind::Stored).map(|s| s.tokens.start);
        let carried = self.cx.scan.within(&before).filter(|m| self.carried(m));
        told.filter(|s| before.contains(s))
            .chain(carried.map(|m| m.tokens.start))
            .min()
    }

    /// Something of a group that can be carried off.
    fn carried(&self, m: &Mention) -> bool {
        let groups = self.lexicon.data().cues.iter();
        let mut groups = groups
            .filter(|c| c.kind == CueKind::Stored)
            .flat_map(|c| &c.on);
        m.kind == Kind::Element && groups.any(|g| *g == self.lexicon.element(m.entry).group)
    }
}

fn overlap(a: &Mention, b: &Mention) -> bool {
    a.tokens.start < b.tokens.end && b.tokens.start < a.tokens.end
}

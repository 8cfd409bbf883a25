//! What the pipeline found in the new walk, tied to the earlier items.

use crate::list::Work;

use crate::lexicon::source::VerdictKind;

use super::hearing::{By, Evidence, Hearing};
use super::matching::one_to_one;
use super::words::{Verdict, stems};

impl Hearing<'_, '_> {
    /// New items of the same part in the same place, one to one.
    pub(super) fn items(&mut self) {
        let scene = self.scene;
        let mut pairs = Vec::new();
        for (n, new) in scene.new.items.iter().enumerate() {
            let part = new.element.as_deref().map(|e| scene.names.part(e));
            let said = stems(
                &new.said
                    .iter()
                    .map(|s| s.text.as_str())
                    .collect::<Vec<_>>()
                    .join(" "),
                self.cues,
            );
            let still = new.said.iter().any(|s| {
                matches!(
                    self.heard[self.clause_at(s.start)].verdict(),
                    Some(Verdict::Still)
                )
            });
            let area = self.where_said(&new.said);
            let near = scene.related(area);
            for &i in scene.of(area).iter().chain(&near) {
                let old = &scene.items[i];
                let same = match (&part, &old.part) {
                    (Some(a), Some(b)) => scene.names.same_part(a, b),
                    (None, None) => 0.9,
                    _ => 0.4,
                };
                let fault = match (&new.fault, &old.fault) {
                    (Some(a), Some(b)) if a == b => 0.2,
                    (Some(_), Some(_)) => 0.0,
                    _ => 0.1,
                };
                let work = if new.work == old.work {
                    0.2
                } else if mending(new.work) && mending(old.work) {
                    0.1
                } else {
                    0.0
                };
                let more = scene.wording(i, &said) * 0.3 + if still { 0.1 } else { 0.0 };
                let away = if area == Some(old.area) { 0.0 } else { 0.1 };
                pairs.push((same * 0.6 + fault + work + more - away, n, i));
            }
        }
        for (_, n, i) in one_to_one(pairs) {
            let new = &scene.new.items[n];
            if new.said.len() > 1 && self.mixed(&new.said, i) {
                continue;
            }
            let clause = self.clause_of(&new.said, i);
            let heard = &self.heard[clause];
            let verdict = match heard.verdict() {
                Some(p @ Verdict::Partly(..)) => p,
                _ => Verdict::Still,
            };
            self.out.push(Evidence {
                item: i,
                verdict,
                by: By::Item(n),
                clause,
                said: new.said.clone(),
                again: heard.again(),
                once: heard.has(VerdictKind::Once),
                why: "an item of the same part and place".to_string(),
            });
        }
    }

    /// Cleared marks of the same part in the same place; all that fit equally well.
    pub(super) fn cleared(&mut self) {
        let scene = self.scene;
        for (c, mark) in scene.new.cleared.iter().enumerate() {
            let area = self.where_said(&mark.said);
            let here = scene.of(area);
            let clause = mark
                .said
                .iter()
                .map(|s| self.clause_at(s.start))
                .max()
                .unwrap_or(0);
            let Some(element) = &mark.element else {
                let left_out = self.heard[clause].has(VerdictKind::Unvisited);
                if left_out || area.is_none_or(|a| !self.visited.contains(&a)) {
                    continue;
                }
                let told = self.heard[clause].verdict();
                let verdict = if told == Some(Verdict::Still) {
                    Verdict::Still
                } else {
                    Verdict::Good
                };
                for &i in here {
                    self.out.push(Evidence {
                        item: i,
                        verdict,
                        by: By::Room,
                        clause,
                        said: mark.said.clone(),
                        again: false,
                        once: false,
                        why: "only the place as a whole was spoken of".to_string(),
                    });
                }
                continue;
            };
            let part = scene.names.part(element);
            let said = stems(
                &mark
                    .said
                    .iter()
                    .map(|s| s.text.as_str())
                    .collect::<Vec<_>>()
                    .join(" "),
                self.cues,
            );
            let near = scene.related(area);
            let own = |i: &&usize| {
                let p = scene.items[**i].part.as_ref();
                p.is_some_and(|p| scene.names.same_part(&part, p) >= super::matching::ENOUGH)
            };
            let all = if here.iter().any(|i| own(&i)) {
                here
            } else {
                near.as_slice()
            };
            let scores: Vec<(f64, usize)> = all
                .iter()
                .filter_map(|&i| {
                    let same = scene.names.same_part(&part, scene.items[i].part.as_ref()?);
                    (same >= super::matching::ENOUGH).then(|| (same + scene.wording(i, &said), i))
                })
                .collect();
            let best = scores.iter().map(|s| s.0).fold(0.0, f64::max);
            for (score, i) in scores {
                if score + 0.15 < best || self.mixed(&mark.said, i) {
                    continue;
                }
                self.out.push(Evidence {
                    item: i,
                    verdict: Verdict::Good,
                    by: By::Cleared(c),
                    clause: self.clause_of(&mark.said, i),
                    said: mark.said.clone(),
                    again: false,
                    once: false,
                    why: "a cleared mark of the same part and place".to_string(),
                });
            }
        }
    }
}

fn mending(work: Work) -> bool {
    matches!(
        work,
        Work::Repair | Work::Adjust | Work::Replace | Work::Install | Work::Check
    )
}

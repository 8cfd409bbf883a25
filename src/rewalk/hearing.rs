//! The second reading: what a walk says of the earlier items, by the pipeline's findings and by the words alone.

use std::collections::{BTreeMap, BTreeSet};

use crate::lexicon::{Kind, Lexicon, Role};
use crate::list::{Said, Work};
use crate::pipeline::segment::Clause;
use crate::pipeline::trace::Stages;
use crate::transcript::{Reading, Transcript};

use super::route::route;
use super::scene::Scene;
use super::words::{self, Verdict, stems};

/// How well an item must fit the words of a clause to be the one that is spoken of.
const NAMED: f64 = 0.6;
/// Why a fate is told by a word for all of a place.
const ROOM: &str = "only a word for the whole place";
/// How many clauses a matter stays in mind.
const MIND: usize = 3;
/// The most words said of a place that was only passed by.
const SHORT: usize = 30;

/// By what something was told of an item.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum By {
    /// A word for all of a room.
    Room,
    /// The words alone say that it is done.
    Words,
    /// A cleared mark of the new walk, by index.
    Cleared(usize),
    /// The words alone say that it is not.
    StillWords,
    /// An item of the new walk, by index.
    Item(usize),
    /// The words alone say beyond doubt that it is done.
    Certain,
}

/// Something said of an earlier item.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
    /// The item, by index.
    pub item: usize,
    /// What is said.
    pub verdict: Verdict,
    /// By what it was told.
    pub by: By,
    /// The clause, by index, for the order.
    pub clause: usize,
    /// The words.
    pub said: Vec<Said>,
    /// The speaker says that it has come back.
    pub again: bool,
    /// How it was tied to the item.
    pub why: String,
}

/// What was heard.
#[derive(Debug)]
pub struct Heard {
    /// What was said of items.
    pub evidence: Vec<Evidence>,
    /// The earlier area of each item of the new walk.
    pub areas: Vec<Option<usize>>,
    /// The earlier areas in which something was said.
    pub visited: BTreeSet<usize>,
    /// Areas that were named and not gone into.
    pub passed_by: BTreeSet<usize>,
}

/// All that the walk says of the earlier items.
pub fn hear(scene: &Scene<'_>, walk: &Transcript, id: &str, lexicon: &Lexicon) -> Heard {
    let reading = Reading::new(walk);
    let stages = Stages::new(&reading, lexicon);
    let mut h = Hearing {
        scene,
        stages: &stages,
        id,
        out: Vec::new(),
        route: Vec::new(),
    };
    let told: Vec<(Option<usize>, Option<usize>)> = stages
        .clauses
        .iter()
        .enumerate()
        .map(|(c, clause)| {
            if clause.tokens.is_empty() {
                return (None, None);
            }
            (stages.places.of(c, &stages.clauses), h.area_of(c, clause))
        })
        .collect();
    h.route = route(scene, &stages, &told);
    h.items();
    h.cleared();
    h.words();
    // What speaks of one item speaks of no room.
    let over = |a: &Said, b: &Said| a.start < b.end && b.start < a.end;
    let own: Vec<Said> = h
        .out
        .iter()
        .filter(|e| e.by != By::Room)
        .flat_map(|e| e.said.iter().cloned())
        .collect();
    h.out.retain(|e| {
        e.by != By::Room || e.why == ROOM || !e.said.iter().any(|s| own.iter().any(|o| over(s, o)))
    });
    h.finish()
}

pub(super) struct Hearing<'h, 'r> {
    pub(super) scene: &'h Scene<'h>,
    stages: &'h Stages<'r>,
    id: &'h str,
    pub(super) out: Vec<Evidence>,
    /// The earlier area of each clause.
    route: Vec<Option<usize>>,
}

impl Hearing<'_, '_> {
    fn finish(self) -> Heard {
        let told: BTreeSet<usize> = self
            .out
            .iter()
            .map(|e| self.scene.items[e.item].area)
            .collect();
        let mut words_in: BTreeMap<usize, (usize, bool)> = BTreeMap::new();
        for (c, clause) in self.stages.clauses.iter().enumerate() {
            if let Some(area) = self.route[c] {
                let (n, by) = words_in.entry(area).or_default();
                *n += clause.tokens.len();
                *by |= words::passed_by(&self.text(c));
            }
        }
        let items = &self.scene.new.items;
        Heard {
            areas: items
                .iter()
                .map(|n| self.where_said(&n.said, &n.area))
                .collect(),
            visited: self.route.iter().flatten().chain(&told).copied().collect(),
            passed_by: words_in
                .into_iter()
                .filter(|(a, (n, by))| *by && *n <= SHORT && !told.contains(a))
                .map(|(a, _)| a)
                .collect(),
            evidence: self.out,
        }
    }

    pub(super) fn clause_at(&self, seconds: f64) -> usize {
        let at = self.stages.word_at(seconds + 0.01).unwrap_or(0);
        self.stages
            .clauses
            .partition_point(|c| c.tokens.end <= at)
            .min(self.stages.clauses.len().saturating_sub(1))
    }

    pub(super) fn text(&self, clause: usize) -> String {
        let clause = self.stages.clauses.get(clause);
        let text = clause.map_or("", |c| self.stages.speech.words(&c.tokens));
        // "barrier's up" is as good as "barrier is up".
        text.replace(" 's ", " is ")
    }

    /// The earlier area of what the pipeline found.
    pub(super) fn where_said(&self, said: &[Said], path: &[String]) -> Option<usize> {
        let at = said.first().map(|s| self.clause_at(s.start));
        let by_route = at.and_then(|c| self.route.get(c).copied()).flatten();
        // What was remembered of another place stands under that place.
        self.scene
            .area(path)
            .filter(|a| Some(*a) != by_route && by_route.is_none())
            .or(by_route)
    }

    /// The earlier area that a clause speaks of.
    fn area_of(&self, c: usize, clause: &Clause) -> Option<usize> {
        let places = &self.stages.places;
        if places.asides.iter().any(|a| a.clauses.contains(&c)) {
            let place = places.of(c, &self.stages.clauses)?;
            return self.scene.area(&places.house.places[place].path);
        }
        // The last word decides: "in the kitchen, the tap".
        let (start, _) = self
            .stages
            .span(&(clause.tokens.end - 1..clause.tokens.end));
        let new = &self.scene.new.areas;
        let at = new.iter().position(|a| {
            a.visits
                .iter()
                .any(|v| v.start <= start + 0.006 && start < v.end)
        });
        at.or_else(|| {
            new.iter().position(|a| {
                a.visits
                    .iter()
                    .any(|v| v.start <= start + 0.006 && start <= v.end + 1.0)
            })
        })
        .and_then(|i| self.scene.met[i])
    }

    /// How well each item of an area fits the words of a clause: by its part, and in all.
    fn named(&self, here: &[usize], clause: &Clause) -> Vec<(f64, f64, usize)> {
        let scene = self.scene;
        let text = self.stages.speech.words(&clause.tokens);
        let said = stems(text);
        let whole: BTreeSet<String> = text.split(' ').map(words::stem).collect();
        let entries: BTreeSet<u16> = self.elements(clause);
        let number = spoken_item(text);
        here.iter()
            .filter_map(|&i| {
                let own = &scene.items[i];
                if number == Some(own.number) {
                    return Some((1.0, 3.0, i));
                }
                let mut part = 0.0;
                if let Some(p) = &own.part {
                    if p.entry.is_some_and(|e| entries.contains(&e)) {
                        part = 1.0;
                    } else if whole.contains(&p.head) {
                        part = 0.8;
                    } else if whole
                        .iter()
                        .any(|w| w.len() >= 4 && p.head.ends_with(w.as_str()))
                    {
                        // "bell" for "doorbell"
                        part = 0.7;
                    }
                    let more = p
                        .stems
                        .iter()
                        .filter(|s| **s != p.head && whole.contains(*s))
                        .count();
                    part += 0.2 * (more.min(2) as f64);
                }
                let score = part + scene.wording(i, &said);
                (score >= NAMED).then_some((part, score, i))
            })
            .collect()
    }

    /// Items of other places that the words name beyond doubt: in a place inside or around, or the only one of its name on the list.
    fn elsewhere(&self, area: Option<usize>, clause: &Clause) -> Vec<(f64, f64, usize)> {
        let scene = self.scene;
        let near = scene.related(area);
        let mut named = self.named(&near, clause);
        named.retain(|n| n.0 >= 0.8);
        if !named.is_empty() {
            return named;
        }
        let only = |i: &usize| {
            let own = scene.items[*i].part.as_ref();
            own.is_some_and(|p| p.stems.len() > 1 || area.is_none())
                && scene
                    .items
                    .iter()
                    .filter(|x| x.part.as_ref().map(|p| &p.name) == own.map(|p| &p.name))
                    .count()
                    == 1
        };
        let all: Vec<usize> = (0..scene.items.len()).filter(only).collect();
        let mut named = self.named(&all, clause);
        named.retain(|n| n.0 >= if area.is_none() { 1.0 } else { 1.2 });
        named
    }

    /// The only item of the list with a part that the words name, in a place that the walk was not seen to come to.
    fn unannounced(&self, clause: &Clause) -> Vec<(f64, f64, usize)> {
        let scene = self.scene;
        let heard = self.elements(clause);
        let with = |e: u16| -> Vec<usize> {
            let own = |i: &usize| scene.items[*i].part.as_ref().and_then(|p| p.entry) == Some(e);
            (0..scene.items.len()).filter(own).collect()
        };
        let all = heard.iter().filter_map(|e| match with(*e).as_slice() {
            [i] => Some(*i),
            _ => None,
        });
        let away = |i: &usize| !self.route.contains(&Some(scene.items[*i].area));
        all.filter(away).take(1).map(|i| (1.0, 1.0, i)).collect()
    }

    fn elements(&self, clause: &Clause) -> BTreeSet<u16> {
        let all = self.stages.scan.within(&clause.tokens);
        all.filter(|m| m.kind == Kind::Element)
            .map(|m| m.entry)
            .collect()
    }

    fn words(&mut self) {
        let mut topic: Option<(Vec<usize>, usize, Option<usize>)> = None;
        let mut pending: Option<(Verdict, usize)> = None;
        let mut drift: Option<(usize, Option<usize>)> = None;
        for c in 0..self.stages.clauses.len() {
            let clause = self.stages.clauses[c].clone();
            if clause.tokens.is_empty() {
                continue;
            }
            let area = self.route[c];
            let here = self.scene.of(area).to_vec();
            if topic.as_ref().is_some_and(|t| t.2 != area) {
                topic = None;
            }
            let text = self.text(c);
            let verdict = self.verdict(&clause, &text);
            let mut named = self.named(&here, &clause);
            if let Some((a, base)) = drift {
                if area != base {
                    drift = None;
                } else if named.is_empty() {
                    named = self.named(self.scene.of(Some(a)), &clause);
                }
            }
            if named.is_empty() {
                named = self.elsewhere(area, &clause);
                // The only one of its name, in a place not come to so far: the speaker may be there, unannounced. Never where it is
                // known in which earlier area they are: an item settled in another room is lost.
                if named.is_empty() && area.is_none() {
                    named = self.unannounced(&clause);
                    if let [(_, _, i), ..] = named.as_slice()
                        && verdict.is_some()
                    {
                        drift = Some((self.scene.items[*i].area, area));
                    }
                }
            }
            if here.is_empty() && named.is_empty() {
                continue;
            }
            let best = named.iter().map(|n| n.1).fold(0.0, f64::max);
            let every = words::every(&text);
            let chosen: Vec<usize> = named
                .iter()
                .filter(|n| n.1 + 0.15 >= best || (every && n.0 >= 0.8))
                .map(|n| n.2)
                .collect();
            if !chosen.is_empty() {
                topic = Some((chosen.clone(), c, area));
                let lacking = chosen
                    .iter()
                    .all(|i| self.scene.items[*i].work == Work::Install);
                let verdict = verdict.or_else(|| {
                    (lacking && !clause.question && words::there(&text)).then_some(Verdict::Good)
                });
                match (verdict, pending) {
                    (Some(v), _) => self.tell(&chosen, v, c..c + 1, "its own words"),
                    (None, Some((v, p)))
                        if p + 1 == c && !clause.question && self.same_sentence(p, c) =>
                    {
                        self.tell(&chosen, v, p..c + 1, "said just before it was named");
                    }
                    _ => (),
                }
                pending = None;
                continue;
            }
            let foreign = !self.elements(&clause).is_empty();
            let Some(v) = verdict else {
                if foreign {
                    topic = None;
                }
                continue;
            };
            if every && let Some(works) = works_told(&text) {
                let all: Vec<usize> = here
                    .iter()
                    .copied()
                    .filter(|i| works.contains(&self.scene.items[*i].work))
                    .collect();
                self.tell(&all, v, c..c + 1, "all work of its kind in this place");
            } else if foreign {
                topic = None;
            } else if words::general(&text)
                || (every && topic.is_none())
                || self.names_place(&clause)
            {
                self.room(&here, v, c);
                topic = None;
            } else if v == Verdict::Good
                && let Some(work) = words::deed(&text)
                && let &[i] = here
                    .iter()
                    .copied()
                    .filter(|i| self.scene.items[*i].work == work)
                    .collect::<Vec<_>>()
                    .as_slice()
            {
                self.tell(&[i], v, c..c + 1, "the only work of its kind in this place");
            } else if let Some((items, at, _)) = &topic
                && c - at <= MIND
            {
                let (items, at) = (items.clone(), *at);
                self.tell(&items, v, at..c + 1, "said right after it was named");
            } else {
                pending = Some((v, c));
            }
        }
    }

    fn verdict(&self, clause: &Clause, text: &str) -> Option<Verdict> {
        let short = clause.tokens.len() <= 3;
        let first = text.split(' ').next().unwrap_or_default();
        if short && clause.turn && !clause.question {
            match first {
                "yes" | "yep" | "yeah" | "yup" | "check" | "tick" => {
                    return Some(Verdict::Good);
                }
                "no" | "nope" | "nah" => return Some(Verdict::Still),
                _ => (),
            }
        }
        if clause.question {
            return None;
        }
        let faults: BTreeSet<usize> = self
            .stages
            .scan
            .within(&clause.tokens)
            .filter(|m| m.kind == Kind::Fault && m.role != Role::Lack)
            .map(|m| m.tokens.start - clause.tokens.start)
            .collect();
        words::verdict(text, |i| faults.contains(&i))
    }

    fn names_place(&self, clause: &Clause) -> bool {
        let inside = |r: &std::ops::Range<usize>| {
            clause.tokens.start <= r.start && r.end <= clause.tokens.end
        };
        let named = &self.stages.places.named;
        named
            .iter()
            .chain(self.stages.scan.rooms.iter().map(|r| &r.0))
            .any(inside)
    }

    fn same_sentence(&self, a: usize, b: usize) -> bool {
        self.stages.clauses[a].sentence == self.stages.clauses[b].sentence
    }

    fn said(&self, clauses: std::ops::Range<usize>) -> Vec<Said> {
        let all = &self.stages.clauses;
        let tokens = all[clauses.start].tokens.start..all[clauses.end - 1].tokens.end;
        let (start, end) = self.stages.span(&tokens);
        let round = |s: f64| (s * 100.0).round() / 100.0;
        vec![Said {
            walk: self.id.to_string(),
            start: round(start),
            end: round(end),
            text: self.stages.said(&tokens).to_string(),
            private: false,
        }]
    }

    fn tell(
        &mut self,
        items: &[usize],
        verdict: Verdict,
        clauses: std::ops::Range<usize>,
        how: &str,
    ) {
        let clause = clauses.end - 1;
        let (said, again) = (self.said(clauses), again(&self.text(clause)));
        for &item in items {
            self.out.push(Evidence {
                item,
                verdict,
                by: match verdict {
                    Verdict::Good if words::certain(&self.text(clause)) => By::Certain,
                    Verdict::Good => By::Words,
                    _ => By::StillWords,
                },
                clause,
                said: said.clone(),
                again,
                why: how.to_string(),
            });
        }
    }

    fn room(&mut self, items: &[usize], verdict: Verdict, clause: usize) {
        // "still warm in here" says nothing of the items.
        let untouched = [
            "nobody",
            "nothing",
            "no one",
            "none",
            "same",
            "never",
            "untouched",
        ];
        if verdict != Verdict::Good && !self.text(clause).split(' ').any(|w| untouched.contains(&w))
        {
            return;
        }
        let said = self.said(clause..clause + 1);
        for &item in items {
            self.out.push(Evidence {
                item,
                verdict,
                by: By::Room,
                clause,
                said: said.clone(),
                again: false,
                why: ROOM.to_string(),
            });
        }
    }
}

pub(super) fn again(text: &str) -> bool {
    let padded = format!(" {text} ");
    [
        "has come back",
        "have come back",
        "is come back",
        "it came back",
        "they came back out",
        "is back",
        "back again",
        "are back",
        "again",
        "reopened",
        "opened up again",
        "fixed it once",
        "did it once",
        "back to how",
    ]
    .iter()
    .any(|w| padded.contains(&format!(" {w} ")))
}

/// The classes of work that a word for all of a kind names: "all the caulking".
fn works_told(text: &str) -> Option<&'static [Work]> {
    text.split(' ').find_map(|w| match w {
        "paint" | "painting" | "paintwork" | "touch" | "scuffs" | "dings" => {
            Some(&[Work::TouchUp][..])
        }
        "caulk" | "caulking" | "grout" | "sealant" | "silicone" => Some(&[Work::Seal][..]),
        "cleaning" | "dust" | "mess" => Some(&[Work::Clean][..]),
        _ => None,
    })
}

/// "number fourteen": the item that is named so.
fn spoken_item(text: &str) -> Option<u64> {
    let all: Vec<&str> = text.split(' ').collect();
    let at = all.iter().position(|w| matches!(*w, "number" | "item"))?;
    let n = |i: usize| {
        let w = all.get(i)?;
        w.parse::<u64>()
            .ok()
            .or_else(|| crate::pipeline::grammar::number(w).map(u64::from))
    };
    let first = n(at + 1)?;
    match n(at + 2) {
        Some(more) if first >= 20 && first % 10 == 0 && more < 10 => Some(first + more),
        _ => Some(first),
    }
}

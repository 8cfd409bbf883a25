//! The second reading: what a walk says of the earlier items, by the pipeline's findings and by the words alone.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;

use crate::lexicon::{Kind, Lexicon, Role};
use crate::list::{List, Said, Standing, Work};
use crate::pipeline::segment::Clause;
use crate::pipeline::trace::Stages;
use crate::transcript::{Reading, Transcript};

use super::matching::{Names, Part, one_to_one};
use super::route::route;
use super::words::{self, Verdict, stems};

/// How well an item must fit the words of a clause to be the one that is spoken of.
const NAMED: f64 = 0.6;
/// Why a fate is told by a word for all of a place.
const ROOM: &str = "only a word for the whole place";
/// How many clauses a matter stays in mind.
const MIND: usize = 3;
/// The most words said of a place that was only passed by.
const SHORT: usize = 30;

/// An item of the list before the walk.
#[derive(Debug)]
pub struct Earlier {
    /// Its number.
    pub number: u64,
    /// Its area, by index in [`Scene::areas`].
    pub area: usize,
    /// Its building part.
    pub part: Option<Part>,
    /// The stems of all words that tell of it.
    pub stems: BTreeSet<String>,
    /// The class of work.
    pub work: Work,
    /// The fault.
    pub fault: Option<String>,
    /// How many.
    pub count: Option<u32>,
    /// It was made good before this walk.
    pub was_good: bool,
}

/// The list and the new walk's own list, side by side.
#[derive(Debug)]
pub struct Scene<'a> {
    /// The paths of the earlier areas.
    pub areas: Vec<Vec<String>>,
    /// Which earlier area each area of the new walk is.
    pub met: Vec<Option<usize>>,
    /// The items before.
    pub items: Vec<Earlier>,
    /// The items of each area.
    pub within: BTreeMap<usize, Vec<usize>>,
    /// What the pipeline made of the new walk.
    pub new: List,
    /// The names of parts and places.
    pub names: &'a Names<'a>,
}

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

impl<'a> Scene<'a> {
    /// Lays the list and the new walk side by side.
    pub fn new(value: &Value, list: &List, new: &List, names: &'a Names<'a>) -> Scene<'a> {
        let mut areas: Vec<Vec<String>> = list.areas.iter().map(|a| a.path.clone()).collect();
        let mut items = Vec::new();
        let mut within: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for (i, item) in list.items.iter().enumerate() {
            let area = areas
                .iter()
                .position(|a| *a == item.area)
                .unwrap_or_else(|| {
                    areas.push(item.area.clone());
                    areas.len() - 1
                });
            // The sentence only repeats these, with a verb of the program's own.
            let mut told: Vec<String> = item.element.iter().cloned().collect();
            told.extend(item.fault.clone());
            told.extend(item.spot.clone());
            told.extend(item.said.iter().map(|s| s.text.clone()));
            let last = value["items"][i]["history"]
                .as_array()
                .and_then(|h| h.last());
            let good = last.is_some_and(|h| h["fate"] == "made-good");
            within.entry(area).or_default().push(i);
            items.push(Earlier {
                number: u64::from(item.number),
                area,
                part: item.element.as_deref().map(|e| names.part(e)),
                stems: stems(&told.join(" ")),
                work: item.work,
                fault: item.fault.clone(),
                count: item.count,
                was_good: good || item.standing == Standing::MadeGood,
            });
        }
        let paths: Vec<Vec<String>> = new.areas.iter().map(|a| a.path.clone()).collect();
        let mut scene = Scene {
            met: names.areas(&paths, &areas),
            areas,
            items,
            within,
            new: new.clone(),
            names,
        };
        scene.by_contents();
        scene
    }

    /// A place of a kind that several have is the one whose items it shares most parts with.
    fn by_contents(&mut self) {
        for i in 0..self.met.len() {
            let path = self.new.areas[i].path.clone();
            if self.met[i].is_some() {
                continue;
            }
            let items = self
                .new
                .items
                .iter()
                .filter(|x| x.area == path)
                .filter_map(|x| x.element.as_deref());
            let marks = self
                .new
                .cleared
                .iter()
                .filter(|x| x.area == path)
                .filter_map(|x| x.element.as_deref());
            let told: Vec<Part> = items.chain(marks).map(|e| self.names.part(e)).collect();
            let mut votes: Vec<(usize, usize)> = (0..self.areas.len())
                .filter(|j| {
                    !self.met.contains(&Some(*j)) && self.names.same_kind(&self.areas[*j], &path)
                })
                .map(|j| {
                    let own = self
                        .of(Some(j))
                        .iter()
                        .filter_map(|x| self.items[*x].part.as_ref());
                    let same = |p: &Part| told.iter().any(|t| self.names.same_part(t, p) >= 0.85);
                    (own.filter(|p| same(p)).count(), j)
                })
                .collect();
            votes.sort_by_key(|v| std::cmp::Reverse(v.0));
            match votes.as_slice() {
                [(n, j), rest @ ..] if *n > 0 && rest.first().is_none_or(|r| r.0 < *n) => {
                    self.met[i] = Some(*j)
                }
                _ => (),
            }
        }
    }

    /// The items of the places that an area lies in or holds.
    fn related(&self, area: Option<usize>) -> Vec<usize> {
        let Some(area) = area else { return Vec::new() };
        let own = &self.areas[area];
        // "Powder room" and "Downstairs / Powder room" may be one.
        let alike = |p: &Vec<String>| p.last() == own.last() && (p.len() == 1 || own.len() == 1);
        let near =
            |p: &Vec<String>| (p.starts_with(own) || own.starts_with(p) || alike(p)) && p != own;
        let all = self.within.iter().filter(|(a, _)| near(&self.areas[**a]));
        all.flat_map(|(_, i)| i.iter().copied()).collect()
    }

    /// The earlier area of a path of the new walk.
    pub fn area(&self, path: &[String]) -> Option<usize> {
        match self.new.areas.iter().position(|a| a.path == path) {
            Some(i) => self.met[i],
            None => self.names.areas(&[path.to_vec()], &self.areas)[0],
        }
    }

    /// Whether the walk came to an earlier area, or to a place inside it.
    pub fn visited(&self, area: usize, passed_by: &BTreeSet<usize>) -> bool {
        if passed_by.contains(&area) {
            return false;
        }
        let path = &self.areas[area];
        self.met.iter().flatten().any(|m| {
            *m == area
                || (path.len() < self.areas[*m].len()
                    && self.areas[*m].starts_with(path)
                    && !self.storey(path))
        })
    }

    fn storey(&self, path: &[String]) -> bool {
        path.len() == 1
            && self
                .areas
                .iter()
                .filter(|a| a.len() > 1 && a[0] == path[0])
                .count()
                > 2
    }

    fn of(&self, area: Option<usize>) -> &[usize] {
        area.and_then(|a| self.within.get(&a))
            .map(Vec::as_slice)
            .unwrap_or_default()
    }

    /// In how many items of the same area a stem stands.
    fn shared(&self, item: usize, stem: &str) -> usize {
        let all = self.of(Some(self.items[item].area));
        all.iter()
            .filter(|i| self.items[**i].stems.contains(stem))
            .count()
    }

    /// How much the words of a text speak of an item beyond its part's name.
    fn wording(&self, item: usize, said: &BTreeSet<String>) -> f64 {
        let own = &self.items[item];
        let named = own.part.as_ref().map(|p| &p.stems);
        let sum: f64 = said
            .intersection(&own.stems)
            .filter(|s| !named.is_some_and(|n| n.contains(*s)))
            .map(|s| match self.shared(item, s) {
                1 => 0.6,
                2 => 0.25,
                _ => 0.1,
            })
            .sum();
        sum.min(0.9)
    }
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

struct Hearing<'h, 'r> {
    scene: &'h Scene<'h>,
    stages: &'h Stages<'r>,
    id: &'h str,
    out: Vec<Evidence>,
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

    fn clause_at(&self, seconds: f64) -> usize {
        let at = self.stages.word_at(seconds + 0.01).unwrap_or(0);
        self.stages
            .clauses
            .partition_point(|c| c.tokens.end <= at)
            .min(self.stages.clauses.len().saturating_sub(1))
    }

    fn text(&self, clause: usize) -> String {
        let clause = self.stages.clauses.get(clause);
        let text = clause.map_or("", |c| self.stages.speech.words(&c.tokens));
        // "barrier's up" is as good as "barrier is up".
        text.replace(" 's ", " is ")
    }

    /// New items of the same part in the same place, one to one.
    fn items(&mut self) {
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
            );
            let still = new.said.iter().any(|s| {
                matches!(
                    words::verdict(&self.text(self.clause_at(s.start)), |_| false),
                    Some(Verdict::Still)
                )
            });
            let area = self.where_said(&new.said, &new.area);
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
        for (score, n, i) in one_to_one(pairs) {
            let new = &scene.new.items[n];
            let clause = new
                .said
                .iter()
                .map(|s| self.clause_at(s.start))
                .max()
                .unwrap_or(0);
            let text = self.text(clause);
            let verdict = match words::verdict(&text, |_| false) {
                Some(p @ Verdict::Partly(..)) => p,
                _ => Verdict::Still,
            };
            self.out.push(Evidence {
                item: i,
                verdict,
                by: By::Item(n),
                clause,
                said: new.said.clone(),
                again: again(&text),
                why: format!("an item of the same part and place ({score:.2})"),
            });
        }
    }

    /// Cleared marks of the same part in the same place; all that fit equally well.
    fn cleared(&mut self) {
        let scene = self.scene;
        for (c, mark) in scene.new.cleared.iter().enumerate() {
            let area = self.where_said(&mark.said, &mark.area);
            let here = scene.of(area);
            let clause = mark
                .said
                .iter()
                .map(|s| self.clause_at(s.start))
                .max()
                .unwrap_or(0);
            let Some(element) = &mark.element else {
                let told = words::verdict(&self.text(clause), |_| false);
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
                if score + 0.15 < best {
                    continue;
                }
                self.out.push(Evidence {
                    item: i,
                    verdict: Verdict::Good,
                    by: By::Cleared(c),
                    clause,
                    said: mark.said.clone(),
                    again: false,
                    why: format!("a cleared mark of the same part and place ({score:.2})"),
                });
            }
        }
    }

    /// The earlier area of what the pipeline found.
    fn where_said(&self, said: &[Said], path: &[String]) -> Option<usize> {
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
                // The only one of its name, in a place not come to so far: the speaker may be there, unannounced.
                if named.is_empty() {
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
            } else if words::general(&text) || (every && topic.is_none()) {
                self.room(&here, v, c);
                topic = None;
            } else if self.names_place(&clause) {
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

fn mending(work: Work) -> bool {
    matches!(
        work,
        Work::Repair | Work::Adjust | Work::Replace | Work::Install | Work::Check
    )
}

fn again(text: &str) -> bool {
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

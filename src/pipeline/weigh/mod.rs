//! Last word on what was found: each part that was named is weighed over all that is known around it, also what the rules made of
//! it, and is the matter of an item, of a cleared mark, or of neither. The weights are fitted on marked walks (`storystick grade
//! --fit`) and stand in `lexicon/weigh.yaml`.

mod features;

use std::collections::{BTreeMap, BTreeSet};

use crate::lexicon::weights::Weights;
use crate::lexicon::{Kind, Lexicon};

use super::events::{Event, Saying, Target};
use super::findings::{self, Finding, Matter, Outcome};
use super::mentions::{self, Thing};
use super::model;
use super::normalize::Speech;
use super::places::Places;
use super::scan::{Scan, Spans};
use super::segment::Clause;

pub use features::{Named, Ruled, View};

/// The least chance with which a part becomes an item or a cleared mark: below, one more would rather be wrong than right for
/// the list as a whole.
const LEAST: f64 = 0.30;
/// The same for what the rules found: they have read the sentence itself.
const LEAST_RULED: f64 = 0.15;
/// The same where what is told makes an item of another part already.
const LEAST_BESIDE: f64 = 0.5;
/// How many clauses what is told of a part may lie from where it is named.
const REACH: usize = 2;

/// How likely, in tenths, as features of a finding's confidence.
const TENTHS: [&str; 10] = [
    "weighed-0",
    "weighed-1",
    "weighed-2",
    "weighed-3",
    "weighed-4",
    "weighed-5",
    "weighed-6",
    "weighed-7",
    "weighed-8",
    "weighed-9",
];

/// How many names before and after are looked at for the same part.
const NAMES: usize = 48;

/// What a part that was named is likely to be.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Chance {
    item: f64,
    cleared: f64,
}

/// What it is taken for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Verdict {
    Item,
    Cleared,
    Neither,
}

impl Chance {
    /// What a part is taken for, of which the rules made this.
    fn verdict(self, ruled: Verdict) -> Verdict {
        let least = |kind| if ruled == kind { LEAST_RULED } else { LEAST };
        let item = self.item >= least(Verdict::Item);
        let cleared = self.cleared >= least(Verdict::Cleared);
        match (item, cleared) {
            (true, true) if self.item >= self.cleared => Verdict::Item,
            (_, true) => Verdict::Cleared,
            (true, false) => Verdict::Item,
            (false, false) => Verdict::Neither,
        }
    }
}

/// Weighs what the rules found: keeps it, takes it for the other kind, passes it over, or finds it of a part that they left out.
/// A lexicon without weights leaves all as it is.
pub fn weigh(
    matters: Vec<(Matter, Vec<Finding>)>,
    speech: &Speech<'_>,
    scan: &Scan,
    clauses: &[Clause],
    places: &Places,
    lexicon: &Lexicon,
) -> Vec<(Matter, Vec<Finding>)> {
    let (wanting, fine) = (&lexicon.data().wanting, &lexicon.data().fine);
    if wanting.is_empty() || fine.is_empty() {
        return matters;
    }
    let named = named(speech, scan, clauses, places, &matters, lexicon);
    let ruled = ruled(&named, &matters);
    let view = View {
        speech,
        scan,
        clauses,
        lexicon,
        matters: &matters,
        named: &named,
        ruled: &ruled,
    };
    let mut scale = Scale::of(&lexicon.models().parts);
    let chances: Vec<Chance> = (0..named.len())
        .map(|i| {
            view.features(i, &mut |f| scale.put(f));
            scale.read()
        })
        .collect();
    let verdicts = chances.iter().enumerate();
    let verdicts = verdicts
        .map(|(i, c)| c.verdict(view.ruling_of(i)))
        .collect();
    let weighing = Weighing {
        at_clause: clauses_of(&matters),
        view,
        places,
        chances,
        verdicts,
    };
    let (judged, more) = weighing.judge();
    apply(matters, judged, more, lexicon)
}

/// What is judged of a finding: its matter, its number there, and the chance of an item that it is kept with; none where it is no
/// finding any more.
type Judged = (usize, usize, Option<f64>);

/// Which matters have an event in a clause: clause and matter, sorted.
fn clauses_of(matters: &[(Matter, Vec<Finding>)]) -> Vec<(usize, usize)> {
    let mut out: Vec<(usize, usize)> = matters
        .iter()
        .enumerate()
        .flat_map(|(k, (m, _))| m.events.iter().map(move |e| (e.clause, k)))
        .collect();
    out.sort_unstable();
    out.dedup();
    out
}

/// The findings as they are judged, with those that were left out.
fn apply(
    mut out: Vec<(Matter, Vec<Finding>)>,
    judged: Vec<Judged>,
    more: Vec<(Matter, Vec<Finding>)>,
    lexicon: &Lexicon,
) -> Vec<(Matter, Vec<Finding>)> {
    for (m, f, chance) in judged {
        let f = &mut out[m].1[f];
        match chance {
            Some(chance) => mark(f, chance, lexicon),
            None => f.outcome = Outcome::Passed("likely not what is meant"),
        }
    }
    // What is passed over here and found of another part is told once.
    let taken: Spans = more
        .iter()
        .flat_map(|(_, f)| f.iter().flat_map(|f| f.said.iter().cloned()))
        .collect();
    for (_, found) in &mut out {
        found.retain(|f| {
            let told = |r| {
                taken
                    .reaching(r)
                    .iter()
                    .any(|t| t.start < r.end && r.start < t.end)
            };
            !matches!(f.outcome, Outcome::Passed(_)) || !f.said.iter().any(told)
        });
    }
    out.extend(more);
    out.sort_by_key(|(m, _)| m.tokens.start);
    out
}

/// Keeps how likely a finding is, for its confidence.
fn mark(f: &mut Finding, chance: f64, lexicon: &Lexicon) {
    f.features.push(TENTHS[((chance * 10.0) as usize).min(9)]);
    let sure = model::chance(&f.features, lexicon);
    f.confidence = (sure.clamp(0.01, 0.99) * 100.0).round() / 100.0;
}

/// Sums the weights of features, each once.
struct Scale<'w> {
    weights: &'w Weights<2>,
    /// Which reading each weight was put on last.
    last: Vec<usize>,
    reading: usize,
    sum: [f64; 2],
}

impl<'w> Scale<'w> {
    fn of(weights: &'w Weights<2>) -> Scale<'w> {
        Scale {
            last: vec![0; weights.len()],
            weights,
            reading: 1,
            sum: [0.0; 2],
        }
    }

    fn put(&mut self, feature: &[&str]) {
        if let Some(i) = self.weights.row(feature)
            && self.last[i] != self.reading
        {
            self.last[i] = self.reading;
            let [item, cleared] = self.weights.of(i);
            self.sum[0] += item;
            self.sum[1] += cleared;
        }
    }

    /// The chances by what was put on; the scale is empty then.
    fn read(&mut self) -> Chance {
        let [item, cleared] = self.sum.map(|sum| 1.0 / (1.0 + (-sum).exp()));
        self.reading += 1;
        self.sum = [0.0; 2];
        Chance { item, cleared }
    }
}

impl View<'_, '_> {
    fn ruling_of(&self, at: usize) -> Verdict {
        match self.verdict(at) {
            "item" => Verdict::Item,
            "cleared" => Verdict::Cleared,
            _ => Verdict::Neither,
        }
    }
}

struct Weighing<'a, 'r> {
    view: View<'a, 'r>,
    places: &'a Places,
    chances: Vec<Chance>,
    verdicts: Vec<Verdict>,
    /// Which matters have an event in a clause, sorted.
    at_clause: Vec<(usize, usize)>,
}

impl Weighing<'_, '_> {
    /// What is judged of the findings, and what is found of parts that were left out.
    fn judge(&self) -> (Vec<Judged>, Vec<(Matter, Vec<Finding>)>) {
        let v = &self.view;
        let by_place: BTreeMap<(usize, usize), usize> = v
            .named
            .iter()
            .enumerate()
            .map(|(i, n)| (place(&n.thing), i))
            .collect();
        // Which parts have what they are taken for already, and which findings go.
        let mut has: BTreeSet<usize> = BTreeSet::new();
        let mut freed: BTreeSet<usize> = BTreeSet::new();
        let mut judged: Vec<Judged> = Vec::new();
        for (m, (_, found)) in v.matters.iter().enumerate() {
            for (n, f) in found.iter().enumerate() {
                let Some(&i) = f.thing.as_ref().and_then(|t| by_place.get(&place(t))) else {
                    continue;
                };
                match (&f.outcome, self.verdicts[i]) {
                    (Outcome::Item { .. }, Verdict::Item) => {
                        has.insert(i);
                        judged.push((m, n, Some(self.chances[i].item)));
                    }
                    (Outcome::Cleared(_), Verdict::Cleared) => {
                        has.insert(i);
                    }
                    (Outcome::Cleared(_), Verdict::Item) if self.only_good(i) => {
                        has.insert(i);
                    }
                    (Outcome::Item { .. } | Outcome::Cleared(_), _) => {
                        freed.insert(m);
                        judged.push((m, n, None));
                    }
                    (Outcome::Passed(_), _) => {}
                }
            }
        }
        let more = self.left_out(&mut has, &freed);
        (judged, more)
    }

    /// What is found of parts that the rules left out or took for something else.
    fn left_out(
        &self,
        has: &mut BTreeSet<usize>,
        freed: &BTreeSet<usize>,
    ) -> Vec<(Matter, Vec<Finding>)> {
        let v = &self.view;
        let mut more: Vec<(Matter, Vec<Finding>)> = Vec::new();
        for (i, c) in self.chances.iter().enumerate() {
            let verdict = self.verdicts[i];
            if verdict == Verdict::Neither || has.contains(&i) || self.told(i, verdict, has) {
                continue;
            }
            let item = verdict == Verdict::Item;
            let (matter, donor) = self.matter(i, item, freed);
            let beside = donor.is_some_and(|m| {
                !freed.contains(&m)
                    && v.matters[m]
                        .1
                        .iter()
                        .any(|f| matches!(f.outcome, Outcome::Item { .. }))
            });
            let here = || matter.events.iter().any(|e| e.clause == v.named[i].clause);
            if item && beside && (c.item < LEAST_BESIDE || !here()) {
                continue;
            }
            // Of what nothing is told that asks for work nobody could say what is to be done.
            if item && (matter.events.is_empty() || self.only_good(i)) {
                continue;
            }
            let mut found = findings::forced(&matter, item, v.speech, v.clauses, v.scan, v.lexicon);
            for f in &mut found {
                f.why.push(format!(
                    "weighed: {:.0} % likely the matter of what is said here",
                    100.0 * if item { c.item } else { c.cleared }
                ));
                mark(f, c.item, v.lexicon);
            }
            has.insert(i);
            more.push((matter, found));
        }
        more
    }

    /// The rules heard of a part only what is good: "the tile isn't cracked" is no item, however it looks from around.
    fn only_good(&self, i: usize) -> bool {
        let v = &self.view;
        let of = &v.ruled[i];
        of.as_ref().is_some_and(|r| {
            let events = &v.matters[r.matter].0.events;
            !events.is_empty() && !events.iter().any(|e| findings::tells(&e.saying, true))
        })
    }

    /// The same part, named close by, has it already.
    fn told(&self, i: usize, verdict: Verdict, has: &BTreeSet<usize>) -> bool {
        let n = &self.view.named[i];
        // Names beyond a few dozen are clauses away.
        has.range(i.saturating_sub(NAMES)..i + NAMES).any(|o| {
            let other = &self.view.named[*o];
            other.thing.same(&n.thing)
                && self.verdicts[*o] == verdict
                && other.clause.abs_diff(n.clause) <= REACH
        })
    }

    /// The matter of a part that the rules gave to no part or to another: what is told of it.
    /// Also the matter that this was told of, where it is another's.
    fn matter(&self, i: usize, item: bool, freed: &BTreeSet<usize>) -> (Matter, Option<usize>) {
        let v = &self.view;
        let Named { thing, clause } = &v.named[i];
        let told = |e: &Event| findings::tells(&e.saying, item);
        let own = v.ruled[i].map(|r| r.matter);
        let near = |e: &Event| e.clause.abs_diff(*clause) <= REACH;
        let gap = |m: &Matter| {
            m.events
                .iter()
                .filter(|e| told(e) && near(e))
                .map(|e| e.tokens.start.abs_diff(thing.tokens.start))
                .min()
        };
        let donor = own
            .filter(|m| v.matters[*m].0.events.iter().any(told))
            .or_else(|| {
                let (from, to) = (clause.saturating_sub(REACH), clause + REACH);
                let at = self.at_clause.partition_point(|(c, _)| *c < from);
                self.at_clause[at..]
                    .iter()
                    .take_while(|(c, _)| *c <= to)
                    .filter_map(|&(_, k)| Some((!freed.contains(&k), gap(&v.matters[k].0)?, k)))
                    .min()
                    .map(|(_, _, k)| k)
            });
        let mut events: Vec<Event> = match donor {
            Some(k) => v.matters[k]
                .0
                .events
                .iter()
                .filter(|e| told(e) && (Some(k) == own || near(e)))
                .cloned()
                .collect(),
            None if item => self.spoken(*clause),
            None => Vec::new(),
        };
        for e in &mut events {
            e.target = Target::Things(vec![thing.clone()]);
        }
        let all = || events.iter().map(|e| &e.tokens).chain([&thing.phrase]);
        let start = all().map(|r| r.start).min().unwrap_or(thing.phrase.start);
        let end = all().map(|r| r.end).max().unwrap_or(thing.phrase.end);
        let (first, last) = events
            .iter()
            .map(|e| e.clause)
            .fold((*clause, *clause), |(a, b), c| (a.min(c), b.max(c)));
        let matter = Matter {
            things: vec![thing.clone()],
            place: match donor.filter(|k| Some(*k) == own) {
                Some(k) => v.matters[k].0.place,
                None => self.places.of(*clause, v.clauses),
            },
            events,
            tokens: start..end.max(v.clauses[*clause].tokens.end.min(end + 12)),
            first,
            last,
            via: None,
        };
        (matter, donor.filter(|k| Some(*k) != own))
    }

    /// The faults and works that a clause tells, as the lexicon knows them.
    fn spoken(&self, clause: usize) -> Vec<Event> {
        let v = &self.view;
        v.scan
            .within(&v.clauses[clause].tokens)
            .filter_map(|m| {
                let saying = match m.kind {
                    // A fault of some parts only is left to the rules, which know of which.
                    Kind::Fault if v.lexicon.fault(m.entry).only.is_empty() => {
                        Saying::Fault(m.entry)
                    }
                    Kind::Work => Saying::Needed(m.entry),
                    _ => return None,
                };
                Some(Event {
                    saying,
                    target: Target::Topic,
                    tokens: m.tokens.clone(),
                    clause,
                    via: None,
                })
            })
            .collect()
    }
}

/// The parts that a walk names, in order: those of the clauses, and those that only the rules took for parts.
pub fn named(
    speech: &Speech<'_>,
    scan: &Scan,
    clauses: &[Clause],
    places: &Places,
    matters: &[(Matter, Vec<Finding>)],
    lexicon: &Lexicon,
) -> Vec<Named> {
    let spans: Spans = places.named.iter().cloned().collect();
    let mut out: Vec<Named> = Vec::new();
    for (clause, c) in clauses.iter().enumerate() {
        let things = mentions::things(&c.tokens, speech, scan, lexicon, spans.reaching(&c.tokens));
        out.extend(things.into_iter().map(|thing| Named { thing, clause }));
    }
    let found = matters.iter().flat_map(|(m, f)| {
        m.things
            .iter()
            .chain(f.iter().filter_map(|f| f.thing.as_ref()))
    });
    let mut seen: std::collections::BTreeSet<(usize, usize)> =
        out.iter().map(|n| place(&n.thing)).collect();
    for thing in found {
        if seen.insert(place(thing)) {
            let clause = clauses
                .partition_point(|c| c.tokens.end <= thing.tokens.start)
                .min(clauses.len() - 1);
            let thing = thing.clone();
            out.push(Named { thing, clause });
        }
    }
    out.sort_by_key(|n| place(&n.thing));
    out
}

/// What the rules made of each part, by the place of its words: its first item, else its first finding, else its matter.
pub fn ruled(named: &[Named], matters: &[(Matter, Vec<Finding>)]) -> Vec<Option<Ruled>> {
    let mut out: BTreeMap<(usize, usize), Ruled> = BTreeMap::new();
    let rank = |r: &Ruled| {
        r.finding
            .map_or(3, |f| match matters[r.matter].1[f].outcome {
                super::findings::Outcome::Item { .. } => 0,
                super::findings::Outcome::Cleared(_) => 1,
                super::findings::Outcome::Passed(_) => 2,
            })
    };
    for (matter, (m, found)) in matters.iter().enumerate() {
        let of_findings = found
            .iter()
            .enumerate()
            .filter_map(|(f, x)| Some((x.thing.as_ref()?, Some(f))));
        let of_matter = m.things.iter().map(|t| (t, None));
        for (thing, finding) in of_findings.chain(of_matter) {
            let new = Ruled { matter, finding };
            out.entry(place(thing))
                .and_modify(|old| {
                    if rank(&new) < rank(old) {
                        *old = new;
                    }
                })
                .or_insert(new);
        }
    }
    let of = |n: &Named| out.get(&place(&n.thing)).copied();
    named.iter().map(of).collect()
}

fn place(thing: &Thing) -> (usize, usize) {
    (thing.tokens.start, thing.tokens.end)
}

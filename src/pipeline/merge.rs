//! Stage 8: findings become the list's items and marks. The same matter said twice in one area is one, with two places
//! in the recording; two different matters stay two.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use sha2::{Digest, Sha256};

use crate::lexicon::Lexicon;
use crate::list::{Area, AreaState, Cleared, Item, List, PassedOver, Said, Standing, Visit, Work};

/// How alike two wordings must be to be one matter, where their spots differ.
const ALIKE: f64 = 0.9;

/// Folds what was said twice, in the order first said. Doing it twice changes nothing: an item that took another in may be near
/// enough to a third by that, so it goes on until none is.
pub fn merge_items(mut items: Vec<Item>) -> Vec<Item> {
    loop {
        let before = items.len();
        items = merged(items);
        if items.len() == before {
            return items;
        }
    }
}

fn merged(items: Vec<Item>) -> Vec<Item> {
    let mut out: Vec<Item> = Vec::with_capacity(items.len());
    let mut until: Vec<f64> = Vec::with_capacity(items.len());
    let mut by_key: BTreeMap<(Vec<String>, Option<String>, Work), Vec<usize>> = BTreeMap::new();
    for item in items {
        let key = (item.area.clone(), item.element.clone(), item.work);
        let earlier = by_key
            .get(&key)
            .and_then(|at| at.iter().copied().find(|i| one_matter(&out[*i], &item)));
        match earlier {
            Some(i) => {
                let mut item = item;
                let said = std::mem::take(&mut item.said);
                join_later(&mut out[i].said, said, &mut until[i]);
                absorb(&mut out[i], item);
            }
            None => {
                until.push(latest(&item.said));
                by_key.entry(key).or_default().push(out.len());
                out.push(item);
            }
        }
    }
    out
}

/// Items by the time until which they were told, and their place.
type ByTime = BTreeSet<(u64, usize)>;

/// A fault told first and the work for it named later are one: "there's a stain … so that gets cut out and patched".
pub fn fold_bare(items: Vec<Item>) -> Vec<Item> {
    let named = |i: &Item| i.why.iter().any(|w| w.starts_with("work: works/"));
    let same = |a: &Item, b: &Item| {
        a.area == b.area && a.element == b.element && a.element.is_some() && near_in_time(a, b)
    };
    let mut out: Vec<Item> = Vec::with_capacity(items.len());
    // Where the items of a part in a place stand, by the time until which they were told: only they can be meant.
    let mut of_part: BTreeMap<(Vec<String>, Option<String>), ByTime> = BTreeMap::new();
    for item in items {
        let key = (item.area.clone(), item.element.clone());
        let deed = named(&item) && item.work != crate::list::Work::Clean;
        let here = of_part.entry(key).or_default();
        let meant = |i: &usize| {
            let o = &out[*i];
            near_in_time(o, &item)
                && !named(o)
                && o.work != item.work
                && o.work != crate::list::Work::Clean
                && o.standing == Standing::Outstanding
                && same(o, &item)
        };
        let start = item.said.first().filter(|_| deed).map(|s| s.start);
        let earlier = start.and_then(|start| {
            let window = (time(start - SOON), 0)..=(time(start + SOON), usize::MAX);
            here.range(window).map(|(_, i)| *i).filter(meant).max()
        });
        match earlier {
            Some(i) => {
                here.remove(&(told_until(&out[i]), i));
                let bare = std::mem::replace(&mut out[i], item);
                let said = std::mem::replace(&mut out[i].said, bare.said.clone());
                absorb(
                    &mut out[i],
                    Item {
                        said: Vec::new(),
                        ..bare
                    },
                );
                join_said(&mut out[i].said, said);
                here.insert((told_until(&out[i]), i));
            }
            None => {
                here.insert((told_until(&item), out.len()));
                out.push(item);
            }
        }
    }
    out
}

/// Within how many seconds work is named for a fault.
const SOON: f64 = 30.0;

/// A second as a number in the same order; none is before the first.
fn time(second: f64) -> u64 {
    // The bits of numbers that are not below nought are in their order (IEEE 754).
    (second.max(0.0) + 0.0).to_bits()
}

/// When the last words of an item end.
fn told_until(item: &Item) -> u64 {
    item.said.last().map_or(0, |s| time(s.end))
}

/// Told within half a minute.
fn near_in_time(a: &Item, b: &Item) -> bool {
    let (Some(x), Some(y)) = (a.said.last(), b.said.first()) else {
        return false;
    };
    x.walk == y.walk && (y.start - x.end).abs() < SOON
}

fn one_matter(a: &Item, b: &Item) -> bool {
    match (&a.spot, &b.spot) {
        (Some(x), Some(y)) => {
            strsim::jaro_winkler(&x.to_lowercase(), &y.to_lowercase()) > ALIKE
                || a.fault == b.fault && near(&a.said, &b.said)
        }
        _ => true,
    }
}

/// Said within a few seconds of each other: the spots are then two words for one.
fn near(a: &[Said], b: &[Said]) -> bool {
    a.iter().any(|x| {
        b.iter()
            .any(|y| x.walk == y.walk && (x.start - y.end).abs().min((y.start - x.end).abs()) < 6.0)
    })
}

fn absorb(into: &mut Item, more: Item) {
    if !more.said.is_empty() {
        join_said(&mut into.said, more.said);
    }
    into.spot = into.spot.take().or(more.spot);
    into.fault = into.fault.take().or(more.fault);
    into.count = into.count.or(more.count);
    into.words.push(' ');
    into.words.push_str(&more.words);
    into.measure = into.measure.take().or(more.measure);
    into.urgent |= more.urgent;
    into.by = into.by.take().or(more.by);
    into.hazard = into.hazard.or(more.hazard);
    into.follow_up = into.follow_up.or(more.follow_up);
    into.promised_by = into.promised_by.take().or(more.promised_by);
    if more.standing == Standing::Outstanding {
        into.standing = Standing::Outstanding;
    }
    into.confidence = into.confidence.max(more.confidence);
    for w in more.why {
        if !into.why.contains(&w) {
            into.why.push(w);
        }
    }
}

fn join_said(into: &mut Vec<Said>, more: Vec<Said>) {
    let mut latest = latest(into);
    join_later(into, more, &mut latest);
}

/// When the last of what was said began.
fn latest(said: &[Said]) -> f64 {
    said.iter().map(|s| s.start).fold(f64::MIN, f64::max)
}

/// Mostly what is added was said later than all before: then nothing needs to be compared.
fn join_later(into: &mut Vec<Said>, more: Vec<Said>, latest: &mut f64) {
    for s in more {
        if s.start > *latest || !into.contains(&s) {
            *latest = latest.max(s.start);
            into.push(s);
        }
    }
}

/// Folds marks of the same part in the same area.
pub fn merge_cleared(marks: Vec<Cleared>) -> Vec<Cleared> {
    let mut out: Vec<Cleared> = Vec::with_capacity(marks.len());
    let mut until: Vec<f64> = Vec::with_capacity(marks.len());
    let mut by_key: BTreeMap<(Vec<String>, Option<String>), usize> = BTreeMap::new();
    for mark in marks {
        let key = (mark.area.clone(), mark.element.clone());
        match by_key.get(&key) {
            Some(i) => {
                let into = &mut out[*i];
                join_later(&mut into.said, mark.said, &mut until[*i]);
                into.confidence = into.confidence.max(mark.confidence);
                if mark.kind == crate::list::ClearedKind::MadeGood {
                    into.kind = mark.kind;
                }
                for w in mark.why {
                    if !into.why.contains(&w) {
                        into.why.push(w);
                    }
                }
            }
            None => {
                until.push(latest(&mark.said));
                by_key.insert(key, out.len());
                out.push(mark);
            }
        }
    }
    out
}

/// A short id from what identifies a thing: stable under re-reading, lengthened where two would meet.
pub fn short_id(parts: &[&str], taken: &mut std::collections::BTreeSet<String>) -> String {
    const LETTERS: &[u8] = b"abcdefghjkmnpqrstuvwxyz23456789";
    let mut hasher = Sha256::new();
    for p in parts {
        hasher.update(p.as_bytes());
        hasher.update([0]);
    }
    let digest = hasher.finalize();
    let mut id = String::new();
    for (i, b) in digest.iter().enumerate() {
        // The first is a letter, so that an id is never taken for a number.
        let letters = if i == 0 { &LETTERS[..23] } else { LETTERS };
        id.push(char::from(letters[usize::from(*b) % letters.len()]));
        if id.len() >= 4 && !taken.contains(&id) {
            break;
        }
    }
    taken.insert(id.clone());
    id
}

/// Puts the words of each item, and the items by their first words, in the order said; what stood first stays so among equals.
fn in_order(list: &mut List) {
    let walks: BTreeMap<&str, usize> = list
        .walks
        .iter()
        .enumerate()
        .map(|(i, w)| (w.id.as_str(), i))
        .collect();
    let earlier = |a: &Said, b: &Said| {
        let walk = |s: &Said| walks.get(s.walk.as_str());
        walk(a).cmp(&walk(b)).then(a.start.total_cmp(&b.start))
    };
    for item in &mut list.items {
        item.said.sort_by(earlier);
    }
    list.items
        .sort_by(|a, b| match (a.said.first(), b.said.first()) {
            (Some(a), Some(b)) => earlier(a, b),
            (a, b) => b.is_some().cmp(&a.is_some()),
        });
}

/// Gives ids and numbers, and tells how each area stands.
pub fn finish(list: &mut List, lexicon: &Lexicon) {
    let _ = lexicon;
    list.items = merge_items(fold_bare(std::mem::take(&mut list.items)));
    in_order(list);
    list.cleared = merge_cleared(std::mem::take(&mut list.cleared));
    let mut taken = std::collections::BTreeSet::new();
    for (i, item) in list.items.iter_mut().enumerate() {
        let first = item
            .said
            .first()
            .map_or(String::new(), |s| format!("{} {:.1}", s.walk, s.start));
        item.id = short_id(
            &[
                "item",
                &item.area.join("/"),
                item.element.as_deref().unwrap_or(""),
                item.work.word(),
                &first,
            ],
            &mut taken,
        );
        item.number = u32::try_from(i + 1).unwrap_or(u32::MAX);
    }
    for mark in &mut list.cleared {
        let first = mark
            .said
            .first()
            .map_or(String::new(), |s| format!("{} {:.1}", s.walk, s.start));
        mark.id = short_id(
            &[
                "cleared",
                &mark.area.join("/"),
                mark.element.as_deref().unwrap_or(""),
                &first,
            ],
            &mut taken,
        );
    }
    let open: BTreeSet<&[String]> = list
        .items
        .iter()
        .filter(|i| i.standing != Standing::MadeGood)
        .map(|i| i.area.as_slice())
        .collect();
    let clear: BTreeSet<&[String]> = list.cleared.iter().map(|c| c.area.as_slice()).collect();
    for area in &mut list.areas {
        let path = area.path.as_slice();
        area.state = if open.contains(path) {
            AreaState::Outstanding
        } else if clear.contains(path) {
            AreaState::Clear
        } else {
            AreaState::Unjudged
        };
    }
}

/// The areas of several walks as one: the same path is the same area.
pub struct Areas<'l> {
    areas: &'l mut Vec<Area>,
    by_path: HashMap<Vec<String>, usize>,
}

impl Areas<'_> {
    /// The areas of a list.
    pub fn of(list: &mut List) -> Areas<'_> {
        let areas = &mut list.areas;
        let path = |(i, a): (usize, &Area)| (a.path.clone(), i);
        Areas {
            by_path: areas.iter().enumerate().map(path).collect(),
            areas,
        }
    }

    /// Puts a visit to an area; one that is not known yet is added.
    pub fn visit(&mut self, path: &[String], kind: Option<String>, visit: Visit) {
        if let Some(at) = self.by_path.get(path) {
            self.areas[*at].visits.push(visit);
            return;
        }
        self.by_path.insert(path.to_vec(), self.areas.len());
        self.areas.push(Area {
            id: format!("a{}", self.areas.len() + 1),
            path: path.to_vec(),
            kind,
            state: AreaState::Unjudged,
            visits: vec![visit],
        });
    }
}

/// Passed-over stretches that an item or a mark covers are none.
pub fn prune_passed(
    passed: Vec<PassedOver>,
    items: &[Item],
    cleared: &[Cleared],
) -> Vec<PassedOver> {
    // Of each walk the stretches by their start, each with the latest end so far.
    let mut of_walk: BTreeMap<&str, Vec<(f64, f64)>> = BTreeMap::new();
    let said = items.iter().flat_map(|i| &i.said);
    for s in said.chain(cleared.iter().flat_map(|c| &c.said)) {
        of_walk.entry(&s.walk).or_default().push((s.start, s.end));
    }
    for all in of_walk.values_mut() {
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut latest = f64::MIN;
        for (_, end) in all {
            latest = latest.max(*end);
            *end = latest;
        }
    }
    let covered = |p: &PassedOver| {
        of_walk.get(p.said.walk.as_str()).is_some_and(|all| {
            let n = all.partition_point(|(start, _)| *start <= p.said.start);
            n > 0 && p.said.end <= all[n - 1].1
        })
    };
    passed.into_iter().filter(|p| !covered(p)).collect()
}

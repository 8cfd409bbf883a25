//! A list held against a known building: areas get their known names, and what was not looked at is told.

use std::collections::BTreeSet;

use super::{Building, id_of};
use crate::lexicon::Lexicon;
use crate::lexicon::words::fold;
use crate::list::{Area, AreaState, HouseCheck, List, NotSpoken};

/// Which parts were named while the speaker was in a place: the place's path, the part's entry.
pub type Heard = BTreeSet<(Vec<String>, u16)>;

impl Building {
    /// Names the list's areas as the building does, and tells what was not looked at. `heard` is what was spoken of, by the
    /// paths that the list has still.
    pub fn hold(&self, list: &mut List, heard: &Heard, lexicon: &Lexicon) {
        let matched = self.matched(list);
        let new_path = |path: &[String]| self.renamed(path, list, &matched);
        let mut spoken: BTreeSet<(usize, u16)> = BTreeSet::new();
        let known = |path: &[String]| self.areas.iter().position(|a| a.path == path);
        for (path, part) in heard {
            spoken.extend(known(&new_path(path)).map(|a| (a, *part)));
        }
        let areas: Vec<Vec<String>> = list.areas.iter().map(|a| new_path(&a.path)).collect();
        let items: Vec<Vec<String>> = list.items.iter().map(|i| new_path(&i.area)).collect();
        let cleared: Vec<Vec<String>> = list.cleared.iter().map(|c| new_path(&c.area)).collect();
        for (item, path) in list.items.iter_mut().zip(items) {
            let ids = item.why.iter();
            let ids = ids.filter_map(|w| w.strip_prefix("element: elements/"));
            let parts = ids.filter_map(|id| lexicon.element_by_id(id));
            spoken.extend(parts.filter_map(|p| Some((known(&path)?, p))));
            item.area = path;
        }
        for (c, path) in list.cleared.iter_mut().zip(cleared) {
            c.area = path;
        }
        for (area, path) in list.areas.iter_mut().zip(areas) {
            area.path = path;
        }
        join(&mut list.areas);
        let visited = |a: usize| list.areas.iter().any(|l| l.path == self.areas[a].path);
        let mut check = HouseCheck {
            name: self.name.clone(),
            not_visited: Vec::new(),
            not_spoken: Vec::new(),
        };
        for (i, area) in self.areas.iter().enumerate() {
            if !visited(i) {
                check.not_visited.push(area.path.clone());
                continue;
            }
            let silent: Vec<String> = area
                .elements
                .iter()
                .filter(|(_, parts)| !parts.iter().any(|p| spoken.contains(&(i, *p))))
                .map(|(word, _)| word.clone())
                .collect();
            if !silent.is_empty() {
                check.not_spoken.push(NotSpoken {
                    area: area.path.clone(),
                    elements: silent,
                });
            }
        }
        list.house = Some(check);
    }

    /// For each area of the list the known one that it is.
    fn matched(&self, list: &List) -> Vec<Option<usize>> {
        let by_name: Vec<Option<usize>> = list
            .areas
            .iter()
            .map(|a| {
                let own = (0..self.areas.len()).find(|i| a.kind.as_deref() == Some(&id_of(*i)));
                own.or_else(|| self.by_name(&a.path))
            })
            .collect();
        // A kind that both have once is the same room, whatever it is called.
        let once = |kind: &str| {
            let mut free = (0..self.areas.len())
                .filter(|i| self.areas[*i].kinds.iter().any(|k| k == kind))
                .filter(|i| !by_name.contains(&Some(*i)));
            let one = free.next()?;
            free.next().is_none().then_some(one)
        };
        let unmatched = |kind: &str| {
            let of_kind = list.areas.iter().zip(&by_name);
            of_kind
                .filter(|(a, m)| m.is_none() && a.kind.as_deref() == Some(kind))
                .count()
        };
        list.areas
            .iter()
            .zip(&by_name)
            .map(|(a, m)| {
                m.or_else(|| {
                    let kind = a.kind.as_deref()?;
                    once(kind).filter(|_| unmatched(kind) == 1)
                })
            })
            .collect()
    }

    /// The one known area that has this path, or else this last name; of several the one whose outer places agree best.
    fn by_name(&self, path: &[String]) -> Option<usize> {
        let same = |a: &[String]| {
            a.len() == path.len() && a.iter().zip(path).all(|(x, y)| fold(x) == fold(y))
        };
        if let Some(i) = self.areas.iter().position(|a| same(&a.path)) {
            return Some(i);
        }
        let last = fold(path.last()?);
        let agree = |i: usize| {
            let outer = &self.areas[i].path[..self.areas[i].path.len() - 1];
            let has = |p: &&String| outer.iter().any(|o| fold(o) == fold(p));
            path.iter().filter(has).count()
        };
        let mut all: Vec<(usize, usize)> = (0..self.areas.len())
            .filter(|i| self.areas[*i].names().any(|n| fold(n) == last))
            .map(|i| (agree(i), i))
            .collect();
        all.sort_by_key(|(n, i)| (std::cmp::Reverse(*n), *i));
        match all.as_slice() {
            [(_, i)] => Some(*i),
            [(n, i), (m, _), ..] if n > m => Some(*i),
            _ => None,
        }
    }

    /// The path as the building names it: its own, or its parent's where only that is known.
    fn renamed(&self, path: &[String], list: &List, matched: &[Option<usize>]) -> Vec<String> {
        for keep in (1..=path.len()).rev() {
            let (outer, inner) = path.split_at(keep);
            let at = list.areas.iter().position(|a| a.path == outer);
            let known = match at {
                Some(i) => matched[i],
                None => self.by_name(outer),
            };
            if let Some(k) = known {
                return [self.areas[k].path.as_slice(), inner].concat();
            }
        }
        path.to_vec()
    }
}

/// Areas that came to have one path are one: visited at both times, open where either was.
fn join(areas: &mut Vec<Area>) {
    let mut out: Vec<Area> = Vec::with_capacity(areas.len());
    for area in areas.drain(..) {
        let Some(same) = out.iter_mut().find(|o| o.path == area.path) else {
            out.push(area);
            continue;
        };
        same.visits.extend(area.visits);
        let grave = |s: AreaState| match s {
            AreaState::Outstanding => 2,
            AreaState::Clear => 1,
            AreaState::Unjudged => 0,
        };
        if grave(area.state) > grave(same.state) {
            same.state = area.state;
        }
    }
    for area in &mut out {
        area.visits
            .sort_by(|a, b| a.walk.cmp(&b.walk).then(a.start.total_cmp(&b.start)));
    }
    *areas = out;
}

//! A piece told by its last word alone, beside the part that it belongs to: the "head" of a smoke detector is a detector head.

use crate::lexicon::{Kind, Lexicon};

use super::super::normalize::Speech;
use super::super::scan::Scan;
use super::super::segment::{self, Clause};
use super::Finding;

/// How many clauses before its own the part may be named in.
const BACK: usize = 2;

/// Names the things that the lexicon does not hold by the nearest part with which they are one that it holds.
pub fn name(
    found: &mut [Finding],
    speech: &Speech<'_>,
    clauses: &[Clause],
    scan: &Scan,
    lexicon: &Lexicon,
) {
    for f in found {
        let Some(thing) = f.thing.as_mut().filter(|t| t.entry.is_none()) else {
            continue;
        };
        let at = segment::about(clauses, &thing.tokens);
        let Some(last) = clauses[at.clone()].last() else {
            continue;
        };
        let first = at.start.saturating_sub(BACK);
        let around = clauses[first].tokens.start..last.tokens.end;
        let mut hosts: Vec<(usize, &str)> = scan
            .within(&around)
            .filter(|m| m.kind == Kind::Element)
            .map(|m| {
                let away = m.tokens.start.abs_diff(thing.tokens.start);
                (away, speech.words(&m.tokens))
            })
            .collect();
        hosts.sort_unstable();
        let compound = hosts.iter().find_map(|(_, host)| {
            let bare = host.rsplit(' ').next().unwrap_or(*host);
            let own = thing.name.rsplit(' ').next().unwrap_or_default();
            [*host, bare].into_iter().find_map(|h| {
                let name = format!("{h} {own}");
                let entry = lexicon
                    .meanings(&name)
                    .find(|s| s.kind == Kind::Element)?
                    .entry;
                Some((name, entry))
            })
        });
        if let Some((name, entry)) = compound {
            f.why.push(format!(
                "element: elements/{}, by the part it belongs to",
                lexicon.element(entry).id
            ));
            thing.name = name;
            thing.entry = Some(entry);
        }
    }
}

//! What is said without the name of its item, told by the kind of fault: "that clears now" speaks of the door that drags.

use super::hearing::NAMED;
use super::named::Fit;
use super::scene::Scene;
use super::track::{Said, Track};
use super::words::Heard;

/// Gives a verdict that names no part to the only item of its place whose fault is of its kind, where it fits no other.
pub(super) fn take(
    scene: &Scene<'_>,
    heard: &[Heard<'_>],
    clauses: &mut [Said],
    mut track: Track,
) -> Track {
    for c in 0..clauses.len() {
        let said = &clauses[c];
        if said.part || said.whole || !said.judged {
            continue;
        }
        let families = heard[c].families();
        let kin = |i: &usize| !scene.items[*i].families.is_disjoint(&families);
        if families.is_empty()
            || track.item[c]
                .as_ref()
                .is_some_and(|i| kin(i) || said.items.contains_key(i))
        {
            continue;
        }
        let near = |i: &usize| scene.items[*i].families.intersection(&families).count();
        let here = scene.of(track.area[c]);
        let most = here.iter().map(near).max().unwrap_or(0);
        let mut all = here.iter().copied().filter(|i| most > 0 && near(i) == most);
        let (Some(i), None) = (all.next(), all.next()) else {
            continue;
        };
        track.item[c] = Some(i);
        let fit = Fit {
            part: 0.0,
            all: NAMED,
            tells: NAMED,
        };
        clauses[c].items.put(i, fit);
    }
    track
}

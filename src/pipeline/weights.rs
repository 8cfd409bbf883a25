//! The weights of named features, found by the pieces of a feature's name without putting them together.

use crate::lexicon::source::Weight;

/// Empty slots for each taken one, at least: most features have no weight, and an empty slot says so at once.
const ROOM: usize = 4;

/// Weights of one or several models by the features' names.
pub struct Weights<'w, const N: usize> {
    /// Of each slot the row, plus one; nought where it is empty.
    slots: Vec<u16>,
    rows: Vec<(&'w str, [f64; N])>,
}

impl<'w, const N: usize> Weights<'w, N> {
    /// Those of some models, each sorted by name. Rows are numbered in the order of the models, then of the names.
    pub fn new(models: [&'w [Weight]; N]) -> Weights<'w, N> {
        let most: usize = models.iter().map(|m| m.len()).sum();
        let mut out = Weights {
            slots: vec![0; (most * ROOM).next_power_of_two()],
            rows: Vec::with_capacity(most),
        };
        for (n, w) in models
            .iter()
            .enumerate()
            .flat_map(|(n, m)| m.iter().map(move |w| (n, w)))
        {
            let row = match out.look(&[&w.id]) {
                Ok(row) => row,
                Err(slot) => {
                    // Beyond that many a model is none that could be read.
                    let Ok(next) = u16::try_from(out.rows.len() + 1) else {
                        break;
                    };
                    out.slots[slot] = next;
                    out.rows.push((&w.id, [0.0; N]));
                    out.rows.len() - 1
                }
            };
            out.rows[row].1[n] = w.weight;
        }
        out
    }

    /// The row of a feature, by the pieces of its name.
    pub fn row(&self, pieces: &[&str]) -> Option<usize> {
        self.look(pieces).ok()
    }

    /// The weights of a row.
    pub fn of(&self, row: usize) -> [f64; N] {
        self.rows[row].1
    }

    /// How many rows there are.
    pub fn len(&self) -> usize {
        self.rows.len()
    }

    /// The row of a name, or the slot in which it would be.
    fn look(&self, pieces: &[&str]) -> Result<usize, usize> {
        let mask = self.slots.len() - 1;
        let mut slot = hash(pieces) & mask;
        loop {
            match self.slots[slot] {
                0 => return Err(slot),
                n if is(self.rows[usize::from(n) - 1].0, pieces) => return Ok(usize::from(n) - 1),
                _ => slot = (slot + 1) & mask,
            }
        }
    }
}

/// Whether the pieces together are the name.
fn is(mut name: &str, pieces: &[&str]) -> bool {
    pieces.iter().all(|p| match name.strip_prefix(p) {
        Some(rest) => {
            name = rest;
            true
        }
        None => false,
    }) && name.is_empty()
}

/// FNV-1a (Fowler, Noll, Vo) of the bytes of all pieces, its upper half folded in.
fn hash(pieces: &[&str]) -> usize {
    let mut h: u64 = 0xcbf2_9ce4_8422_2325;
    for b in pieces.iter().flat_map(|p| p.bytes()) {
        h = (h ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3);
    }
    (h ^ (h >> 32)) as usize
}

#[cfg(test)]
mod tests {
    use super::*;

    fn model(rows: &[(&str, f64)]) -> Vec<Weight> {
        let row = |(id, weight): &(&str, f64)| Weight {
            id: (*id).to_string(),
            weight: *weight,
            note: None,
        };
        rows.iter().map(row).collect()
    }

    #[test]
    fn a_feature_is_found_however_its_name_is_cut() {
        let (a, b) = (
            model(&[("clause-long", 1.5), ("early", 0.5)]),
            model(&[("early", -2.0)]),
        );
        let weights = Weights::new([&a, &b]);
        let of = |pieces: &[&str]| weights.row(pieces).map(|r| weights.of(r));
        assert_eq!(of(&["clause-", "long"]), Some([1.5, 0.0]));
        assert_eq!(of(&["early"]), Some([0.5, -2.0]));
        assert_eq!(of(&["ea", "", "r", "ly"]), Some([0.5, -2.0]));
        for none in [&["clause-"][..], &["early", "-"], &["e"], &[]] {
            assert_eq!(of(none), None, "{none:?}");
        }
        assert_eq!(weights.len(), 2);
    }

    /// A table of thousands of names finds each and no other.
    #[test]
    fn all_of_many_are_found() {
        let names: Vec<String> = (0..5000).map(|i| format!("f{i}")).collect();
        let rows: Vec<(&str, f64)> = names.iter().map(|n| (n.as_str(), 1.0)).collect();
        let all = model(&rows);
        let weights = Weights::new([&all]);
        let found = (0..9000).filter(|i| weights.row(&["f", &i.to_string()]).is_some());
        assert_eq!(found.count(), 5000);
    }
}

//! The weights of named features, found by the pieces of a feature's name without putting them together.

use super::data::Data;
use super::source::Weight;

/// Empty slots for each taken one, at least: most features have no weight, and an empty slot says so at once.
const ROOM: usize = 4;

/// Weights of one or several models by the features' names.
#[derive(Debug)]
pub struct Weights<const N: usize> {
    /// Of each slot the row, plus one; nought where it is empty.
    slots: Vec<u16>,
    /// By the hash of the name: of 64 bits, so that no two of some thousand names share one.
    rows: Vec<(u64, [f64; N])>,
}

/// The weights of all models of a lexicon.
#[derive(Debug)]
pub struct Models {
    /// How sure an item is.
    pub sure: Weights<1>,
    /// Where the speaker has come to.
    pub moves: Weights<1>,
    /// What a part is the matter of: an item, a cleared mark.
    pub parts: Weights<2>,
}

impl Models {
    /// Those of a lexicon.
    pub fn of(data: &Data) -> Models {
        Models {
            sure: Weights::new([&data.model]),
            moves: Weights::new([&data.moves]),
            parts: Weights::new([&data.wanting, &data.fine]),
        }
    }
}

impl<const N: usize> Weights<N> {
    /// Those of some models, each sorted by name. Rows are numbered in the order of the models, then of the names.
    pub fn new(models: [&[Weight]; N]) -> Weights<N> {
        let most: usize = models.iter().map(|m| m.len()).sum();
        let mut out = Weights {
            slots: vec![0; (most * ROOM).next_power_of_two()],
            rows: Vec::with_capacity(most),
        };
        let all = models.iter().enumerate();
        for (n, w) in all.flat_map(|(n, m)| m.iter().map(move |w| (n, w))) {
            let name = hash(&[&w.id]);
            let row = match out.look(name) {
                Ok(row) => row,
                Err(slot) => {
                    // Beyond that many a model is none that could be read.
                    let Ok(next) = u16::try_from(out.rows.len() + 1) else {
                        break;
                    };
                    out.slots[slot] = next;
                    out.rows.push((name, [0.0; N]));
                    out.rows.len() - 1
                }
            };
            out.rows[row].1[n] = w.weight;
        }
        out
    }

    /// The row of a feature, by the pieces of its name.
    pub fn row(&self, pieces: &[&str]) -> Option<usize> {
        self.look(hash(pieces)).ok()
    }

    /// The weights of a row.
    pub fn of(&self, row: usize) -> [f64; N] {
        self.rows[row].1
    }

    /// How many rows there are.
    pub fn len(&self) -> usize {
        self.rows.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// The row of a name, or the slot in which it would be.
    fn look(&self, name: u64) -> Result<usize, usize> {
        let mask = self.slots.len() - 1;
        let mut slot = (name ^ (name >> 32)) as usize & mask;
        loop {
            let Some(row) = usize::from(self.slots[slot]).checked_sub(1) else {
                return Err(slot);
            };
            if self.rows[row].0 == name {
                return Ok(row);
            }
            slot = (slot + 1) & mask;
        }
    }
}

/// FNV-1a (Fowler, Noll, Vo) of the bytes of all pieces.
fn hash(pieces: &[&str]) -> u64 {
    let mut h: u64 = 0xcbf2_9ce4_8422_2325;
    for piece in pieces {
        for b in piece.bytes() {
            h = (h ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3);
        }
    }
    h
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

//! The weights of the model of confidence: logistic regression over whole walks, and how far it can be trusted on walks that it
//! was not fitted on.

use std::collections::BTreeMap;

/// Passes over the data; the steps are small and the same each time, so the same data gives the same weights.
const PASSES: usize = 3000;
/// The length of a step.
const STEP: f64 = 0.5;
/// How strongly the weights of the model of confidence are held near nought, in listed items.
pub const PRIOR: f64 = 8.0;
/// The same for the weights of arrivals, in names of places.
pub const MOVES_PRIOR: f64 = 3.3;
/// Parts that the walks are dealt into, each judged by weights fitted on the others.
const FOLDS: usize = 8;

/// One listed item: its features, and whether a person marked it so.
pub type Judged = (Vec<String>, bool);

/// How strongly the weights of parts are pressed to nought, in parts named: most become nought, so that few are left to read.
pub const PARTS_PRESS: f64 = 3.3;
/// Rounds over all weights of parts.
const ROUNDS: usize = 150;

/// Fits weights of which most are nought (logistic regression with an L1 penalty, by coordinate descent): one weight after the other
/// goes as far as it lowers the loss, less what `press` holds back. Weights of nought are left out.
pub fn sparse(items: &[Judged], press: f64) -> BTreeMap<String, f64> {
    let mut rows: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    let right: Vec<f64> = items.iter().map(|(_, r)| f64::from(u8::from(*r))).collect();
    rows.insert("bias", (0..items.len()).collect());
    for (i, (features, _)) in items.iter().enumerate() {
        for f in features.iter().filter(|f| *f != "bias") {
            rows.entry(f).or_default().push(i);
        }
    }
    let chance = |sum: f64| 1.0 / (1.0 + (-sum).exp());
    let mut sums = vec![0.0_f64; items.len()];
    let mut weights: BTreeMap<&str, f64> = rows.keys().map(|f| (*f, 0.0)).collect();
    for _ in 0..ROUNDS {
        for (f, of) in &rows {
            let old = weights[f];
            let (mut slope, mut bend) = (0.0, 1e-6);
            for i in of {
                let p = chance(sums[*i]);
                slope += p - right[*i];
                bend += p * (1.0 - p);
            }
            // A step no longer than the loss is known to bend.
            let bend: f64 = f64::max(bend, 0.05 * count(of.len()));
            let aim = old - slope / bend;
            let new = if *f == "bias" {
                aim
            } else {
                aim.signum() * (aim.abs() - press / bend).max(0.0)
            };
            if new != old {
                for i in of {
                    sums[*i] += new - old;
                }
                weights.insert(f, new);
            }
        }
    }
    weights
        .into_iter()
        .map(|(f, w)| (f.to_string(), (w * 100.0).round() / 100.0))
        .filter(|(_, w)| *w != 0.0)
        .collect()
}

fn count(n: usize) -> f64 {
    f64::from(u32::try_from(n).unwrap_or(u32::MAX))
}

/// Fits the weights; `bias` stands for what is true of all items. `prior` says how strongly they are held near nought, in items.
pub fn fit(items: &[Judged], prior: f64) -> BTreeMap<String, f64> {
    let mut names: BTreeMap<&str, usize> = BTreeMap::new();
    names.insert("bias", 0);
    for f in items.iter().flat_map(|(features, _)| features) {
        let next = names.len();
        names.entry(f).or_insert(next);
    }
    let rows: Vec<(Vec<usize>, f64)> = items
        .iter()
        .map(|(features, right)| {
            let mut row: Vec<usize> = features.iter().map(|f| names[f.as_str()]).collect();
            row.push(0);
            row.sort_unstable();
            row.dedup();
            (row, f64::from(u8::from(*right)))
        })
        .collect();
    let n = f64::from(u32::try_from(items.len()).unwrap_or(u32::MAX)).max(1.0);
    let mut weights = vec![0.0_f64; names.len()];
    for _ in 0..PASSES {
        let mut slope = vec![0.0; weights.len()];
        for (row, right) in &rows {
            let sum: f64 = row.iter().map(|f| weights[*f]).sum();
            let miss = right - 1.0 / (1.0 + (-sum).exp());
            for f in row {
                slope[*f] += miss;
            }
        }
        for (f, s) in slope.into_iter().enumerate() {
            let held = if f == 0 { 0.0 } else { prior * weights[f] };
            weights[f] += STEP * (s - held) / n;
        }
    }
    names
        .into_iter()
        .map(|(f, i)| (f.to_string(), (weights[i] * 100.0).round() / 100.0))
        .collect()
}

/// The chance by these weights.
pub fn chance(features: &[String], weights: &BTreeMap<String, f64>) -> f64 {
    let w = |f: &str| weights.get(f).copied().unwrap_or(0.0);
    let sum = w("bias") + features.iter().map(|f| w(f)).sum::<f64>();
    1.0 / (1.0 + (-sum).exp())
}

/// One of ten bins: what was promised, and what came of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bin {
    /// Items in it.
    pub items: usize,
    /// The mean confidence.
    pub confidence: f64,
    /// The share that is right.
    pub right: f64,
}

/// Ten bins of as many items, by confidence, each item judged by weights fitted on other walks; and the mean gap.
pub fn calibration(walks: &[Vec<Judged>]) -> (Vec<Bin>, f64) {
    let mut judged: Vec<(f64, bool)> = Vec::new();
    for fold in 0..FOLDS {
        let train: Vec<Judged> = walks
            .iter()
            .enumerate()
            .filter(|(i, _)| i % FOLDS != fold)
            .flat_map(|(_, w)| w.iter().cloned())
            .collect();
        let weights = fit(&train, PRIOR);
        for w in walks.iter().skip(fold).step_by(FOLDS) {
            judged.extend(w.iter().map(|(f, r)| (chance(f, &weights), *r)));
        }
    }
    judged.sort_by(|a, b| a.0.total_cmp(&b.0));
    let size = judged.len().div_ceil(10).max(1);
    let mean = |v: &mut dyn Iterator<Item = f64>| {
        let (sum, n) = v.fold((0.0, 0.0), |(s, n), x| (s + x, n + 1.0));
        if n == 0.0 { 0.0 } else { sum / n }
    };
    let bins: Vec<Bin> = judged
        .chunks(size)
        .map(|b| Bin {
            items: b.len(),
            confidence: mean(&mut b.iter().map(|(c, _)| *c)),
            right: mean(&mut b.iter().map(|(_, r)| f64::from(u8::from(*r)))),
        })
        .collect();
    let gap = mean(&mut bins.iter().map(|b| (b.confidence - b.right).abs()));
    (bins, gap)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What tells gets a weight of its sign, what tells nothing gets none.
    #[test]
    fn only_what_tells_keeps_a_weight() {
        let items: Vec<Judged> = (0..400)
            .map(|i| {
                let right = i % 2 == 0;
                let telling = if right { "good" } else { "bad" };
                let idle = if i % 4 < 2 { "left" } else { "up" };
                (vec![telling.to_string(), idle.to_string()], right)
            })
            .collect();
        let weights = sparse(&items, PARTS_PRESS);
        let sum = |f: &str| weights.get(f).copied().unwrap_or(0.0);
        assert!(sum("good") > sum("bad") + 2.0, "{weights:?}");
        assert_eq!((sum("left"), sum("up")), (0.0, 0.0), "{weights:?}");
    }
}

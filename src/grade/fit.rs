//! The weights of the model of confidence: logistic regression over whole walks, and how far it can be trusted on walks that it
//! was not fitted on.

use std::collections::BTreeMap;

/// Passes over the data; the steps are small and the same each time, so the same data gives the same weights.
const PASSES: usize = 1500;
/// The length of a step.
const STEP: f64 = 0.5;
/// How strongly weights are held near nought, in listed items.
const PRIOR: f64 = 8.0;
/// Parts that the walks are dealt into, each judged by weights fitted on the others.
const FOLDS: usize = 8;

/// One listed item: its features, and whether a person marked it so.
pub type Judged = (Vec<String>, bool);

/// Fits the weights; `bias` stands for what is true of all items.
pub fn fit(items: &[Judged]) -> BTreeMap<String, f64> {
    let mut weights: BTreeMap<String, f64> = BTreeMap::new();
    weights.insert("bias".to_string(), 0.0);
    for (features, _) in items {
        for f in features {
            weights.entry(f.clone()).or_insert(0.0);
        }
    }
    let n = f64::from(u32::try_from(items.len()).unwrap_or(u32::MAX)).max(1.0);
    for _ in 0..PASSES {
        let mut slope: BTreeMap<&str, f64> = BTreeMap::new();
        for (features, right) in items {
            let miss = f64::from(u8::from(*right)) - chance(features, &weights);
            *slope.entry("bias").or_insert(0.0) += miss;
            for f in features {
                *slope.entry(f).or_insert(0.0) += miss;
            }
        }
        let steps: Vec<(String, f64)> = slope
            .iter()
            .map(|(f, s)| {
                let held = if *f == "bias" {
                    0.0
                } else {
                    PRIOR * weights[*f]
                };
                ((*f).to_string(), STEP * (s - held) / n)
            })
            .collect();
        for (f, s) in steps {
            *weights.entry(f).or_insert(0.0) += s;
        }
    }
    for w in weights.values_mut() {
        *w = (*w * 100.0).round() / 100.0;
    }
    weights
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
        let weights = fit(&train);
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

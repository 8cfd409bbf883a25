//! The words to choose from, as the lexicon has them.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Value, json};

use crate::lexicon::Lexicon;
use crate::list::{FollowUp, Hazard, Standing, Trade, Unit, Work};
use crate::record::Closed;

/// For each field the words to choose from; `owners` names the trade that owns a part.
pub fn choices(lexicon: &Lexicon) -> Value {
    let data = lexicon.data();
    let mut elements = BTreeSet::new();
    let mut owners = BTreeMap::new();
    for element in &data.elements {
        let trade = element.trade.or_else(|| lexicon.owner(&element.group));
        for name in element.shown.iter().chain(&element.names) {
            elements.insert(name.as_str());
            if let Some(trade) = trade {
                owners.entry(name.to_lowercase()).or_insert(trade.word());
            }
        }
    }
    let faults: BTreeSet<&str> = data.faults.iter().map(|f| f.name.as_str()).collect();
    let mut trades = words(Trade::ALL, Trade::word);
    for trade in data.trades.iter().filter_map(|t| t.trade) {
        // A lexicon of one's own may add trades.
        if !trades.contains(&trade.word()) {
            trades.push(trade.word());
        }
    }
    json!({
        "elements": elements,
        "owners": owners,
        "faults": faults,
        "works": words(Work::ALL, Work::word),
        "trades": trades,
        "standings": words(Standing::ALL, Standing::word),
        "hazards": words(Hazard::ALL, Hazard::word),
        "follow_ups": words(FollowUp::ALL, FollowUp::word),
        "units": words(Unit::ALL, Unit::word),
        "closed": words(Closed::ALL, Closed::word),
    })
}

fn words<T: Copy>(all: &[T], word: fn(T) -> &'static str) -> Vec<&'static str> {
    all.iter().map(|t| word(*t)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn offers_the_lexicons_words() {
        let all = choices(&Lexicon::builtin());
        let has = |field: &str, word: &str| {
            all[field]
                .as_array()
                .is_some_and(|a| a.iter().any(|w| w == word))
        };
        assert!(has("elements", "baseboard") && has("works", "touch-up") && has("trades", "tile"));
        assert!(has("hazards", "fall") && has("follow_ups", "ask") && has("standings", "query"));
        assert_eq!(all["owners"]["baseboard"], "finish-carpenter");
    }
}

//! What follows from what a person set: the item's sentence, the trade's section, how areas stand.

use std::sync::OnceLock;

use serde_json::{Map, Value, json};

use crate::lexicon::Lexicon;
use crate::list::{AreaState, Trade, Work};
use crate::pipeline::{deadlines, wording};

fn lexicon() -> &'static Lexicon {
    static BUILTIN: OnceLock<Lexicon> = OnceLock::new();
    BUILTIN.get_or_init(Lexicon::builtin)
}

/// The section of a trade: as other items of the list have it, else as the built-in lexicon has it.
pub(super) fn section(list: &Value, trade: &str) -> Value {
    let same = |i: &&Value| i["trade"] == trade && i["section"].is_string();
    if let Some(item) = list["items"]
        .as_array()
        .and_then(|all| all.iter().find(same))
    {
        return item["section"].clone();
    }
    let entry = Trade::from_word(trade).and_then(|t| lexicon().entry_of(t));
    entry.map_or(Value::Null, |e| json!(e.section))
}

/// Who would be sent for a part: as for other items of the list, else as the built-in lexicon has it.
pub(super) fn trade(list: &Value, element: &Value, work: &Value) -> Value {
    let items = list["items"]
        .as_array()
        .map(Vec::as_slice)
        .unwrap_or_default();
    let same = |i: &&Value| element.is_string() && i["element"] == *element;
    let listed = items
        .iter()
        .find(|i| same(i) && i["work"] == *work)
        .or_else(|| items.iter().find(same));
    if let Some(item) = listed {
        return item["trade"].clone();
    }
    let name = element.as_str().unwrap_or_default();
    let known = lexicon()
        .data()
        .elements
        .iter()
        .find(|e| e.id == name || e.names.iter().any(|n| n == name));
    let trade = known.and_then(|e| e.trade.or_else(|| lexicon().owner(&e.group)));
    json!(trade.unwrap_or(Trade::Superintendent).word())
}

/// The date of an item's deadline, where it is written out or its walk's date is known.
pub(super) fn by_date(list: &Value, item: &Value) -> Option<String> {
    if let Some(day) = deadlines::written(item["by"].as_str()?) {
        return Some(day.to_string());
    }
    let walk = item["said"][0]["walk"].as_str()?;
    let walks = list["walks"].as_array()?;
    let walk = walks.iter().find(|w| w["id"] == walk)?;
    let said = deadlines::day_of(walk["recorded"].as_str()?)?;
    Some(deadlines::date_of(item["by"].as_str()?, said)?.to_string())
}

/// The sentence of an item after a change: only the part of it that told the old fields is worded anew.
pub(super) fn text(before: &Map<String, Value>, after: &Map<String, Value>) -> String {
    let verb = |item: &Map<String, Value>| {
        let work = word(item, "work").and_then(Work::from_word);
        wording::verb(work.unwrap_or(Work::Check)).to_string()
    };
    let tail = |item: &Map<String, Value>| {
        let count = item.get("count").and_then(Value::as_u64);
        wording::worded(
            "",
            word(item, "element"),
            word(item, "fault"),
            count.and_then(|n| u32::try_from(n).ok()),
            word(item, "where"),
        )
    };
    let kept = word(before, "text")
        .filter(|_| before.get("work") == after.get("work"))
        .and_then(|t| t.strip_suffix(&tail(before)));
    match kept {
        Some(kept) => format!("{kept}{}", tail(after)),
        None => wording::capital(&verb(after)) + &tail(after),
    }
}

fn word<'i>(item: &'i Map<String, Value>, key: &str) -> Option<&'i str> {
    item.get(key).and_then(Value::as_str)
}

/// Whether there is still something to do.
pub(super) fn open(item: &Value) -> bool {
    item["standing"] != "made-good" && item["closed"].is_null()
}

/// How the area of this path stands.
pub(super) fn state(list: &Value, path: &Value) -> &'static str {
    let all = |key: &str| {
        list[key]
            .as_array()
            .into_iter()
            .flatten()
            .filter(|x| x["area"] == *path)
    };
    let state = if all("items").any(open) {
        AreaState::Outstanding
    } else if all("items").next().is_some() || all("cleared").next().is_some() {
        AreaState::Clear
    } else {
        AreaState::Unjudged
    };
    state.word()
}

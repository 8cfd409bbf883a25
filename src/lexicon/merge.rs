//! One entry's keys laid over another's.

use std::collections::HashSet;

use super::words::fold;
use super::yaml::{Key, Node, Value};

/// Lays one key over an entry's: members are put before those of a list, keys into a map; anything else takes the old
/// value's place, and nothing (`~`) takes it away.
pub(super) fn change(keys: &mut Vec<(Key, Node)>, key: Key, value: Node) {
    let Some(at) = keys.iter().position(|(k, _)| k.text == key.text) else {
        if value.value != Value::Null {
            keys.push((key, value));
        }
        return;
    };
    if value.value == Value::Null {
        keys.remove(at);
        return;
    }
    let old = &mut keys[at];
    match (&mut old.1.value, value.value) {
        (Value::List(old), Value::List(mut new)) => {
            let again: HashSet<Same<'_>> = new.iter().filter_map(|n| same(&n.value)).collect();
            old.retain(|o| same(&o.value).is_none_or(|s| !again.contains(&s)));
            new.append(old);
            *old = new;
        }
        (Value::Map(old), Value::Map(new)) => {
            for (k, v) in new {
                change(old, k, v);
            }
        }
        (_, value_itself) => {
            *old = (
                key,
                Node {
                    place: value.place,
                    value: value_itself,
                },
            );
        }
    }
}

/// What tells that two values are the same, wherever they stand.
type Same<'v> = (&'static str, &'v str);

/// A value by which it is known again; lists and maps with something in them are never the same.
fn same(value: &Value) -> Option<Same<'_>> {
    Some(match value {
        Value::Text(text) => ("text", text),
        Value::Number(number) => ("number", number),
        Value::Bool(yes) => ("bool", if *yes { "true" } else { "false" }),
        Value::Null => ("null", ""),
        Value::List(members) if members.is_empty() => ("list", ""),
        Value::Map(pairs) if pairs.is_empty() => ("map", ""),
        Value::List(_) | Value::Map(_) => return None,
    })
}

/// Takes words out of every list and map of an entry; which of them were not there.
pub(super) fn drop_words<'w>(keys: &mut [(Key, Node)], words: &[&'w str]) -> Vec<&'w str> {
    let folded: Vec<String> = words.iter().map(|w| fold(w)).collect();
    let wanted: HashSet<&str> = folded.iter().map(String::as_str).collect();
    let mut found: HashSet<String> = HashSet::new();
    let mut goes = |text: &str| {
        let text = fold(text);
        let goes = wanted.contains(text.as_str());
        if goes {
            found.insert(text);
        }
        goes
    };
    for (_, value) in keys {
        match &mut value.value {
            Value::List(members) => members.retain(|m| !m.text().is_some_and(&mut goes)),
            Value::Map(pairs) => pairs.retain(|(k, _)| !goes(&k.text)),
            _ => {}
        }
    }
    let there = words.iter().zip(&folded);
    there
        .filter(|(_, folded)| !found.contains(*folded))
        .map(|(word, _)| *word)
        .collect()
}

pub(super) fn words_of(keys: &[(Key, Node)]) -> Vec<String> {
    keys.iter()
        .flat_map(|(_, v)| v.members())
        .filter_map(|m| m.text().map(str::to_string))
        .collect()
}

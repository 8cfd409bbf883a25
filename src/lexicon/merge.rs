//! One entry's keys laid over another's.

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
            old.retain(|o| !new.iter().any(|n| n.value == o.value));
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

/// Takes a word out of every list and map of an entry; whether it was there.
pub(super) fn drop_word(keys: &mut [(Key, Node)], word: &str) -> bool {
    let same = |t: &str| t == word || fold(t) == fold(word);
    let mut found = false;
    for (_, value) in keys {
        match &mut value.value {
            Value::List(members) => {
                let before = members.len();
                members.retain(|m| !m.text().is_some_and(same));
                found |= members.len() < before;
            }
            Value::Map(pairs) => {
                let before = pairs.len();
                pairs.retain(|(k, _)| !same(&k.text));
                found |= pairs.len() < before;
            }
            _ => {}
        }
    }
    found
}

pub(super) fn words_of(keys: &[(Key, Node)]) -> Vec<String> {
    keys.iter()
        .flat_map(|(_, v)| v.members())
        .filter_map(|m| m.text().map(str::to_string))
        .collect()
}

//! From an entry's values to its type, with every key and value that does not fit told by its place.

use serde::de::{self, DeserializeOwned, Deserializer, Visitor};

use super::layers::{Entry, nearest};
use super::yaml::{Node, Place};

/// The entry as its type.
///
/// # Errors
/// Each key that the type does not know and each value of the wrong kind, with its place and what to do.
pub fn typed<T: DeserializeOwned>(entry: &Entry) -> Result<T, Vec<(Place, String)>> {
    let known = fields::<T>();
    let mut faults: Vec<(Place, String)> = entry
        .keys
        .iter()
        .filter(|(k, _)| !known.contains(&k.text.as_str()))
        .map(|(k, _)| {
            let hint = nearest(&k.text, known.iter().copied());
            let keys: Vec<&str> = known.iter().copied().filter(|f| *f != "id").collect();
            let what = format!(
                "{}: {:?} has an unknown key {:?}{hint}; its keys are {}",
                entry.list,
                entry.id,
                k.text,
                keys.join(", ")
            );
            (k.place, what)
        })
        .collect();
    if !faults.is_empty() {
        return Err(faults);
    }
    let whole = mapping(entry, entry.keys.iter().map(|(k, v)| (k.text.as_str(), v)));
    let error = match serde_yaml::from_value::<T>(whole) {
        Ok(made) => return Ok(made),
        Err(e) => e.to_string(),
    };
    // Which key was it? Each is tried alone; what another key lacks is no matter then.
    for (key, value) in &entry.keys {
        let alone = mapping(entry, std::iter::once((key.text.as_str(), value)));
        if let Err(e) = serde_yaml::from_value::<T>(alone) {
            let e = e.to_string();
            if !e.contains("missing field") {
                faults.push((
                    inner(value),
                    format!("{}: {:?}, {}: {}", entry.list, entry.id, key.text, said(&e)),
                ));
            }
        }
    }
    if faults.is_empty() {
        faults.push((
            entry.place(),
            format!("{}: {:?}: {}", entry.list, entry.id, said(&error)),
        ));
    }
    Err(faults)
}

/// Of a list the member that is no text, where there is one; else the value's own place.
fn inner(value: &Node) -> Place {
    value
        .members()
        .iter()
        .find(|m| m.text().is_none())
        .map_or(value.place, |m| m.place)
}

/// What the parser of types said, with the nearest word that it knows.
fn said(error: &str) -> String {
    let error = error
        .replace("invalid type: ", "found ")
        .replace("invalid value: ", "found ")
        .replace("missing field ", "it lacks the key ");
    let mut words = error.split('`').skip(1).step_by(2);
    let hint = if error.contains("unknown variant") {
        let wrong = words.next().unwrap_or_default();
        nearest(wrong, words)
    } else if error.contains("integer") || error.contains("floating") {
        "; a number that is meant as a word goes in quotes".to_string()
    } else {
        String::new()
    };
    format!("{error}{hint}").replace("unknown variant", "unknown word")
}

fn mapping<'a>(
    entry: &Entry,
    keys: impl Iterator<Item = (&'a str, &'a Node)>,
) -> serde_yaml::Value {
    let mut all = serde_yaml::Mapping::new();
    all.insert("id".into(), entry.id.clone().into());
    for (k, v) in keys {
        all.insert(k.into(), v.plain());
    }
    serde_yaml::Value::Mapping(all)
}

/// The keys that a type knows, in the order in which it lists them.
pub fn fields<T: DeserializeOwned>() -> &'static [&'static str] {
    let mut found: &'static [&'static str] = &[];
    // It never makes a value: it is asked for the struct's fields, and stops.
    let _ = T::deserialize(Ask(&mut found));
    found
}

struct Ask<'a>(&'a mut &'static [&'static str]);

impl<'de> Deserializer<'de> for Ask<'_> {
    type Error = de::value::Error;

    fn deserialize_any<V: Visitor<'de>>(self, _: V) -> Result<V::Value, Self::Error> {
        Err(de::Error::custom("only asked"))
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        fields: &'static [&'static str],
        _: V,
    ) -> Result<V::Value, Self::Error> {
        *self.0 = fields;
        Err(de::Error::custom("only asked"))
    }

    serde::forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf option unit unit_struct
        newtype_struct seq tuple tuple_struct map enum identifier ignored_any
    }
}

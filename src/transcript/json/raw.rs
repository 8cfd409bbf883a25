//! JSON without a tree: a value is the stretch of the file that it takes, opened one level at a time.
//!
//! A file of 200 MB would need several times that as a tree. Each level is read once more instead, which is linear in
//! the file's length as long as the shapes are a few levels deep, and every value knows where it stands.

use std::borrow::Cow;
use std::fmt;
use std::ops::ControlFlow;

use serde::de::{DeserializeSeed, Deserializer, MapAccess, SeqAccess, Visitor};
use serde_json::value::RawValue;

/// A JSON value as it stands in the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Node<'a> {
    /// The value's own text.
    pub json: &'a str,
}

/// A key and its value.
pub(crate) type Field<'a> = (Cow<'a, str>, Node<'a>);

/// All values of a file: one, or several one after the other (JSON lines).
///
/// # Errors
///
/// The parser's error, with line and column, where the file is no JSON or breaks off.
pub(crate) fn values(text: &str) -> Result<Vec<Node<'_>>, serde_json::Error> {
    let stream = serde_json::Deserializer::from_str(text).into_iter::<&RawValue>();
    stream
        .map(|raw| raw.map(|raw| Node { json: raw.get() }))
        .collect()
}

impl<'a> Node<'a> {
    /// Where the value stands in `file`, of which it must be a part; in bytes.
    pub(crate) fn at(&self, file: &str) -> usize {
        (self.json.as_ptr() as usize).saturating_sub(file.as_ptr() as usize)
    }

    pub(crate) fn is_object(&self) -> bool {
        self.json.starts_with('{')
    }

    pub(crate) fn is_array(&self) -> bool {
        self.json.starts_with('[')
    }

    /// The keys and values of an object, in the file's order; none of anything else.
    pub(crate) fn fields(&self) -> Vec<Field<'a>> {
        let mut out = Vec::new();
        if self.is_object() {
            let mut reader = serde_json::Deserializer::from_str(self.json);
            // The file was checked as a whole; what fails here is a string that is no Unicode, and ends the object.
            let _ = reader.deserialize_map(Fields(&mut out));
        }
        out
    }

    /// Gives the elements of an array one by one, until told to stop.
    pub(crate) fn each(&self, mut give: impl FnMut(Node<'a>) -> ControlFlow<()>) {
        if self.is_array() {
            let mut reader = serde_json::Deserializer::from_str(self.json);
            // An error is how the reader is told to stop.
            let _ = reader.deserialize_seq(Elements(&mut give));
        }
    }

    /// The first element of an array.
    pub(crate) fn first(&self) -> Option<Node<'a>> {
        let mut out = None;
        self.each(|node| {
            out = Some(node);
            ControlFlow::Break(())
        });
        out
    }

    /// The text of a string.
    pub(crate) fn text(&self) -> Option<String> {
        if !self.json.starts_with('"') {
            return None;
        }
        serde_json::from_str(self.json).ok()
    }

    /// A finite number.
    pub(crate) fn number(&self) -> Option<f64> {
        let first = self.json.as_bytes().first()?;
        if !(first.is_ascii_digit() || *first == b'-') {
            return None;
        }
        serde_json::from_str(self.json)
            .ok()
            .filter(|n: &f64| n.is_finite())
    }
}

struct Fields<'v, 'a>(&'v mut Vec<Field<'a>>);

impl<'a> Visitor<'a> for Fields<'_, 'a> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("an object")
    }

    fn visit_map<A: MapAccess<'a>>(self, mut map: A) -> Result<(), A::Error> {
        while let Some(key) = map.next_key_seed(Key)? {
            let raw: &'a RawValue = map.next_value()?;
            self.0.push((key, Node { json: raw.get() }));
        }
        Ok(())
    }
}

struct Key;

impl<'a> DeserializeSeed<'a> for Key {
    type Value = Cow<'a, str>;

    fn deserialize<D: Deserializer<'a>>(self, reader: D) -> Result<Cow<'a, str>, D::Error> {
        reader.deserialize_str(self)
    }
}

impl<'a> Visitor<'a> for Key {
    type Value = Cow<'a, str>;

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("a key")
    }

    fn visit_borrowed_str<E>(self, key: &'a str) -> Result<Cow<'a, str>, E> {
        Ok(Cow::Borrowed(key))
    }

    fn visit_str<E>(self, key: &str) -> Result<Cow<'a, str>, E> {
        Ok(Cow::Owned(key.to_owned()))
    }
}

struct Elements<'v, F>(&'v mut F);

impl<'a, F: FnMut(Node<'a>) -> ControlFlow<()>> Visitor<'a> for Elements<'_, F> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("an array")
    }

    fn visit_seq<A: SeqAccess<'a>>(self, mut list: A) -> Result<(), A::Error> {
        while let Some(raw) = list.next_element::<&'a RawValue>()? {
            if (self.0)(Node { json: raw.get() }).is_break() {
                return Err(serde::de::Error::custom("stopped"));
            }
        }
        Ok(())
    }
}

//! YAML as a tree in which every value knows its file, line and column. What makes YAML dangerous to read is refused:
//! aliases, tags, depth, size.

use std::collections::HashMap;

use saphyr_parser::{Event, Marker, Parser, ScalarStyle};

use super::compile::LexiconError;

/// The most bytes that one file may have.
pub const LARGEST: usize = 4 << 20;

/// How deep lists and maps may stand in each other.
const DEEPEST: usize = 12;

/// The most keys that an entry, or a map inside one, may have.
const MOST_KEYS: usize = 500;
/// How many lists and maps stand around the keys of an entry, its own among them.
const ENTRY: usize = 3;

/// Where a value stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// Which layer: 0 for the lexicon at the bottom, later ones win.
    pub layer: usize,
    /// Which file, in the order given.
    pub file: usize,
    /// The line, from 1.
    pub line: usize,
    /// The column in characters, from 1.
    pub column: usize,
}

/// A value and where it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    /// Where it begins.
    pub place: Place,
    /// What it is.
    pub value: Value,
}

/// A value.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// Nothing: `~`, `null`, or no text at all.
    Null,
    /// `true` or `false`.
    Bool(bool),
    /// A number, as written.
    Number(String),
    /// Text.
    Text(String),
    /// Values in order.
    List(Vec<Node>),
    /// Keys and values in the order written, each key once.
    Map(Vec<(Key, Node)>),
}

/// A key of a map.
#[derive(Debug, Clone, PartialEq)]
pub struct Key {
    /// The key.
    pub text: String,
    /// Where it stands.
    pub place: Place,
}

impl Node {
    /// The text, where it is one.
    pub fn text(&self) -> Option<&str> {
        match &self.value {
            Value::Text(t) => Some(t),
            _ => None,
        }
    }

    /// The members of a list; of anything else none.
    pub fn members(&self) -> &[Node] {
        match &self.value {
            Value::List(members) => members,
            _ => &[],
        }
    }

    /// What kind of value it is, for errors.
    pub fn kind(&self) -> &'static str {
        match self.value {
            Value::Null => "nothing",
            Value::Bool(_) => "true or false",
            Value::Number(_) => "a number",
            Value::Text(_) => "text",
            Value::List(_) => "a list",
            Value::Map(_) => "keys and values",
        }
    }

    /// The same without places, to be deserialized.
    pub fn plain(&self) -> serde_yaml::Value {
        use serde_yaml::Value as Y;
        match &self.value {
            Value::Null => Y::Null,
            Value::Bool(b) => Y::Bool(*b),
            Value::Number(n) => number(n).map_or_else(|| Y::String(n.clone()), Y::Number),
            Value::Text(t) => Y::String(t.clone()),
            Value::List(members) => Y::Sequence(members.iter().map(Node::plain).collect()),
            Value::Map(pairs) => Y::Mapping(
                pairs
                    .iter()
                    .map(|(k, v)| (Y::String(k.text.clone()), v.plain()))
                    .collect(),
            ),
        }
    }
}

/// Reads one file. An empty one gives [`Value::Null`].
///
/// # Errors
/// What is no YAML, or YAML that is refused, with line and column.
pub fn read(name: &str, text: &str, layer: usize, file: usize) -> Result<Node, LexiconError> {
    let refuse = |line: usize, column: usize, what: String| LexiconError {
        file: name.to_string(),
        line,
        column,
        what,
    };
    if text.len() > LARGEST {
        return Err(refuse(
            1,
            1,
            format!(
                "the file has {} bytes, and at most {LARGEST} are read: split it, or look whether it is a lexicon at all",
                text.len()
            ),
        ));
    }
    let mut tree = Tree {
        layer,
        file,
        open: Vec::new(),
        root: None,
    };
    let mut documents = 0;
    for event in Parser::new_from_str(text) {
        let (event, span) = event.map_err(|e| {
            let at = e.marker();
            if e.info().contains("recursion") {
                return refuse(at.line().max(1), at.col() + 1, too_deep());
            }
            refuse(
                at.line().max(1),
                at.col() + 1,
                format!(
                    "this is no YAML: {}; look at the quotes, brackets and indents here and just before",
                    e.info()
                ),
            )
        })?;
        if matches!(event, Event::DocumentStart(_)) {
            documents += 1;
        }
        let taken = if documents > 1 {
            Err("a second document begins here (---): put it into a file of its own".to_string())
        } else {
            tree.take(event, span.start)
        };
        taken.map_err(|what| refuse(span.start.line().max(1), span.start.col() + 1, what))?;
    }
    Ok(tree.root.unwrap_or(Node {
        place: Place {
            layer,
            file,
            line: 1,
            column: 1,
        },
        value: Value::Null,
    }))
}

/// A list or map that is not yet closed.
enum Open {
    List(Place, Vec<Node>),
    Map(Place, Vec<(Key, Node)>, Option<Key>, HashMap<String, usize>),
}

struct Tree {
    layer: usize,
    file: usize,
    open: Vec<Open>,
    root: Option<Node>,
}

impl Tree {
    fn place(&self, at: Marker) -> Place {
        Place {
            layer: self.layer,
            file: self.file,
            line: at.line().max(1),
            column: at.col() + 1,
        }
    }

    fn take(&mut self, event: Event<'_>, at: Marker) -> Result<(), String> {
        let place = self.place(at);
        match event {
            Event::Alias(_) => {
                Err("aliases (*name) are not read here: write the value out".to_string())
            }
            Event::Scalar(_, _, anchor, _)
            | Event::SequenceStart(anchor, _)
            | Event::MappingStart(anchor, _)
                if anchor != 0 =>
            {
                Err(
                    "anchors (&name) are not read here: write the value out where it is needed"
                        .to_string(),
                )
            }
            Event::Scalar(_, _, _, Some(_))
            | Event::SequenceStart(_, Some(_))
            | Event::MappingStart(_, Some(_)) => {
                Err("tags (!name) are not read here: leave it out; text goes in quotes".to_string())
            }
            Event::Scalar(text, style, ..) => {
                let value = if style == ScalarStyle::Plain {
                    plain(&text)
                } else {
                    Value::Text(text.into_owned())
                };
                self.put(Node { place, value })
            }
            Event::SequenceStart(..) => self.begin(Open::List(place, Vec::new())),
            Event::MappingStart(..) => {
                self.begin(Open::Map(place, Vec::new(), None, HashMap::new()))
            }
            Event::SequenceEnd | Event::MappingEnd => match self.open.pop() {
                Some(Open::List(place, members)) => self.put(Node {
                    place,
                    value: Value::List(members),
                }),
                Some(Open::Map(place, pairs, ..)) => self.put(Node {
                    place,
                    value: Value::Map(pairs),
                }),
                None => Ok(()),
            },
            _ => Ok(()),
        }
    }

    fn begin(&mut self, open: Open) -> Result<(), String> {
        if self.open.len() >= DEEPEST {
            return Err(too_deep());
        }
        if let Some(Open::Map(_, _, None, _)) = self.open.last() {
            return Err(
                "a list or map stands here where a key should: write `key: value`".to_string(),
            );
        }
        self.open.push(open);
        Ok(())
    }

    fn put(&mut self, node: Node) -> Result<(), String> {
        let inside = self.open.len();
        match self.open.last_mut() {
            None => self.root = Some(node),
            Some(Open::List(_, members)) => members.push(node),
            Some(Open::Map(_, pairs, waiting, lines)) => match waiting.take() {
                Some(key) => pairs.push((key, node)),
                None => {
                    let text = match node.value {
                        Value::Text(t) | Value::Number(t) => t,
                        Value::Bool(b) => b.to_string(),
                        _ => return Err("a key is missing before this `:`".to_string()),
                    };
                    if let Some(line) = lines.insert(text.clone(), node.place.line) {
                        return Err(format!(
                            "the key {text:?} stands twice in one entry, first on line {line}: put both into one"
                        ));
                    }
                    if inside >= ENTRY && lines.len() > MOST_KEYS {
                        return Err(format!(
                            "more than {MOST_KEYS} keys stand together here: a lexicon needs no more than thirty, look whether it is one at all"
                        ));
                    }
                    *waiting = Some(Key {
                        text,
                        place: node.place,
                    });
                }
            },
        }
        Ok(())
    }
}

fn too_deep() -> String {
    format!(
        "lists and keys stand more than {DEEPEST} deep in each other here: a lexicon needs no more than five"
    )
}

/// What a plain scalar stands for (YAML 1.2, core schema; `yes` and `no` are text).
fn plain(text: &str) -> Value {
    match text {
        "" | "~" | "null" | "Null" | "NULL" => Value::Null,
        "true" | "True" | "TRUE" => Value::Bool(true),
        "false" | "False" | "FALSE" => Value::Bool(false),
        _ if number(text).is_some() => Value::Number(text.to_string()),
        _ => Value::Text(text.to_string()),
    }
}

fn number(text: &str) -> Option<serde_yaml::Number> {
    let digits = text.trim_start_matches(['-', '+']);
    if !digits.starts_with(|c: char| c.is_ascii_digit() || c == '.') || digits == "." {
        return None;
    }
    if let Ok(n) = text.parse::<i64>() {
        return Some(n.into());
    }
    text.parse::<f64>()
        .ok()
        .filter(|n| n.is_finite())
        .map(Into::into)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_know_where_they_stand() {
        let root = read("x", "a:\n  - {id: b, n: 1.5,\n     t: \"1.5\"}\n", 2, 7).unwrap();
        let Value::Map(top) = &root.value else {
            panic!("{root:?}");
        };
        assert_eq!((top[0].0.place.line, top[0].0.place.column), (1, 1));
        let Value::Map(entry) = &top[0].1.members()[0].value else {
            panic!("{root:?}");
        };
        assert_eq!((entry[0].1.place.line, entry[0].1.place.column), (2, 10));
        assert_eq!(entry[1].1.value, Value::Number("1.5".into()));
        assert_eq!(entry[2].1.value, Value::Text("1.5".into()));
        assert_eq!((entry[2].1.place.line, entry[2].1.place.column), (3, 9));
        assert_eq!((entry[2].1.place.layer, entry[2].1.place.file), (2, 7));
    }

    #[test]
    fn what_is_dangerous_is_refused() {
        let deep = "[".repeat(20_000);
        let huge = "a".repeat(LARGEST + 1);
        for (text, line, says) in [
            ("a: &x [1]\nb: [*x, *x]\n", 1, "anchors"),
            ("a: 1\nb: *x\n", 2, "no YAML"),
            ("a: !!binary aGk=\n", 1, "tags"),
            (deep.as_str(), 1, "deep"),
            (huge.as_str(), 1, "bytes"),
            ("a: 1\n---\nb: 1\n", 2, "second document"),
            ("a: [1\nb: 2\n", 2, "no YAML"),
            ("a: 1\na: 2\n", 2, "stands twice"),
        ] {
            let error = read("x.yaml", text, 0, 0).unwrap_err();
            assert!(error.what.contains(says), "{error}");
            assert_eq!(error.line, line, "{error}");
        }
    }

    #[test]
    fn plain_text_stays_text() {
        for (text, value) in [
            ("yes", Value::Text("yes".into())),
            ("-", Value::Text("-".into())),
            ("3/8", Value::Text("3/8".into())),
            ("-5", Value::Number("-5".into())),
            ("nan", Value::Text("nan".into())),
            ("", Value::Null),
        ] {
            assert_eq!(plain(text), value, "{text}");
        }
    }
}

//! Going through the uncertain items at a terminal, with single keys. Small on purpose: the page does the rest.

use std::io::{self, BufRead, Write};

use anyhow::bail;
use serde_json::{Map, Value, json};

use crate::record::Operation;
use crate::report::clock;
use crate::review::{Change, Desk, DeskError};

/// Items of which the program was at least this sure are not shown.
const SURE: f64 = 0.8;

/// How the person is asked.
pub(super) trait Person {
    /// Shows a text.
    fn show(&mut self, text: &str) -> io::Result<()>;
    /// Asks for one key; `None` at the end of the input.
    fn key(&mut self, prompt: &str) -> io::Result<Option<char>>;
    /// Asks for a line; `None` at the end of the input.
    fn line(&mut self, prompt: &str) -> io::Result<Option<String>>;
}

/// A terminal that gives single keys.
pub(super) struct Keys(console::Term);

impl Keys {
    pub(super) fn new() -> Keys {
        Keys(console::Term::stdout())
    }
}

impl Person for Keys {
    fn show(&mut self, text: &str) -> io::Result<()> {
        self.0.write_line(text)
    }

    fn key(&mut self, prompt: &str) -> io::Result<Option<char>> {
        self.0.write_str(prompt)?;
        let key = match self.0.read_key()? {
            console::Key::Char(c) => Some(c),
            console::Key::Escape => Some('q'),
            console::Key::Enter => Some('s'),
            console::Key::CtrlC | console::Key::UnknownEscSeq(_) => None,
            _ => Some(' '),
        };
        self.0.write_line(&key.unwrap_or('q').to_string())?;
        Ok(key)
    }

    fn line(&mut self, prompt: &str) -> io::Result<Option<String>> {
        self.0.write_str(prompt)?;
        self.0.read_line().map(Some)
    }
}

/// Lines from elsewhere: the first sign of each is the key.
pub(super) struct Lines<R, W> {
    from: R,
    to: W,
}

impl<R: BufRead, W: Write> Lines<R, W> {
    pub(super) fn new(from: R, to: W) -> Lines<R, W> {
        Lines { from, to }
    }
}

impl<R: BufRead, W: Write> Person for Lines<R, W> {
    fn show(&mut self, text: &str) -> io::Result<()> {
        writeln!(self.to, "{text}")
    }

    fn key(&mut self, prompt: &str) -> io::Result<Option<char>> {
        Ok(self
            .line(prompt)?
            .map(|line| line.trim().chars().next().unwrap_or('s')))
    }

    fn line(&mut self, prompt: &str) -> io::Result<Option<String>> {
        writeln!(self.to, "{}", prompt.trim_end())?;
        self.to.flush()?;
        let mut line = String::new();
        let read = self.from.read_line(&mut line)?;
        Ok((read > 0).then(|| line.trim_end_matches(['\r', '\n']).to_string()))
    }
}

/// A field that can be changed here: key, name in the list, label, and where its words come from.
struct Field {
    key: char,
    name: &'static str,
    label: &'static str,
    only: Option<&'static str>,
}

const fn field(
    key: char,
    name: &'static str,
    label: &'static str,
    only: Option<&'static str>,
) -> Field {
    Field {
        key,
        name,
        label,
        only,
    }
}

const FIELDS: [Field; 9] = [
    field('e', "element", "part", None),
    field('w', "work", "work", Some("works")),
    field('t', "trade", "trade", Some("trades")),
    field('r', "area", "area", None),
    field('f', "fault", "fault", None),
    field('l', "where", "spot", None),
    field('s', "standing", "standing", Some("standings")),
    field('c', "count", "how many", None),
    field('x', "text", "wording", None),
];

/// What the keys do.
const HELP: &str = "\
  a  accept: it is right as it stands
  d  drop: nothing is to be done there; it leaves the list, and can be restored
  c  change one field of it
  s  skip to the next, as Enter does; it stays uncertain
  u  undo the last change made here
  q  end, as Escape and the end of the input do; all changes are saved already";

/// Steps through the items that are not sure and were not looked at, least sure first.
pub(super) fn run(
    desk: &mut dyn Desk,
    choices: &Value,
    person: &mut dyn Person,
) -> anyhow::Result<()> {
    let ids = uncertain(&desk.view()?);
    if ids.is_empty() {
        person.show("No uncertain item waits to be looked at.")?;
        return Ok(());
    }
    let mut at = 0;
    let mut made = Vec::new();
    let mut shown = String::new();
    while at < ids.len() {
        let view = desk.view()?;
        let Some(item) = items(&view).find(|i| i["id"] == *ids[at]) else {
            at += 1;
            continue;
        };
        // What stands on the screen already is not shown again.
        let now = format!("\n{} of {}  {}", at + 1, ids.len(), face(item));
        if now != shown {
            person.show(&now)?;
            shown = now;
        }
        let id = ids[at].clone();
        let key = person.key("a accept, d drop, c change, s skip, u undo, q end, ? help > ")?;
        let change = match key.map(|k| k.to_ascii_lowercase()) {
            Some('?' | 'h') => {
                person.show(HELP)?;
                continue;
            }
            Some('a') => Change::Do(Operation::Accept { id }),
            Some('d') => Change::Do(Operation::Drop { id }),
            Some('c') => {
                if let Some(fields) = ask(choices, person)? {
                    let change = Change::Do(Operation::Set { id, fields });
                    if try_it(desk, change, person)? {
                        made.push(at);
                    }
                }
                continue;
            }
            Some('s') => {
                at += 1;
                continue;
            }
            Some('u') => {
                match made.pop() {
                    Some(before) if try_it(desk, Change::Undo, person)? => at = before,
                    Some(before) => made.push(before),
                    None => person.show("Nothing was changed here yet.")?,
                }
                continue;
            }
            Some('q') | None => break,
            Some(other) => {
                person.show(&format!(
                    "{other:?} is none of the keys; ? tells what they do."
                ))?;
                continue;
            }
        };
        if try_it(desk, change, person)? {
            made.push(at);
            at += 1;
        }
    }
    let left = uncertain(&desk.view()?).len();
    person.show(&format!(
        "\n{} saved, {left} uncertain left.",
        match made.len() {
            1 => "1 change".to_string(),
            n => format!("{n} changes"),
        }
    ))?;
    Ok(())
}

/// Makes a change; what does not fit is told, and the person goes on.
fn try_it(desk: &mut dyn Desk, change: Change, person: &mut dyn Person) -> anyhow::Result<bool> {
    match desk.change(change) {
        Ok(done) => {
            if let Some(note) = done.said {
                person.show(&safe(&note))?;
            }
            Ok(true)
        }
        Err(error @ DeskError::Unfit(_)) => {
            person.show(&format!("Not changed: {}", safe(&error.to_string())))?;
            Ok(false)
        }
        Err(error) => bail!(error),
    }
}

fn items(view: &Value) -> impl Iterator<Item = &Value> {
    view["items"].as_array().into_iter().flatten()
}

fn uncertain(view: &Value) -> Vec<String> {
    let mut all: Vec<(f64, &str)> = items(view)
        .filter(|i| i["looked"] != true && i["dropped"] != true && !i["closed"].is_string())
        .filter_map(|i| Some((i["confidence"].as_f64()?, i["id"].as_str()?)))
        .filter(|(sure, _)| *sure < SURE)
        .collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    all.into_iter().map(|(_, id)| id.to_string()).collect()
}

/// The item in a few lines.
fn face(item: &Value) -> String {
    let text = |key: &str| item[key].as_str().unwrap_or_default().to_string();
    let area: Vec<&str> = item["area"]
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(Value::as_str)
        .collect();
    let sure = item["confidence"].as_f64().unwrap_or(0.0) * 100.0;
    let about: Vec<String> = [
        area.join(" › "),
        text("element"),
        text("fault"),
        text("work"),
        text("trade"),
        text("standing"),
    ]
    .into_iter()
    .filter(|t| !t.is_empty())
    .collect();
    let mut lines = vec![
        format!("number {}, sure to {sure:.0} %", item["number"]),
        format!("  {}", text("text")),
        format!("  {}", about.join(" · ")),
    ];
    for said in item["said"].as_array().into_iter().flatten() {
        lines.push(format!(
            "  {}  \"{}\"",
            clock(said["start"].as_f64().unwrap_or(0.0)),
            said["text"].as_str().unwrap_or_default()
        ));
    }
    lines.iter().map(|l| safe(l)).collect::<Vec<_>>().join("\n")
}

/// Asks for a field and its value; `None` where the person thought better of it.
fn ask(choices: &Value, person: &mut dyn Person) -> anyhow::Result<Option<Map<String, Value>>> {
    let keys: Vec<String> = FIELDS
        .iter()
        .map(|f| format!("{} {}", f.key, f.label))
        .collect();
    let key = person.key(&format!("{}; any other key: none > ", keys.join(", ")))?;
    let key = key.map(|k| k.to_ascii_lowercase());
    let Some(field) = FIELDS.iter().find(|f| Some(f.key) == key) else {
        person.show("Nothing was changed.")?;
        return Ok(None);
    };
    let words: Vec<&str> = field
        .only
        .and_then(|list| choices[list].as_array())
        .into_iter()
        .flatten()
        .filter_map(Value::as_str)
        .collect();
    if !words.is_empty() {
        let numbered: Vec<String> = words
            .iter()
            .enumerate()
            .map(|(i, w)| format!("{} {w}", i + 1))
            .collect();
        person.show(&numbered.join(", "))?;
    }
    let how = match field.name {
        _ if !words.is_empty() => "its number or word; empty: as it was",
        "area" => "as Upstairs / Bedroom 2; empty: as it was",
        "text" => "empty: as it was",
        "count" => "a number from 1; empty: as it was, -: none",
        _ => "empty: as it was, -: none",
    };
    let prompt = format!("{} ({how}) > ", field.label);
    loop {
        let typed = match person.line(&prompt)? {
            Some(typed) if !typed.trim().is_empty() => typed.trim().to_string(),
            _ => {
                person.show("Nothing was changed.")?;
                return Ok(None);
            }
        };
        match value(field, &words, &typed) {
            Some(value) => return Ok(Some(Map::from_iter([(field.name.to_string(), value)]))),
            None => person.show(&format!("{typed:?} does not fit; {how}."))?,
        }
    }
}

fn value(field: &Field, words: &[&str], typed: &str) -> Option<Value> {
    if !words.is_empty() {
        let by_number = typed
            .parse::<usize>()
            .ok()
            .and_then(|n| words.get(n.checked_sub(1)?));
        return by_number
            .or_else(|| words.iter().find(|w| w.eq_ignore_ascii_case(typed)))
            .map(|w| json!(w));
    }
    if field.name == "area" {
        let path: Vec<&str> = typed
            .split(['›', '>', '/'])
            .map(str::trim)
            .filter(|p| !p.is_empty())
            .collect();
        return (!path.is_empty() && typed != "-").then(|| json!(path));
    }
    match (typed, field.name) {
        ("-", "text") => None,
        ("-", _) => Some(Value::Null),
        (typed, "count") => typed
            .parse::<u32>()
            .ok()
            .filter(|n| *n > 0)
            .map(|n| json!(n)),
        (typed, _) => Some(json!(typed)),
    }
}

/// The text without what would steer a terminal.
fn safe(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '\n' => c,
            c if c.is_control()
                || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}') =>
            {
                ' '
            }
            c => c,
        })
        .collect()
}

//! TTML and IMSC text (<https://www.w3.org/TR/ttml2/>, section 12 for the times).
//!
//! Of the document only what was said and when is read: `p` and `span` with `begin`, `end` and `dur`, which count from the
//! begin of what they stand in (or, in a `timeContainer="seq"`, from the end of what stands before), `br`, and
//! `ttm:agent` as the speaker. Styles, regions, metadata and animation are passed over.

mod clock;

use std::collections::BTreeMap;

use roxmltree::{Document, Node, ParsingOptions};

use super::draft::{Draft, Kind, Notes, Timed};
use super::error::TranscriptError;
use super::webvtt::{share, short};
use clock::Rates;

/// How deep elements may nest before the rest is left out.
const DEPTH: usize = 64;

/// Reads a TTML document.
///
/// # Errors
///
/// Malformed XML with line and column; XML whose root is not `tt`.
pub(crate) fn read(
    text: &str,
    file: &str,
    notes: &mut Notes,
) -> Result<Vec<Draft>, TranscriptError> {
    let options = ParsingOptions {
        allow_dtd: true,
        ..ParsingOptions::default()
    };
    let lead = text.len() - text.trim_start().len();
    // An element that is never closed is missed at the end of the file; the parser says 1:1.
    let place = |e: &roxmltree::Error| match e {
        roxmltree::Error::UnclosedRootNode => (notes.line(text.len()), 1),
        _ => (
            e.pos().row as usize + notes.line(lead) - 1,
            e.pos().col as usize,
        ),
    };
    let document =
        Document::parse_with_options(&text[lead..], options).map_err(|e| TranscriptError::Xml {
            file: file.to_owned(),
            line: place(&e).0,
            column: place(&e).1,
            message: bare(&e.to_string()),
        })?;
    let root = document.root_element();
    if root.tag_name().name() != "tt" {
        return Err(TranscriptError::XmlShape {
            file: file.to_owned(),
            root: root.tag_name().name().to_owned(),
        });
    }
    let mut reader = Reader {
        lead,
        rates: Rates::of(root),
        agents: agents(root),
        out: Vec::new(),
        notes,
    };
    // Without any time every paragraph would be at 0:00.
    let timed = root.descendants().any(is_timed);
    if let Some(body) = root
        .children()
        .find(|n| timed && n.tag_name().name() == "body")
    {
        let all = Span {
            begin: 0.0,
            end: None,
        };
        reader.element(body, all, 0.0, None, 0);
    }
    Ok(reader.out)
}

/// The parser's message without its "at line:column".
fn bare(message: &str) -> String {
    message
        .rsplit_once(" at ")
        .map_or(message, |(m, _)| m)
        .to_owned()
}

/// The names of `ttm:agent` elements by their ids.
fn agents(root: Node) -> BTreeMap<String, String> {
    let agent = root
        .descendants()
        .filter(|n| n.tag_name().name() == "agent");
    let named = agent.filter_map(|node| {
        let id = node
            .attributes()
            .find(|a| a.name() == "id")?
            .value()
            .to_owned();
        let name = node
            .children()
            .find(|n| n.tag_name().name() == "name")
            .and_then(|n| n.text())?;
        let name = name.split_whitespace().collect::<Vec<_>>().join(" ");
        (!name.is_empty()).then_some((id, name))
    });
    named.collect()
}

/// When an element is shown, in seconds of the document.
#[derive(Debug, Clone, Copy)]
struct Span {
    begin: f64,
    end: Option<f64>,
}

struct Reader<'n, 't> {
    /// White space before the document, in bytes.
    lead: usize,
    rates: Rates,
    agents: BTreeMap<String, String>,
    out: Vec<Draft>,
    notes: &'n mut Notes<'t>,
}

/// An attribute by its local name, whatever its namespace prefix.
fn attribute<'a>(node: Node<'a, '_>, name: &str) -> Option<&'a str> {
    node.attributes()
        .find(|a| a.name() == name)
        .map(|a| a.value())
}

fn is_timed(node: Node) -> bool {
    node.attributes()
        .any(|a| matches!(a.name(), "begin" | "end" | "dur"))
}

impl Reader<'_, '_> {
    /// Where an element stands in the file.
    fn at(&self, node: Node) -> usize {
        self.lead + node.range().start
    }

    /// The time of an element inside `around`, counted from `from`; none where an attribute cannot be read.
    fn span(&mut self, node: Node, around: Span, from: f64) -> Option<Span> {
        let mut times = [None; 3];
        for (slot, name) in times.iter_mut().zip(["begin", "end", "dur"]) {
            if let Some(value) = attribute(node, name) {
                *slot = Some(self.rates.seconds(value).or_else(|| {
                    let at = self.at(node);
                    self.notes.add(Kind::Skipped, at, || {
                        format!(
                            "{name}={} cannot be read as a time; element skipped",
                            short(value)
                        )
                    });
                    None
                })?);
            }
        }
        let [begin, end, dur] = times;
        let begin = from + begin.unwrap_or(0.0);
        let ends = [end.map(|e| from + e), dur.map(|d| begin + d), around.end];
        let end = ends.into_iter().flatten().reduce(f64::min);
        Some(Span { begin, end })
    }

    /// `body`, `div` and `p`; gives when the element ends, for what follows it in a sequence.
    fn element(
        &mut self,
        node: Node,
        around: Span,
        from: f64,
        who: Option<&str>,
        depth: usize,
    ) -> Option<f64> {
        let at = self.at(node);
        if depth > DEPTH {
            self.notes.add(Kind::LeftOut, at, || {
                format!("nested more than {DEPTH} deep, left out")
            });
            return None;
        }
        let span = self.span(node, around, from)?;
        let own = attribute(node, "agent").map(|id| {
            let id = id.split_whitespace().next().unwrap_or(id);
            self.agents
                .get(id)
                .cloned()
                .unwrap_or_else(|| id.to_owned())
        });
        let who = own.as_deref().or(who);
        match node.tag_name().name() {
            "p" => {
                self.paragraph(node, span, who);
                return span.end;
            }
            "body" | "div" | "span" => {}
            _ => return None,
        }
        let sequence = attribute(node, "timeContainer") == Some("seq");
        let mut from = span.begin;
        for child in node.children().filter(Node::is_element) {
            let end = self.element(child, span, from, who, depth + 1);
            if sequence {
                from = end.unwrap_or(from);
            }
        }
        if sequence {
            span.end.or(Some(from))
        } else {
            span.end
        }
    }

    /// A paragraph: one cue; where only its spans have times, one cue for each of them.
    fn paragraph(&mut self, node: Node, span: Span, who: Option<&str>) {
        let mut flat = Flat {
            sequence: attribute(node, "timeContainer") == Some("seq"),
            ..Flat::default()
        };
        self.flatten(node, span, span.begin, 0, &mut flat);
        let timed = is_timed(node);
        let at = self.at(node);
        let draft =
            |range: std::ops::Range<usize>, span: Span, words, speaker: &Option<String>| Draft {
                at,
                start: span.begin,
                end: span.end,
                text: flat.text[range].to_owned(),
                speaker: speaker.clone().or_else(|| who.map(str::to_owned)),
                words,
            };
        let speakers: Vec<_> = flat.parts.iter().map(|p| &p.speaker).collect();
        let one = speakers.first().map_or(&None, |s| *s);
        let mixed = speakers.iter().any(|s| *s != one);
        if flat.parts.is_empty() || (timed && !mixed) {
            let mut words = Vec::new();
            for part in flat.parts.iter().filter(|p| p.timed) {
                let end = part.span.end.unwrap_or(part.span.begin);
                share(
                    &flat.text,
                    part.range.clone(),
                    part.span.begin,
                    end,
                    &mut words,
                );
            }
            words.sort_by_key(|w: &Timed| w.range.start);
            self.out.push(draft(0..flat.text.len(), span, words, one));
            return;
        }
        // Text between the spans goes with the span before it, text ahead of all with the first.
        for (i, part) in flat.parts.iter().enumerate() {
            let start = if i == 0 { 0 } else { part.range.start };
            let end = flat
                .parts
                .get(i + 1)
                .map_or(flat.text.len(), |next| next.range.start);
            let span = if part.timed { part.span } else { span };
            self.out.push(draft(
                start..end.max(start),
                span,
                Vec::new(),
                &part.speaker,
            ));
        }
    }

    /// Takes the text of a paragraph together, with the spans in it that have times or speakers of their own.
    fn flatten(&mut self, node: Node, around: Span, mut from: f64, depth: usize, flat: &mut Flat) {
        if depth > DEPTH {
            let at = self.at(node);
            self.notes.add(Kind::LeftOut, at, || {
                format!("nested more than {DEPTH} deep, left out")
            });
            return;
        }
        for child in node.children() {
            if let Some(text) = child.text().filter(|_| child.is_text()) {
                // A line break in the file is white space; only `br` breaks the line.
                flat.text.extend(
                    text.chars()
                        .map(|c| if matches!(c, '\n' | '\r') { ' ' } else { c }),
                );
                continue;
            }
            match child.tag_name().name() {
                "br" => flat.text.push('\n'),
                "span" if attribute(child, "ruby").is_none_or(|r| !r.starts_with("text")) => {
                    let Some(span) = self.span(child, around, from) else {
                        continue;
                    };
                    let start = flat.text.len();
                    let parts = flat.parts.len();
                    self.flatten(child, span, span.begin, depth + 1, flat);
                    if flat.sequence {
                        from = span.end.unwrap_or(from);
                    }
                    let speaker = attribute(child, "agent").map(|id| {
                        self.agents
                            .get(id)
                            .cloned()
                            .unwrap_or_else(|| id.to_owned())
                    });
                    // The innermost spans count.
                    if flat.parts.len() == parts && (is_timed(child) || speaker.is_some()) {
                        flat.parts.push(Part {
                            range: start..flat.text.len(),
                            span,
                            timed: is_timed(child),
                            speaker,
                        });
                    }
                }
                _ => {}
            }
        }
    }
}

#[derive(Debug, Default)]
struct Flat {
    text: String,
    parts: Vec<Part>,
    sequence: bool,
}

/// A span with its own time or speaker.
#[derive(Debug)]
struct Part {
    range: std::ops::Range<usize>,
    span: Span,
    timed: bool,
    speaker: Option<String>,
}

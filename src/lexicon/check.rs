//! Runs the lexicon's own examples: every entry must be found in its `finds` and in none of its `ignores`.

use crate::list::Use;
use crate::pipeline::normalize::Speech;
use crate::pipeline::{self, places, scan, segment};
use crate::transcript::{Cue, Format, Reading, Transcript};

use super::compile::{Compiled, compile};
use super::data::{Data, Examples, Kind};
use super::words::fold;
use super::{Lexicon, LexiconError, Text};

/// An example that does not hold.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Failure {
    /// Where the phrase stands.
    pub place: String,
    /// It stands in a layer below the topmost: what a later file changed may be meant to change it.
    pub below: bool,
    /// The kind of entry: `areas`, `elements`, …
    pub list: String,
    /// The entry's id.
    pub id: String,
    /// The phrase.
    pub phrase: String,
    /// Whether the entry should have been found.
    pub wanted: bool,
    /// What was found of that kind instead.
    pub found: Vec<String>,
}

impl std::fmt::Display for Failure {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Failure {
            place,
            below: _,
            list,
            id,
            phrase,
            wanted,
            found,
        } = self;
        let want = if *wanted {
            "should be found"
        } else {
            "should not be found"
        };
        let found = if found.is_empty() {
            "nothing of that kind".to_string()
        } else {
            found.join(", ")
        };
        write!(
            f,
            "{place}: {list}/{id} {want} in {phrase:?}; found there: {found}"
        )
    }
}

/// What a check ran, and what failed.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Report {
    /// How many entries have examples.
    pub entries: usize,
    /// How many phrases were run.
    pub phrases: usize,
    /// Entries without examples, rules that are never reached, forms that can never be met.
    pub gaps: Vec<LexiconError>,
    /// Those that do not hold.
    pub failures: Vec<Failure>,
}

/// Runs the examples of the built-in lexicon.
pub fn builtin() -> Report {
    compiled(&compiled_builtin())
}

/// The built-in lexicon's own examples.
pub fn builtin_examples() -> Vec<Examples> {
    compiled_builtin().examples
}

/// The built-in lexicon, compiled from its files with its examples, which the program does not carry otherwise.
fn compiled_builtin() -> Compiled {
    let files = Lexicon::builtin_files();
    let texts: Vec<Text<'_>> = files
        .iter()
        .map(|(file, text)| Text {
            file,
            text,
            layer: 0,
        })
        .collect();
    match compile(&texts) {
        Ok(compiled) => compiled,
        Err(e) => unreachable!("build.rs has compiled these texts: {e:?}"),
    }
}

/// Reads these files as one lexicon and runs its examples.
///
/// # Errors
/// The faults of the files themselves, each with its place; the examples are then not run.
pub fn texts(texts: &[Text<'_>]) -> Result<Report, Vec<LexiconError>> {
    compile(texts).map(|c| compiled(&c))
}

/// Runs the examples of a compiled lexicon, and looks for forms that no speech can ever meet.
pub fn compiled(c: &Compiled) -> Report {
    let lexicon = Lexicon::new(c.data.clone());
    let mut report = Report {
        entries: c.examples.len(),
        gaps: c.gaps.clone(),
        ..Report::default()
    };
    report.gaps.extend(never_met(c, &lexicon));
    let top = c.layers.top();
    for e in &c.examples {
        let phrases = e.finds.iter().map(|p| (p, true));
        let phrases = phrases.chain(e.ignores.iter().map(|p| (p, false)));
        for ((phrase, wanted), place) in phrases.zip(&e.places) {
            report.phrases += 1;
            let found = found(&lexicon, e, phrase, wanted);
            if found.contains(&e.id) != wanted {
                report.failures.push(Failure {
                    place: c.layers.shown(*place),
                    below: place.layer < top,
                    list: e.list.clone(),
                    id: e.id.clone(),
                    phrase: phrase.clone(),
                    wanted,
                    found,
                });
            }
        }
    }
    report
}

/// Forms that are read otherwise when they are spoken: hesitations and repeats in them are dropped before they are looked for.
fn never_met(c: &Compiled, lexicon: &Lexicon) -> Vec<LexiconError> {
    let mut out = Vec::new();
    for (list, keys) in [
        ("areas", &["forms"][..]),
        ("elements", &["names", "forms", "heard"]),
        ("faults", &["noun", "state", "verb", "lacks", "phrase"]),
        ("works", &["verb", "noun"]),
        ("trades", &["people"]),
        ("cues", &["forms"]),
        ("verdicts", &["forms"]),
    ] {
        for entry in c.layers.list(list) {
            for form in keys
                .iter()
                .filter_map(|k| entry.get(k))
                .flat_map(|n| n.members())
            {
                let Some(text) = form.text() else { continue };
                // Without any apostrophe "its" would be taken for "it's".
                let transcript = spoken(&format!("o'clock. {text}"));
                let reading = Reading::new(&transcript);
                let speech = Speech::new(&reading, lexicon);
                let read = speech.folded.strip_prefix("o'clock ").unwrap_or_default();
                let folded = fold(text);
                if read != folded && folded.contains(' ') {
                    out.push(c.layers.error(
                        form.place,
                        format!(
                            "{list}: {:?}: the form {text:?} can never be met, since it is read as {:?}: write that",
                            entry.id, read
                        ),
                    ));
                }
            }
        }
    }
    out
}

/// The ids of a kind's entries that a phrase gives.
fn found(lexicon: &Lexicon, e: &Examples, phrase: &str, wanted: bool) -> Vec<String> {
    let list = e.list.as_str();
    let transcript = spoken(phrase);
    let reading = Reading::new(&transcript);
    let speech = Speech::new(&reading, lexicon);
    let scan = scan::scan(&speech, lexicon);
    let data = lexicon.data();
    let mut out: Vec<String> = match list {
        "areas" => {
            let clauses = segment::clauses(&speech, &scan);
            let places = places::places(&speech, &clauses, &scan, lexicon);
            places
                .arrivals
                .iter()
                .filter_map(|a| places.house.places[a.place].kind)
                .map(|k| lexicon.area(k).id.clone())
                .collect()
        }
        "cues" => scan
            .cues
            .iter()
            .map(|(_, m)| lexicon.cue(m.entry).id.clone())
            .collect(),
        "verdicts" => {
            let padded = format!(" {} ", speech.folded.trim());
            let told = |f: &String| padded.contains(&format!(" {f} "));
            let said = data.verdicts.iter().filter(|v| v.forms.iter().any(told));
            said.map(|v| v.id.clone()).collect()
        }
        "dangers" => {
            let list = pipeline::list(std::slice::from_ref(&transcript), lexicon);
            let why = list.items.into_iter().flat_map(|i| i.why);
            why.filter_map(|w| w.strip_prefix("hazard: dangers/").map(str::to_string))
                .collect()
        }
        "descriptions" => {
            let rows = &data.descriptions;
            let meant = rows.iter().find(|r| r.id == e.id).map(|r| &r.element);
            let named = scan.mentions.iter().any(|m| {
                m.kind == Kind::Element && meant.is_some_and(|x| lexicon.element(m.entry).id == *x)
            });
            if named {
                vec![e.id.clone()]
            } else {
                Vec::new()
            }
        }
        "cautions" => {
            let list = pipeline::list(std::slice::from_ref(&transcript), lexicon);
            let why = list.items.into_iter().flat_map(|i| i.why);
            why.filter_map(|w| w.strip_prefix("caution: cautions/").map(str::to_string))
                .collect()
        }
        "limits" => {
            let rule = data.limits.iter().find(|l| l.id == e.id);
            let job = pipeline::Job {
                building_use: rule.and_then(|l| l.use_).or(Some(Use::Dwelling)),
                ..pipeline::Job::default()
            };
            let list = pipeline::list_of(std::slice::from_ref(&transcript), lexicon, &job);
            let notes = list.items.into_iter().flat_map(|i| i.notes);
            let entries = notes.filter_map(|n| n.entry);
            entries
                .filter_map(|e| e.strip_prefix("limits/").map(str::to_string))
                .collect()
        }
        "dispatch" => {
            let list = pipeline::list(std::slice::from_ref(&transcript), lexicon);
            let why = list.items.into_iter().flat_map(|i| i.why);
            why.filter_map(|w| w.strip_prefix("trade: dispatch/").map(rule_of))
                .collect()
        }
        // A part or a fault may be named in passing; it must not come into the list.
        "elements" | "faults" if !wanted => {
            let list_of = pipeline::list(std::slice::from_ref(&transcript), lexicon);
            let why = list_of
                .items
                .into_iter()
                .flat_map(|i| i.why)
                .chain(list_of.cleared.into_iter().flat_map(|c| c.why));
            let mark = if list == "elements" {
                "element: elements/"
            } else {
                "work: faults/"
            };
            why.filter_map(|w| w.strip_prefix(mark).map(str::to_string))
                .collect()
        }
        _ => scan
            .mentions
            .iter()
            .filter(|m| list_of(m.kind) == list)
            .map(|m| id(data, m.kind, m.entry))
            .collect(),
    };
    out.sort();
    out.dedup();
    out
}

fn list_of(kind: Kind) -> &'static str {
    match kind {
        Kind::Area => "areas",
        Kind::Element => "elements",
        Kind::Fault => "faults",
        Kind::Work => "works",
        Kind::Trade => "trades",
        Kind::Cue => "cues",
    }
}

fn id(data: &Data, kind: Kind, entry: u16) -> String {
    let i = entry as usize;
    match kind {
        Kind::Area => data.areas[i].id.clone(),
        Kind::Element => data.elements[i].id.clone(),
        Kind::Fault => data.faults[i].id.clone(),
        Kind::Work => data.works[i].id.clone(),
        Kind::Trade => data.trades[i].id.clone(),
        Kind::Cue => data.cues[i].id.clone(),
    }
}

/// A phrase as the transcript of a very short walk.
pub fn spoken(phrase: &str) -> Transcript {
    let cue = Cue {
        start: 0.0,
        end: 2.0,
        text: phrase.to_string(),
        speaker: None,
        words: Vec::new(),
    };
    Transcript {
        file: "example".to_string(),
        format: Format::Stamped,
        sha256: String::new(),
        cues: vec![cue],
        warnings: Vec::new(),
    }
}

/// The rule's id in a reason that may go on with the host.
fn rule_of(reason: &str) -> String {
    reason.split(',').next().unwrap_or(reason).to_string()
}

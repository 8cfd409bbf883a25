//! From YAML to the compact form, with the checks that need no transcript: unknown keys, duplicate ids, forms that two
//! entries claim, entries without examples, words that name nothing.

use std::collections::BTreeMap;

use super::data::{Data, Examples, Form, Kind, Role, Sense};
use super::forms;
use super::source::{Cue, SourceFile};
use super::words::fold;

/// A fault in a lexicon file.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{file}:{line}: {what}")]
pub struct LexiconError {
    /// The file, as given.
    pub file: String,
    /// The line, from 1.
    pub line: usize,
    /// What is wrong and what to do.
    pub what: String,
}

/// A file's name and its text.
pub struct Text<'a> {
    /// The name shown in errors.
    pub file: &'a str,
    /// The YAML.
    pub text: &'a str,
}

/// Reads all files as one lexicon.
///
/// # Errors
/// Every fault found, each with its file and line.
pub fn compile(texts: &[Text<'_>]) -> Result<(Data, Vec<Examples>), Vec<LexiconError>> {
    let mut c = Compiler::default();
    for t in texts {
        match serde_yaml::from_str::<SourceFile>(t.text) {
            Ok(file) => c.take(t, file),
            Err(e) => c.errors.push(LexiconError {
                file: t.file.to_string(),
                line: e.location().map_or(1, |l| l.line()),
                what: format!("{e}; lexicon/README.md lists the keys of every kind of entry"),
            }),
        }
    }
    c.names();
    c.finish()
}

#[derive(Default)]
struct Compiler {
    data: Data,
    examples: Vec<Examples>,
    errors: Vec<LexiconError>,
    /// Ids taken, with where: (list, id) -> file:line.
    ids: BTreeMap<(&'static str, String), String>,
    /// Forms as listed by hand: (claim, text) -> the entry that claims it.
    claimed: BTreeMap<(String, String), (Kind, u16)>,
    listed: Vec<(String, Sense)>,
    derived: Vec<(String, Sense)>,
    /// What must name an element's id or group, with where.
    named: Vec<(String, String, usize)>,
}

/// The line on which an entry's id (or, after it, one of its words) stands.
fn line_of(text: &str, id: &str, word: Option<&str>) -> usize {
    let tidy = |s: &str| {
        s.trim_end_matches([',', '}'])
            .trim()
            .trim_matches(['"', '\''])
            .to_string()
    };
    let mut at = text
        .lines()
        .position(|l| {
            l.split("id:")
                .nth(1)
                .is_some_and(|r| tidy(r.split(',').next().unwrap_or(r)) == id)
        })
        .unwrap_or(0);
    if let Some(word) = word
        && let Some(more) = text.lines().skip(at).position(|l| l.contains(word))
    {
        at += more;
    }
    at + 1
}

impl Compiler {
    fn fault(&mut self, t: &Text<'_>, id: &str, word: Option<&str>, what: String) {
        self.errors.push(LexiconError {
            file: t.file.to_string(),
            line: line_of(t.text, id, word),
            what,
        });
    }

    fn id(
        &mut self,
        t: &Text<'_>,
        list: &'static str,
        id: &str,
        finds: &[String],
        ignores: &[String],
    ) {
        if id.is_empty() {
            self.errors.push(LexiconError {
                file: t.file.to_string(),
                line: 1,
                what: format!("an entry of {list} has no id: give it one"),
            });
            return;
        }
        let here = format!("{}:{}", t.file, line_of(t.text, id, None));
        if let Some(there) = self.ids.insert((list, id.to_string()), here) {
            self.fault(
                t,
                id,
                None,
                format!("{list}: the id {id:?} is taken by the entry at {there}; choose another"),
            );
        }
        if finds.is_empty() {
            self.fault(t, id, None, format!("{list}: {id:?} has no example: add `finds` with a phrase in which it must be found"));
        }
        self.examples.push(Examples {
            list: list.to_string(),
            id: id.to_string(),
            finds: finds.to_vec(),
            ignores: ignores.to_vec(),
        });
    }

    fn claim(&mut self, t: &Text<'_>, claim: &str, id: &str, form: &str, sense: Sense) {
        let text = fold(form);
        if text.is_empty() {
            self.fault(
                t,
                id,
                Some(form),
                format!("{id:?}: the form {form:?} has no word in it"),
            );
            return;
        }
        let me = (sense.kind, sense.entry);
        if let Some(other) = self.claimed.insert((claim.to_string(), text.clone()), me)
            && other != me
        {
            let there = self.id_of(other);
            self.fault(
                t,
                id,
                Some(form),
                format!("{id:?} and {there:?} both claim {form:?}: leave it to one of them"),
            );
            return;
        }
        // "is in" is also spoken "the rod's in".
        if let Some(rest) = text
            .strip_prefix("is ")
            .or_else(|| text.strip_prefix("has "))
        {
            self.derived.push((format!("'s {rest}"), sense));
        }
        self.listed.push((text, sense));
    }

    fn derive(&mut self, form: &str, sense: Sense) {
        self.derived.push((fold(form), sense));
    }

    fn id_of(&self, (kind, entry): (Kind, u16)) -> String {
        let i = entry as usize;
        let d = &self.data;
        match kind {
            Kind::Area => d.areas.get(i).map(|e| e.id.clone()),
            Kind::Element => d.elements.get(i).map(|e| e.id.clone()),
            Kind::Fault => d.faults.get(i).map(|e| e.id.clone()),
            Kind::Work => d.works.get(i).map(|e| e.id.clone()),
            Kind::Trade => d.trades.get(i).map(|e| e.id.clone()),
            Kind::Cue => d.cues.get(i).map(|e| e.id.clone()),
        }
        .unwrap_or_default()
    }

    fn nouns(&mut self, t: &Text<'_>, id: &str, forms: &[String], sense: Sense, plural: bool) {
        for f in forms {
            self.claim(
                t,
                &format!("{:?}", sense.kind),
                id,
                f,
                Sense {
                    role: Role::Noun,
                    ..sense
                },
            );
            if plural {
                self.derive(
                    &forms::plural(&fold(f)),
                    Sense {
                        role: Role::Nouns,
                        ..sense
                    },
                );
            }
        }
    }

    fn verbs(
        &mut self,
        t: &Text<'_>,
        id: &str,
        forms: &[String],
        irregular: &BTreeMap<String, Vec<String>>,
        sense: Sense,
    ) {
        for f in forms {
            self.claim(
                t,
                &format!("{:?}", sense.kind),
                id,
                f,
                Sense {
                    role: Role::Base,
                    ..sense
                },
            );
            if let Some(others) = irregular.get(f) {
                for o in others {
                    let role = if o.ends_with("ing") || o.contains("ing ") {
                        Role::Ing
                    } else if o.ends_with('s') {
                        Role::Third
                    } else {
                        Role::Past
                    };
                    self.derive(o, Sense { role, ..sense });
                }
                continue;
            }
            let v = forms::verb(&fold(f));
            self.derive(
                &v.s,
                Sense {
                    role: Role::Third,
                    ..sense
                },
            );
            self.derive(
                &v.ing,
                Sense {
                    role: Role::Ing,
                    ..sense
                },
            );
            self.derive(
                &v.past,
                Sense {
                    role: Role::Past,
                    ..sense
                },
            );
            self.derive(
                &v.participle,
                Sense {
                    role: Role::Past,
                    ..sense
                },
            );
        }
    }

    fn take(&mut self, t: &Text<'_>, file: SourceFile) {
        for mut e in file.areas {
            let sense = self.sense(Kind::Area, self.data.areas.len());
            self.id(t, "areas", &e.id, &e.finds, &e.ignores);
            if e.name.is_empty() {
                self.fault(t, &e.id, None, format!("areas: {:?} has no `name`", e.id));
            }
            let (id, forms) = (e.id.clone(), std::mem::take(&mut e.forms));
            (e.finds, e.ignores) = Default::default();
            self.data.areas.push(e);
            self.nouns(t, &id, &forms, sense, true);
        }
        for mut e in file.elements {
            let sense = self.sense(Kind::Element, self.data.elements.len());
            self.id(t, "elements", &e.id, &e.finds, &e.ignores);
            if e.names.is_empty() {
                self.fault(
                    t,
                    &e.id,
                    None,
                    format!("elements: {:?} has no `names`", e.id),
                );
            }
            self.named.push((
                e.group.clone(),
                t.file.to_string(),
                line_of(t.text, &e.id, None),
            ));
            let (id, names, forms, mass) = (
                e.id.clone(),
                e.names.clone(),
                std::mem::take(&mut e.forms),
                e.mass,
            );
            let heard = std::mem::take(&mut e.heard);
            (e.finds, e.ignores) = Default::default();
            self.data.elements.push(e);
            for (i, n) in names.iter().enumerate() {
                let sense = Sense {
                    name: i as u8,
                    ..sense
                };
                self.nouns(t, &id, std::slice::from_ref(n), sense, !mass);
            }
            self.nouns(t, &id, &forms, sense, !mass);
            self.nouns(
                t,
                &id,
                &heard,
                Sense {
                    name: Sense::HEARD,
                    ..sense
                },
                !mass,
            );
        }
        for mut e in file.faults {
            let sense = self.sense(Kind::Fault, self.data.faults.len());
            self.id(t, "faults", &e.id, &e.finds, &e.ignores);
            if e.work.is_none() {
                self.fault(
                    t,
                    &e.id,
                    None,
                    format!(
                        "faults: {:?} has no `work`: which class does it ask for?",
                        e.id
                    ),
                );
            }
            for k in e
                .works
                .keys()
                .chain(e.hazards.keys())
                .chain(&e.part)
                .chain(&e.only)
            {
                self.named.push((
                    k.clone(),
                    t.file.to_string(),
                    line_of(t.text, &e.id, Some(k)),
                ));
            }
            let id = e.id.clone();
            let take = std::mem::take;
            let (noun, state, verb, lacks, phrase) = (
                take(&mut e.noun),
                take(&mut e.state),
                take(&mut e.verb),
                take(&mut e.lacks),
                take(&mut e.phrase),
            );
            (e.finds, e.ignores) = Default::default();
            self.data.faults.push(e);
            self.nouns(t, &id, &noun, sense, true);
            for f in &state {
                self.claim(
                    t,
                    "Fault",
                    &id,
                    f,
                    Sense {
                        role: Role::State,
                        ..sense
                    },
                );
            }
            for f in &phrase {
                self.claim(
                    t,
                    "Fault",
                    &id,
                    f,
                    Sense {
                        role: Role::Phrase,
                        ..sense
                    },
                );
            }
            self.verbs(t, &id, &verb, &BTreeMap::new(), sense);
            for f in &lacks {
                let sense = Sense {
                    role: Role::Lack,
                    ..sense
                };
                self.claim(t, "lack", &id, f, sense);
                let v = forms::verb(&fold(f));
                for form in [&v.s, &v.ing, &v.past] {
                    self.derive(form, sense);
                }
            }
        }
        for mut e in file.works {
            let sense = self.sense(Kind::Work, self.data.works.len());
            self.id(t, "works", &e.id, &e.finds, &e.ignores);
            if e.class.is_none() {
                self.fault(t, &e.id, None, format!("works: {:?} has no `class`", e.id));
            }
            for k in e.works.keys() {
                self.named.push((
                    k.clone(),
                    t.file.to_string(),
                    line_of(t.text, &e.id, Some(k)),
                ));
            }
            let (id, verb, noun, irregular) = (
                e.id.clone(),
                std::mem::take(&mut e.verb),
                std::mem::take(&mut e.noun),
                std::mem::take(&mut e.irregular),
            );
            (e.finds, e.ignores) = Default::default();
            self.data.works.push(e);
            self.verbs(t, &id, &verb, &irregular, sense);
            self.nouns(t, &id, &noun, sense, true);
        }
        for mut e in file.trades {
            let sense = self.sense(Kind::Trade, self.data.trades.len());
            self.id(t, "trades", &e.id, &e.finds, &e.ignores);
            if e.trade.is_none() || e.section.is_empty() {
                self.fault(
                    t,
                    &e.id,
                    None,
                    format!("trades: {:?} needs `trade` and `section`", e.id),
                );
            }
            let (id, people) = (e.id.clone(), std::mem::take(&mut e.people));
            (e.finds, e.ignores) = Default::default();
            self.data.trades.push(e);
            self.nouns(t, &id, &people, sense, true);
        }
        for e in file.cues {
            self.cue(t, e);
        }
        for mut e in file.dispatch {
            self.id(t, "dispatch", &e.id, &e.finds, &e.ignores);
            if e.trade.is_none() {
                self.fault(
                    t,
                    &e.id,
                    None,
                    format!("dispatch: {:?} has no `trade`", e.id),
                );
            }
            for k in &e.elements {
                self.named.push((
                    k.clone(),
                    t.file.to_string(),
                    line_of(t.text, &e.id, Some(k)),
                ));
            }
            e.near = e.near.iter().map(|w| fold(w)).collect();
            (e.finds, e.ignores) = Default::default();
            self.data.dispatch.push(e);
        }
        self.data.model.extend(file.model);
        for mut e in file.dangers {
            self.id(t, "dangers", &e.id, &e.finds, &e.ignores);
            if e.hazard.is_none() {
                self.fault(
                    t,
                    &e.id,
                    None,
                    format!("dangers: {:?} has no `hazard`", e.id),
                );
            }
            for k in &e.elements {
                self.named.push((
                    k.clone(),
                    t.file.to_string(),
                    line_of(t.text, &e.id, Some(k)),
                ));
            }
            e.near = e.near.iter().map(|w| fold(w)).collect();
            (e.finds, e.ignores) = Default::default();
            self.data.dangers.push(e);
        }
    }

    fn cue(&mut self, t: &Text<'_>, mut e: Cue) {
        let sense = Sense {
            role: Role::Phrase,
            ..self.sense(Kind::Cue, self.data.cues.len())
        };
        self.id(t, "cues", &e.id, &e.finds, &e.ignores);
        let (id, forms, claim) = (
            e.id.clone(),
            std::mem::take(&mut e.forms),
            format!("cue {:?}", e.kind),
        );
        for k in &e.on {
            self.named.push((
                k.clone(),
                t.file.to_string(),
                line_of(t.text, &e.id, Some(k)),
            ));
        }
        (e.finds, e.ignores) = Default::default();
        self.data.cues.push(e);
        for f in &forms {
            self.claim(t, &claim, &id, f, sense);
        }
    }

    fn sense(&self, kind: Kind, entry: usize) -> Sense {
        Sense {
            kind,
            entry: u16::try_from(entry).unwrap_or(u16::MAX),
            role: Role::Noun,
            name: 0,
        }
    }

    /// Every name of an element or group that is used must exist.
    fn names(&mut self) {
        let groups: Vec<&String> = self.data.trades.iter().flat_map(|t| &t.groups).collect();
        let ids: Vec<&String> = self.data.elements.iter().map(|e| &e.id).collect();
        let mut errors = Vec::new();
        for (name, file, line) in &self.named {
            if groups.contains(&name) || ids.contains(&name) {
                continue;
            }
            let near = groups.iter().chain(&ids).max_by(|a, b| {
                strsim::jaro_winkler(a, name)
                    .total_cmp(&strsim::jaro_winkler(b, name))
                    .then_with(|| b.cmp(a))
            });
            let hint = near
                .map(|n| format!("; did you mean {n:?}?"))
                .unwrap_or_default();
            errors.push(LexiconError {
                file: file.clone(),
                line: *line,
                what: format!("{name:?} is neither an element's id nor a trade's group{hint}"),
            });
        }
        self.errors.extend(errors);
    }

    fn finish(mut self) -> Result<(Data, Vec<Examples>), Vec<LexiconError>> {
        if !self.errors.is_empty() {
            return Err(self.errors);
        }
        let mut all: BTreeMap<String, Vec<Sense>> = BTreeMap::new();
        for (text, sense) in self.listed {
            all.entry(text).or_default().push(sense);
        }
        // A derived form yields to one that another entry of its kind lists by hand, or derived before it.
        for (text, sense) in self.derived {
            let senses = all.entry(text).or_default();
            let lack = sense.role == Role::Lack;
            if !senses.iter().any(|s| {
                s.kind == sense.kind && (s.role == Role::Lack) == lack && s.entry != sense.entry
            }) {
                senses.push(sense);
            }
        }
        self.data.forms = all
            .into_iter()
            .map(|(text, mut senses)| {
                senses.sort();
                senses.dedup();
                Form { text, senses }
            })
            .collect();
        Ok((self.data, self.examples))
    }
}

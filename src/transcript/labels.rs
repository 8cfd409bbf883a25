//! Speaker labels that stand in the text: `SPEAKER 1:`, `Dave:`, `[S2]`, `>>`, and dashes before two speakers' lines.

use std::collections::{BTreeMap, HashSet};
use std::sync::LazyLock;

use super::draft::Draft;

/// What a short stretch before a colon or a stamp is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Class {
    /// A label beyond doubt: `Speaker 2`.
    Certain,
    /// Looks like a name; it is one if it comes back.
    Likely,
    /// Written like a name, yet a word of the building or of speech: `Kitchen`, `Note`.
    Word,
}

/// Words that are no names, however they are written: before a colon they belong to what was said.
const WORDS: &str = " a ac access again agreed alarm all also and another appliance appliances approx area as at attic \
    backsplash back balcony base baseboard baseboards basement bath bathroom bathrooms bedroom bedrooms blinds block boiler \
    brick building but cabinet cabinets carpet caulk ceiling ceilings cellar cladding cleaning closet closets common concrete \
    conservatory corridor counter countertop countertops courtyard crawlspace damage date day deck den dining dishwasher \
    door doors downspout downspouts downstairs drain drainage drains drive driveway drywall duct ducts eaves electric \
    electrical elevation elevator en end ensuite entrance entry exterior external facade fan faucet fence fifth final finally \
    fire first fixture fixtures flashing flat floor floors foundation fourth foyer framing fridge front furnace garage garden \
    gate gfci glass grade great ground grout gutter gutters hall hallway handle hardware heater heating here hinge hvac i \
    inside insulation interior internal island issue item items job joint kitchen landing landscaping last laundry left level \
    light lighting lights living lobby location loft lounge lower main mantel master mirror mudroom next no north note notes \
    now nursery office oh ok okay one other outlet outlets outside overall oven owner paint painting panel pantry parking patio \
    plan plaster plumbing point porch powder primary priority problem project punch question radiator railing range rear \
    reason remember reminder result right roof room rooms screed second section shed shelf shelves shower siding sill sink site \
    skirting skylight slab so soffit south spare stair staircase stairs stairwell status stove street studio study suite \
    summary sunroom switch switches tap terrace that the then there third this three tile tiles time title to today toilet \
    top trim tub two unit up upper upstairs utility vanity vent ventilation verdict wall wallpaper walls wardrobe warning \
    wc weather well west window windows wiring work yard yeah yes east ";

/// The same, to be looked up.
static NO_NAMES: LazyLock<HashSet<&str>> = LazyLock::new(|| WORDS.split_whitespace().collect());

/// Judges a possible label, already without its colon.
pub(crate) fn classify(label: &str) -> Option<Class> {
    let label = label.trim_matches(|c: char| {
        c.is_whitespace() || matches!(c, '*' | '_' | '#' | '-' | '|' | ',' | '–')
    });
    let bare = label
        .split_once('(')
        .map_or(label, |(name, _)| name.trim_end());
    if bare.is_empty() || bare.len() > 40 {
        return None;
    }
    if is_certain(bare) {
        return Some(Class::Certain);
    }
    let mut class = Class::Likely;
    let mut count = 0;
    for word in bare.split_whitespace() {
        count += 1;
        let mut chars = word.chars();
        let first = chars.next()?;
        let fits = |c: char| c.is_alphanumeric() || matches!(c, '.' | '\'' | '’' | '-' | '_' | '&');
        if !(first.is_uppercase() || (count > 1 && first.is_ascii_digit())) || !chars.all(fits) {
            return None;
        }
        let lower = word.trim_end_matches('.').to_lowercase();
        if NO_NAMES.contains(lower.as_str()) {
            class = Class::Word;
        }
    }
    (count <= 3).then_some(class)
}

/// `Speaker`, `SPEAKER_00`, `Speaker A`, `Person 2`, `spk_1`, `S1`, `Unknown speaker`.
fn is_certain(label: &str) -> bool {
    let lower = label.to_lowercase();
    let lower = ["unknown ", "unidentified ", "new "]
        .iter()
        .find_map(|p| lower.strip_prefix(p))
        .unwrap_or(&lower);
    for stem in [
        "speaker",
        "spk",
        "spkr",
        "person",
        "participant",
        "voice",
        "interviewer",
        "interviewee",
    ] {
        if let Some(rest) = lower.strip_prefix(stem) {
            let mark = rest.trim_start_matches([' ', '_', '-', '#']);
            let numbered =
                !mark.is_empty() && mark.bytes().all(|b| b.is_ascii_digit()) && mark.len() <= 4;
            let lettered = mark.len() == 1
                && mark.len() < rest.len()
                && mark.as_bytes()[0].is_ascii_alphabetic();
            let alone = rest.is_empty() && !matches!(stem, "spk" | "spkr" | "voice" | "person");
            return numbered || lettered || alone;
        }
    }
    lower
        .strip_prefix('s')
        .is_some_and(|n| (1..=2).contains(&n.len()) && n.bytes().all(|b| b.is_ascii_digit()))
}

/// A label at the start of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Found<'a> {
    /// The label without colon, brackets or stars.
    pub name: &'a str,
    /// How sure it is.
    pub class: Class,
    /// Where the words begin, in bytes of the line.
    pub rest: usize,
}

/// Finds a label at the start of a line: `Name: …`, `[Name]: …`, `[Speaker 1] …`, `**Name:** …`.
pub(crate) fn label_at(line: &str) -> Option<Found<'_>> {
    let body =
        line.trim_start_matches(|c: char| c.is_whitespace() || c == '*' || c == '_' || c == '>');
    let from = line.len() - body.len();
    let trim = |s: &str| {
        s.len()
            - s.trim_start_matches(|c: char| c.is_whitespace() || c == '*')
                .len()
    };
    let close = match body.as_bytes().first()? {
        b'[' => Some(b']'),
        b'(' => Some(b')'),
        _ => None,
    };
    if let Some(close) = close {
        let end = body.bytes().take(44).position(|b| b == close)?;
        let name = body[1..end].trim();
        let after = &body[end + 1..];
        let colon = after.starts_with(':');
        let class = classify(name)?;
        let rest = from + end + 1 + usize::from(colon);
        let fits = colon || class == Class::Certain;
        return fits.then(|| Found {
            name,
            class,
            rest: rest + trim(&line[rest..]),
        });
    }
    let colon = body.bytes().take(60).position(|b| b == b':')?;
    let after = &body[colon + 1..];
    if !(after.is_empty() || after.starts_with(|c: char| c.is_whitespace() || c == '*' || c == '_'))
    {
        return None;
    }
    let name = body[..colon].trim_end_matches(['*', '_']).trim_end();
    let class = classify(name)?;
    let rest = from + colon + 1;
    Some(Found {
        name,
        class,
        rest: rest + trim(&line[rest..]),
    })
}

/// Moves labels from the text to the speaker, and parts cues in which several speak.
///
/// `Likely` names count only where they come back, or where half of the cues carry labels and another one is certain;
/// with `certain_only` they never do. A cue without a label is spoken by whoever spoke before, until a dash or `>>` marks a change.
pub(crate) fn apply(drafts: Vec<Draft>, certain_only: bool) -> Vec<Draft> {
    let mut counts: BTreeMap<String, (usize, Class)> = BTreeMap::new();
    let mut marks = false;
    for line in drafts
        .iter()
        .filter(|d| d.speaker.is_none())
        .flat_map(|d| d.text.split('\n'))
    {
        marks |= change_mark(line) > 0;
        if let Some(found) = label_at(&line[change_mark(line)..]) {
            counts
                .entry(found.name.to_owned())
                .or_insert((0, found.class))
                .0 += 1;
        }
    }
    if counts.is_empty() && !marks {
        return drafts;
    }
    let labelled: usize = counts
        .values()
        .filter(|c| c.1 != Class::Word)
        .map(|c| c.0)
        .sum();
    let sure = counts
        .values()
        .any(|c| c.1 == Class::Certain || (c.1 == Class::Likely && c.0 > 1));
    // Where rooms and parts stand before colons, so may other words: it is a list, not a talk.
    let words: usize = counts
        .values()
        .filter(|c| c.1 == Class::Word)
        .map(|c| c.0)
        .sum();
    let certain_only = certain_only || words >= labelled;
    let half = labelled * 2 >= drafts.len();
    let shouted = |name: &str| name.len() > 2 && !name.chars().any(char::is_lowercase);
    counts.retain(|name, (count, class)| match class {
        Class::Certain => true,
        Class::Likely => !certain_only && (*count > 1 || half && (sure || shouted(name))),
        Class::Word => false,
    });
    let mut out = Vec::with_capacity(drafts.len());
    let mut current: Option<String> = None;
    for draft in drafts {
        if draft.speaker.is_some() {
            current = None;
            out.push(draft);
            continue;
        }
        part(draft, &counts, &mut current, &mut out);
    }
    out
}

/// Length of a speaker-change mark at the start of a line: `>>`, `- `, `-W`; 0 where there is none.
fn change_mark(line: &str) -> usize {
    let body = line.trim_start();
    let lead = line.len() - body.len();
    let marks = body.len() - body.trim_start_matches('>').len();
    if marks >= 2 {
        return lead + marks;
    }
    for dash in ["-", "–", "—"] {
        if let Some(rest) = body.strip_prefix(dash) {
            let word = rest
                .trim_start()
                .starts_with(|c: char| c.is_alphanumeric() || c == '[' || c == '"');
            return if word { lead + dash.len() } else { 0 };
        }
    }
    0
}

/// Parts one draft where its lines change speaker.
fn part(
    draft: Draft,
    known: &BTreeMap<String, (usize, Class)>,
    current: &mut Option<String>,
    out: &mut Vec<Draft>,
) {
    let dashes = draft
        .text
        .split('\n')
        .filter(|l| change_mark(l) > 0)
        .count();
    // Stretches of words, each with its speaker; marks and labels lie between them.
    let mut parts: Vec<(std::ops::Range<usize>, Option<String>)> = Vec::new();
    let mut at = 0;
    for line in draft.text.split('\n') {
        let end = at + line.len();
        let mark = change_mark(line);
        let arrows = line[..mark].contains(">>");
        let label = label_at(&line[mark..]).filter(|f| known.contains_key(f.name));
        if let Some(found) = label {
            *current = Some(found.name.to_owned());
            parts.push((at + mark + found.rest..end, current.clone()));
        } else if mark > 0 && (arrows || dashes > 1) {
            *current = None;
            parts.push((at + mark..end, None));
        } else if let Some(last) = parts.last_mut() {
            last.0.end = end;
        } else {
            parts.push((at + mark..end, current.clone()));
        }
        at = end + 1;
    }
    parts.retain(|(range, _)| !draft.text[range.clone()].trim().is_empty());
    match parts.len() {
        // Kept although empty: its time may be the end of the one before.
        0 => out.push(Draft {
            text: String::new(),
            words: Vec::new(),
            speaker: current.clone(),
            ..draft
        }),
        1 if parts[0].0 == (0..draft.text.len()) => {
            out.push(Draft {
                speaker: parts.remove(0).1,
                ..draft
            });
        }
        1 => {
            let one = draft.parts(parts).remove(0);
            out.push(Draft {
                start: draft.start,
                end: draft.end,
                ..one
            });
        }
        _ => out.extend(draft.parts(parts)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_a_label() {
        use Class::{Certain, Likely, Word};
        for (label, class) in [
            ("SPEAKER 1", Some(Certain)),
            ("SPEAKER_00", Some(Certain)),
            ("Speaker A", Some(Certain)),
            ("speaker", Some(Certain)),
            ("spk_0", Some(Certain)),
            ("S2", Some(Certain)),
            ("Unknown speaker", Some(Certain)),
            ("**Dave**", Some(Likely)),
            ("MR. O'NEIL", Some(Likely)),
            ("Dave (builder)", Some(Likely)),
            ("Kitchen", Some(Word)),
            ("Upstairs bath", None),
            ("Upstairs Bath", Some(Word)),
            ("so what I mean is", None),
            ("Persona", Some(Likely)),
            ("The first thing we do here", None),
            ("", None),
        ] {
            assert_eq!(classify(label), class, "{label}");
        }
    }

    fn run(texts: &[&str]) -> Vec<(Option<String>, String)> {
        let drafts = texts.iter().enumerate().map(|(i, t)| Draft {
            start: i as f64,
            end: Some(i as f64 + 1.0),
            text: (*t).to_owned(),
            ..Draft::default()
        });
        apply(drafts.collect(), false)
            .into_iter()
            .map(|d| (d.speaker, d.text.trim().to_owned()))
            .collect()
    }

    fn row(who: &str, text: &str) -> (Option<String>, String) {
        (
            Some(who.to_owned()).filter(|w| !w.is_empty()),
            text.to_owned(),
        )
    }

    #[test]
    fn labels_move_to_the_speaker() {
        assert_eq!(
            run(&[
                "Dave: the door sticks.",
                "and it squeaks",
                "Sue: no.",
                "Dave: it does."
            ]),
            [
                row("Dave", "the door sticks."),
                row("Dave", "and it squeaks"),
                row("Sue", "no."),
                row("Dave", "it does.")
            ]
        );
        assert_eq!(
            run(&["[SPEAKER_01] hello", ">> and you"]),
            [row("SPEAKER_01", "hello"), row("", "and you")]
        );
        assert_eq!(
            run(&["Speaker 1:\nhello", "there"]),
            [row("Speaker 1", "hello"), row("Speaker 1", "there")]
        );
    }

    #[test]
    fn rooms_and_single_words_are_no_speakers() {
        let list = [
            "Kitchen: tap drips",
            "Thermostat: loose",
            "Hall: dent",
            "Thermostat: scratched",
        ];
        assert_eq!(run(&list), list.map(|t| row("", t)));
        let texts = [
            "Kitchen: the tap drips",
            "Kitchen: so does the other",
            "Countertop: chipped",
            "fine",
        ];
        assert_eq!(run(&texts), texts.map(|t| row("", t)));
    }

    #[test]
    fn dashes_part_a_cue() {
        assert_eq!(
            run(&["- Is it dim?\n- It is."]),
            [row("", "Is it dim?"), row("", "It is.")]
        );
        assert_eq!(run(&["- only one"]), [row("", "only one")]);
        assert_eq!(
            run(&["-two", "the -3 one"]),
            [row("", "two"), row("", "the -3 one")]
        );
    }
}

//! The stages, in order: from a transcript to the list.
//!
//! [`normalize`] words and punctuation, [`scan`] the lexicon's forms in one pass, [`segment`] clauses, [`places`] where
//! the speaker is, [`mentions`] and [`context`] what a clause names and how, [`events`] what it says, [`findings`] what
//! comes of it, [`trades`] and [`details`] the fields, [`merge`] the list. Stages do not print, read files or know of
//! the command line.

#[allow(clippy::nonminimal_bool)]
pub mod context;
pub mod deadlines;
pub mod described;
pub mod details;
#[allow(clippy::nonminimal_bool)]
pub mod events;
pub mod findings;
pub mod grammar;
pub mod hosts;
pub mod house;
#[allow(clippy::never_loop)]
pub mod mentions;
pub mod merge;
pub mod misheard;
pub mod model;
pub mod normalize;
pub mod notes;
pub mod numbers;
pub mod passed;
pub mod places;
pub mod scan;
#[allow(clippy::if_same_then_else)]
pub mod segment;
mod starts;
pub mod trace;
pub mod trades;
pub mod weigh;
pub mod wording;

use std::ops::Range;

use crate::building::{Building, Heard};
use crate::lexicon::{Kind, Lexicon};
use crate::list::{Cleared, FollowUp, Item, List, PassedOver, Said, Use, Visit};
use crate::transcript::{Reading, Transcript};

use findings::{Finding, Outcome};
use normalize::Speech;
use places::Places;

/// Reads the walks of one job, in the order given, and makes their list.
///
/// Walks are named `w1`, `w2`, … in that order. The same input gives the same list, byte for byte.
pub fn list(walks: &[Transcript], lexicon: &Lexicon) -> List {
    list_of(walks, lexicon, &Job::default())
}

/// What is known of a job besides its walks.
#[derive(Debug, Clone, Copy, Default)]
pub struct Job<'a> {
    /// What the building is for: with it, spoken measures are held against published limits.
    pub building_use: Option<Use>,
    /// The building, where it is known: its areas' names, and what is to be looked at.
    pub building: Option<&'a Building>,
    /// When each walk was recorded (ISO 8601), in their order; one alone holds for all.
    pub recorded: &'a [String],
}

impl Job<'_> {
    fn recorded(&self, walk: usize) -> Option<String> {
        match self.recorded {
            [one] => Some(one.clone()),
            all => all.get(walk).cloned(),
        }
    }
}

/// As [`list`], with what is known of the job.
pub fn list_of(walks: &[Transcript], lexicon: &Lexicon, job: &Job<'_>) -> List {
    let mut list = List::new(walks);
    let mut heard = Heard::new();
    for (i, t) in walks.iter().enumerate() {
        let id = format!("w{}", i + 1);
        list.walks[i].recorded = job.recorded(i);
        let heard = job.building.map(|_| &mut heard);
        walk(&mut list, &id, t, lexicon, heard);
    }
    merge::finish(&mut list, lexicon);
    list.passed_over = merge::prune_passed(
        std::mem::take(&mut list.passed_over),
        &list.items,
        &list.cleared,
    );
    notes::cautions(&mut list, lexicon);
    notes::trades(&mut list, lexicon);
    if let Some(building) = job.building {
        building.hold(&mut list, &heard, lexicon);
    }
    notes::limits(&mut list, lexicon, |item| match job.building {
        Some(b) => b.use_of(&item.area, job.building_use),
        None => job.building_use,
    });
    deadlines::date(&mut list);
    for item in &mut list.items {
        item.words.clear();
    }
    list
}

/// Reads one walk into the list.
fn walk(
    list: &mut List,
    id: &str,
    transcript: &Transcript,
    lexicon: &Lexicon,
    heard: Option<&mut Heard>,
) {
    let reading = Reading::new(transcript);
    let mut stages = trace::Stages::new(&reading, lexicon);
    let left_over = passed::left_over(&stages, lexicon);
    let trace::Stages {
        speech,
        scan,
        clauses,
        places,
        matters,
    } = &mut stages;
    let (scan, clauses) = (&*scan, &*clauses);
    let end = transcript.cues.iter().map(|c| c.end).fold(0.0, f64::max);
    let w = Walk {
        id,
        speech,
        lexicon,
        places,
        starts: starts(matters.iter().flat_map(|(_, found)| found)),
    };
    w.visits(list, end);
    if let Some(heard) = heard {
        w.heard(scan, heard);
    }
    let before = list.passed_over.len();
    let starts = w.starts.clone();
    for (_, found) in matters {
        for f in found {
            match &f.outcome {
                Outcome::Item { .. } => {
                    let next = starts.partition_point(|s| *s < f.scope.end);
                    let until = starts.get(next).copied().unwrap_or(usize::MAX);
                    let item = w.item(f, until, scan, clauses);
                    list.items.push(item);
                }
                Outcome::Cleared(kind) => list.cleared.push(Cleared {
                    id: String::new(),
                    area: w.path(f.place),
                    element: f.thing.as_ref().map(|t| t.name.clone()),
                    kind: *kind,
                    confidence: f.confidence,
                    said: w.said(&f.said),
                    why: std::mem::take(&mut f.why),
                }),
                Outcome::Passed(reason) => {
                    for said in w.said(&f.said).into_iter().take(1) {
                        list.passed_over.push(PassedOver {
                            said,
                            reason: (*reason).to_string(),
                        });
                    }
                }
            }
        }
    }
    for (tokens, reason) in left_over {
        for said in w.said(&[tokens]) {
            let reason = reason.clone();
            list.passed_over.push(PassedOver { said, reason });
        }
    }
    list.passed_over[before..].sort_by(|a, b| a.said.start.total_cmp(&b.said.start));
}

/// What is needed to turn findings of one walk into parts of the list.
struct Walk<'a, 'r> {
    id: &'a str,
    speech: &'a Speech<'r>,
    lexicon: &'a Lexicon,
    places: &'a Places,
    /// Where the words of items and marks begin, in order.
    starts: Vec<usize>,
}

impl Walk<'_, '_> {
    /// The path of a place; where nothing was named yet, the first place that is.
    fn path(&self, place: Option<usize>) -> Vec<String> {
        let place = place.or_else(|| self.places.arrivals.first().map(|a| a.place));
        match place {
            Some(p) => self.places.house.places[p].path.clone(),
            None => vec!["Unplaced".to_string()],
        }
    }

    fn visits(&self, list: &mut List, end: f64) {
        let start = |token: usize| {
            self.speech
                .reading
                .span(self.speech.tokens[token].said.clone())
                .0
        };
        let arrivals = &self.places.arrivals;
        let mut areas = merge::Areas::of(list);
        for (i, a) in arrivals.iter().enumerate() {
            let from = start(a.token);
            let to = arrivals
                .get(i + 1)
                .map_or(end.max(from), |n| start(n.token).max(from));
            let place = &self.places.house.places[a.place];
            let kind = place.kind.map(|k| self.lexicon.area(k).id.clone());
            areas.visit(
                &place.path,
                kind,
                Visit {
                    walk: self.id.to_string(),
                    start: seconds(from),
                    end: seconds(to),
                },
            );
        }
    }

    /// Which parts were named where.
    fn heard(&self, scan: &scan::Scan, heard: &mut Heard) {
        let arrivals = &self.places.arrivals;
        for m in scan.mentions.iter().filter(|m| m.kind == Kind::Element) {
            let at = arrivals.partition_point(|a| a.token <= m.tokens.start);
            if let Some(a) = at.checked_sub(1).map(|i| &arrivals[i]) {
                let path = self.places.house.places[a.place].path.clone();
                heard.insert((path, m.entry));
            }
        }
    }

    fn said(&self, ranges: &[Range<usize>]) -> Vec<Said> {
        ranges
            .iter()
            .filter(|r| !r.is_empty())
            .map(|r| {
                let bytes = self.speech.said(r);
                let (start, end) = self.speech.reading.span(bytes.clone());
                Said {
                    walk: self.id.to_string(),
                    start: seconds(start),
                    end: seconds(end),
                    text: self.speech.reading.text[bytes].to_string(),
                    private: false,
                }
            })
            .collect()
    }

    /// The item of a finding, whose reasons it takes over.
    fn item(
        &self,
        f: &mut Finding,
        until: usize,
        scan: &scan::Scan,
        clauses: &[segment::Clause],
    ) -> Item {
        let Outcome::Item {
            work,
            fault,
            deed,
            standing,
        } = f.outcome
        else {
            unreachable!("only items are made into items");
        };
        let area = f
            .place
            .and_then(|p| self.places.house.places[p].kind)
            .map(|k| self.lexicon.area(k).id.as_str());
        let sent = trades::send(
            &trades::Case {
                finding: f,
                work,
                deed,
                area,
                until,
            },
            self.speech,
            scan,
            clauses,
            self.lexicon,
        );
        let first = f.said.first().map_or(f.scope.start, |r| r.start);
        let next = self.starts.partition_point(|s| *s <= first);
        let own = |s: &usize| f.said.iter().any(|r| r.start == *s);
        let until = self.starts[next..].iter().copied().find(|s| !own(s));
        let until = until.unwrap_or(self.speech.tokens.len());
        let d = details::details(f, until, self.speech, scan, clauses, self.lexicon);
        let element = f.thing.as_ref().map(|t| t.name.clone());
        let fault = fault.map(|x| self.lexicon.fault(x).name.clone());
        let mut why = std::mem::take(&mut f.why);
        why.reserve_exact(1 + usize::from(d.hazard_why.is_some()));
        why.push(sent.why);
        why.extend(d.hazard_why.clone());
        Item {
            id: String::new(),
            number: 0,
            area: self.path(f.place),
            text: wording::sentence(
                work,
                deed,
                element.as_deref(),
                fault.as_deref(),
                d.count,
                d.spot.as_deref(),
                self.lexicon,
            ),
            spot: d.spot,
            element,
            fault,
            work,
            trade: sent.trade,
            section: self
                .lexicon
                .entry_of(sent.trade)
                .map(|t| t.section.clone())
                .filter(|s| !s.is_empty()),
            standing,
            count: d.count,
            measure: d.measure,
            urgent: d.urgent,
            by: d.by,
            closed: None,
            by_date: None,
            hazard: d.hazard,
            caution: None,
            caution_source: None,
            notes: Vec::new(),
            follow_up: d.follow_up,
            promised_by: d.follow_up.map(|_: FollowUp| "speaker".to_string()),
            confidence: f.confidence,
            said: self.said(&f.said),
            why,
            features: std::mem::take(&mut f.features),
            words: d.words,
        }
    }
}

/// Where what became something begins, in order.
fn starts<'a>(found: impl Iterator<Item = &'a Finding>) -> Vec<usize> {
    let mut starts: Vec<usize> = found
        .filter(|f| !matches!(f.outcome, Outcome::Passed(_)))
        .filter_map(|f| f.said.first().map(|s| s.start))
        .collect();
    starts.sort_unstable();
    starts
}

/// Seconds as the list gives them: to the hundredth.
fn seconds(s: f64) -> f64 {
    (s * 100.0).round() / 100.0
}

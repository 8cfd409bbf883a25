//! Stage 6: what comes of what was said. Events of one part that follow each other make a matter; a matter becomes
//! items, a cleared mark, or is passed over with a reason.

use std::ops::Range;

use crate::lexicon::Lexicon;
use crate::lexicon::source::CueKind;
use crate::list::{ClearedKind, Standing, Work};

use super::context::Context;
use super::events::{self, Event, Saying, Target};
use super::grammar;
use super::mentions::{self, Thing};
use super::normalize::Speech;
use super::places::Places;
use super::scan::Scan;
use super::segment::{Clause, Joint};

/// How many sentences a part stays in mind with nothing said of it.
const MEMORY: usize = 3;

/// Events of one part (or of parts named in one breath) that follow each other.
#[derive(Debug, Clone, PartialEq)]
pub struct Matter {
    /// The parts; empty for the place as a whole.
    pub things: Vec<Thing>,
    /// What was said, in order.
    pub events: Vec<Event>,
    /// The place.
    pub place: Option<usize>,
    /// Its words, from the first naming to the last event.
    pub tokens: Range<usize>,
    /// The clause of its first naming.
    pub first: usize,
    /// The clause of its last event or naming.
    pub last: usize,
    /// The entry of a seal of the parts that was named after them.
    pub via: Option<u16>,
}

/// What became of a matter.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// Something to do.
    Item {
        /// The class of work.
        work: Work,
        /// The fault's entry.
        fault: Option<u16>,
        /// The work's entry.
        deed: Option<u16>,
        /// How it stands.
        standing: Standing,
    },
    /// Looked at and fine.
    Cleared(ClearedKind),
    /// Neither, and why.
    Passed(&'static str),
}

/// One finding: an outcome for one part, with the words that carry it.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// What became of it.
    pub outcome: Outcome,
    /// The part; none for the place as a whole.
    pub thing: Option<Thing>,
    /// The place.
    pub place: Option<usize>,
    /// The stretches of words that carry it.
    pub said: Vec<Range<usize>>,
    /// The matter's words, for counts, measures and the like.
    pub scope: Range<usize>,
    /// How it was decided.
    pub why: Vec<String>,
    /// From 0 to 1.
    pub confidence: f64,
}

/// Gathers the events of all clauses into matters.
pub fn matters(
    speech: &Speech<'_>,
    clauses: &[Clause],
    scan: &Scan,
    lexicon: &Lexicon,
    places: &Places,
) -> Vec<Matter> {
    let mut g = Gather {
        clauses,
        lexicon,
        out: Vec::new(),
        open: None,
        pending: Vec::new(),
        asked: false,
        recent: None,
    };
    for (c, clause) in clauses.iter().enumerate() {
        let cx = Context::new(speech, scan, clause);
        let read = events::read(&cx, lexicon, c, &places.named);
        g.clause(c, &cx, read, places.of(c, clauses));
    }
    g.flush();
    g.out
}

struct Gather<'a> {
    clauses: &'a [Clause],
    lexicon: &'a Lexicon,
    out: Vec<Matter>,
    open: Option<Matter>,
    /// Parts named alone, waiting for what is said of them: "the frame, the sill and the casing are chipped".
    pending: Vec<Thing>,
    /// The last sentence asked something.
    asked: bool,
    /// The part named last in any way, with its sentence and place: what "it" means where nothing else is at hand.
    recent: Option<(Thing, usize, Option<usize>)>,
}

impl Gather<'_> {
    fn flush(&mut self) {
        if let Some(m) = self.open.take()
            && !m.events.is_empty()
        {
            self.out.push(m);
        }
    }

    fn start(&mut self, things: Vec<Thing>, place: Option<usize>, c: usize, at: usize) {
        self.flush();
        let tokens = at..at;
        self.open = Some(Matter {
            things,
            events: Vec::new(),
            place,
            tokens,
            first: c,
            last: c,
            via: None,
        });
    }

    fn clause(
        &mut self,
        c: usize,
        cx: &Context<'_, '_>,
        mut read: events::Read,
        place: Option<usize>,
    ) {
        let clause = &self.clauses[c];
        let elsewhere = self.open.as_ref().is_some_and(|m| m.place != place);
        let stale = self
            .open
            .as_ref()
            .is_some_and(|m| clause.sentence > self.clauses[m.last].sentence + MEMORY);
        if elsewhere || stale {
            self.flush();
            self.pending.clear();
        }
        if clause.joint == Joint::Start {
            self.pending.clear();
            self.answer(c, cx, &mut read);
            self.asked = clause.question;
        }
        self.asked |= clause.question;
        // "the left one": one of the parts spoken of just before, of which something else is said.
        if let Some(one) = &read.one
            && let Some(m) = &self.open
            && !m.things.is_empty()
        {
            let things = m
                .things
                .iter()
                .map(|t| Thing {
                    tokens: one.clone(),
                    phrase: one.clone(),
                    plural: false,
                    fresh: true,
                    ..t.clone()
                })
                .collect();
            let had = !m.events.is_empty();
            if had {
                self.start(things, place, c, one.start);
            } else if let Some(m) = &mut self.open {
                m.things = things;
            }
        }
        let events = std::mem::take(&mut read.events);
        let silent = events.iter().all(|e| matches!(e.saying, Saying::Passed(_)));
        // "It isn't screwed to the, no, it is.": taken back in the middle of it.
        let words = cx.speech.words(&clause.tokens);
        if words == "no"
            && let Some(next) = self.clauses.get(c + 1)
            && matches!(
                cx.speech.word(next.tokens.start),
                "it" | "that" | "they" | "there" | "he" | "she"
            )
            && matches!(
                cx.speech.word(next.tokens.start + 1),
                "is" | "does" | "are" | "has" | "do" | "did"
            )
            && self.open.as_ref().is_some_and(|m| {
                m.events.last().is_some_and(bad) && self.clauses[m.last].sentence == clause.sentence
            })
        {
            let event = Event {
                saying: Saying::TakeBack,
                target: Target::Topic,
                tokens: clause.tokens.clone(),
                clause: c,
                via: None,
            };
            self.add(c, event);
        }
        if silent
            && read.points_back
            && read.things.is_empty()
            && let Some(m) = &mut self.open
        {
            m.last = c;
        }
        if silent {
            self.topic(c, cx, &read, place);
        }
        // "… because nobody ever put the doorstop in": a reason is told, then the matter goes on.
        let reason = cx.speech.word(clause.tokens.start) == "because"
            && self.open.as_ref().is_some_and(|m| m.events.iter().any(bad));
        let held = if reason { self.open.clone() } else { None };
        for e in events {
            self.event(c, cx, &read, place, e);
        }
        if let Some(held) = held
            && self
                .open
                .as_ref()
                .is_some_and(|m| m.first != held.first || m.things != held.things)
        {
            self.flush();
            self.out.retain(|m| {
                m.first != held.first
                    || m.tokens.start != held.tokens.start
                    || m.events != held.events
            });
            self.open = Some(Matter { last: c, ..held });
        }
        let named = read.things.iter().rfind(|t| {
            t.hold != mentions::Hold::Beside
                && t.entry.is_some_and(|e| !self.lexicon.element(e).piece)
        });
        if let Some(t) = named {
            self.recent = Some((t.clone(), clause.sentence, place));
        }
        if let Some(m) = &mut self.open
            && m.last == c
        {
            m.tokens.end = m.tokens.end.max(clause.tokens.end);
        }
    }

    /// A clause that only names a part makes it the topic.
    fn topic(&mut self, c: usize, cx: &Context<'_, '_>, read: &events::Read, place: Option<usize>) {
        let clause = &self.clauses[c];
        if let Some(m) = &mut self.open
            && m.things.is_empty()
            && m.events.iter().any(bad)
            && self.clauses[m.last].sentence + 2 >= clause.sentence
            && let Some(t) = read.things.first()
            && (clause.joint != Joint::Start
                && t.phrase.start <= cx.opens
                && t.tokens.end == clause.tokens.end
                || (cx.opens..t.phrase.start).any(|i| {
                    matches!(
                        cx.speech.word(i),
                        "is" | "at" | "on" | "in" | "from" | "behind" | "under" | "around"
                    )
                }) && matches!(
                    cx.speech.word(cx.opens),
                    "it" | "that"
                        | "this"
                        | "in"
                        | "on"
                        | "under"
                        | "from"
                        | "behind"
                        | "around"
                        | "probably"
                        | "looks"
                ))
        {
            // "There's a drip, it's the valve": the part is named after the fault.
            m.things = vec![t.clone()];
            m.last = c;
            m.tokens.end = m.tokens.end.max(t.tokens.end);
            return;
        }
        // "or it's the hinge": another word for what may be wrong with the matter at hand.
        let opener = cx.speech.word(clause.tokens.start);
        let guess = matches!(cx.speech.word(cx.opens), "it" | "that" | "this")
            && cx.speech.word(cx.opens + 1) == "is";
        if self
            .open
            .as_ref()
            .is_some_and(|m| !m.things.is_empty() && m.events.iter().any(bad) && m.last + 2 >= c)
            && (opener == "or" || guess && clause.joint != Joint::Start)
        {
            if let Some(m) = &mut self.open {
                m.last = c;
            }
            return;
        }
        let bare = |t: &Thing| t.phrase.start <= cx.opens && t.tokens.end >= clause.tokens.end;
        let busy = self.open.as_ref().is_some_and(|m| {
            m.events.iter().any(bad) && self.clauses[m.last].sentence == clause.sentence
        });
        let near_front = |t: &Thing| {
            t.phrase.start <= cx.opens + 3
                && !(busy
                    && (cx.opens..t.phrase.start).any(|i| {
                        matches!(
                            cx.speech.word(i),
                            "i" | "we" | "you" | "they" | "he" | "she"
                        )
                    }))
        };
        let subject = read
            .things
            .iter()
            .find(|t| t.hold == mentions::Hold::Free && near_front(t))
            .or_else(|| read.things.iter().find(|t| bare(t)))
            .or_else(|| {
                // "One way up at the crown": a place on a part, and nothing else said.
                let quiet = |t: &&Thing| {
                    t.hold == mentions::Hold::Host
                        && t.tokens.end == clause.tokens.end
                        && (cx.opens..t.phrase.start).all(|i| {
                            (grammar::is_function(cx.speech.word(i))
                                && !grammar::is_auxiliary(cx.speech.word(i)))
                                || grammar::is_spot(cx.speech.word(i))
                        })
                };
                let pointed = |t: &&Thing| {
                    matches!(
                        cx.speech.word(t.phrase.start),
                        "this" | "that" | "these" | "those"
                    ) && read.things.len() == 1
                        && (cx.opens..t.phrase.start)
                            .all(|i| grammar::is_function(cx.speech.word(i)) || i == cx.opens)
                };
                read.things
                    .iter()
                    .find(quiet)
                    .or_else(|| read.things.iter().find(pointed))
            });
        // "They ran the silicone on the undermount": the seal of the part just named.
        if let Some(t) = subject
            && t.entry
                .is_some_and(|x| self.lexicon.element(x).group == "sealant")
            && self.open.as_ref().is_some_and(|m| {
                m.events.is_empty()
                    && !m.things.is_empty()
                    && self.clauses[m.last].sentence + 1 >= clause.sentence
            })
        {
            if let Some(m) = &mut self.open {
                m.last = c;
                m.via = t.entry;
            }
            return;
        }
        let Some(t) = subject else {
            if read.things.is_empty()
                && read.one.is_none()
                && let Some(open) = mentions::open_subject(&clause.tokens, cx.opens, cx.speech)
                && open.tokens.end == clause.tokens.end
                && clause.joint == Joint::Start
                && !cx
                    .scan
                    .within(&clause.tokens)
                    .any(|m| m.tokens.start < open.tokens.end && open.tokens.start < m.tokens.end)
                && !cx.scan.cues_within(&clause.tokens).any(|(_, m)| {
                    m.tokens.start < open.tokens.end && open.tokens.start < m.tokens.end
                })
            {
                let at = open.phrase.start;
                self.start(vec![open], place, c, at);
            }
            return;
        };
        let mut things: Vec<Thing> = read
            .things
            .iter()
            .filter(|o| o.hold == t.hold && o.phrase.start >= t.phrase.start)
            .take_while(|o| o.phrase.start <= t.tokens.end + 12)
            .cloned()
            .collect();
        things.retain(|o| {
            o == t || o.phrase.start > 0 && cx.speech.word(o.phrase.start - 1) == "and"
        });
        if bare(t) && clause.joint != Joint::Start && !self.pending.is_empty()
            || bare(t) && clause.joint == Joint::Start
        {
            self.pending.extend(things.clone());
        }
        let same = self.open.as_ref().is_some_and(|m| {
            m.things.len() == things.len() && m.things.iter().zip(&things).all(|(a, b)| a.same(b))
        });
        if same {
            if let Some(m) = &mut self.open {
                m.last = c;
            }
            return;
        }
        let at = t.phrase.start;
        self.start(things, place, c, at);
    }

    fn event(
        &mut self,
        c: usize,
        cx: &Context<'_, '_>,
        read: &events::Read,
        place: Option<usize>,
        e: Event,
    ) {
        let aside = matches!(
            e.saying,
            Saying::Doubt
                | Saying::Ask
                | Saying::Leave
                | Saying::TakeBack
                | Saying::Call
                | Saying::Passed(_)
        );
        let mut e = e;
        if e.saying == Saying::NotEither {
            // What the last one did, this one does not: not in, or not working.
            let last = self
                .open
                .as_ref()
                .and_then(|m| m.events.last())
                .or_else(|| self.out.last().and_then(|m| m.events.last()))
                .map(|o| o.saying);
            e.saying = match last {
                Some(Saying::Done | Saying::Absent | Saying::Worked(_)) => Saying::Absent,
                Some(Saying::Fine) => match self.lexicon.fault_by_id("not-working") {
                    Some(f) => Saying::Fault(f),
                    None => return,
                },
                _ => return,
            };
        }
        if let Target::TopicElse(things) = &e.target {
            let topic = self.open.as_ref().is_some_and(|m| {
                !m.things.is_empty()
                    && self.clauses[m.last].sentence + 1 >= self.clauses[c].sentence
                    && (self.clauses[m.last].sentence == self.clauses[c].sentence
                        || m.events.is_empty()
                        || read.points_back)
            });
            e.target = if topic {
                Target::Topic
            } else if things.is_empty() {
                Target::Place
            } else {
                Target::Things(things.clone())
            };
            if e.target == Target::Place {
                // A fault by itself: what it is of may be told next.
                let at = e.tokens.start;
                self.start(Vec::new(), place, c, at);
                self.add(c, e);
                return;
            }
        }
        if let Target::BareElse(things) = &e.target {
            let bare = self.open.as_ref().is_some_and(|m| {
                !m.things.is_empty()
                    && m.events.is_empty()
                    && self.clauses[m.last].sentence == self.clauses[c].sentence
                    && m.last < c
            });
            e.target = if bare {
                Target::Topic
            } else {
                Target::Things(things.clone())
            };
        }
        match &e.target {
            Target::TopicElse(_) | Target::BareElse(_) => {}
            Target::Things(things) => {
                let mut things = things.clone();
                let same = self
                    .open
                    .as_ref()
                    .is_some_and(|m| m.things.iter().any(|t| things.iter().any(|n| t.same(n))));
                let again = self
                    .open
                    .as_ref()
                    .is_some_and(|m| !self.contrasts(m, &e, cx));
                let part_of = self.is_replacement(&e, &things);
                if let Some(via) = self.belongs(&e, &things, c) {
                    let mut e = e;
                    e.via = Some(via);
                    self.add(c, e);
                    return;
                }
                if same && again {
                    // The same part goes on.
                } else if part_of {
                    let everyday = things.iter().all(|t| {
                        t.entry.is_none_or(|x| {
                            self.lexicon.element(x).weak || self.lexicon.element(x).piece
                        })
                    });
                    if let Some(m) = &mut self.open
                        && !everyday
                    {
                        m.things = things;
                    }
                } else if aside
                    && self.open.as_ref().is_some_and(|m| !m.events.is_empty())
                    && self.open.as_ref().is_some_and(|m| {
                        self.clauses[m.last].sentence == self.clauses[c].sentence
                            || matches!(e.saying, Saying::TakeBack)
                    })
                {
                    // A doubt about something else in the same clause is about the matter at hand.
                } else {
                    if matches!(e.saying, Saying::Passed(_)) {
                        // Passed over by itself: it takes no part's place in mind.
                        let tokens = e.tokens.clone();
                        self.out.push(Matter {
                            things,
                            events: vec![e],
                            place,
                            tokens,
                            first: c,
                            last: c,
                            via: None,
                        });
                        return;
                    }
                    // "the frame, the sill and the casing are chipped"
                    let listed = std::mem::take(&mut self.pending);
                    if clause_follows_list(&listed, &things, self.clauses, c) {
                        let mut all: Vec<Thing> = listed
                            .into_iter()
                            .filter(|l| !things.iter().any(|t| t.same(l)))
                            .collect();
                        all.extend(things);
                        things = all;
                    }
                    let at = things
                        .first()
                        .map_or(e.tokens.start, |t| t.phrase.start.min(e.tokens.start));
                    self.start(things, place, c, at);
                }
                self.add(c, e);
            }
            Target::Topic => {
                let gap = self.open.as_ref().map_or(usize::MAX, |m| {
                    self.clauses[c].sentence - self.clauses[m.last].sentence
                });
                let waiting = self.open.as_ref().is_some_and(|m| {
                    m.events
                        .last()
                        .is_none_or(|o| matches!(o.saying, Saying::WasFault(_)))
                        && !m.things.is_empty()
                });
                // "hit my head on the light. It's really low."
                let nothing = self.open.as_ref().is_none_or(|m| m.things.is_empty());
                if nothing
                    && read.points_back
                    && matches!(
                        e.saying,
                        Saying::Fault(_) | Saying::Needed(_) | Saying::Absent
                    )
                    && let Some((t, s, p)) = &self.recent
                    && self.clauses[c].sentence <= s + 2
                    && *p == place
                {
                    let (t, at) = (t.clone(), e.tokens.start);
                    match &mut self.open {
                        Some(m) if !m.events.is_empty() && gap <= 2 => m.things = vec![t],
                        _ => self.start(vec![t], place, c, at),
                    }
                    self.add(c, e);
                    return;
                }
                let near = gap <= 1 || (read.points_back || waiting) && gap <= MEMORY;
                match &self.open {
                    Some(m)
                        if aside
                            && !matches!(e.saying, Saying::TakeBack)
                            && gap > 0
                            && !read.points_back
                            && m.events.iter().any(|o| {
                                matches!(
                                    o.saying,
                                    Saying::Absent
                                        | Saying::Needed(_)
                                        | Saying::New
                                        | Saying::Fine
                                        | Saying::Done
                                        | Saying::AllGood
                                        | Saying::Worked(_)
                                )
                            })
                            && !(matches!(e.saying, Saying::Call) && m.events.iter().any(bad)) => {}
                    Some(_)
                        if matches!(e.saying, Saying::Leave)
                            && gap > 0
                            && (self.clauses[c].joint != Joint::Start || gap > 1) => {}
                    Some(_) if near || aside && gap <= 2 => {
                        if read.things.is_empty() && self.pending.len() > 1 && read.points_back {
                            let listed = std::mem::take(&mut self.pending);
                            if let Some(m) = &mut self.open {
                                m.things = listed;
                            }
                        }
                        self.add(c, e);
                    }
                    _ if matches!(
                        e.saying,
                        Saying::Fault(_)
                            | Saying::Needed(_)
                            | Saying::Fine
                            | Saying::Done
                            | Saying::AllGood
                            | Saying::WasFault(_)
                            | Saying::NoFault(_)
                            | Saying::AskedFault(_)
                    ) =>
                    {
                        let at = e.tokens.start;
                        self.start(Vec::new(), place, c, at);
                        self.add(c, e);
                    }
                    _ => {}
                }
            }
            Target::Place => {
                let at = e.tokens.start;
                self.start(Vec::new(), place, c, at);
                self.add(c, e);
                self.flush();
            }
        }
    }

    /// "Window, there's no caulk along the casing": the seal is the matter of the part named just before.
    fn belongs(&self, e: &Event, things: &[Thing], c: usize) -> Option<u16> {
        let m = self.open.as_ref()?;
        let bare = m.events.is_empty()
            && !m.things.is_empty()
            && m.things
                .iter()
                .all(|t| t.entry.is_some_and(|x| !self.lexicon.element(x).weak));
        let near = self.clauses[m.last].sentence == self.clauses[c].sentence
            || self.clauses[m.last].sentence + 1 == self.clauses[c].sentence && c == m.last + 1;
        let sealant = things.iter().all(|t| {
            t.entry.is_some_and(|x| {
                self.lexicon.element(x).group == "sealant" && self.lexicon.element(x).id != "grout"
                    || self.lexicon.element(x).group == "insulation"
            })
        });
        let wrong = matches!(
            e.saying,
            Saying::Fault(_) | Saying::Absent | Saying::Needed(_)
        );
        (bare && near && sealant && wrong)
            .then(|| things.first().and_then(|t| t.entry))
            .flatten()
    }

    /// A question's fault, answered "no": it is taken back.
    fn answer(&mut self, c: usize, cx: &Context<'_, '_>, read: &mut events::Read) {
        let first = cx.speech.word(self.clauses[c].tokens.start);
        let asked = self
            .open
            .as_ref()
            .and_then(|m| m.events.last())
            .is_some_and(|e| matches!(e.saying, Saying::AskedFault(_)));
        if asked
            && self.asked
            && matches!(first, "no" | "nope" | "oh")
            && read
                .events
                .iter()
                .all(|e| !matches!(e.saying, Saying::TakeBack))
        {
            let at = self.clauses[c].tokens.start;
            read.events.insert(
                0,
                Event {
                    saying: Saying::TakeBack,
                    target: Target::Topic,
                    tokens: at..at + 1,
                    clause: c,
                    via: None,
                },
            );
        }
    }

    /// The same part again, but another one of its kind: a verdict stands against one of the other sort, after "but".
    fn contrasts(&self, m: &Matter, e: &Event, cx: &Context<'_, '_>) -> bool {
        let other = matches!(&e.target, Target::Things(t) if t.iter().any(|t| (t.phrase.start..t.tokens.start).any(|k| matches!(cx.speech.word(k), "other" | "another" | "second" | "third" | "next" | "left" | "right" | "last"))));
        other && !m.events.is_empty()
    }

    /// "the glass is scratched, it wants a new pane": the new thing takes the place of the old.
    fn is_replacement(&self, e: &Event, things: &[Thing]) -> bool {
        e.saying == Saying::New
            && things.len() == 1
            && self.open.as_ref().is_some_and(|m| {
                m.things.len() == 1
                    && m.events
                        .iter()
                        .any(|o| matches!(o.saying, Saying::Fault(_)))
                    && self.clauses[e.clause].sentence <= self.clauses[m.last].sentence + 1
            })
    }

    fn add(&mut self, c: usize, e: Event) {
        if let Some(m) = &mut self.open {
            m.last = c;
            m.tokens.end = m.tokens.end.max(e.tokens.end);
            m.tokens.start = m.tokens.start.min(e.tokens.start);
            m.events.push(e);
        }
    }
}

fn clause_follows_list(listed: &[Thing], things: &[Thing], clauses: &[Clause], c: usize) -> bool {
    let Some(last) = listed.last() else {
        return false;
    };
    let Some(first) = things.first() else {
        return false;
    };
    listed.len() > 1
        && last.tokens.end <= first.phrase.start
        && clauses[c].joint != Joint::Start
        && first.phrase.start - last.tokens.end <= 3
        || listed.len() == 1
            && clauses[c].joint != Joint::Start
            && last.tokens.end < first.phrase.start
            && first.phrase.start - last.tokens.end <= 1
}

/// Decides a matter.
pub fn decide(
    m: &Matter,
    speech: &Speech<'_>,
    clauses: &[Clause],
    scan: &Scan,
    lexicon: &Lexicon,
) -> Vec<Finding> {
    let danger = scan
        .cues_within(&m.tokens)
        .any(|(k, _)| *k == CueKind::Danger);
    let things: Vec<Option<&Thing>> = if m.things.is_empty() {
        vec![None]
    } else {
        m.things.iter().map(Some).collect()
    };
    things
        .into_iter()
        .flat_map(|t| {
            Decide {
                m,
                thing: t,
                speech,
                clauses,
                lexicon,
                danger,
            }
            .run()
        })
        .collect()
}

struct Decide<'a, 'r> {
    m: &'a Matter,
    thing: Option<&'a Thing>,
    speech: &'a Speech<'r>,
    clauses: &'a [Clause],
    lexicon: &'a Lexicon,
    /// The words tell of a danger.
    danger: bool,
}

impl Decide<'_, '_> {
    fn run(&self) -> Vec<Finding> {
        // What was taken back or is to stay as it is does not count; what is said after that does.
        let mut live: Vec<&Event> = Vec::new();
        let mut dropped: Vec<(&Event, &'static str)> = Vec::new();
        let mut relieved = false;
        for e in &self.m.events {
            match e.saying {
                Saying::TakeBack => {
                    // Only the last thing said is taken back: what was asked, else the last sentence's faults.
                    let asked = live
                        .iter()
                        .any(|o| matches!(o.saying, Saying::AskedFault(_)));
                    let last = live
                        .iter()
                        .rev()
                        .find(|o| bad(o))
                        .map(|o| self.clauses[o.clause].sentence);
                    let bad = |o: &Event| {
                        bad(o)
                            && if asked {
                                matches!(o.saying, Saying::AskedFault(_))
                            } else {
                                Some(self.clauses[o.clause].sentence) == last
                            }
                    };
                    relieved |= live.iter().any(|o| bad(o));
                    dropped.extend(live.iter().filter(|o| bad(o)).map(|o| (*o, "taken back")));
                    live.retain(|o| !bad(o));
                }
                Saying::Leave => {
                    dropped.extend(
                        live.iter()
                            .filter(|o| bad(o))
                            .map(|o| (*o, "to stay as it is")),
                    );
                    live.retain(|o| !bad(o));
                }
                _ => live.push(e),
            }
        }
        let mut items = self.items(&live);
        // An everyday word is a part only where the fault or the work is told in one breath with it.
        if let Some(t) = self.thing
            && t.entry.is_some_and(|e| self.lexicon.element(e).weak)
            && !live.iter().any(|e| {
                (bad(e) || matches!(e.saying, Saying::Ask | Saying::Doubt)) && {
                    let c = &self.clauses[e.clause].tokens;
                    c.start <= t.tokens.start && t.tokens.end <= c.end
                }
            })
            && !t.fresh
            && !self.clauses.iter().any(|c| {
                c.tokens.start <= t.phrase.start
                    && t.tokens.end <= c.tokens.end
                    && c.tokens.len() <= t.phrase.len() + 1
            })
        {
            items.clear();
        }
        // Without a part an item is only what somebody can find by the place alone: a clean, a danger.
        let danger = self.danger;
        if self.thing.is_none() {
            items.retain(|f| {
                matches!(
                    &f.outcome,
                    Outcome::Item {
                        work: Work::Clean,
                        ..
                    }
                ) || danger
            });
        }
        let mut out = Vec::new();
        if items.is_empty() {
            out.extend(self.cleared(&live, relieved));
        } else {
            out.extend(self.praise_beside(&live));
            out.extend(items);
        }
        if out.is_empty() {
            let passed = dropped
                .iter()
                .map(|(e, r)| (*e, *r))
                .chain(live.iter().filter_map(|e| match e.saying {
                    Saying::Passed(reason) => Some((*e, reason)),
                    Saying::WasFault(_) => Some((*e, "told of an earlier time")),
                    Saying::AskedFault(_) => Some((*e, "only asked")),
                    Saying::Fault(_) | Saying::Needed(_) | Saying::Absent => {
                        Some((*e, "no building part or place told"))
                    }
                    _ => None,
                }));
            for (e, reason) in passed.take(1) {
                out.push(self.finding(Outcome::Passed(reason), &[e]));
            }
        }
        out
    }

    fn entry(&self) -> Option<&crate::lexicon::source::Element> {
        if let Some(via) = self
            .m
            .via
            .or_else(|| self.m.events.iter().find_map(|e| e.via))
        {
            return Some(self.lexicon.element(via));
        }
        self.thing
            .and_then(|t| t.entry)
            .map(|e| self.lexicon.element(e))
    }

    fn class_in(&self, map: &std::collections::BTreeMap<String, Work>) -> Option<Work> {
        let e = self.entry()?;
        map.get(&e.id).or_else(|| map.get(&e.group)).copied()
    }

    fn fault_class(&self, fault: u16) -> Work {
        let f = self.lexicon.fault(fault);
        if self.entry().is_some_and(|e| e.group == "sealant") && f.work != Some(Work::Clean) {
            return Work::Seal;
        }
        self.class_in(&f.works).or(f.work).unwrap_or(Work::Repair)
    }

    fn deed_class(&self, deed: u16) -> Work {
        let w = self.lexicon.work(deed);
        self.class_in(&w.works).or(w.class).unwrap_or(Work::Repair)
    }

    /// A part that is missing: caulk is sealed, all else installed.
    fn absent_class(&self) -> Work {
        match self.entry().map(|e| e.group.as_str()) {
            Some("sealant") => Work::Seal,
            Some("paint") => Work::TouchUp,
            _ => Work::Install,
        }
    }

    fn items(&self, live: &[&Event]) -> Vec<Finding> {
        let fault = live.iter().find_map(|e| match e.saying {
            Saying::Fault(f) => Some(f),
            _ => None,
        });
        // The wrong thing is wrong whatever else it does.
        let wrong = live.iter().find_map(|e| match e.saying {
            Saying::Fault(f) if self.lexicon.fault(f).id == "wrong-one" => Some(f),
            _ => None,
        });
        let fault = wrong.or(fault);
        let asked = live.iter().find_map(|e| match e.saying {
            Saying::AskedFault(f) => Some(f),
            _ => None,
        });
        let absent = live.iter().any(|e| e.saying == Saying::Absent);
        let last_doubt = live
            .iter()
            .rposition(|e| matches!(e.saying, Saying::Doubt | Saying::Ask));
        let last_good = live.iter().rposition(|e| {
            matches!(
                e.saying,
                Saying::Fine | Saying::Done | Saying::Worked(_) | Saying::NoFault(_)
            )
        });
        let last_bad = live.iter().rposition(|e| bad(e));
        // A verdict after the fault, with nothing against it, settles it.
        if let (Some(g), Some(b)) = (last_good, last_bad)
            && g > b
            && !(live[g].saying == Saying::Fine && self.only_runs(live[g]))
            && !live
                .iter()
                .any(|e| matches!(e.saying, Saying::Needed(_) | Saying::New))
            && !self.against(live[g])
        {
            return Vec::new();
        }
        let mut works: Vec<(Work, Option<u16>, usize)> = Vec::new();
        for (i, e) in live.iter().enumerate() {
            let found = match e.saying {
                Saying::Needed(w) => (self.deed_class(w), Some(w)),
                Saying::New => (Work::Replace, None),
                _ => continue,
            };
            if !works.iter().any(|(c, _, _)| *c == found.0) {
                works.push((found.0, found.1, i));
            }
        }
        // "take it off and bed it again", "rake that out and seal it": the work named is one, its last word the class.
        if absent
            && works
                .iter()
                .all(|(c, _, _)| matches!(c, Work::Install | Work::Repair | Work::Adjust))
            && !works.is_empty()
        {
            let deed = works[0].1;
            works = vec![(self.absent_class(), deed, works[0].2)];
        }
        let decided = works.last().is_some_and(|(_, _, i)| {
            last_doubt.is_none_or(|d| *i > d || !live[d..].iter().any(|e| e.saying == Saying::Ask))
        });
        let evidence: Vec<&Event> = live
            .iter()
            .copied()
            .filter(|e| {
                !matches!(
                    e.saying,
                    Saying::Fine
                        | Saying::Done
                        | Saying::Passed(_)
                        | Saying::NoFault(_)
                        | Saying::Worked(_)
                )
            })
            .collect();
        // A doubt alone makes a question only of a part that was named before it, and by more than an everyday word.
        let asked_for = live.iter().any(|e| e.saying == Saying::Ask);
        let doubt_alone =
            !asked_for && fault.is_none() && asked.is_none() && !absent && works.is_empty();
        let named = self.thing.is_some_and(|t| {
            t.entry.is_some_and(|e| !self.lexicon.element(e).weak)
                && live.iter().any(|e| {
                    e.saying == Saying::Doubt
                        && (e.tokens.start >= t.tokens.end || self.clauses[e.clause].question)
                })
        });
        if doubt_alone && !named {
            return Vec::new();
        }
        let query = last_doubt.is_some()
            && !decided
            && (fault.is_some() || asked.is_some() || self.thing.is_some() || !works.is_empty());
        if query {
            let sure = live[last_doubt.unwrap_or(0)].saying == Saying::Doubt
                && !live.iter().any(|e| e.saying == Saying::Ask)
                && !self.doubts_cause(live);
            if !sure {
                return vec![self.finding(
                    Outcome::Item {
                        work: Work::Check,
                        fault: fault.or(asked),
                        deed: None,
                        standing: Standing::Query,
                    },
                    &evidence,
                )];
            }
        }
        if !works.is_empty() {
            return works
                .iter()
                .map(|(work, deed, _)| {
                    self.finding(
                        Outcome::Item {
                            work: *work,
                            fault,
                            deed: *deed,
                            standing: Standing::Outstanding,
                        },
                        &evidence,
                    )
                })
                .collect();
        }
        if absent {
            return vec![self.finding(
                Outcome::Item {
                    work: self.absent_class(),
                    fault: None,
                    deed: None,
                    standing: Standing::Outstanding,
                },
                &evidence,
            )];
        }
        if let Some(f) = fault {
            // Of several faults told of one part, the first names it.
            return vec![self.finding(
                Outcome::Item {
                    work: self.fault_class(f),
                    fault: Some(f),
                    deed: None,
                    standing: Standing::Outstanding,
                },
                &evidence,
            )];
        }
        Vec::new()
    }

    /// "It drains", "hot", "works": that a thing does its work does not undo a fault told of it.
    fn only_runs(&self, e: &Event) -> bool {
        let words = self.speech.words(&e.tokens);
        !words.contains(' ')
            && (words.ends_with('s') && !words.ends_with("ss")
                || matches!(
                    words,
                    "hot" | "warm" | "full" | "lit" | "work" | "come on" | "clear"
                ))
    }

    /// The doubt is about what is wrong or what to do, not about something else.
    fn doubts_cause(&self, live: &[&Event]) -> bool {
        let Some(at) = live.iter().position(|e| e.saying == Saying::Doubt) else {
            return false;
        };
        let words = self.speech.words(&live[at].tokens);
        [
            "know",
            "sure",
            "tell",
            "either",
            "swear",
            "clear",
            "meant",
            "supposed",
            "idea",
            "could be",
            "one or",
            "of the two",
        ]
        .iter()
        .any(|w| words.contains(w))
    }

    /// A verdict introduced by "but" or the like stands against what was said before.
    fn against(&self, e: &Event) -> bool {
        self.clauses[e.clause].joint == Joint::But
    }

    fn cleared(&self, live: &[&Event], relieved: bool) -> Vec<Finding> {
        let good: Vec<&Event> = live
            .iter()
            .copied()
            .filter(|e| {
                matches!(
                    e.saying,
                    Saying::Fine
                        | Saying::Done
                        | Saying::Worked(_)
                        | Saying::NoFault(_)
                        | Saying::AllGood
                        | Saying::WasFault(_)
                        | Saying::Fault(_)
                )
            })
            .collect();
        let said = |f: fn(&Saying) -> bool| live.iter().any(|e| f(&e.saying));
        let done = said(|s| matches!(s, Saying::Done | Saying::Worked(_)));
        let fine = said(|s| matches!(s, Saying::Fine | Saying::NoFault(_) | Saying::AllGood));
        let was = said(|s| matches!(s, Saying::WasFault(_)));
        let kind = if done || was && fine {
            ClearedKind::MadeGood
        } else if fine || relieved {
            ClearedKind::Sound
        } else {
            return Vec::new();
        };
        if self.thing.is_none() && !said(|s| matches!(s, Saying::AllGood | Saying::Fine)) {
            return Vec::new();
        }
        let all: Vec<&Event> = if good.is_empty() { live.to_vec() } else { good };
        if all.is_empty() {
            let first = &self.m.events[0];
            return vec![self.finding(Outcome::Cleared(kind), &[first])];
        }
        vec![self.finding(Outcome::Cleared(kind), &all)]
    }

    /// "Good, good, but there's a chip": praise that came first and stands is a mark of its own.
    fn praise_beside(&self, live: &[&Event]) -> Vec<Finding> {
        let first_bad = live.iter().position(|e| bad(e)).unwrap_or(0);
        let praise: Vec<&Event> = live[..first_bad]
            .iter()
            .copied()
            .filter(|e| matches!(e.saying, Saying::Fine | Saying::Done | Saying::Worked(_)))
            .collect();
        let Some(p) = praise.last() else {
            return Vec::new();
        };
        let apart = live.get(first_bad).is_some_and(|b| {
            b.clause > p.clause && self.clauses[b.clause].joint != Joint::Comma
                || self.clauses[b.clause].joint == Joint::But
        });
        let doubt = live
            .iter()
            .any(|e| matches!(e.saying, Saying::Doubt | Saying::Ask));
        if !apart || doubt || self.thing.is_none() {
            return Vec::new();
        }
        let kind = if praise
            .iter()
            .any(|e| matches!(e.saying, Saying::Done | Saying::Worked(_)))
        {
            ClearedKind::MadeGood
        } else {
            ClearedKind::Sound
        };
        vec![self.finding(Outcome::Cleared(kind), &praise)]
    }

    fn finding(&self, outcome: Outcome, evidence: &[&Event]) -> Finding {
        let mut said: Vec<Range<usize>> = Vec::new();
        for e in evidence {
            let clause = &self.clauses[e.clause].tokens;
            let mut r = e.tokens.clone();
            // The words of the part, where they stand in the same clause, belong to what was said.
            if let Some(t) = self.thing
                && clause.start <= t.phrase.start
                && t.tokens.end <= clause.end
            {
                r = r.start.min(t.phrase.start)..r.end.max(t.tokens.end);
            } else if clause.len() <= 12 {
                r = clause.clone();
            }
            match said.last_mut() {
                Some(last) if r.start <= last.end + 3 => last.end = last.end.max(r.end),
                _ => said.push(r),
            }
        }
        if let Some(t) = self.thing
            && !said
                .iter()
                .any(|r| r.start <= t.tokens.start && t.tokens.end <= r.end)
        {
            match said.first_mut() {
                Some(first)
                    if t.phrase.start < first.start
                        && first.start - t.tokens.end.min(first.start) <= 6 =>
                {
                    first.start = t.phrase.start
                }
                _ => said.insert(0, t.phrase.clone()),
            }
        }
        said.sort_by_key(|r| (r.start, r.end));
        said.dedup();
        let mut why = Vec::new();
        let mut confidence: f64 = 0.85;
        match self.thing {
            Some(t) => match t.entry {
                Some(e) => why.push(format!("element: elements/{}", self.lexicon.element(e).id)),
                None => {
                    confidence -= 0.25;
                    why.push(format!("element: unknown word {:?} as the subject", t.name));
                }
            },
            None => {
                confidence -= 0.1;
                why.push("element: none told, the area as a whole".to_string());
            }
        }
        if let Outcome::Item {
            fault,
            deed,
            standing,
            ..
        } = &outcome
        {
            match (deed, fault) {
                (Some(d), _) => why.push(format!("work: works/{}", self.lexicon.work(*d).id)),
                (None, Some(f)) => why.push(format!("work: faults/{}", self.lexicon.fault(*f).id)),
                (None, None) => {}
            }
            if *standing == Standing::Query {
                confidence -= 0.15;
            }
            if deed.is_none() && fault.is_none() {
                confidence -= 0.05;
            }
        }
        for e in evidence {
            why.push(format!(
                "{}: {:?}",
                name(&e.saying),
                self.speech.words(&e.tokens)
            ));
            if e.target == Target::Topic {
                confidence -= 0.03;
            }
        }
        Finding {
            outcome,
            thing: self.thing.cloned(),
            place: self.m.place,
            said,
            scope: self.m.tokens.clone(),
            why,
            confidence: (confidence.clamp(0.05, 0.95) * 100.0).round() / 100.0,
        }
    }
}

/// Whether an event speaks of something wrong or to be done.
fn bad(e: &Event) -> bool {
    matches!(
        e.saying,
        Saying::Fault(_) | Saying::AskedFault(_) | Saying::Absent | Saying::Needed(_) | Saying::New
    )
}

fn name(s: &Saying) -> &'static str {
    match s {
        Saying::Fault(_) => "fault",
        Saying::WasFault(_) => "fault of an earlier time",
        Saying::NoFault(_) => "fault denied",
        Saying::AskedFault(_) => "fault asked about",
        Saying::Absent => "not there",
        Saying::Needed(_) => "work needed",
        Saying::New => "a new one wanted",
        Saying::NotEither => "denied",
        Saying::Worked(_) => "work done",
        Saying::Done => "put right",
        Saying::Fine => "fine",
        Saying::AllGood => "all fine",
        Saying::Doubt => "doubt",
        Saying::Ask => "to be asked",
        Saying::Leave => "to stay",
        Saying::TakeBack => "taken back",
        Saying::Call => "trade called",
        Saying::Passed(_) => "passed over",
    }
}

/// Whether a word may be the name of a part: used by tests of the open vocabulary.
pub fn may_be_part(word: &str) -> bool {
    !grammar::is_function(word)
}

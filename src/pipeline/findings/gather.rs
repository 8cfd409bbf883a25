//! Gathers the events of all clauses into matters: which part is spoken of, and how long.

use crate::lexicon::Lexicon;

use super::super::context::Context;
use super::super::events::{self, Event, Saying, Target};
use super::super::grammar;
use super::super::mentions::{self, Thing};
use super::super::normalize::Speech;
use super::super::places::Places;
use super::super::scan::{Scan, Spans};
use super::super::segment::{Clause, Joint};

use super::{Matter, bad};

/// How many sentences a part stays in mind with nothing said of it.
const MEMORY: usize = 3;

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
    // Only the names of places that reach into a clause can matter to it.
    let named: Spans = places.named.iter().cloned().collect();
    for (c, clause) in clauses.iter().enumerate() {
        let cx = Context::new(speech, scan, clause);
        let read = events::read(&cx, lexicon, c, named.reaching(&clause.tokens));
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
        let sought = (cx.opens..cx.opens + 5).any(|i| {
            matches!(cx.speech.word(i), "find" | "see" | "tell" | "know")
                && (cx.opens..i).any(|k| cx.speech.word(k) == "not")
        });
        let near_front = |t: &Thing| {
            t.phrase.start <= cx.opens + if sought { 6 } else { 3 }
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
        // "Walls, nothing." is no fault of a wall.
        if e.target == Target::Topic
            && matches!(e.saying, Saying::Fault(_))
            && matches!(
                cx.speech.word(e.tokens.start),
                "nothing" | "dead" | "nada" | "zilch" | "nope"
            )
            && !self.open.as_ref().is_some_and(|m| {
                !m.things.is_empty() && m.things.iter().all(|t| events::answers(t, self.lexicon))
            })
        {
            return;
        }
        // "The sidelight's in, new glass.": what is new came with what was done.
        if e.saying == Saying::New
            && self.open.as_ref().is_some_and(|m| {
                m.last != c
                    && self.clauses[m.last].sentence == self.clauses[c].sentence
                    && m.events
                        .last()
                        .is_some_and(|o| matches!(o.saying, Saying::Done | Saying::Worked(_)))
            })
        {
            return;
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
                } else if self.is_remedy(&e, &things) {
                    // "The door drags. Tension the hinges.": the hinges are how, the door is what.
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

    /// Work on a small part right after a fault of the part that it serves: how the fault is mended, no matter of its own.
    fn is_remedy(&self, e: &Event, things: &[Thing]) -> bool {
        let Some(m) = &self.open else { return false };
        if !matches!(e.saying, Saying::Needed(_))
            || m.things.len() != 1
            || self.clauses[e.clause].sentence > self.clauses[m.last].sentence + 1
            || !m.events.last().is_some_and(bad)
            || !m
                .events
                .iter()
                .any(|o| matches!(o.saying, Saying::Fault(_) | Saying::Absent))
        {
            return false;
        }
        let Some(host) = m.things[0].entry.map(|x| self.lexicon.element(x)) else {
            return false;
        };
        let serves = |t: &Thing| {
            t.entry.is_some_and(|x| {
                let part = self.lexicon.element(x);
                match part.group.as_str() {
                    "door-hardware" => matches!(
                        host.group.as_str(),
                        "door" | "cabinet" | "fence" | "glass" | "window" | "appliance"
                    ),
                    "glass" => matches!(host.group.as_str(), "window" | "door" | "glass"),
                    "sealant" | "paint" => !matches!(host.group.as_str(), "sealant" | "paint"),
                    group => group == host.group && (part.piece || part.weak) && !host.weak,
                }
            })
        };
        !things.is_empty() && things.iter().all(serves)
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

//! The words that a second walk is read by, as folded.

/// Words that say by themselves that a matter is over, also where "no" or "not" stands before.
#[rustfmt::skip]
pub(super) const OVER: &[&str] = &[
    "never know", "can not find", "could not find", "can not see", "can not tell where", "do not see it", "do not see that",
    "do not see any", "did not see it", "do not see them", "can not feel", "can not hear", "no longer", "not any longer",
    "any more", "anymore", "no more", "no sign of it", "no trace", "not a mark", "not a drop", "no problem", "no problems",
    "no issue", "no issues", "no complaints", "nothing wrong", "off the list", "off my list", "off your list", "cross that",
    "cross it", "tick that", "tick it", "strike that", "scratch that off", "can close that", "not now", "has stopped",
    "gone away", "it does not now", "took them long enough", "at last", "at long last",
];

/// Words that say that nothing was done.
#[rustfmt::skip]
pub(super) const UNDONE: &[&str] = &[
    "never", "can see it", "can feel it", "can still", "wrong", "still", "same", "as before", "as it was", "as they were",
    "as ever", "never came", "never did", "never got", "never showed", "never turned", "never happened", "not touched",
    "untouched", "nobody is been", "nobody has", "nobody 's been", "nobody 's", "nobody came", "nobody did",
    "nobody touched", "no one has", "no one came", "no one is", "no change", "unchanged", "no different", "no better",
    "worse", "not yet", "waiting", "on order", "back order", "no show", "nothing done", "nothing has", "nothing is been",
    "nothing happened", "no movement", "no progress", "keeps", "needs", "need to", "wants", "have not", "has not", "had not",
    "did not", "not been", "not done", "not fixed", "not in", "not up", "not on", "not here", "not there", "not fitted",
    "not right", "not happy", "not good", "not good enough", "missed", "forgot", "forgotten", "skipped", "again",
    "outstanding", "stays on the list", "stays on", "keep it on", "keep that on", "leave it on", "leave that on", "remains",
    "come back", "came back out", "ignored", "to do", "yet to", "no joy", "no luck", "nope", "still to", "will not",
    "would not", "can not", "could not", "not a thing has", "not finished", "exactly where", "exactly as", "next week",
    "is coming", "are coming", "promised", "does not", "do not", "is not", "are not", "will be", "going to", "will get",
    "said they would", "said he would", "'ll",
];

/// Words that say that a matter was seen to.
#[rustfmt::skip]
pub(super) const SEEN_TO: &[&str] = &[
    "there it is", "there we go", "there they are", "there she is", "flushes", "fires", "heats", "cools", "swings",
    "catches", "lines up", "stays up", "stays put", "stays shut", "clears", "rolls", "washed", "bolted", "fastened",
    "reattached", "rehung", "refitted", "tested", "primed", "stained", "straightened", "levelled", "leveled", "squared",
    "lifted", "moved", "boxed in", "wrapped", "topped up", "charged", "cut", "fed", "taped", "done", "gone", "fixed",
    "sorted", "swapped", "painted", "repainted", "replaced", "changed", "repaired", "mended", "patched", "filled", "caulked",
    "recaulked", "sealed", "resealed", "grouted", "regrouted", "cleaned", "wiped", "scrubbed", "cleared", "tightened",
    "adjusted", "hung", "fitted", "installed", "mounted", "connected", "wired", "touched up", "touched in", "taken care",
    "took care", "dealt with", "seen to", "put right", "made good", "corrected", "resolved", "finished", "complete",
    "completed", "in now", "up now", "on now", "there now", "is in", "are in", "is up", "are up", "is on", "are on",
    "is back on", "back on", "back in", "back up", "went in", "went up", "went on", "new one", "new ones", "brand new",
    "a new", "finally", "arrived", "turned up", "showed up", "delivered", "removed", "hauled", "swept", "vacuumed", "got it",
    "got that", "got them", "did it", "did that", "did them", "did those", "did every", "did all", "they did", "he did",
    "came and", "been back", "works", "working", "closes", "shuts", "latches", "locks", "opens", "drains", "slides", "runs",
    "holds", "glides", "turns", "spins", "lights", "comes on", "dry", "solid", "straight", "level", "plumb", "flush",
    "smooth", "tight", "firm", "steady", "square", "clean", "clear", "fine", "good", "great", "perfect", "perfectly",
    "lovely", "nice", "nicely", "beautiful", "beautifully", "happy", "spot on", "sound", "quiet", "silent", "secure",
    "better", "matches", "lined up", "aligned", "set", "stuck", "screwed", "nailed", "glued", "sanded", "polished", "buffed",
    "refinished", "relaid", "stretched", "trimmed", "planed", "shaved", "oiled", "greased", "lubed", "bled", "rodded",
    "unblocked", "insulated", "labelled", "labeled", "capped", "covered", "plugged", "signed off", "passed", "in place",
    "all there", "all in", "all up", "all on", "put in", "put up", "put on", "put back", "taken down", "taken out",
    "taken off", "taken away", "picked up", "rid of", "out of here", "lit",
];

/// Deeds that somebody would have done.
#[rustfmt::skip]
pub(super) const SEEN: &[&str] = &[
    "touched", "been", "done", "fixed", "changed", "moved", "happened", "come", "came", "painted", "swapped", "replaced",
    "looked", "showed", "turned", "near", "there", "finished",
];

/// Words that say that some of it is done.
#[rustfmt::skip]
pub(super) const HALF: &[&str] = &[
    "half", "halfway", "partly", "partially", "in part", "some of", "most of", "only did", "only done", "one coat",
    "first coat", "one more to go", "one to go", "one left", "two left", "three left", "not all", "all but one",
    "all but two", "bar one", "bar two", "a start", "made a start", "started",
];

/// Stems of what a thing does that it should not.
#[rustfmt::skip]
pub(super) const FAULTS: &[&str] = &[
    "wiggl", "wobbl", "rattl", "squeak", "creak", "drip", "leak", "stick", "rub", "bounc", "bind", "smell", "rock",
    "flicker", "buzz", "hum", "trip", "slam", "scrap", "drag", "whistl", "chirp", "beep", "grind", "jam", "crunch", "weep",
    "sag", "gap", "crack", "chip", "dent", "scratch", "scuff", "stain", "hol",
];

/// Words that tell of the earlier walk.
#[rustfmt::skip]
pub(super) const EARLIER: &[&str] = &[
    "last time", "last week", "last month", "last visit", "last walk", "remember", "on my list", "on the list",
    "on your list", "we flagged", "i flagged", "i noted", "we noted", "i had", "we had", "used to", "originally",
    "previously",
];

/// Words that say too little to know an item by.
#[rustfmt::skip]
pub(super) const EMPTY: &[&str] = &[
    "this", "that", "there", "here", "still", "same", "just", "one", "two", "need", "want", "little", "bit", "look", "thing",
    "kind", "sort", "side", "right", "left", "back", "front", "wall", "paint", "done", "fix", "room", "door", "around",
    "about", "like", "some", "more", "other", "where", "when", "what", "with", "from", "into", "over", "under", "also",
    "again", "come", "going", "goe", "get", "got", "make", "have", "been", "they", "them", "these", "those", "would",
    "could", "should", "good",
];

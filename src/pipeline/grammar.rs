//! The small words of English that the stages steer by. Closed classes only; everything of the trade is in the lexicon.

use std::sync::LazyLock;

/// Every class is one bit, and every word stands once in one table with the bits of its classes: whatever is asked of a
/// word, one look tells it.
macro_rules! classes {
    ($($(#[$doc:meta])* $name:ident: $($word:literal)+;)+) => {
        #[allow(non_camel_case_types)]
        enum Class {
            $($name),+
        }
        $($(#[$doc])* pub fn $name(word: &str) -> bool {
            bits(word) & (1 << Class::$name as u32) != 0
        })+
        /// The classes' words, in the order of their bits.
        const CLASSES: &[&[&str]] = &[$(&[$($word),+]),+];
    };
}

classes! {
    /// Articles, demonstratives, possessives.
    is_determiner: "the" "a" "an" "this" "that" "these" "those" "my" "your" "our" "his" "her" "their" "its" "another"
    "other" "both" "each" "every" "all" "any" "some" "no" "'s";
    /// Pronouns that can be a subject.
    is_pronoun: "it" "they" "he" "she" "we" "i" "you" "there" "that" "this" "these" "those" "somebody" "someone"
    "anybody" "anyone" "nobody" "everybody" "everyone" "who" "which" "one" "ones" "them" "him" "something" "nothing"
    "everything" "what" "here";
    /// Pronouns that point back at a thing.
    points_back: "it" "they" "that" "this" "these" "those" "them" "one" "ones" "which" "both";
    /// Forms of be, have, do and the modals.
    is_auxiliary: "is" "are" "was" "were" "'s" "be" "been" "being" "am" "has" "have" "had" "do" "does" "did" "will"
    "would" "can" "could" "should" "must" "may" "might" "shall";
    /// Verbs that commonly follow a subject besides the auxiliaries.
    is_linking: "needs" "need" "wants" "want" "looks" "look" "seems" "feels" "gets" "got" "goes" "comes" "came" "went"
    "sits" "stops" "stays" "keeps" "runs" "says" "sticks" "sounds" "smells" "hangs" "moves" "requires" "could" "should";
    /// Prepositions by which a fault is said to be in or on its host: "a chip in the sill".
    is_host: "in" "on" "of" "across" "along" "down" "through" "up" "inside" "into" "round" "around" "all" "over" "at" "to";
    /// Prepositions that only tell where: "by the door".
    is_beside: "by" "behind" "beside" "near" "under" "underneath" "beneath" "above" "below" "opposite" "against"
    "between" "beyond" "past" "towards" "toward" "from" "off" "next" "outside" "for" "with" "without" "before" "after"
    "like" "as" "than" "about" "where";
    /// Days of the week.
    is_weekday: "monday" "tuesday" "wednesday" "thursday" "friday" "saturday" "sunday";
    /// Words of time: one of them, or an ordinal, stands in every deadline.
    is_of_time: "noon" "midday" "lunch" "lunchtime" "o'clock" "am" "pm" "end" "close" "morning" "afternoon" "evening"
    "night" "today" "tonight" "tomorrow" "hour" "hours" "day" "days" "week" "weeks" "weekend" "fortnight" "fortnights"
    "month" "months" "year" "years" "christmas" "monday" "tuesday" "wednesday" "thursday" "friday" "saturday" "sunday"
    "january" "february" "march" "april" "may" "june" "july" "august" "september" "october" "november" "december";
    /// Words that join.
    is_joiner: "and" "or" "but" "so" "because" "then" "plus" "nor";
    /// Words for a side or a place on a part, which are no parts themselves.
    is_spot: "edge" "edges" "corner" "corners" "side" "sides" "top" "bottom" "end" "ends" "front" "back" "middle"
    "center" "centre" "left" "right" "face" "inside" "outside" "piece" "bit" "section" "run" "length" "part" "spot"
    "line" "row" "half" "rest" "lot" "pair" "set" "couple" "bunch" "foot" "head" "surface" "underside" "bits" "pieces"
    "area" "whole" "hand" "place" "way" "thing" "things" "level" "height";
    /// Everyday describing words that may stand between an article and its noun.
    is_describing: "new" "old" "big" "little" "wee" "small" "large" "long" "short" "left" "right" "top" "bottom" "upper"
    "lower" "front" "back" "rear" "inner" "outer" "other" "second" "third" "first" "last" "next" "whole" "main" "same"
    "wrong" "tall" "wide" "narrow" "brand" "entire" "actual" "hand" "middle" "far" "near" "side" "north" "south" "east"
    "west" "white" "black" "metal" "wooden" "wood" "plastic" "glass" "existing" "original" "missing" "damaged" "loose"
    "couple" "few" "more" "single" "double" "one" "two" "three" "four" "five" "six" "seven" "eight" "nine" "ten"
    "outside" "inside" "bloody" "nice" "lovely" "great" "good" "bad" "various" "several" "only" "own" "full" "proper" "private" "public" "common";
    /// Words that end a search for the head of a noun phrase.
    is_verb_like: "see" "know" "think" "go" "going" "come" "coming" "say" "said" "get" "getting" "make" "put" "take"
    "look" "looking" "want" "need" "have" "had" "let" "give" "keep" "feel" "hear" "tell" "show" "try" "use" "call"
    "like" "love" "did" "done" "got" "went" "came" "left" "told" "asked" "saw" "means" "meant" "talk" "talking"
    "remember" "hang" "hold" "mind" "watch" "guess" "suppose" "hope" "wish" "thank" "sorry" "please" "check" "run"
    "leave" "turn" "push" "pull" "press" "walk" "walking" "stand" "standing" "sit" "wait";
    /// Words that are called out and name nothing, and what people talk of besides the building.
    is_aside: "whoa" "wow" "typical" "picture" "photo" "listen" "perfect" "beautiful" "lovely" "brilliant" "cheers" "ooh"
    "pooh" "ouch" "huh" "gosh" "god" "lord" "jesus" "ta" "whatever" "anyway" "nothing" "none" "weather" "coffee" "lunch"
    "meeting" "dog" "car" "truck" "van" "noise" "smell" "same" "ditto" "screwdriver" "ladder" "torch" "flashlight" "glasses"
    "boss" "client" "owner" "buyer" "tenant" "inspector" "agent" "architect" "morning" "evening" "everybody" "view" "kids"
    "mum" "dad" "wife" "husband" "money" "price" "photos" "pictures" "video" "recording" "transcript" "report" "email"
    "drawing" "drawings" "plan" "plans" "spec" "schedule" "contract" "invoice" "keys" "bucket" "rag" "hurry" "luck" "fun"
    "ha" "yikes" "blimey" "crikey" "damn" "hell" "oops" "phew" "ahh" "aha" "sorted" "exactly" "absolutely" "correct"
    "agreed" "understood" "alrighty" "righto" "done" "finished" "good" "great" "nice" "fine" "okay" "difference" "thing" "complaint" "complaints" "notes" "issues" "issue" "snag" "snags" "items" "problems";
    /// Words after which a form that may be noun or verb is a verb: "to seal", "they paint".
    leads_to_verb: "to" "not" "will" "can" "should" "would" "must" "let" "please" "they" "he" "i" "we" "you"
    "somebody" "someone" "nobody";
    /// Small words of no class of their own that are stammered.
    is_little:
    "the" "a" "an" "my" "your" "our" "not" "going" "to" "just" "if" "with" "for";
    /// Words of no class of their own that are no names of things.
    is_plain:
    "yes" "okay" "well" "now" "too" "also" "just" "really" "very" "still" "yet" "again" "when" "while" "how" "why"
    "whether" "never" "always" "only" "even" "there" "oh" "hey" "hello" "maybe" "probably" "actually" "already"
    "almost" "enough" "everything" "honest" "today" "tomorrow" "yesterday" "monday" "tuesday" "wednesday" "thursday"
    "friday" "saturday" "sunday" "week" "day" "time" "minute" "minutes" "hour" "hours" "morning" "afternoon" "people"
    "guys" "guy" "man" "mate" "lads" "folks" "list" "note" "inch" "inches" "feet" "mil" "millimetres" "reason"
    "question" "idea" "kind" "sort" "job" "work" "matter" "luck" "somewhere" "anywhere" "problem" "issue" "point"
    "couple" "right" "left" "something" "anything" "everyone" "exactly" "quite" "pretty" "much" "many" "more" "most"
    "less" "least" "up" "out" "back" "down" "away" "here" "house" "building" "place" "site" "phone";
}

const fn bit(class: Class) -> u32 {
    1 << class as u32
}

/// The classes of small words.
const SMALL: u32 = bit(Class::is_pronoun)
    | bit(Class::is_auxiliary)
    | bit(Class::is_host)
    | bit(Class::is_joiner)
    | bit(Class::is_little);
/// The classes of words that are no names of things.
const FUNCTION: u32 = SMALL
    | bit(Class::is_determiner)
    | bit(Class::is_beside)
    | bit(Class::is_linking)
    | bit(Class::is_verb_like)
    | bit(Class::is_aside)
    | bit(Class::is_plain);

/// Words with their bits; the word's hash tells where it stands, or from where on it is looked for.
static WORDS: LazyLock<Vec<(&'static str, u32)>> = LazyLock::new(|| {
    let words: usize = CLASSES.iter().map(|c| c.len()).sum();
    let mut table = vec![("", 0); (4 * words).next_power_of_two()];
    for (class, words) in CLASSES.iter().enumerate() {
        for word in *words {
            let at = place(&table, word);
            table[at] = (*word, table[at].1 | 1 << class);
        }
    }
    table
});

/// Where a word stands in the table, or the empty place where it would: by its length, its ends and its middle.
fn place(table: &[(&str, u32)], word: &str) -> usize {
    let letters = word.as_bytes();
    let letter = |at: usize| u64::from(letters.get(at).copied().unwrap_or_default());
    let n = letters.len();
    let ends = letter(0) | letter(n.saturating_sub(1)) << 8 | letter(n / 2) << 16;
    let key = ends | letter(1) << 24 | (n as u64) << 32;
    // Multiplying spreads the key over the upper bits (Knuth).
    let mut at = (key.wrapping_mul(0x9e37_79b9_7f4a_7c15) >> 40) as usize & (table.len() - 1);
    while !table[at].0.is_empty() && table[at].0 != word {
        at = (at + 1) & (table.len() - 1);
    }
    at
}

/// The classes of a word, one bit each.
fn bits(word: &str) -> u32 {
    let table: &[(&str, u32)] = &WORDS;
    table[place(table, word)].1
}

/// Small words that are stammered: a repeat of them is no emphasis.
pub fn is_small(word: &str) -> bool {
    bits(word) & SMALL != 0
}

/// Words that are no names of things.
pub fn is_function(word: &str) -> bool {
    word.len() < 3 || bits(word) & FUNCTION != 0 || number(word).is_some()
}

/// Words of which a trade's term may be made: "call panel", "pop up waste", but not "thing on the wall".
pub fn is_of_term(word: &str) -> bool {
    const NOT: u32 = bit(Class::is_determiner)
        | bit(Class::is_describing)
        | bit(Class::is_pronoun)
        | bit(Class::is_auxiliary)
        | bit(Class::is_joiner)
        | bit(Class::is_beside);
    const VAGUE: [&str; 8] = [
        "thing", "things", "bit", "bits", "stuff", "piece", "pieces", "part",
    ];
    let leads = is_host(word) && !matches!(word, "up" | "down");
    word.len() >= 2
        && bits(word) & NOT == 0
        && !leads
        && !VAGUE.contains(&word)
        && number(word).is_none()
}

/// A whole number in words or figures.
pub fn number(word: &str) -> Option<u32> {
    // A word that begins with none of these letters is none of the words below.
    if !matches!(
        word.as_bytes().first(),
        Some(b'z' | b'o' | b't' | b'f' | b's' | b'e' | b'n' | b'h')
    ) {
        return word.parse().ok();
    }
    Some(match word {
        "zero" => 0,
        "one" => 1,
        "two" => 2,
        "three" => 3,
        "four" => 4,
        "five" => 5,
        "six" => 6,
        "seven" => 7,
        "eight" => 8,
        "nine" => 9,
        "ten" => 10,
        "eleven" => 11,
        "twelve" => 12,
        "thirteen" => 13,
        "fourteen" => 14,
        "fifteen" => 15,
        "sixteen" => 16,
        "seventeen" => 17,
        "eighteen" => 18,
        "nineteen" => 19,
        "twenty" => 20,
        "thirty" => 30,
        "forty" => 40,
        "fifty" => 50,
        "sixty" => 60,
        "seventy" => 70,
        "eighty" => 80,
        "ninety" => 90,
        "hundred" => 100,
        _ => return word.parse().ok(),
    })
}

/// An ordinal: "second" is 2.
pub fn ordinal(word: &str) -> Option<u32> {
    Some(match word {
        "first" | "1st" => 1,
        "second" | "2nd" => 2,
        "third" | "3rd" => 3,
        "fourth" | "4th" => 4,
        "fifth" | "5th" => 5,
        "sixth" | "6th" => 6,
        "seventh" | "7th" => 7,
        "eighth" | "8th" => 8,
        "ninth" | "9th" => 9,
        "tenth" | "10th" => 10,
        _ => return None,
    })
}

/// Words after which a thought cannot end.
pub fn leads_on(word: &str) -> bool {
    is_determiner(word)
        && !matches!(
            word,
            "that" | "this" | "these" | "those" | "both" | "all" | "'s" | "her" | "other"
        )
        || is_auxiliary(word)
        || is_joiner(word)
        || is_beside(word)
        || matches!(
            word,
            "across" | "along" | "through" | "inside" | "into" | "around" | "round" | "at"
        )
        || matches!(
            word,
            "to" | "of"
                | "in"
                | "on"
                | "if"
                | "that"
                | "sure"
                | "think"
                | "like"
                | "when"
                | "which"
                | "who"
                | "what"
                | "know"
        )
}

/// Words that hardly ever end a thought: articles, owners, the plainest prepositions.
pub fn needs_more(word: &str) -> bool {
    matches!(
        word,
        "the"
            | "a"
            | "an"
            | "my"
            | "your"
            | "his"
            | "their"
            | "our"
            | "of"
            | "to"
            | "from"
            | "with"
            | "into"
            | "by"
            | "for"
            | "at"
            | "if"
            | "than"
            | "as"
    )
}

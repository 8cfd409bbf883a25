//! Derives the forms that the lexicon need not list: plurals and the forms of verbs. Regular English spelling; what is
//! irregular and common in the trade stands in the tables below.

const PLURALS: &[(&str, &str)] = &[
    ("shelf", "shelves"),
    ("leaf", "leaves"),
    ("loaf", "loaves"),
    ("knife", "knives"),
    ("half", "halves"),
    ("foot", "feet"),
    ("tooth", "teeth"),
    ("man", "men"),
    ("woman", "women"),
    ("child", "children"),
    ("stairs", "stairs"),
    ("eaves", "eaves"),
];

const VERBS: &[(&str, [&str; 3])] = &[
    // base: -s, past, participle; -ing is regular
    ("hang", ["hangs", "hung", "hung"]),
    ("stick", ["sticks", "stuck", "stuck"]),
    ("break", ["breaks", "broke", "broken"]),
    ("bend", ["bends", "bent", "bent"]),
    ("put", ["puts", "put", "put"]),
    ("set", ["sets", "set", "set"]),
    ("cut", ["cuts", "cut", "cut"]),
    ("shut", ["shuts", "shut", "shut"]),
    ("split", ["splits", "split", "split"]),
    ("run", ["runs", "ran", "run"]),
    ("come", ["comes", "came", "come"]),
    ("go", ["goes", "went", "gone"]),
    ("get", ["gets", "got", "got"]),
    ("take", ["takes", "took", "taken"]),
    ("make", ["makes", "made", "made"]),
    ("do", ["does", "did", "done"]),
    ("redo", ["redoes", "redid", "redone"]),
    ("sink", ["sinks", "sank", "sunk"]),
    ("swing", ["swings", "swung", "swung"]),
    ("spin", ["spins", "spun", "spun"]),
    ("fall", ["falls", "fell", "fallen"]),
    ("tear", ["tears", "tore", "torn"]),
    ("wear", ["wears", "wore", "worn"]),
    ("freeze", ["freezes", "froze", "frozen"]),
    ("bind", ["binds", "bound", "bound"]),
    ("find", ["finds", "found", "found"]),
    ("rise", ["rises", "rose", "risen"]),
    ("lie", ["lies", "lay", "lain"]),
    ("lay", ["lays", "laid", "laid"]),
    ("relay", ["relays", "relaid", "relaid"]),
    ("sweep", ["sweeps", "swept", "swept"]),
    ("feed", ["feeds", "fed", "fed"]),
    ("bleed", ["bleeds", "bled", "bled"]),
    ("leave", ["leaves", "left", "left"]),
    ("lose", ["loses", "lost", "lost"]),
    ("shake", ["shakes", "shook", "shaken"]),
    ("sit", ["sits", "sat", "sat"]),
    ("stand", ["stands", "stood", "stood"]),
    ("hold", ["holds", "held", "held"]),
    ("let", ["lets", "let", "let"]),
    ("fit", ["fits", "fit", "fitted"]),
    ("shrink", ["shrinks", "shrank", "shrunk"]),
    ("blow", ["blows", "blew", "blown"]),
    ("bite", ["bites", "bit", "bitten"]),
    ("grind", ["grinds", "ground", "ground"]),
    ("rehang", ["rehangs", "rehung", "rehung"]),
    ("reset", ["resets", "reset", "reset"]),
    ("build", ["builds", "built", "built"]),
    ("swell", ["swells", "swelled", "swollen"]),
    ("bring", ["brings", "brought", "brought"]),
    ("rewind", ["rewinds", "rewound", "rewound"]),
    ("dig", ["digs", "dug", "dug"]),
    ("drive", ["drives", "drove", "driven"]),
    ("bed", ["beds", "bedded", "bedded"]),
    ("paint", ["paints", "painted", "painted"]),
    ("open", ["opens", "opened", "opened"]),
    ("meet", ["meets", "met", "met"]),
    ("tighten", ["tightens", "tightened", "tightened"]),
    ("fasten", ["fastens", "fastened", "fastened"]),
    (
        "straighten",
        ["straightens", "straightened", "straightened"],
    ),
    ("rattle", ["rattles", "rattled", "rattled"]),
];

/// Who is called a "guy" on site is also called one of these.
pub const PERSONS: &[&str] = &["man", "lad", "bloke", "chap", "fella", "fellow"];

/// And several of them one of these.
pub const PEOPLE: &[&str] = &[
    "people",
    "folks",
    "crowd",
    "outfit",
    "crew",
    "gang",
    "team",
    "company",
    "contractor",
    "sub",
];

/// The plural of a noun phrase: its last word made plural.
pub fn plural(form: &str) -> String {
    // "coat of paint", "piece of tape": the head stands before the "of".
    if let Some((head, rest)) = form.split_once(" of ") {
        return format!("{} of {rest}", plural(head));
    }
    let (before, last) = form.rsplit_once(' ').map_or(("", form), |(b, l)| (b, l));
    let many = plural_word(last);
    if before.is_empty() {
        many
    } else {
        format!("{before} {many}")
    }
}

fn plural_word(word: &str) -> String {
    if let Some((_, many)) = PLURALS.iter().find(|(one, _)| *one == word) {
        return (*many).to_string();
    }
    let vowel_before_y = word.ends_with('y')
        && word
            .chars()
            .rev()
            .nth(1)
            .is_some_and(|c| "aeiou".contains(c));
    if word.ends_with('y') && !vowel_before_y && word.len() > 2 {
        format!("{}ies", &word[..word.len() - 1])
    } else if ["s", "x", "z", "ch", "sh"]
        .iter()
        .any(|e| word.ends_with(e))
    {
        format!("{word}es")
    } else {
        format!("{word}s")
    }
}

/// The forms of a verb phrase: its first word inflected.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VerbForms {
    /// Third person: "paints".
    pub s: String,
    /// "painting".
    pub ing: String,
    /// Past: "painted".
    pub past: String,
    /// Participle: "painted", "broken".
    pub participle: String,
}

/// The forms of a verb phrase ("touch up" gives "touches up", "touching up", "touched up").
pub fn verb(form: &str) -> VerbForms {
    // "re hang": the prefix stands for itself, the verb follows.
    let (prefix, rest) = match form.split_once(' ') {
        Some(("re", rest)) => ("re ", rest),
        _ => ("", form),
    };
    let (first, tail) = rest
        .split_once(' ')
        .map_or((rest, String::new()), |(f, t)| (f, format!(" {t}")));
    let join = |w: &str| format!("{prefix}{w}{tail}");
    let (s, past, participle) = match VERBS.iter().find(|(b, _)| *b == first) {
        Some((_, [s, p, pp])) => ((*s).to_string(), (*p).to_string(), (*pp).to_string()),
        None => (third(first), past(first), past(first)),
    };
    VerbForms {
        s: join(&s),
        ing: join(&ing(first)),
        past: join(&past),
        participle: join(&participle),
    }
}

fn third(word: &str) -> String {
    plural_word(word)
}

/// Doubles the last consonant of a short stressed syllable: "trim" gives "trimm".
fn doubled(word: &str) -> String {
    let c: Vec<char> = word.chars().collect();
    let n = c.len();
    let vowel = |c: char| "aeiou".contains(c);
    let one_syllable = c.iter().filter(|c| vowel(**c)).count() == 1;
    if n >= 3
        && one_syllable
        && vowel(c[n - 2])
        && !vowel(c[n - 3])
        && !vowel(c[n - 1])
        && !"wxy".contains(c[n - 1])
    {
        format!("{word}{}", c[n - 1])
    } else {
        word.to_string()
    }
}

fn past(word: &str) -> String {
    if word.ends_with('e') {
        format!("{word}d")
    } else if word.ends_with('y')
        && !word.ends_with("ay")
        && !word.ends_with("oy")
        && !word.ends_with("ey")
    {
        format!("{}ied", &word[..word.len() - 1])
    } else {
        format!("{}ed", doubled(word))
    }
}

fn ing(word: &str) -> String {
    if let Some(stem) = word.strip_suffix("ie") {
        format!("{stem}ying")
    } else if word.ends_with('e') && !word.ends_with("ee") && !word.ends_with("oe") {
        format!("{}ing", &word[..word.len() - 1])
    } else {
        format!("{}ing", doubled(word))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plurals() {
        for (one, many) in [
            ("sill", "sills"),
            ("switch plate", "switch plates"),
            ("shelf", "shelves"),
            ("bookcase", "bookcases"),
            ("sash", "sashes"),
            ("balcony", "balconies"),
            ("tray", "trays"),
            ("coat of paint", "coats of paint"),
            ("box", "boxes"),
        ] {
            assert_eq!(plural(one), many);
        }
    }

    #[test]
    fn verbs() {
        for (base, s, ing, past) in [
            ("paint", "paints", "painting", "painted"),
            ("touch up", "touches up", "touching up", "touched up"),
            ("trim", "trims", "trimming", "trimmed"),
            ("caulk", "caulks", "caulking", "caulked"),
            ("re hang", "re hangs", "re hanging", "re hung"),
            ("dry", "dries", "drying", "dried"),
            ("plane", "planes", "planing", "planed"),
            ("clean out", "cleans out", "cleaning out", "cleaned out"),
            ("swap", "swaps", "swapping", "swapped"),
            ("rub", "rubs", "rubbing", "rubbed"),
        ] {
            let v = verb(base);
            assert_eq!(
                (v.s.as_str(), v.ing.as_str(), v.past.as_str()),
                (s, ing, past)
            );
        }
        assert_eq!(verb("break").participle, "broken");
    }
}

//! How alike two pieces of speech sound: a code of their consonants, and a distance between codes.
//!
//! A code of this kind drops what recognizers confuse: vowels, voicing (b and p, d and t, g and k), silent letters, and where
//! one word ends and the next begins. Codes made for people's names keep some of these apart, and keep the silent l of
//! "caulk"; hence one of our own.

/// The code of some words: one letter for each consonant that sounds.
///
/// ```
/// use storystick::lexicon::sounds::code;
///
/// assert_eq!(code("caulk"), code("cock"));
/// assert_eq!(code("touch up"), code("to chop"));
/// assert_ne!(code("soffit"), code("socket"));
/// ```
pub fn code(words: &str) -> String {
    let mut out = String::new();
    for word in words.split(' ') {
        one(word.as_bytes(), &mut out);
    }
    out
}

fn one(w: &[u8], out: &mut String) {
    let at = |i: usize| w.get(i).copied().unwrap_or(b' ');
    let soft = |c: u8| matches!(c, b'e' | b'i' | b'y');
    let mut i = 0;
    while i < w.len() {
        let (c, n) = (w[i], at(i + 1));
        let rest = &w[i..];
        let (sound, used) = match c {
            _ if rest == b"ough" || rest == b"augh" => (Some('F'), 4),
            b'g' if rest.starts_with(b"ght") => (Some('T'), 3),
            // "caulk", "chalk", "yolk": the l is silent.
            b'l' if n == b'k' && i > 0 && matches!(w[i - 1], b'a' | b'u' | b'o') => (None, 1),
            b'b' if i + 1 == w.len() && i > 0 && w[i - 1] == b'm' => (None, 1),
            b'k' | b'g' if i == 0 && n == b'n' => (None, 1),
            b'w' if i == 0 && n == b'r' => (None, 1),
            b'p' if n == b'h' => (Some('F'), 2),
            b't' if rest.starts_with(b"tch") => (Some('X'), 3),
            b'd' if rest.starts_with(b"dg") => (Some('X'), 2),
            b'c' | b's' if n == b'h' => (Some('X'), 2),
            b't' if n == b'h' => (Some('T'), 2),
            b'c' if n == b'k' => (Some('K'), 2),
            b'c' if soft(n) => (Some('S'), 1),
            b'g' if soft(n) => (Some('X'), 1),
            b'j' => (Some('X'), 1),
            b'c' | b'k' | b'q' | b'g' => (Some('K'), 1),
            b'b' | b'p' => (Some('P'), 1),
            b'd' | b't' => (Some('T'), 1),
            b'f' | b'v' => (Some('F'), 1),
            b's' | b'z' => (Some('S'), 1),
            b'x' => {
                push(out, 'K');
                (Some('S'), 1)
            }
            b'm' => (Some('M'), 1),
            b'n' => (Some('N'), 1),
            b'l' => (Some('L'), 1),
            b'r' => (Some('R'), 1),
            b'h' if i == 0 => (Some('H'), 1),
            b'w' if i == 0 => (Some('W'), 1),
            _ => (None, 1),
        };
        if let Some(s) = sound {
            push(out, s);
            // A vowel between two like sounds keeps them apart: "toe kick".
        } else if matches!(c, b'a' | b'e' | b'i' | b'o' | b'u' | b'y') {
            out.push('.');
        }
        i += used;
    }
    out.retain(|c| c != '.');
}

fn push(out: &mut String, c: char) {
    if !out.ends_with(c) {
        out.push(c);
    }
}

/// How alike two codes ([`code`]) are, from 0 to 1: sounds made in one way or in one place count as half the same.
pub fn alike(a: &str, b: &str) -> f64 {
    alike_enough(a, b, f64::MIN).unwrap_or(0.0)
}

/// The longest code that is compared without asking for memory.
const SHORT: usize = 32;

/// How alike two codes are, where that is at least so much.
pub fn alike_enough(a: &str, b: &str, least: f64) -> Option<f64> {
    let (a, b) = (a.as_bytes(), b.as_bytes());
    let longest = a.len().max(b.len());
    if longest == 0 {
        return (least <= 0.0).then_some(0.0);
    }
    let (mut few, mut many);
    let row = if b.len() < SHORT {
        few = [0.0; SHORT];
        &mut few[..=b.len()]
    } else {
        many = vec![0.0; b.len() + 1];
        &mut many[..]
    };
    for (j, y) in b.iter().enumerate() {
        row[j + 1] = row[j] + LOST[at(*y)];
    }
    // The cost never falls from row to row: past this the end is known. The rest is room for rounding.
    let most = (1.0 - least) * longest as f64 + 1e-6;
    for x in a {
        let (gone, swapped) = (LOST[at(*x)], &SWAPPED[at(*x)]);
        let mut diagonal = row[0];
        row[0] += gone;
        let mut lowest = row[0];
        for (j, y) in b.iter().enumerate() {
            let best = (diagonal + swapped[at(*y)])
                .min(row[j + 1] + gone)
                .min(row[j] + LOST[at(*y)]);
            diagonal = row[j + 1];
            row[j + 1] = best;
            lowest = lowest.min(best);
        }
        if lowest > most {
            return None;
        }
    }
    let alike = 1.0 - row[b.len()] / longest as f64;
    (alike >= least).then_some(alike)
}

/// The least that two codes cost which differ in these sounds, one bit each ([`super::heard::mask`]): a swap takes away two
/// of them at most.
pub fn least_cost(mut bits: u32) -> f64 {
    let mut cost = 0.0;
    while bits != 0 {
        cost += match b'@' + bits.trailing_zeros() as u8 {
            b'M' | b'N' => 0.15,
            b'K' | b'F' => 0.25,
            _ => 0.3,
        };
        bits &= bits - 1;
    }
    cost
}

/// What it costs to leave a sound out: breaths and endings are lost first.
const fn lost(c: u8) -> f64 {
    match c {
        b'H' | b'W' => 0.4,
        b'T' | b'R' => 0.7,
        _ => 0.9,
    }
}

/// The way in which a sound is made.
const fn class(c: u8) -> u8 {
    match c {
        b'P' | b'T' | b'K' => 1,
        b'F' | b'S' | b'X' | b'H' => 2,
        b'M' | b'N' => 3,
        b'L' | b'R' => 4,
        _ => 5,
    }
}

/// How many letters a table of costs has room for: all codes are capital letters.
const LETTERS: usize = 32;

/// What every sound costs that is left out, by its letter.
static LOST: [f64; LETTERS] = {
    let mut costs = [0.0; LETTERS];
    let mut a = 0;
    while a < LETTERS {
        costs[a] = lost(b'@' + a as u8);
        a += 1;
    }
    costs
};

/// What every swap costs, by both letters.
static SWAPPED: [[f64; LETTERS]; LETTERS] = {
    let mut costs = [[0.0; LETTERS]; LETTERS];
    let mut a = 0;
    while a < LETTERS {
        let mut b = 0;
        while b < LETTERS {
            costs[a][b] = swapped(b'@' + a as u8, b'@' + b as u8);
            b += 1;
        }
        a += 1;
    }
    costs
};

/// A letter's place in the tables.
fn at(letter: u8) -> usize {
    usize::from(letter) % LETTERS
}

/// What it costs to hear one sound for another.
const fn swapped(a: u8, b: u8) -> f64 {
    match (a, b) {
        _ if a == b => 0.0,
        (b'M', b'N') | (b'N', b'M') => 0.3,
        // "caulk" as "cough", "soffit" as "socket": a stop in the throat or a breath.
        (b'K', b'F') | (b'F', b'K') => 0.5,
        // A breath is lost or taken for a stop: "pop" as "hop".
        (b'H', _) | (_, b'H') => 0.6,
        _ if class(a) == class(b) => 0.6,
        _ => 1.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_pair_costs_less_than_the_least() {
        let sounds = b"PTKFSXHMNLRW";
        for a in sounds {
            let one = 1 << (a & 31);
            assert!(least_cost(one) <= lost(*a));
            for b in sounds.iter().filter(|b| *b != a) {
                assert!(least_cost(one | 1 << (b & 31)) <= swapped(*a, *b) + 1e-9);
            }
        }
        assert_eq!(alike_enough("PTK", "PTK", 0.9), Some(1.0));
        assert_eq!(alike_enough("PTK", "LNW", 0.5), None);
        let long = "PTKFSXMNLR".repeat(5);
        assert_eq!(
            alike_enough(&long, &long[1..], 0.9),
            Some(alike(&long, &long[1..]))
        );
    }

    #[test]
    fn measured_confusions_sound_alike() {
        for (meant, heard) in [
            ("caulk", "cock"),
            ("caulk", "cough"),
            ("caulk", "cog"),
            ("soffit", "socket"),
            ("soffit", "saw fit"),
            ("soffit", "softet"),
            ("escutcheon", "scutch and"),
            ("escutcheon", "scotch and"),
            ("escutcheon", "escutchant"),
            ("wainscot", "wane scote"),
            ("toe kick", "tow cake"),
            ("transom", "trancem"),
            ("downspout", "down spot"),
            ("weep hole", "weak hole"),
            ("weep hole", "we poll"),
            ("p trap", "petrap"),
            ("p trap", "tea trap"),
            ("quarter round", "cord around"),
            ("hose bib", "hose bit"),
            ("hose bib", "hose bed"),
            ("nail pop", "ale pop"),
            ("nail pop", "nail hop"),
            ("grout", "groud"),
            ("grout", "crowd"),
            ("grout", "route"),
            ("grout", "brought"),
            ("jamb", "jam"),
            ("lippage", "lipage"),
            ("shim", "shin"),
            ("touch up", "to chop"),
        ] {
            let like = alike(&code(meant), &code(heard));
            assert!(
                like >= 0.7,
                "{meant} {} / {heard} {}: {like:.2}",
                code(meant),
                code(heard)
            );
        }
        for (a, b) in [
            ("window", "carpet"),
            ("hinge", "faucet"),
            ("grout", "mirror"),
        ] {
            let like = alike(&code(a), &code(b));
            assert!(like < 0.5, "{a} / {b}: {like:.2}");
        }
    }
}

//! All forms of a lexicon with what they may mean, laid out so that they are read where they lie.
//!
//! The built-in lexicon's table is a part of the program: nothing of it is unpacked when the program starts, and a walk asks
//! only for the pages that hold its own words. A form is found word by word: every beginning of a form that ends with a word
//! has a slot, so that one look tells whether words are a form, the beginning of one, or neither.

use std::borrow::Cow;

use super::data::{Form, Kind, Role, Sense};

/// Bytes of a number.
const NUMBER: usize = 4;
/// Bytes of a slot: the form that begins so first (from 1), the bytes of the beginning, a piece of its hash.
const SLOT: usize = 8;
/// Bytes of a sense.
const SENSE: usize = 5;
/// Numbers at the head: forms, slots, senses.
const HEAD: usize = 3;
/// The longest beginning that has a slot, in bytes. Nobody says so long a form.
const LONGEST: usize = u16::MAX as usize;

const KINDS: [Kind; 6] = [
    Kind::Area,
    Kind::Element,
    Kind::Fault,
    Kind::Work,
    Kind::Trade,
    Kind::Cue,
];
const ROLES: [Role; 9] = [
    Role::Noun,
    Role::Nouns,
    Role::State,
    Role::Base,
    Role::Third,
    Role::Ing,
    Role::Past,
    Role::Lack,
    Role::Phrase,
];

/// The forms in the order of their texts.
#[derive(Clone)]
pub struct Table {
    /// The forms' texts, one behind the other.
    texts: Cow<'static, str>,
    /// The head; where each text ends; where each form's senses end; the slots; the senses.
    numbers: Cow<'static, [u8]>,
    forms: usize,
    slots: usize,
}

/// One form of the table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Listed<'t> {
    /// As compared ([`super::words::fold`]).
    pub text: &'t str,
    /// What it may mean, in the order of kinds.
    pub senses: Senses<'t>,
}

/// What a form may mean, in the order of kinds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Senses<'t>(&'t [u8]);

impl Iterator for Senses<'_> {
    type Item = Sense;

    fn next(&mut self) -> Option<Sense> {
        let (sense, rest) = self.0.split_first_chunk::<SENSE>()?;
        self.0 = rest;
        let [kind, role, low, high, name] = *sense;
        Some(Sense {
            kind: KINDS[usize::from(kind)],
            entry: u16::from_le_bytes([low, high]),
            role: ROLES[usize::from(role)],
            name,
        })
    }
}

/// What some words are to the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Beginning {
    /// The form that they are.
    pub form: Option<usize>,
    /// Whether a form goes on with more words.
    pub goes_on: bool,
}

/// The hash of words as they are taken in one after the other.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Hashed(u64);

impl Hashed {
    /// With one more word.
    pub fn and(self, word: &str) -> Hashed {
        let mix = |h: u64, n: u64| (h.rotate_left(5) ^ n).wrapping_mul(0x517c_c1b7_2722_0a95);
        let (eights, rest) = word.as_bytes().as_chunks::<8>();
        let mut hash = eights
            .iter()
            .fold(self.0, |h, eight| mix(h, u64::from_le_bytes(*eight)));
        let last = rest.iter().rev().fold(0, |n, b| n << 8 | u64::from(*b));
        // The length keeps the words apart.
        hash = mix(hash, last | (rest.len() as u64 + 1) << 56);
        Hashed(hash)
    }

    /// What a slot keeps of it.
    fn piece(self) -> u16 {
        (self.0 >> 16) as u16
    }

    /// The slot that is looked at first, of so many; their number is a power of two.
    pub fn slot(self, slots: usize) -> usize {
        (self.0 >> 32) as usize & (slots - 1)
    }
}

impl Default for Table {
    fn default() -> Table {
        Table::of(&[])
    }
}

impl std::fmt::Debug for Table {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_list().entries(self.iter()).finish()
    }
}

impl Table {
    /// The table of these forms, which stand in the order of their texts.
    pub fn of(forms: &[Form]) -> Table {
        let (begins, slots) = slots_of(forms);
        let senses: usize = forms.iter().map(|f| f.senses.len()).sum();
        let size = NUMBER * (HEAD + 2 * forms.len()) + SLOT * slots + SENSE * senses;
        let mut numbers = Vec::with_capacity(size);
        let mut texts = String::new();
        let put = |numbers: &mut Vec<u8>, n: usize| {
            let n = u32::try_from(n).unwrap_or(u32::MAX);
            numbers.extend(n.to_le_bytes());
        };
        for n in [forms.len(), slots, senses] {
            put(&mut numbers, n);
        }
        for f in forms {
            texts.push_str(&f.text);
            put(&mut numbers, texts.len());
        }
        let mut end = 0;
        for f in forms {
            end += f.senses.len();
            put(&mut numbers, end);
        }
        for slot in begins {
            numbers.extend(slot);
        }
        for s in forms.iter().flat_map(|f| &f.senses) {
            let [low, high] = s.entry.to_le_bytes();
            numbers.extend([s.kind as u8, s.role as u8, low, high, s.name]);
        }
        Table::laid(Cow::Owned(texts), Cow::Owned(numbers))
    }

    /// The table that [`Table::parts`] gave.
    pub fn laid(texts: Cow<'static, str>, numbers: Cow<'static, [u8]>) -> Table {
        let mut table = Table {
            texts,
            numbers,
            forms: 0,
            slots: 0,
        };
        table.forms = table.number(0);
        table.slots = table.number(NUMBER);
        table
    }

    /// The two parts that a table is kept in: the texts, and all else.
    pub fn parts(&self) -> (&str, &[u8]) {
        (&self.texts, &self.numbers)
    }

    /// How many forms there are.
    pub fn len(&self) -> usize {
        self.forms
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.forms == 0
    }

    /// The forms in the order of their texts.
    pub fn iter(&self) -> impl Iterator<Item = Listed<'_>> {
        (0..self.forms).map(|form| Listed {
            text: self.text(form),
            senses: self.senses(form),
        })
    }

    /// A form's text.
    pub fn text(&self, form: usize) -> &str {
        let (start, end) = self.stretch(NUMBER * HEAD, form);
        &self.texts[start..end]
    }

    /// What a form may mean.
    pub fn senses(&self, form: usize) -> Senses<'_> {
        let (start, end) = self.stretch(NUMBER * (HEAD + self.forms), form);
        let all = NUMBER * (HEAD + 2 * self.forms) + SLOT * self.slots;
        Senses(&self.numbers[all + SENSE * start..all + SENSE * end])
    }

    /// The form with this text.
    pub fn find(&self, text: &str) -> Option<usize> {
        let hash = text.split(' ').fold(Hashed::default(), Hashed::and);
        self.begins(text, hash)?.form
    }

    /// What words are to the table, their hash being known; none where no form begins so.
    pub fn begins(&self, words: &str, hash: Hashed) -> Option<Beginning> {
        let mut slot = hash.slot(self.slots);
        loop {
            let (form, length, piece) = self.slot(slot);
            let form = form.checked_sub(1)?;
            if piece == hash.piece() && length == words.len() {
                let text = self.text(form);
                if text.as_bytes().starts_with(words.as_bytes()) {
                    let whole = text.len() == words.len();
                    // Forms that begin with these words follow each other, the words themselves first.
                    let goes_on =
                        !whole || form + 1 < self.forms && goes_on(self.text(form + 1), words);
                    return Some(Beginning {
                        form: whole.then_some(form),
                        goes_on,
                    });
                }
            }
            slot = (slot + 1) & (self.slots - 1);
        }
    }

    fn number(&self, at: usize) -> usize {
        let bytes = self.numbers[at..].first_chunk::<NUMBER>();
        bytes.map_or(0, |b| u32::from_le_bytes(*b) as usize)
    }

    /// Where something of a form begins and ends, in a row of ends.
    fn stretch(&self, row: usize, form: usize) -> (usize, usize) {
        let start = form
            .checked_sub(1)
            .map_or(0, |before| self.number(row + NUMBER * before));
        (start, self.number(row + NUMBER * form))
    }

    fn slot(&self, slot: usize) -> (usize, usize, u16) {
        let at = NUMBER * (HEAD + 2 * self.forms) + SLOT * slot;
        let Some([a, b, c, d, e, f, g, h]) = self.numbers[at..].first_chunk::<SLOT>() else {
            return (0, 0, 0);
        };
        (
            u32::from_le_bytes([*a, *b, *c, *d]) as usize,
            usize::from(u16::from_le_bytes([*e, *f])),
            u16::from_le_bytes([*g, *h]),
        )
    }
}

/// Whether a text goes on with another word after these.
fn goes_on(text: &str, words: &str) -> bool {
    text.strip_prefix(words)
        .is_some_and(|rest| rest.starts_with(' '))
}

/// The slots of all beginnings, and how many there are: a power of two, about half of it empty.
fn slots_of(forms: &[Form]) -> (Vec<[u8; SLOT]>, usize) {
    let mut begins: Vec<(u32, u16, Hashed)> = Vec::new();
    let mut before = "";
    for (number, f) in (1u32..).zip(forms) {
        let mut hash = Hashed::default();
        let mut end = 0;
        for word in f.text.split(' ') {
            hash = hash.and(word);
            end += usize::from(end > 0) + word.len();
            let words = &f.text[..end];
            // The form before has the same beginning: it has the slot.
            let known = before == words || goes_on(before, words);
            if !known && let Ok(length @ 1..) = u16::try_from(end.min(LONGEST + 1)) {
                begins.push((number, length, hash));
            }
        }
        before = &f.text;
    }
    let slots = (begins.len() * 3 / 2 + 1).next_power_of_two();
    let mut out = vec![[0; SLOT]; slots];
    for (form, length, hash) in begins {
        let mut at = hash.slot(slots);
        while out[at] != [0; SLOT] {
            at = (at + 1) & (slots - 1);
        }
        let ([a, b, c, d], [e, f]) = (form.to_le_bytes(), length.to_le_bytes());
        let [g, h] = hash.piece().to_le_bytes();
        out[at] = [a, b, c, d, e, f, g, h];
    }
    (out, slots)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table(texts: &[&str]) -> Table {
        let form = |(i, t): (u16, &&str)| Form {
            text: (*t).to_string(),
            senses: KINDS
                .iter()
                .map(|kind| Sense {
                    kind: *kind,
                    entry: i,
                    role: ROLES[usize::from(i) % ROLES.len()],
                    name: 7,
                })
                .collect(),
        };
        let forms: Vec<Form> = (0u16..).zip(texts).map(form).collect();
        Table::of(&forms)
    }

    #[test]
    fn gives_back_what_was_laid_down() {
        let texts = [
            "door",
            "door frame",
            "door frame head",
            "door 's off",
            "sill",
        ];
        let built = table(&texts);
        let (text, numbers) = built.parts();
        let again = Table::laid(text.to_string().into(), numbers.to_vec().into());
        assert_eq!(again.len(), texts.len());
        for ((i, listed), text) in (0u16..).zip(again.iter()).zip(texts) {
            assert_eq!(listed.text, text);
            let senses: Vec<Sense> = listed.senses.collect();
            assert_eq!(senses.len(), KINDS.len());
            for (s, kind) in senses.iter().zip(KINDS) {
                assert_eq!((s.kind, s.entry, s.name), (kind, i, 7));
                assert_eq!(s.role, ROLES[usize::from(i)]);
            }
        }
    }

    #[test]
    fn tells_forms_from_their_beginnings() {
        let t = table(&["a", "a b", "a b c", "long words here", "long words herein"]);
        let begins = |words: &str| {
            let hash = words.split(' ').fold(Hashed::default(), Hashed::and);
            t.begins(words, hash).map(|b| (b.form, b.goes_on))
        };
        assert_eq!(begins("a"), Some((Some(0), true)));
        assert_eq!(begins("a b"), Some((Some(1), true)));
        assert_eq!(begins("a b c"), Some((Some(2), false)));
        assert_eq!(begins("long"), Some((None, true)));
        assert_eq!(begins("long words"), Some((None, true)));
        assert_eq!(begins("long words here"), Some((Some(3), false)));
        for no in [
            "",
            "b",
            "a c",
            "lon",
            "long word",
            "long words her",
            "a b c d",
        ] {
            assert_eq!(begins(no), None, "{no}");
        }
        assert_eq!(t.find("a b"), Some(1));
        assert_eq!(t.find("a d"), None);
    }

    #[test]
    fn an_empty_table_knows_nothing() {
        let t = Table::default();
        assert!(t.is_empty());
        assert_eq!(t.find("door"), None);
        assert_eq!(t.find(""), None);
    }
}

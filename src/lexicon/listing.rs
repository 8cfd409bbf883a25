//! Every form that the entries list, with those derived from it, and who gets a form that several entries claim.
//!
//! Two entries of one kind in one layer may not list the same form. Across layers the later one gets it: a firm that says
//! "board" for its sheathing takes the word away from whatever had it before.

use std::collections::BTreeMap;

use super::data::{Form, Kind, Role, Sense};
use super::forms;
use super::words::fold;
use super::yaml::Place;

/// A form as listed by hand, and what is derived from it.
struct Listed {
    /// Forms of one claim are told apart; a verb that a thing "lacks" is another claim than one that it does.
    claim: String,
    text: String,
    sense: Sense,
    place: Place,
    /// The entry, as `kind/id`.
    entry: String,
    derived: Vec<(String, Sense)>,
}

/// A form that a later layer took from an entry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Taken {
    /// The form, folded.
    pub form: String,
    /// It was listed under `lacks`, where forms are told apart from all others.
    pub lack: bool,
    /// Who had it, as `kind/id`.
    pub from: String,
    /// Who has it now.
    pub to: String,
    /// Where it was listed anew.
    pub place: Place,
}

/// All forms by their text, and those that changed hands.
pub type Settled = (Vec<Form>, Vec<Taken>);

/// What is wrong, and where.
pub type Faults = Vec<(Place, String)>;

/// All forms.
#[derive(Default)]
pub struct Listing {
    listed: Vec<Listed>,
    /// What is wrong with them.
    pub faults: Faults,
}

/// The entry whose forms are listed, and how they are used.
#[derive(Clone)]
pub struct Owner<'a> {
    /// As `kind/id`.
    pub entry: &'a str,
    /// Which forms are told apart.
    pub claim: &'a str,
    /// What they mean.
    pub sense: Sense,
}

impl Owner<'_> {
    fn role(&self, role: Role) -> Sense {
        Sense { role, ..self.sense }
    }
}

impl Listing {
    fn list(
        &mut self,
        owner: &Owner<'_>,
        form: &str,
        place: Place,
        sense: Sense,
        mut derived: Vec<(String, Sense)>,
    ) {
        let text = fold(form);
        if text.is_empty() {
            let what = format!(
                "{}: the form {form:?} has no word in it and can never be met: write the word, or leave it out",
                owner.entry
            );
            return self.faults.push((place, what));
        }
        // "is in" is also spoken "the rod's in".
        if let Some(rest) = text
            .strip_prefix("is ")
            .or_else(|| text.strip_prefix("has "))
        {
            derived.insert(0, (format!("'s {rest}"), sense));
        }
        self.listed.push(Listed {
            claim: owner.claim.to_string(),
            text,
            sense,
            place,
            entry: owner.entry.to_string(),
            derived,
        });
    }

    /// A form that is taken as it stands.
    pub fn as_is(&mut self, owner: &Owner<'_>, form: &str, place: Place) {
        self.list(owner, form, place, owner.sense, Vec::new());
    }

    /// A noun, with its plural where it has one.
    pub fn noun(&mut self, owner: &Owner<'_>, form: &str, place: Place, plural: bool) {
        let derived = plural.then(|| (forms::plural(&fold(form)), owner.role(Role::Nouns)));
        self.list(
            owner,
            form,
            place,
            owner.role(Role::Noun),
            derived.into_iter().collect(),
        );
    }

    /// What a trade's people are called: who is a "guy" is also a man, a crew and the like.
    pub fn people(&mut self, owner: &Owner<'_>, form: &str, place: Place) {
        let form = fold(form);
        let mut derived = vec![(forms::plural(&form), owner.role(Role::Nouns))];
        if let Some(who) = form.strip_suffix(" guy") {
            for other in forms::PEOPLE {
                derived.push((format!("{who} {other}"), owner.role(Role::Noun)));
            }
            for other in forms::PERSONS {
                let form = format!("{who} {other}");
                derived.push((forms::plural(&form), owner.role(Role::Nouns)));
                derived.push((form, owner.role(Role::Noun)));
            }
        }
        self.list(owner, &form, place, owner.role(Role::Noun), derived);
    }

    /// A verb; `irregular` are its other forms where they are not derived.
    pub fn verb(
        &mut self,
        owner: &Owner<'_>,
        form: &str,
        place: Place,
        irregular: Option<&[String]>,
    ) {
        let derived = match irregular {
            Some(others) => others
                .iter()
                .map(|o| {
                    let role = if o.ends_with("ing") || o.contains("ing ") {
                        Role::Ing
                    } else if o.ends_with('s') {
                        Role::Third
                    } else {
                        Role::Past
                    };
                    (fold(o), owner.role(role))
                })
                .collect(),
            None => {
                let v = forms::verb(&fold(form));
                vec![
                    (fold(&v.s), owner.role(Role::Third)),
                    (fold(&v.ing), owner.role(Role::Ing)),
                    (fold(&v.past), owner.role(Role::Past)),
                    (fold(&v.participle), owner.role(Role::Past)),
                ]
            }
        };
        self.list(owner, form, place, owner.role(Role::Base), derived);
    }

    /// What a thing fails to do: all forms of the verb count alike.
    pub fn lack(&mut self, owner: &Owner<'_>, form: &str, place: Place) {
        let v = forms::verb(&fold(form));
        let sense = owner.role(Role::Lack);
        let derived = [&v.s, &v.ing, &v.past].map(|f| (fold(f), sense));
        self.list(owner, form, place, sense, derived.to_vec());
    }

    /// All forms by their text, and those that changed hands.
    ///
    /// # Errors
    /// Forms that two entries of one layer list, forms without a word.
    pub fn finish(mut self) -> Result<Settled, Faults> {
        type Me = (Kind, u16);
        let me = |l: &Listed| -> Me { (l.sense.kind, l.sense.entry) };
        // Who claims a form: the entry of the latest layer, in it the first.
        let mut claims: BTreeMap<(&str, &str), usize> = BTreeMap::new();
        for (i, l) in self.listed.iter().enumerate() {
            let holder = claims.entry((&l.claim, &l.text)).or_insert(i);
            let other = &self.listed[*holder];
            if me(other) == me(l) {
                // Said twice by one entry, once perhaps in a later layer.
                if other.place.layer < l.place.layer {
                    *holder = i;
                }
            } else if other.place.layer == l.place.layer {
                self.faults.push((
                    l.place,
                    format!(
                        "{:?} and {:?} both claim {:?}: leave it to one of them",
                        l.entry, other.entry, l.text
                    ),
                ));
            } else if other.place.layer < l.place.layer {
                *holder = i;
            }
        }
        if !self.faults.is_empty() {
            return Err(self.faults);
        }
        let mut taken = Vec::new();
        let mut keeps = Vec::new();
        for l in &self.listed {
            let holder = &self.listed[claims[&(l.claim.as_str(), l.text.as_str())]];
            let mine = me(holder) == me(l);
            if !mine {
                taken.push(Taken {
                    form: l.text.clone(),
                    lack: l.sense.role == Role::Lack,
                    from: l.entry.clone(),
                    to: holder.entry.clone(),
                    place: holder.place,
                });
            }
            keeps.push(mine);
        }
        let mut all: BTreeMap<String, Vec<Sense>> = BTreeMap::new();
        let mut derived: Vec<(usize, String, Sense)> = Vec::new();
        for (l, _) in self.listed.into_iter().zip(keeps).filter(|(_, k)| *k) {
            all.entry(l.text).or_default().push(l.sense);
            let layer = l.place.layer;
            derived.extend(l.derived.into_iter().map(|(t, s)| (layer, t, s)));
        }
        derived.sort_by_key(|(layer, ..)| std::cmp::Reverse(*layer));
        // A derived form yields to one that another entry of its kind lists by hand, or derived before it.
        for (_, text, sense) in derived {
            let senses = all.entry(text).or_default();
            let lack = sense.role == Role::Lack;
            if !senses.iter().any(|s| {
                s.kind == sense.kind && (s.role == Role::Lack) == lack && s.entry != sense.entry
            }) {
                senses.push(sense);
            }
        }
        let forms = all
            .into_iter()
            .filter(|(_, senses)| !senses.is_empty())
            .map(|(text, mut senses)| {
                senses.sort();
                senses.dedup();
                Form { text, senses }
            })
            .collect();
        Ok((forms, taken))
    }
}

//! What stands in a list in Spanish, by the labels of `lexicon/labels-es.yaml`. A name that no label fits stays as it stands in the list,
//! between « ».

use std::collections::BTreeMap;

use serde::Deserialize;

use super::gender::Gender;
use crate::lexicon::Lexicon;
use crate::list::{Hazard, Item, Measure, Trade, Work};
use crate::pipeline::wording;
use crate::report::words::size;

/// Labels by the ids of lexicon entries, as `lexicon/labels-es.yaml` has them.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Source {
    pub(super) areas: BTreeMap<String, String>,
    pub(super) elements: BTreeMap<String, String>,
    pub(super) names: BTreeMap<String, String>,
    pub(super) faults: BTreeMap<String, String>,
    pub(super) works: BTreeMap<String, String>,
    pub(super) trades: BTreeMap<String, String>,
    pub(super) classes: BTreeMap<String, String>,
    pub(super) cautions: BTreeMap<String, String>,
    pub(super) telling: BTreeMap<String, String>,
    pub(super) gender: Gender,
}

/// Read only where Spanish is asked for, so that nothing else waits for it.
pub(super) fn source() -> Source {
    match serde_yaml::from_str(include_str!("../../lexicon/labels-es.yaml")) {
        Ok(source) => source,
        Err(e) => unreachable!("a test reads lexicon/labels-es.yaml: {e}"),
    }
}

/// Labels by the names that stand in a list.
#[derive(Debug)]
pub(super) struct Labels {
    areas: BTreeMap<String, String>,
    elements: BTreeMap<String, String>,
    faults: BTreeMap<String, String>,
    /// By the verb with which the English sentence begins.
    works: BTreeMap<String, String>,
    trades: BTreeMap<String, String>,
    classes: BTreeMap<String, String>,
    /// By the English caution.
    cautions: BTreeMap<String, String>,
    /// By the English word that tells one room from another.
    telling: BTreeMap<String, String>,
    gender: Gender,
}

/// How many names of an entry are taken to mean the same thing.
const ALIKE: usize = 4;

impl Labels {
    /// Those of the built-in lexicon.
    pub(super) fn load() -> Labels {
        let (source, lexicon) = (source(), Lexicon::builtin());
        let data = lexicon.data();
        let mut labels = Labels {
            areas: BTreeMap::new(),
            elements: BTreeMap::new(),
            faults: BTreeMap::new(),
            works: BTreeMap::new(),
            trades: source.trades,
            classes: source.classes,
            cautions: BTreeMap::new(),
            telling: source.telling,
            gender: source.gender,
        };
        // Where two entries share a name, the first has it.
        for a in &data.areas {
            put(&mut labels.areas, &a.name, source.areas.get(&a.id));
        }
        // Some kinds keep the speaker's own word for them.
        for (a, form) in data
            .areas
            .iter()
            .flat_map(|a| a.forms.iter().map(move |f| (a, f)))
        {
            put(&mut labels.areas, form, source.areas.get(&a.id));
        }
        for e in &data.elements {
            for (n, name) in e.names.iter().enumerate() {
                let label = source.elements.get(&e.id);
                // Of many names some tell another thing than the label does.
                let beside = (n > 0 && e.names.len() > ALIKE)
                    .then(|| label.map(|l| format!("{l} («{name}»)")))
                    .flatten();
                let own = source.names.get(&name.to_lowercase());
                put(
                    &mut labels.elements,
                    name,
                    own.or(beside.as_ref()).or(label),
                );
            }
        }
        for f in &data.faults {
            put(&mut labels.faults, &f.name, source.faults.get(&f.id));
        }
        for work in Work::ALL {
            let class = labels.classes.get(work.word()).cloned();
            put(&mut labels.works, wording::verb(*work), class.as_ref());
        }
        for w in data.works.iter().filter(|w| !w.name.is_empty()) {
            put(&mut labels.works, &w.name, source.works.get(&w.id));
        }
        for d in &data.dangers {
            if let Some(text) = &d.caution {
                put(&mut labels.cautions, text, source.cautions.get(&d.id));
            }
        }
        labels
    }

    /// An area's path: each part by its name, a number behind it kept.
    pub(super) fn path(&self, area: &[String]) -> String {
        if area.is_empty() {
            return "Lugar no dicho".to_string();
        }
        let part = |name: &String| self.place(name).unwrap_or_else(|| format!("«{name}»"));
        area.iter().map(part).collect::<Vec<_>>().join(" › ")
    }

    /// One place by its name, a number or letter behind it kept; what tells it from others is put behind: "Back bedroom".
    fn place(&self, name: &str) -> Option<String> {
        if let Some(label) = get(&self.areas, name) {
            return Some(label);
        }
        let numbered = name.rsplit_once(' ').filter(|(_, behind)| {
            behind.chars().any(|c| c.is_ascii_digit()) || behind.chars().count() == 1
        });
        if let Some((bare, behind)) = numbered {
            return Some(format!("{} {behind}", self.place(bare)?));
        }
        let (word, rest) = name.split_once(' ')?;
        let (telling, label) = (get(&self.telling, word)?, self.place(rest)?);
        Some(format!("{label} {}", self.gender.agreed(&telling, &label)))
    }

    pub(super) fn todo(&self, item: &Item) -> String {
        let text = item.text.trim();
        let (verb, rest) = self.verb(item);
        let mut out = super::sentence(&verb);
        let part = item.element.as_deref();
        let part = part.map_or("toda el área".to_string(), |name| {
            or_as_is(&self.elements, name)
        });
        out.push_str(&format!(": {part}"));
        if let Some(fault) = &item.fault {
            let fault = or_as_is(&self.faults, fault);
            out.push_str(&format!("; {}", self.gender.agreed(&fault, &part)));
        }
        if let Some(n) = item.count.filter(|n| *n > 1) {
            out.push_str(&format!(" ({n})"));
        }
        if let Some(measure) = &item.measure {
            let of = measure.of.as_deref().map_or("medida", measured);
            out.push_str(&format!("; {of} {}", measure_in_words(measure)));
        }
        // A sentence that somebody wrote themselves says more than the labels can.
        let (element, fault) = (item.element.as_deref(), item.fault.as_deref());
        let worded = wording::worded("", element, fault, item.count, item.spot.as_deref());
        if !text.is_empty() && rest != worded {
            out.push_str(&format!("; en inglés: «{text}»"));
        }
        out
    }

    /// The verb with which an item's English sentence begins, in Spanish, and what follows it; that of its class where the sentence
    /// begins otherwise.
    fn verb<'i>(&self, item: &'i Item) -> (String, &'i str) {
        let text = item.text.trim();
        let ends = text.match_indices(' ').map(|(at, _)| at).rev();
        let verb = ends
            .map(|at| text.split_at(at))
            .find_map(|(verb, rest)| Some((get(&self.works, verb)?, rest)));
        verb.unwrap_or_else(|| {
            let class = get(&self.works, wording::verb(item.work));
            (class.unwrap_or_else(|| item.work.to_string()), text)
        })
    }

    /// The danger of an item and its caution, no weaker than the English one: one that has no label stays as it is.
    pub(super) fn caution(&self, item: &Item) -> Option<(&'static str, String)> {
        let hazard = item.hazard?;
        let (name, usual) = danger(hazard);
        let own = item
            .caution
            .as_ref()
            .filter(|text| *text != crate::report::caution(hazard));
        let text = match own {
            Some(text) => get(&self.cautions, text)
                .unwrap_or_else(|| format!("{} En inglés: «{text}»", super::sentence(usual))),
            None => usual.to_string(),
        };
        Some((name, super::sentence(&text)))
    }

    pub(super) fn trade(&self, trade: Trade) -> String {
        self.trades
            .get(trade.word())
            .cloned()
            .unwrap_or_else(|| trade.word().to_string())
    }
}

fn put(to: &mut BTreeMap<String, String>, name: &str, label: Option<&String>) {
    if let Some(label) = label {
        to.entry(name.to_lowercase())
            .or_insert_with(|| label.clone());
    }
}

fn get(from: &BTreeMap<String, String>, name: &str) -> Option<String> {
    from.get(&name.trim().to_lowercase()).cloned()
}

fn or_as_is(from: &BTreeMap<String, String>, name: &str) -> String {
    get(from, name).unwrap_or_else(|| format!("«{name}»"))
}

/// The danger's name, and what usually holds for it; one place for all of them.
pub(super) fn danger(hazard: Hazard) -> (&'static str, &'static str) {
    match hazard {
        Hazard::Gas => (
            "Gas",
            "sin llamas ni interruptores; salgan y llamen a la compañía de gas. Decide un técnico con licencia.",
        ),
        Hazard::Electric => (
            "Electricidad",
            "trátelo como energizado hasta que un electricista con licencia lo aísle y lo pruebe.",
        ),
        Hazard::Fire => (
            "Incendio",
            "atiéndalo antes de que alguien duerma o trabaje ahí; decide el código local contra incendios.",
        ),
        Hazard::Fall => (
            "Caída",
            "cierre el paso hasta que haya una protección o barandal según el código local.",
        ),
        Hazard::Egress => (
            "Salida",
            "mantenga la salida libre y que abra desde dentro; decide el código local contra incendios.",
        ),
        Hazard::Water => (
            "Agua",
            "cierre el suministro y no se acerque a nada eléctrico; decide un plomero con licencia.",
        ),
        Hazard::Mould => (
            "Moho",
            "no lo toque hasta hallar el origen de la humedad; las reglas locales dicen quién puede quitarlo.",
        ),
        Hazard::Structure => (
            "Estructura",
            "sin gente ni carga ahí hasta que lo vea un ingeniero con licencia.",
        ),
        Hazard::Glass => (
            "Vidrio",
            "aleje a la gente hasta que se retire; el código local dice dónde va vidrio de seguridad.",
        ),
        Hazard::Air => (
            "Aire",
            "deje el aparato apagado y el lugar ventilado hasta que lo pruebe un técnico con licencia.",
        ),
        Hazard::Trip => ("Tropiezo", "señálelo o cúbralo hasta que se repare."),
    }
}

/// A size with its unit in Spanish.
fn measure_in_words(measure: &Measure) -> String {
    let size = size(measure);
    let unit = |end: &str, word: &str| {
        let bare = size.strip_suffix(end)?;
        Some(format!("{bare} {word}"))
    };
    unit(" in", "pulg.")
        .or_else(|| unit(" ft", if measure.value == 1.0 { "pie" } else { "pies" }))
        .unwrap_or(size.clone())
}

/// What was measured.
fn measured(of: &str) -> &'static str {
    match of {
        "height" => "altura",
        "width" => "ancho",
        "length" => "largo",
        "depth" => "profundidad",
        "gap" => "holgura",
        "diameter" => "diámetro",
        "area" => "superficie",
        "slope" => "pendiente",
        "distance" => "distancia",
        "offset" => "desfase",
        "temperature" => "temperatura",
        "pressure" => "presión",
        "moisture" => "humedad",
        _ => "medida",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every entry of the lexicon has a label, no label is left over, and the file is one that can be read.
    #[test]
    fn the_labels_are_complete() {
        let (source, lexicon) = (source(), Lexicon::builtin());
        let data = lexicon.data();
        let same = |kind: &str, labels: &BTreeMap<String, String>, ids: Vec<&String>| {
            for id in &ids {
                let label = labels.get(*id).map_or("", String::as_str);
                assert!(
                    !label.trim().is_empty(),
                    "lexicon/labels-es.yaml: {kind}: {id} has no label; add one"
                );
            }
            for id in labels.keys() {
                assert!(
                    ids.contains(&id),
                    "lexicon/labels-es.yaml: {kind}: {id} is no entry; take it out"
                );
            }
        };
        same(
            "areas",
            &source.areas,
            data.areas.iter().map(|e| &e.id).collect(),
        );
        same(
            "elements",
            &source.elements,
            data.elements.iter().map(|e| &e.id).collect(),
        );
        same(
            "faults",
            &source.faults,
            data.faults.iter().map(|e| &e.id).collect(),
        );
        same(
            "works",
            &source.works,
            data.works.iter().map(|e| &e.id).collect(),
        );
        same(
            "trades",
            &source.trades,
            data.trades.iter().map(|e| &e.id).collect(),
        );
        let own = data.dangers.iter().filter(|d| d.caution.is_some());
        same("cautions", &source.cautions, own.map(|d| &d.id).collect());
        let names: Vec<&String> = data.elements.iter().flat_map(|e| &e.names).collect();
        for name in source.names.keys() {
            assert!(
                names.contains(&name),
                "lexicon/labels-es.yaml: names: {name} is no part's name; take it out"
            );
        }
        for work in Work::ALL {
            assert!(source.classes.contains_key(work.word()), "{work}");
        }
    }

    #[test]
    fn names_of_a_list_are_found() {
        let labels = Labels::load();
        let path =
            |p: &[&str]| labels.path(&p.iter().map(|s| (*s).to_string()).collect::<Vec<_>>());
        assert_eq!(
            path(&["Upstairs", "Bedroom 2", "Closet"]),
            "Planta alta › Dormitorio 2 › Clóset"
        );
        assert_eq!(path(&["The Blue Room"]), "«The Blue Room»");
        assert_eq!(
            path(&["Unit 4B", "Back bedroom", "Small red closet"]),
            "Unidad 4B › Dormitorio de atrás › Clóset rojo pequeño"
        );
        assert_eq!(path(&["Yellow kitchen"]), "Cocina amarilla");
        assert_eq!(path(&["Oscar's room"]), "«Oscar's room»");
        assert_eq!(path(&[]), "Lugar no dicho");
        assert_eq!(or_as_is(&labels.elements, "skirting board"), "zócalo");
        assert_eq!(or_as_is(&labels.faults, "ding"), "golpe");
        // A name that is another thing than its entry's label tells has its own label, or stands beside it.
        assert_eq!(or_as_is(&labels.elements, "towel"), "toalla");
        assert_eq!(or_as_is(&labels.elements, "oven light"), "luz de horno");
        assert_eq!(
            or_as_is(&labels.elements, "meat case"),
            "refrigerador exhibidor («meat case»)"
        );
    }

    /// Whatever part has whatever fault, no mark of an ending is left, and what ends in it agrees.
    #[test]
    fn faults_agree_with_their_parts() {
        let labels = Labels::load();
        let of = |part: &str, fault: &str| {
            let part = or_as_is(&labels.elements, part);
            let fault = or_as_is(&labels.faults, fault);
            format!("{part}; {}", labels.gender.agreed(&fault, &part))
        };
        for (part, fault, wanted) in [
            ("door", "misaligned", "puerta; desalineada"),
            ("wall", "dirty", "pared; sucia"),
            ("handrail", "loose", "pasamanos; flojo"),
            (
                "flashing tape",
                "loose",
                "tapajuntas de plomo («flashing tape»); flojo",
            ),
            ("door hardware", "loose", "herrajes de puerta; flojos"),
            ("window bars", "bent", "rejas de ventana; dobladas"),
            ("range", "disconnected", "estufa; desconectada"),
            ("oven", "dirty", "horno; sucio"),
            ("lighting", "dead", "iluminación; muerta (sin funcionar)"),
            (
                "towel rail",
                "painted over",
                "toallero de barra; cubierto de pintura",
            ),
            ("wall", "gap", "pared; hueco"),
        ] {
            assert_eq!(of(part, fault), wanted);
        }
        for part in labels.elements.values() {
            for fault in labels.faults.values() {
                assert!(!labels.gender.agreed(fault, part).contains(['{', '}']));
            }
        }
    }
}

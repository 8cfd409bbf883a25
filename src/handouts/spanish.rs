//! A trade's page and messages in Spanish. What the program words itself is Spanish; the speaker's words (a spot, a deadline,
//! what was said) stay as said and are marked so. A name that no label fits stays as it stands in the list, between « ».

use std::collections::BTreeMap;

use serde::Deserialize;

use super::html::{apart, escape, page, when};
use super::picture::Picture;
use super::{Options, Sheet, areas, public_words};
use crate::lexicon::Lexicon;
use crate::list::{FollowUp, Hazard, Item, List, Trade, Work};
use crate::pipeline::wording;
use crate::report::words::{element, first_said, number, size, when as spoken};

/// Labels by the ids of lexicon entries, as `lexicon/labels-es.yaml` has them.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Source {
    pub(super) areas: BTreeMap<String, String>,
    pub(super) elements: BTreeMap<String, String>,
    pub(super) faults: BTreeMap<String, String>,
    pub(super) works: BTreeMap<String, String>,
    pub(super) trades: BTreeMap<String, String>,
    pub(super) classes: BTreeMap<String, String>,
    pub(super) cautions: BTreeMap<String, String>,
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
}

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
        };
        // Where two entries share a name, the first has it.
        for a in &data.areas {
            put(&mut labels.areas, &a.name, source.areas.get(&a.id));
        }
        for e in &data.elements {
            for name in &e.names {
                put(&mut labels.elements, name, source.elements.get(&e.id));
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
    fn path(&self, area: &[String]) -> String {
        if area.is_empty() {
            return "Lugar no dicho".to_string();
        }
        let part = |name: &String| {
            let bare = name.trim_end_matches(|c: char| c.is_ascii_digit());
            let behind = &name[bare.len()..];
            match (get(&self.areas, name), get(&self.areas, bare)) {
                (Some(label), _) => label,
                (None, Some(label)) => format!("{label} {behind}"),
                (None, None) => format!("«{name}»"),
            }
        };
        area.iter().map(part).collect::<Vec<_>>().join(" › ")
    }

    fn todo(&self, item: &Item) -> String {
        let text = item.text.trim();
        let (verb, rest) = self.verb(item);
        let mut out = super::sentence(&verb);
        match item.element.as_deref() {
            Some(name) => out.push_str(&format!(": {}", or_as_is(&self.elements, name))),
            None => out.push_str(": toda el área"),
        }
        if let Some(fault) = &item.fault {
            out.push_str(&format!("; {}", or_as_is(&self.faults, fault)));
        }
        if let Some(n) = item.count {
            out.push_str(&format!(" ({n})"));
        }
        if let Some(measure) = &item.measure {
            let of = measure.of.as_deref().map_or("medida", measured);
            out.push_str(&format!("; {of} {}", size(measure)));
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
    fn caution(&self, item: &Item) -> Option<(&'static str, String)> {
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

    fn trade(&self, trade: Trade) -> String {
        self.trades
            .get(trade.word())
            .cloned()
            .unwrap_or_else(|| super::trade_name(trade))
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
fn danger(hazard: Hazard) -> (&'static str, &'static str) {
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

/// The page of one trade with these items.
pub(super) fn sheet(
    list: &List,
    labels: &Labels,
    trade: Trade,
    items: &[&Item],
    options: &Options,
) -> Sheet {
    let count = |n: usize| {
        if n == 1 {
            "1 trabajo".to_string()
        } else {
            format!("{n} trabajos")
        }
    };
    let mut body = String::from(
        "<p class=\"lead\">En el orden del recorrido. Llame a cada trabajo por su número.</p>\n",
    );
    let mut seen: Vec<((&str, String), Vec<String>)> = Vec::new();
    for item in items {
        if let Some(caution) = labels.caution(item) {
            match seen.iter_mut().find(|(c, _)| *c == caution) {
                Some((_, numbers)) => numbers.push(number(item)),
                None => seen.push((caution, vec![number(item)])),
            }
        }
    }
    for ((name, text), numbers) in seen {
        body.push_str(&format!(
            "<div class=\"caution\"><strong>Peligro: {name}, número {}.</strong> {}</div>\n",
            numbers.join(", "),
            escape(&text)
        ));
    }
    for (area, items) in areas(items) {
        body.push_str(&format!("<h2>{}</h2>\n<ol>\n", apart(&labels.path(area))));
        for i in items {
            body.push_str(&item(list, labels, i, options));
        }
        body.push_str("</ol>\n");
    }
    body.push_str(&format!(
        "<p class=\"tail\">De la grabación {}. Los tiempos son minutos y segundos de ella. Lo hizo un programa a partir de lo que se \
         dijo y puede tener errores; la traducción no ha sido revisada. Si algo no está como aquí se dice, pregunte antes de empezar.</p>\n",
        apart(&super::source(list))
    ));
    Sheet {
        file: format!("{}.html", trade.word()),
        text: page(
            "es",
            &format!("{}: {}", labels.trade(trade), count(items.len())),
            &body,
        ),
    }
}

fn item(list: &List, labels: &Labels, item: &Item, options: &Options) -> String {
    let mut flags = String::new();
    if let Some(hazard) = item.hazard {
        flags.push_str(&format!(
            "<span class=\"flag danger\">Peligro: {}</span> ",
            danger(hazard).0
        ));
    }
    if item.urgent {
        flags.push_str("<span class=\"flag\">urgente</span> ");
    }
    let mut at = format!(
        "<span lang=\"en\">{}</span>",
        apart(element(item.element.as_deref()))
    );
    for (head, words, date) in told(item) {
        at.push_str(&format!(
            "<span>{head}: <q lang=\"en\">{}</q>{date}</span>",
            apart(words)
        ));
    }
    for more in besides(list, item) {
        at.push_str(&format!("<span>{}</span>", apart(&super::sentence(&more))));
    }
    let time = when(list, item, options);
    if !time.is_empty() {
        at.push_str(&format!("<span>Tiempo\u{a0}{time}</span>"));
    }
    let mut rest = String::new();
    if options.words {
        for said in public_words(item) {
            rest.push_str(&format!(
                "<div class=\"words\">Como se dijo: <q lang=\"en\">{}</q></div>\n",
                apart(&said.text)
            ));
        }
    }
    let at_in_list = list.items.iter().position(|i| std::ptr::eq(i, item));
    let pictures = at_in_list.and_then(|i| options.pictures.get(i));
    rest.extend(pictures.into_iter().flatten().map(Picture::html));
    format!(
        "<li class=\"item\"><span class=\"no\">{}</span><div><div class=\"do\">{flags}{}</div><div class=\"at\">{at}</div></div>\n{rest}\
         <div class=\"sign\"><span><span class=\"box\"></span>Hecho</span><span>Fecha<span class=\"rule\"></span></span>\
         <span>Iniciales<span class=\"rule\"></span></span></div></li>\n",
        escape(&number(item)),
        apart(&labels.todo(item))
    )
}

/// What is told of an item in English: where it is, and by when, with the date where it is known, in the speaker's words; and
/// notes.
fn told(item: &Item) -> impl Iterator<Item = (&'static str, &String, String)> {
    let date = item.by_date.as_ref().map(|d| format!(" ({d})"));
    let spot = item
        .spot
        .as_ref()
        .map(|w| ("Lugar (como se dijo)", w, String::new()));
    let by = item
        .by
        .as_ref()
        .map(|w| ("Plazo (como se dijo)", w, date.unwrap_or_default()));
    let notes = item
        .notes
        .iter()
        .map(|n| ("Nota (en inglés)", &n.text, String::new()));
    spot.into_iter().chain(by).chain(notes)
}

/// What else is told of an item: a promise, other places in the recording.
fn besides(list: &List, item: &Item) -> Vec<String> {
    let mut all = Vec::new();
    if let Some(promise) = item.follow_up {
        let who = match item.promised_by.as_deref() {
            None | Some("speaker") => "quien habla".to_string(),
            Some(who) => format!("«{who}»"),
        };
        all.push(format!("{who} {}", promised(promise)));
    }
    let again: Vec<String> = item
        .said
        .iter()
        .skip(1)
        .map(|s| spoken(list, &s.walk, s.start))
        .collect();
    if !again.is_empty() {
        all.push(format!("otra vez {}", again.join(", ")));
    }
    all
}

fn promised(promise: FollowUp) -> &'static str {
    match promise {
        FollowUp::Ask => "va a preguntar",
        FollowUp::Tell => "va a avisar o a mandar a alguien",
        FollowUp::Photo => "va a mandar una foto",
        FollowUp::Return => "va a volver a verlo",
        FollowUp::Do => "lo va a hacer",
    }
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

/// The wording of messages: the trade's name, an area's heading, one item.
pub(super) fn name(labels: &Labels, trade: Trade) -> String {
    labels.trade(trade)
}

/// An area's heading.
pub(super) fn heading(labels: &Labels, area: &[String]) -> String {
    labels.path(area)
}

/// One item in a message.
pub(super) fn line(list: &List, labels: &Labels, item: &Item, options: &Options) -> String {
    let mut out = format!("{}. ", item.number);
    let caution = labels.caution(item);
    if let Some((name, _)) = &caution {
        out.push_str(&format!("PELIGRO: {}. ", name.to_uppercase()));
    }
    if item.urgent {
        out.push_str("URGENTE. ");
    }
    out.push_str(&labels.todo(item));
    for (head, words, date) in told(item) {
        let head = head.to_lowercase();
        out.push_str(&format!("; {head}: “{words}”{date}"));
    }
    for more in besides(list, item) {
        out.push_str(&format!("; {more}"));
    }
    let time = first_said(list, &item.said);
    if !time.is_empty() {
        out.push_str(&format!(" ({time})"));
    }
    if let Some((_, text)) = &caution {
        out.push_str(&format!(" {text}"));
    }
    if options.words {
        for said in public_words(item) {
            out.push_str(&format!(" Como se dijo: “{}”", said.text));
        }
    }
    out
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
        assert_eq!(path(&[]), "Lugar no dicho");
        assert_eq!(or_as_is(&labels.elements, "skirting board"), "zócalo");
        assert_eq!(or_as_is(&labels.faults, "ding"), "golpe");
    }
}

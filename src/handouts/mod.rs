//! What each person receives: their part of the list, as a page to print or as short messages.
//!
//! A sheet is text and the name of its file; nothing here touches the disk. The wording is the program's own. The speaker's
//! words stand there only where they are asked for, and never those marked `private`. Where an item is (`where`) and by when it is
//! wanted (`by`) is always there, unless it was told in private words alone: without it nobody finds the thing.

mod gender;
pub(crate) mod html;
mod labels;
mod message;
mod office;
mod owner;
mod picture;
mod spanish;
mod trade;

use crate::list::{Item, List, Said, Standing, Trade, TradeCard};
use crate::report::caution;
use crate::report::groups::{by_area, by_trade, open};

pub use message::LONGEST;
pub use picture::{NEAR, Picture, fragment, spoken_at};

/// The language of the trades' pages and messages; the other pages are English.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Language {
    /// English.
    #[default]
    English,
    /// Spanish, by labels that nobody has reviewed yet.
    Spanish,
}

/// How handouts are made.
#[derive(Debug, Clone, Default)]
pub struct Options {
    /// Whether the speaker's words are added.
    pub words: bool,
    /// The language of the trades' pages and messages.
    pub language: Language,
    /// The recordings as the pages have to name them, one for each walk, in order; may be fewer.
    pub media: Vec<String>,
    /// Pictures for each item, by its place in the list; may be fewer.
    pub pictures: Vec<Vec<Picture>>,
}

/// One file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sheet {
    /// Its name, without a folder: small letters, digits and `-`.
    pub file: String,
    /// Its whole text.
    pub text: String,
}

/// The pages: the summary, one for each trade with open items, the superintendent's, the promises, the letter to the owner.
/// The summary, the superintendent's page, the promises and the letter are made even where nothing stands in them.
pub fn pages(list: &List, options: &Options) -> Vec<Sheet> {
    let list = &public(list);
    let mut all = vec![office::summary(list)];
    let labels = labels(options);
    all.extend(trades(list).iter().map(|(t, items)| match &labels {
        Some(labels) => spanish::sheet(list, labels, *t, items, options),
        None => trade::page(list, *t, items, options),
    }));
    all.push(office::superintendent(list, options));
    all.push(office::promises(list, options));
    all.push(owner::letter(list));
    all
}

/// The messages: one file for each trade with open items, the superintendent's questions and work, and the promises, where there
/// are any; in it messages of fewer than [`LONGEST`] characters, parted by a line of `~~~~~`.
pub fn messages(list: &List, options: &Options) -> Vec<Sheet> {
    let list = &public(list);
    let labels = labels(options);
    let sheet = |name: &str, messages: Vec<String>| Sheet {
        file: format!("{name}.txt"),
        text: messages.join("~~~~~\n"),
    };
    let trades = trades(list).into_iter().map(|(t, items)| {
        let messages = message::of_trade(list, t, &items, options, labels.as_ref());
        sheet(t.word(), messages)
    });
    let own = message::of_superintendent(list, &office::for_superintendent(list), options);
    let promises = message::of_promises(list, &office::given(list), options);
    let office = [("superintendent", own), ("promises", promises)];
    let office = office.into_iter().filter(|(_, m)| !m.is_empty());
    trades.chain(office.map(|(n, m)| sheet(n, m))).collect()
}

fn labels(options: &Options) -> Option<labels::Labels> {
    (options.language == Language::Spanish).then(labels::Labels::load)
}

/// The trades that get a page, each with its items to do in walking order. Queries, and what the superintendent is to
/// do, stand on the superintendent's own page.
fn trades(list: &List) -> Vec<(Trade, Vec<&Item>)> {
    let order = walking(list);
    by_trade(list)
        .into_iter()
        .filter(|(t, _)| *t != Trade::Superintendent)
        .map(|(t, items)| {
            (
                t,
                order
                    .iter()
                    .copied()
                    .filter(|i| i.standing == Standing::Outstanding)
                    .filter(|i| items.iter().any(|j| std::ptr::eq(*i, *j)))
                    .collect::<Vec<_>>(),
            )
        })
        .filter(|(_, items)| !items.is_empty())
        .collect()
}

/// The open items by area in the order of first arrival, inside an area as said.
fn walking(list: &List) -> Vec<&Item> {
    by_area(list)
        .into_iter()
        .flat_map(|g| g.items)
        .filter(|i| open(i))
        .collect()
}

/// The same items parted by area.
fn areas<'a>(items: &[&'a Item]) -> Vec<(&'a [String], Vec<&'a Item>)> {
    let mut out: Vec<(&[String], Vec<&Item>)> = Vec::new();
    for &item in items {
        match out.last_mut() {
            Some((path, group)) if *path == item.area.as_slice() => group.push(item),
            _ => out.push((&item.area, vec![item])),
        }
    }
    out
}

/// The cautions of these items with the numbers that they hold for, in the order of the items.
fn cautions(items: &[&Item]) -> Vec<(String, String, Vec<u32>)> {
    let mut out: Vec<(String, String, Vec<u32>)> = Vec::new();
    for item in items {
        let Some((danger, text)) = caution_of(item) else {
            continue;
        };
        match out.iter_mut().find(|(d, t, _)| *d == danger && *t == text) {
            Some((_, _, numbers)) => numbers.push(item.number),
            None => out.push((danger, text, vec![item.number])),
        }
    }
    out
}

/// The danger of an item and the caution that goes with it.
fn caution_of(item: &Item) -> Option<(String, String)> {
    let hazard = item.hazard?;
    let text = item.caution.as_deref().unwrap_or_else(|| caution(hazard));
    Some((crate::report::danger_title(hazard), sentence(text)))
}

/// With a capital at its beginning.
fn sentence(text: &str) -> String {
    let mut chars = text.chars();
    chars
        .next()
        .map(|c| c.to_uppercase().chain(chars).collect())
        .unwrap_or_default()
}

/// The words of an item that may be passed on.
fn public_words(item: &Item) -> Vec<&Said> {
    item.said.iter().filter(|s| !s.private).collect()
}

/// The list as it may be handed out: where a thing is and by when it is wanted goes where that was told in private words alone. The
/// date of a deadline stays.
pub(crate) fn public(list: &List) -> List {
    let mut list = list.clone();
    for item in &mut list.items {
        let (kept, told): (Vec<&Said>, Vec<&Said>) = item.said.iter().partition(|s| s.private);
        let among =
            |said: &[&Said], text: &str| said.iter().any(|s| folded(&s.text).contains(text));
        let secret = |text: &String| {
            let text = folded(text);
            !text.is_empty() && among(&kept, &text) && !among(&told, &text)
        };
        let by = item.by.as_ref().is_some_and(secret);
        let spot = item.spot.as_ref().is_some_and(secret);
        if by {
            item.by = None;
        }
        if let Some(spot) = item.spot.take_if(|_| spot) {
            for before in [": ", ", "] {
                item.text = item.text.replace(&format!("{before}{spot}"), "");
            }
        }
    }
    list
}

/// Letters and digits alone, in lower case, words apart by one blank.
fn folded(text: &str) -> String {
    let words = text.split(|c: char| !c.is_alphanumeric());
    let words: Vec<String> = words
        .filter(|w| !w.is_empty())
        .map(str::to_lowercase)
        .collect();
    words.join(" ")
}

/// What a firm's own lexicon says of a trade.
fn card(list: &List, trade: Trade) -> Option<&TradeCard> {
    list.trades.iter().find(|c| c.trade == trade)
}

/// The trade's name on a sheet: the firm's own, else "Finish carpenter".
fn trade_name(list: &List, trade: Trade) -> String {
    if let Some(card) = card(list, trade) {
        return sentence(&card.name);
    }
    match trade.word() {
        "hvac" => "HVAC".to_string(),
        word => sentence(&word.replace('-', " ")),
    }
}

/// The walks in one line, with their dates where known.
fn source(list: &List) -> String {
    let walks: Vec<String> = list
        .walks
        .iter()
        .map(|w| match &w.recorded {
            Some(date) => format!("{} ({date})", crate::report::words::file_name(&w.file)),
            None => crate::report::words::file_name(&w.file).to_string(),
        })
        .collect();
    if walks.is_empty() {
        "no walk".to_string()
    } else {
        walks.join(", ")
    }
}

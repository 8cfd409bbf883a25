//! The main job against public records that nobody wrote for this program (`../shared/data`, each file names its source).
//!
//! `housing-notices.tsv`: violation notices of the City of New York (NYC Open Data, Housing Maintenance Code Violations). The class of
//! work is what the city's order number asks for, the room is as the inspector wrote it. The parts in `NOTICE_PARTS` were marked by
//! hand from the notices' text, every fourth notice from the first.
//! `trade-index.tsv`: index terms of the North American Industry Classification System (U.S. Census Bureau, sector 238).

mod common;

use storystick::lexicon::{Kind, Lexicon, Role};
use storystick::list::List;
use storystick::pipeline;
use storystick::pipeline::normalize::Speech;
use storystick::pipeline::scan;
use storystick::transcript::{ReadOptions, Reading, read};

/// How many notices lie from one that is marked by hand to the next.
const STEP: usize = 4;

/// The part or parts that every fourth notice is about; any of them is right.
const NOTICE_PARTS: [&str; 60] = [
    "grout",
    "ceiling|wall",
    "tile",
    "cabinet",
    "ceiling",
    "lock|bolt",
    "bathtub",
    "door",
    "roof",
    "wall",
    "sash",
    "lock",
    "floor|stair",
    "intercom",
    "floor",
    "ceiling",
    "lock|key",
    "ceiling",
    "floor",
    "basin|sink",
    "ceiling|wall|door|trim",
    "wall|ceiling",
    "balance",
    "floor",
    "ceiling",
    "lock",
    "faucet",
    "fixture",
    "ceiling",
    "wire|wiring",
    "cabinet|base|sink",
    "door",
    "lockset",
    "ceiling",
    "lock",
    "receptacle",
    "door",
    "ceiling|wall",
    "door",
    "wall",
    "ceiling",
    "ceiling|wall|material",
    "sash",
    "ceiling|wall",
    "roof",
    "outlet|cap",
    "guard",
    "wall|ceiling",
    "door",
    "wall",
    "basin|countertop",
    "tile",
    "plate",
    "riser",
    "mirror",
    "sash",
    "outlet",
    "lock",
    "stopper",
    "floor|hardwood|vinyl",
];

fn rows(file: &str) -> Option<Vec<Vec<String>>> {
    let text = std::fs::read_to_string(common::shared()?.join("data").join(file)).unwrap();
    Some(
        text.lines()
            .filter(|l| !l.starts_with('#'))
            .skip(1)
            .map(|l| l.split('\t').map(str::to_string).collect())
            .collect(),
    )
}

fn list_of(spoken: &str, lexicon: &Lexicon) -> List {
    let text = format!("[0:00] {spoken}\n[0:30] Okay.\n");
    let walk = read(text.as_bytes(), "notice.txt", &ReadOptions::default()).unwrap();
    pipeline::list(std::slice::from_ref(&walk), lexicon)
}

/// As it would be said: a capital at its head only.
fn sentence(notice: &str) -> String {
    let lower = notice.to_lowercase();
    let mut c = lower.chars();
    let head: String = c
        .next()
        .map(|f| f.to_uppercase().collect())
        .unwrap_or_default();
    format!("{head}{}.", c.as_str())
}

fn share(part: usize, whole: usize) -> f64 {
    f64::from(u32::try_from(part).unwrap()) / f64::from(u32::try_from(whole).unwrap())
}

#[test]
fn housing_notices_are_read_as_the_city_orders() {
    let Some(notices) = rows("housing-notices.tsv") else {
        return;
    };
    let lexicon = Lexicon::builtin();
    let (mut works, mut rooms, mut with_room) = (0, 0, 0);
    for n in &notices {
        let list = list_of(&sentence(&n[2]), &lexicon);
        works += usize::from(
            list.items
                .iter()
                .any(|i| n[0].split('|').any(|w| w == i.work.to_string())),
        );
        if !n[1].is_empty() && !list.items.is_empty() {
            with_room += 1;
            // The room by the program's own name for it.
            let room = list_of(&format!("Now the {}.", n[1].to_lowercase()), &lexicon);
            let name = room.areas.first().and_then(|a| a.path.last());
            rooms += usize::from(list.items.iter().any(|i| i.area.last() == name));
        }
    }
    let (work, room) = (share(works, notices.len()), share(rooms, with_room));
    println!("notices: work {work:.3}, room {room:.3} of {with_room} with one");
    assert!(work >= 0.85, "work class right in {work:.3} of the notices");
    assert!(
        room >= 0.90,
        "room right in {room:.3} of those that give one"
    );
}

#[test]
fn housing_notices_name_the_part_that_a_person_marks() {
    let Some(notices) = rows("housing-notices.tsv") else {
        return;
    };
    let lexicon = Lexicon::builtin();
    let mut right = 0;
    for (i, parts) in NOTICE_PARTS.iter().enumerate() {
        let notice = &notices[i * STEP][2];
        let list = list_of(&sentence(notice), &lexicon);
        let hit = list
            .items
            .iter()
            .filter_map(|i| i.element.as_ref())
            .any(|e| {
                parts.split('|').any(|p| {
                    e.split(' ').any(|w| {
                        w.trim_end_matches("ing") == p || w == p || w.trim_end_matches('s') == p
                    })
                })
            });
        if !hit {
            println!(
                "{parts}: {notice}: {:?}",
                list.items.iter().map(|i| &i.element).collect::<Vec<_>>()
            );
        }
        right += usize::from(hit);
    }
    let share = share(right, NOTICE_PARTS.len());
    println!("notices: part {share:.3} of {}", NOTICE_PARTS.len());
    assert!(share >= 0.85, "part right in {share:.3}");
}

/// Who would be sent for a part by itself: the trade named, else the part's own, else its group's.
fn trade_of(term: &str, lexicon: &Lexicon) -> Option<String> {
    // "Granite, interior, installation", "Siding (e.g., vinyl)": the head stands first.
    let head = term.split([',', '(']).next().unwrap_or(term);
    let text = format!("[0:00] {head}\n[0:30] okay\n");
    let walk = read(text.as_bytes(), "term.txt", &ReadOptions::default()).unwrap();
    let reading = Reading::new(&walk);
    let speech = Speech::new(&reading, lexicon);
    let scan = scan::scan(&speech, lexicon);
    let noun = |r: Role| matches!(r, Role::Noun | Role::Nouns);
    let part = scan
        .mentions
        .iter()
        .rfind(|m| m.kind == Kind::Element && noun(m.role) && !lexicon.element(m.entry).weak);
    if let Some(m) = part {
        let e = lexicon.element(m.entry);
        return e
            .trade
            .or_else(|| lexicon.owner(&e.group))
            .map(|t| t.to_string());
    }
    if let Some(m) = scan.mentions.iter().find(|m| m.kind == Kind::Trade) {
        return lexicon.trade(m.entry).trade.map(|t| t.to_string());
    }
    scan.mentions
        .iter()
        .filter(|m| m.kind == Kind::Work)
        .find_map(|m| lexicon.work(m.entry).trade)
        .map(|t| t.to_string())
}

#[test]
fn the_census_index_sends_the_same_trades() {
    let Some(terms) = rows("trade-index.tsv") else {
        return;
    };
    let lexicon = Lexicon::builtin();
    let (mut covered, mut agree) = (0, 0);
    for t in &terms {
        let Some(ours) = trade_of(&t[2], &lexicon).filter(|t| t != "superintendent") else {
            continue;
        };
        covered += 1;
        if t[0].split('|').any(|w| w == ours) {
            agree += 1;
        } else {
            println!("{} ({}): {ours}", t[2], t[0]);
        }
    }
    let (cover, right) = (share(covered, terms.len()), share(agree, covered));
    println!("index: covers {cover:.3}, agrees in {right:.3} of those");
    assert!(cover >= 0.60, "the lexicon covers {cover:.3} of the terms");
    assert!(right >= 0.90, "the trade agrees in {right:.3} of them");
}

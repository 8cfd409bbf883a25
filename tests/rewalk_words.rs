//! What people say at a check-off walk, sentence by sentence: each is said of one item of a small list, with full stops and without.

use std::fs;
use std::path::Path;

use serde_json::{Value, json};
use storystick::lexicon::Lexicon;
use storystick::pipeline::Job;
use storystick::record::Record;
use storystick::rewalk::rewalk;
use storystick::transcript;

/// The items that sentences are said of: their part, what was said of it, the work, how many.
const ITEMS: [(&str, &str, &str, Option<u32>); 11] = [
    ("faucet", "the faucet is dripping", "repair", None),
    ("door", "the door sticks", "adjust", None),
    ("light", "the light is missing", "install", None),
    ("wall", "three scuffs on the wall", "touch-up", Some(3)),
    ("handle", "the handle is loose", "adjust", None),
    ("outlet", "the outlet is dead", "repair", None),
    ("tile", "two cracked tiles", "replace", Some(2)),
    ("carpet", "a stain on the carpet", "clean", None),
    ("fan", "the fan rattles", "repair", None),
    ("grout", "the grout is missing along the back", "seal", None),
    ("shelf", "the shelf is crooked", "adjust", None),
];

/// A list of a kitchen with the item, a cabinet and a window, and of a hallway.
fn list(part: &str) -> String {
    let own = ITEMS.iter().find(|i| i.0 == part).unwrap();
    let all = [
        (
            "Kitchen",
            "cabinet",
            "the cabinet is scratched",
            "touch-up",
            None,
        ),
        ("Kitchen", own.0, own.1, own.2, own.3),
        (
            "Kitchen",
            "window",
            "the window does not lock",
            "adjust",
            None,
        ),
        (
            "Hallway",
            "baseboard",
            "the baseboard is dented",
            "repair",
            None,
        ),
    ];
    let items: Vec<Value> = (1u32..)
        .zip(all)
        .map(|(n, (area, element, said, work, count))| {
            let at = f64::from(n) * 10.0;
            json!({"id": format!("i{n}"), "number": n, "area": [area], "element": element, "work": work, "trade": "handyman",
                "standing": "outstanding", "text": said, "count": count, "confidence": 0.9,
                "said": [{"walk": "w1", "start": at, "end": at + 2.0, "text": said}], "why": []})
        })
        .collect();
    let area = |id: &str, path: &str, start: f64, end: f64| {
        json!({"id": id, "path": [path], "kind": path.to_lowercase(), "state": "outstanding",
        "visits": [{"walk": "w1", "start": start, "end": end}]})
    };
    json!({"schema": "storystick/list/1",
        "walks": [{"id": "w1", "file": "a.txt", "format": "text", "sha256": "0", "seconds": 60.0, "words": 40, "recorded": null, "media": null}],
        "areas": [area("a1", "Kitchen", 0.0, 35.0), area("a2", "Hallway", 35.0, 60.0)],
        "items": items, "cleared": [], "passed_over": []})
    .to_string()
}

/// What became of the item of a part after a sentence was said of it.
fn said_of(part: &str, sentence: &str, stops: bool, lexicon: &Lexicon) -> String {
    let part = if part == "-" { "faucet" } else { part };
    let lines = if stops {
        let name = if sentence_names(sentence, part) {
            String::new()
        } else {
            format!("The {part}. ")
        };
        format!(
            "[0:00] Kitchen.\n[0:04] {name}{sentence}.\n[0:10] Hallway.\n[0:14] The baseboard is done.\n"
        )
    } else {
        let plain = sentence.to_lowercase().replace([',', '.', '?'], "");
        let name = if sentence_names(sentence, part) {
            String::new()
        } else {
            format!("the {part} ")
        };
        format!(
            "[0:00] kitchen\n[0:04] {name}{plain}\n[0:10] hallway\n[0:14] the baseboard is done\n"
        )
    };
    let mut record = Record::from_bytes("list", list(part).as_bytes()).unwrap();
    let walk = transcript::read(lines.as_bytes(), "b.txt", &Default::default()).unwrap();
    rewalk(&mut record, &walk, lexicon, &Job::default()).unwrap();
    let last = &record.value()["items"][1]["history"][1];
    match (last["fate"].as_str().unwrap(), &last["partly"]) {
        ("outstanding", Value::Bool(true)) => "half",
        ("outstanding", _) => "still",
        ("made-good", _) => "good",
        (other, _) => other,
    }
    .to_string()
}

fn sentence_names(sentence: &str, part: &str) -> bool {
    sentence.to_lowercase().contains(&format!("the {part}"))
}

#[test]
#[ignore]
fn bank() {
    let lexicon = Lexicon::builtin();
    let only = std::env::var("BANK").unwrap();
    for file in only.split(',') {
        let want = Path::new(file)
            .file_stem()
            .unwrap()
            .to_string_lossy()
            .into_owned();
        let (mut right, mut all) = (0, 0);
        for line in fs::read_to_string(file).unwrap().lines() {
            let (part, sentence) = line.split_once('\t').unwrap();
            for stops in [true, false] {
                let got = said_of(part, sentence, stops, &lexicon);
                all += 1;
                if got == want
                    || (want == "none"
                        && got != "half"
                        && got != "still"
                        && got != "back"
                        && got != "to-confirm")
                {
                    right += 1;
                } else {
                    println!(
                        "{want}\t{got}\t{}\t{part}\t{sentence}",
                        if stops { "." } else { "-" }
                    );
                }
            }
        }
        println!("## {want} {right} of {all}");
    }
}

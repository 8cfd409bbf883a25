//! What each person receives: every open item on one sheet, nothing private, nothing unescaped, messages short.

use std::collections::BTreeMap;

use serde_json::{Value, json};
use storystick::handouts::{self, LONGEST, Language, Options, Picture, Sheet, fragment, spoken_at};
use storystick::list::List;

const MARKUP: &str = "<script>alert('x')</script> & \"quoted\"";

fn item(number: u32, more: Value) -> Value {
    let mut item = json!({
        "id": format!("{number:04x}"), "number": number, "area": ["Ground floor", format!("Room {}", number % 7)],
        "where": "left of the door", "element": "baseboard", "fault": "ding", "work": "touch-up", "trade": "painter",
        "standing": "outstanding", "text": "Touch up baseboard: ding, left of the door", "confidence": 0.8,
        "said": [{"walk": "w1", "start": 65.0, "end": 67.0, "text": "a ding down there"}]
    });
    for (key, value) in more.as_object().unwrap() {
        item[key] = value.clone();
    }
    item
}

fn list(items: Vec<Value>) -> List {
    serde_json::from_value(json!({
        "schema": "storystick/list/1",
        "walks": [{"id": "w1", "file": "cooper-lane.vtt", "format": "webvtt", "sha256": "0", "seconds": 900.0, "words": 9}],
        "areas": [{"id": "a1", "path": ["Ground floor", "Room 3"], "state": "outstanding", "visits": []}],
        "items": items,
        "cleared": [{"id": "c", "area": ["Kitchen"], "element": "range hood", "kind": "made-good", "said": []}]
    }))
    .unwrap()
}

fn many() -> List {
    let trades = ["painter", "plumber", "tile", "superintendent"];
    list(
        (1..=200)
            .map(|n| {
                item(
                    n,
                    json!({"trade": trades[n as usize % 4], "standing": if n % 8 == 7 { "query" } else { "outstanding" },
                           "hazard": if n % 9 == 0 { json!("fall") } else { Value::Null }}),
                )
            })
            .collect(),
    )
}

fn page<'a>(sheets: &'a [Sheet], file: &str) -> &'a str {
    &sheets
        .iter()
        .find(|s| s.file == file)
        .unwrap_or_else(|| panic!("{file}"))
        .text
}

#[test]
fn every_open_item_is_on_one_sheet_and_made_good_on_none() {
    let mut list = many();
    list.items[9].standing = storystick::list::Standing::MadeGood;
    let sheets = handouts::pages(&list, &Options::default());
    let mut seen: BTreeMap<u32, usize> = BTreeMap::new();
    for sheet in &sheets {
        if ["summary.html", "promises.html", "owner.html"].contains(&sheet.file.as_str()) {
            continue;
        }
        for part in sheet.text.split("<span class=\"no\">").skip(1) {
            *seen
                .entry(part.split('<').next().unwrap().parse().unwrap())
                .or_default() += 1;
        }
    }
    let wanted: BTreeMap<u32, usize> = (1..=200).filter(|n| *n != 10).map(|n| (n, 1)).collect();
    assert_eq!(seen, wanted);
}

#[test]
fn items_stand_in_walking_order() {
    // Room 3 was reached first; the others only spoken of, in this order.
    let list = list(vec![
        item(1, json!({})),
        item(2, json!({})),
        item(3, json!({})),
        item(8, json!({})),
    ]);
    let sheets = handouts::pages(&list, &Options::default());
    let painter = page(&sheets, "painter.html");
    let at: Vec<usize> = [">3<", ">1<", ">8<", ">2<"]
        .iter()
        .map(|n| painter.find(&format!("\"no\"{n}")).unwrap())
        .collect();
    assert!(at.is_sorted(), "{at:?}");
}

#[test]
fn queries_are_the_superintendents() {
    let list = list(vec![item(
        1,
        json!({"trade": "plumber", "standing": "query"}),
    )]);
    let sheets = handouts::pages(&list, &Options::default());
    assert!(!sheets.iter().any(|s| s.file == "plumber.html"));
    assert!(page(&sheets, "superintendent.html").contains("1 to answer, 0 to do"));
}

#[test]
fn nothing_from_outside_is_markup() {
    let more = json!({"area": [MARKUP], "where": MARKUP, "element": MARKUP, "fault": MARKUP, "text": MARKUP, "by": MARKUP,
        "follow_up": "ask", "promised_by": MARKUP, "said": [{"walk": "w1", "start": 1, "end": 2, "text": MARKUP}]});
    let mut list = list(vec![item(1, more)]);
    list.walks[0].file = MARKUP.to_string();
    list.cleared[0].element = Some(MARKUP.to_string());
    for sheet in handouts::pages(
        &list,
        &Options {
            words: true,
            ..Options::default()
        },
    ) {
        assert!(!sheet.text.contains("<script"), "{}", sheet.file);
        assert!(
            sheet.text.contains("&lt;script&gt;alert(&#39;x&#39;)"),
            "{}",
            sheet.file
        );
    }
}

#[test]
fn private_words_never_go_out() {
    let said = json!([{"walk": "w1", "start": 1, "end": 2, "text": "open words"},
                      {"walk": "w1", "start": 3, "end": 4, "text": "secret words", "private": true}]);
    let list = list(vec![
        item(1, json!({"said": said, "follow_up": "do"})),
        item(2, json!({"said": said, "standing": "query"})),
    ]);
    for words in [false, true] {
        let options = Options {
            words,
            ..Options::default()
        };
        let mut sheets = handouts::pages(&list, &options);
        sheets.extend(handouts::messages(&list, &options));
        assert!(sheets.iter().all(|s| !s.text.contains("secret words")));
        assert_eq!(page(&sheets, "painter.html").contains("open words"), words);
        assert_eq!(page(&sheets, "painter.txt").contains("open words"), words);
    }
}

#[test]
fn a_place_or_a_deadline_told_in_private_words_alone_stays_back() {
    let hidden = json!({"walk": "w1", "start": 3, "end": 4, "text": "Behind the neighbour's wine, before they sue us.", "private": true});
    let open = json!({"walk": "w1", "start": 1, "end": 2, "text": "a ding"});
    let again =
        json!({"walk": "w1", "start": 5, "end": 6, "text": "it is behind the neighbour's wine"});
    let more = |said: Value| {
        json!({"said": said, "where": "behind the neighbour's wine", "by": "before they sue us", "by_date": "2026-03-06",
               "text": "Touch up baseboard: ding, behind the neighbour's wine", "follow_up": "do"})
    };
    for language in [Language::English, Language::Spanish] {
        let options = Options {
            words: true,
            language,
            ..Options::default()
        };
        let list = list(vec![item(1, more(json!([hidden, open])))]);
        let mut sheets = handouts::pages(&list, &options);
        sheets.extend(handouts::messages(&list, &options));
        for sheet in &sheets {
            for secret in ["wine", "sue us"] {
                assert!(
                    !sheet.text.contains(secret),
                    "{}: {}",
                    sheet.file,
                    sheet.text
                );
            }
        }
        // The day itself is no word of theirs.
        assert!(page(&sheets, "painter.html").contains("2026-03-06"));
        assert!(page(&sheets, "painter.txt").contains("2026-03-06"));
    }
    // Told openly as well, the place goes out.
    let list = list(vec![item(1, more(json!([hidden, again])))]);
    let sheets = handouts::pages(&list, &Options::default());
    assert!(page(&sheets, "painter.html").contains("neighbour&#39;s wine"));
}

#[test]
fn a_firms_own_name_and_sheet_of_a_trade_are_on_its_page() {
    let mut list = list(vec![item(1, json!({}))]);
    list.trades = serde_json::from_value(
        json!([{"trade": "painter", "name": "decorators", "contact": "paint <foreman>",
        "sheet": "Two coats, and the tin stays on site."}]),
    )
    .unwrap();
    let sheets = handouts::pages(&list, &Options::default());
    let painter = page(&sheets, "painter.html");
    assert!(painter.contains("<h1>Decorators: 1 item</h1>"), "{painter}");
    assert!(
        painter.contains(
            "Contact: paint &lt;foreman&gt;; Two coats, and the tin stays on site</bdi>."
        ),
        "{painter}"
    );
    assert!(page(&sheets, "summary.html").contains(">Decorators</a>"));
    let spanish = Options {
        language: Language::Spanish,
        ..Options::default()
    };
    let sheets = handouts::pages(&list, &spanish);
    assert!(page(&sheets, "painter.html").contains("<p lang=\"en\"><bdi>Contact: paint"));
}

#[test]
fn a_loose_printed_page_tells_whose_it_is() {
    let mut list = list(vec![item(1, json!({}))]);
    list.trades =
        serde_json::from_value(json!([{"trade": "painter", "name": "a\"}</style><script>"}]))
            .unwrap();
    let sheets = handouts::pages(&list, &Options::default());
    assert!(
        page(&sheets, "summary.html").contains("@bottom-right{content:\"Summary, \" counter(page)")
    );
    let painter = page(&sheets, "painter.html");
    assert_eq!(painter.matches("</style>").count(), 1, "{painter}");
    assert!(!painter.contains("<script"));
}

#[test]
fn what_the_sentence_names_is_not_said_twice() {
    let list = list(vec![
        item(1, json!({})),
        item(2, json!({"text": "Match the colour of the hall"})),
    ]);
    let sheets = handouts::pages(&list, &Options::default());
    let painter = page(&sheets, "painter.html");
    // Named once in the first item's sentence, beside the second's.
    assert_eq!(painter.matches("left of the door").count(), 2, "{painter}");
    assert_eq!(painter.matches("<span>Where: ").count(), 1);
    assert_eq!(
        painter.matches("<span><bdi>Baseboard</bdi></span>").count(),
        1
    );
    assert_eq!(painter.matches("Said at\u{a0}1:05").count(), 2);
}

#[test]
fn a_deadline_of_which_only_the_day_is_known_is_told() {
    let list = list(vec![item(1, json!({"by_date": "2026-03-06"}))]);
    let sheets = handouts::pages(&list, &Options::default());
    assert!(page(&sheets, "painter.html").contains("When: by 2026-03-06"));
}

#[test]
fn long_words_never_push_out_what_is_to_be_done() {
    let words = "well you know ".repeat(60);
    let said = json!([{"walk": "w1", "start": 65, "end": 66, "text": "first of all"}, {"walk": "w1", "start": 70, "end": 99, "text": words}]);
    let list = list(vec![item(
        1,
        json!({"said": said, "hazard": "fall", "follow_up": "do"}),
    )]);
    for (language, ends) in [
        (Language::English, " “first of all” …\n"),
        (Language::Spanish, " Como se dijo: “first of all” …\n"),
    ] {
        let options = Options {
            words: true,
            language,
            ..Options::default()
        };
        let sheets = handouts::messages(&list, &options);
        let message = page(&sheets, "painter.txt");
        assert!(message.ends_with(ends), "{message}");
        assert!(!message.contains("well you"), "{message}");
        assert!(page(&sheets, "promises.txt").ends_with(" “first of all” …\n"));
    }
}

#[test]
fn a_message_tells_of_which_walk_it_is() {
    let mut list = many();
    list.walks[0].recorded = Some("2026-03-02".to_string());
    let english = handouts::messages(&list, &Options::default());
    let spanish = Options {
        language: Language::Spanish,
        ..Options::default()
    };
    let spanish = handouts::messages(&list, &spanish);
    for (sheets, line) in [
        (english, "\nWalk: cooper-lane.vtt (2026-03-02)\n"),
        (spanish, "\nRecorrido: cooper-lane.vtt (2026-03-02)\n"),
    ] {
        for message in page(&sheets, "painter.txt").split("~~~~~\n") {
            assert_eq!(message.matches(line).count(), 1, "{message}");
        }
    }
}

#[test]
fn the_letter_is_for_who_does_not_build() {
    let said = json!([{"walk": "w1", "start": 1, "end": 2, "text": "x"}]);
    let mut list = list(vec![
        item(
            1,
            json!({"area": ["Kitchen", "Pantry"], "element": "sash", "work": "adjust", "count": 2}),
        ),
        item(
            2,
            json!({"area": ["Kitchen", "Pantry"], "element": "smoke detector", "work": "install", "hazard": "fire", "said": said,
                       "caution": "nobody sleeps there until it is in and tested."}),
        ),
        item(
            3,
            json!({"area": ["Kitchen"], "element": null, "work": "clean"}),
        ),
    ]);
    list.walks[0].recorded = Some("2026-03-02T09:15:00".to_string());
    let sheets = handouts::pages(&list, &Options::default());
    let letter = page(&sheets, "owner.html");
    for part in [
        "<p>We walked through the building on March 2, 2026 and noted",
        "<h2><bdi>Pantry, Kitchen</bdi></h2>",
        "Sash (window), 2 of them: to be adjusted",
        "Please note for your safety: Nobody sleeps there until it is in and tested.",
        "The area as a whole: to be cleaned",
    ] {
        assert!(letter.contains(part), "{part}: {letter}");
    }
    // A day that is not known of every walk is not told.
    list.walks.push(list.walks[0].clone());
    list.walks[1].recorded = None;
    let sheets = handouts::pages(&list, &Options::default());
    assert!(page(&sheets, "owner.html").contains("<p>We walked through the building and noted"));
}

#[test]
fn messages_are_short_and_whole() {
    let mut list = many();
    list.items[0].text = "long ".repeat(400);
    list.items[1].area = vec!["Corridor".repeat(200)];
    for sheet in handouts::messages(
        &list,
        &Options {
            words: true,
            ..Options::default()
        },
    ) {
        for message in sheet.text.split("~~~~~\n") {
            assert!(message.chars().count() < LONGEST, "{message}");
        }
    }
    let sheets = handouts::messages(&list, &Options::default());
    let plumber = page(&sheets, "plumber.txt");
    for i in list.items.iter().filter(|i| {
        i.trade.word() == "plumber" && i.standing.word() == "outstanding" && i.number > 1
    }) {
        let line = format!("\n{}. ", i.number);
        assert_eq!(plumber.matches(&line).count(), 1, "{line}");
    }
    assert_eq!(
        plumber.matches("left of the door (1:05)").count(),
        plumber.matches("Touch up baseboard").count()
    );
}

#[test]
fn of_nothing_there_is_still_a_summary_and_a_letter() {
    let mut list = list(Vec::new());
    list.cleared.clear();
    let sheets = handouts::pages(&list, &Options::default());
    let names: Vec<&str> = sheets.iter().map(|s| s.file.as_str()).collect();
    assert_eq!(
        names,
        [
            "summary.html",
            "superintendent.html",
            "promises.html",
            "owner.html"
        ]
    );
    assert!(page(&sheets, "owner.html").contains("Nothing was noted that needs work"));
    assert!(handouts::messages(&list, &Options::default()).is_empty());
}

#[test]
fn the_letter_tells_what_is_there_and_no_more() {
    let list = list(vec![item(
        1,
        json!({"area": ["Kitchen"], "work": "seal", "element": "backsplash"}),
    )]);
    let sheets = handouts::pages(&list, &Options::default());
    let letter = page(&sheets, "owner.html");
    assert!(letter.contains("Put right already:"));
    assert!(letter.contains("Range hood"));
    assert!(letter.contains("Backsplash: a joint or gap is to be sealed (number\u{a0}1)."));
    assert!(!letter.contains("found fine") && !letter.contains(": ding"));
}

#[test]
fn links_by_media_fragments() {
    assert_eq!(fragment("walk.mp4", 131.2, 137.0), "walk.mp4#t=131.2,137");
    assert_eq!(fragment("a #1?.mp4", 0.0, 0.0), "a%20%231%3F.mp4#t=0");
    assert_eq!(
        fragment("https://x.example/v?a=1", 1.5, 2.25),
        "https://x.example/v?a=1#t=1.5,2.25"
    );
    assert_eq!(
        fragment("javascript:alert(1)", 1.0, 2.0),
        "javascript%3Aalert(1)#t=1,2"
    );
    let list = list(vec![item(1, json!({}))]);
    let options = Options {
        media: vec!["walk.mp4".to_string()],
        ..Options::default()
    };
    let sheets = handouts::pages(&list, &options);
    assert!(page(&sheets, "painter.html").contains("<a href=\"walk.mp4#t=65,67\">1:05</a>"));
}

#[test]
fn a_picture_goes_to_the_item_spoken_of() {
    let at = |start: f64| json!({"said": [{"walk": "w1", "start": start, "end": start + 2.0, "text": "x"}]});
    let list = list(vec![item(1, at(10.0)), item(2, at(60.0))]);
    for (second, wanted) in [
        (11.0, Some(0)),
        (0.0, Some(0)),
        (36.0, None),
        (50.0, Some(1)),
        (77.1, None),
    ] {
        assert_eq!(spoken_at(&list, "w1", second), wanted, "{second}");
    }
    assert_eq!(spoken_at(&list, "w2", 11.0), None);
    let picture = Picture {
        mime: "image/png",
        bytes: vec![1, 2, 3],
        caption: "<b>".to_string(),
    };
    let options = Options {
        pictures: vec![Vec::new(), vec![picture]],
        ..Options::default()
    };
    let sheets = handouts::pages(&list, &options);
    let painter = page(&sheets, "painter.html");
    let figure = painter
        .find("<img src=\"data:image/png;base64,AQID\" alt=\"&lt;b&gt;\">")
        .unwrap();
    let second = painter.find("\"no\">2<").unwrap();
    assert_eq!(painter.matches("<figure>").count(), 1);
    // Room 1 comes before room 2.
    assert!(figure > second);
}

#[test]
fn in_spanish_the_speakers_words_stay_as_said() {
    let list = list(vec![item(
        1,
        json!({"area": ["Upstairs", "Bedroom 2"], "hazard": "fall", "count": 2}),
    )]);
    let options = Options {
        words: true,
        language: Language::Spanish,
        ..Options::default()
    };
    let sheets = handouts::pages(&list, &options);
    let painter = page(&sheets, "painter.html");
    for part in [
        "<html lang=\"es\">",
        "Pintor: 1 trabajo",
        "Planta alta › Dormitorio 2",
        "Retocar: zócalo; golpe (2)",
        "Peligro: Caída, número 1.</strong>",
        "Dicho en\u{a0}1:05",
        "Identifique cada trabajo por su número.",
        "Lugar (como se dijo): <q lang=\"en\"><bdi>left of the door</bdi></q>",
        "Como se dijo: <q lang=\"en\"><bdi>a ding down there</bdi></q>",
    ] {
        assert!(painter.contains(part), "{part}");
    }
    assert!(page(&sheets, "owner.html").contains("Dear owner"));
    let many = many();
    let messages = handouts::messages(&many, &options);
    assert!(page(&messages, "plumber.txt").starts_with("Plomero, 1 de "));
    for message in messages.iter().flat_map(|s| s.text.split("~~~~~\n")) {
        assert!(message.chars().count() < LONGEST, "{message}");
    }
}

#[test]
fn spanish_tells_no_less_than_english() {
    let lean =
        "nobody leans on it until it is fixed to something that bears; the local code decides.";
    let tail = "baseboard: ding, left of the door";
    let list = list(vec![
        item(
            1,
            json!({"work": "clean", "text": format!("Haul off {tail}")}),
        ),
        item(
            2,
            json!({"work": "seal", "text": format!("Rip out {tail}")}),
        ),
        item(
            3,
            json!({"work": "repair", "text": format!("Make safe {tail}")}),
        ),
        item(4, json!({"text": "Match the colour of the hall"})),
        item(
            5,
            json!({"hazard": "fall", "caution": lean, "follow_up": "photo", "promised_by": "speaker",
                   "measure": {"value": 2.0, "unit": "ft", "of": "length"},
                   "notes": [{"text": "lower than the usual height"}]}),
        ),
        // A caution that no label fits is told as it stands.
        item(
            6,
            json!({"hazard": "fall", "caution": "keep the dog off it."}),
        ),
    ]);
    let spanish = Options {
        language: Language::Spanish,
        ..Options::default()
    };
    for (sheets, file) in [
        (handouts::pages(&list, &spanish), "painter.html"),
        (handouts::messages(&list, &spanish), "painter.txt"),
    ] {
        let painter = page(&sheets, file);
        for part in [
            "Retirar: zócalo",
            "Arrancar: zócalo",
            "Asegurar: zócalo",
            "en inglés: «Match the colour of the hall»",
            "Que nadie se apoye en ella",
            "«keep the dog off it.»",
            "largo 2 pies",
            "uien habla va a mandar una foto",
            "lower than the usual height",
        ] {
            assert!(painter.contains(part), "{part}: {painter}");
        }
        // A sentence of the program's own needs no English beside it.
        assert_eq!(painter.matches("en inglés: «").count(), 1, "{painter}");
    }
    let plain = Options::default();
    for (sheets, file) in [
        (handouts::pages(&list, &plain), "painter.html"),
        (handouts::messages(&list, &plain), "painter.txt"),
    ] {
        assert!(page(&sheets, file).contains("Nobody leans on it until it is fixed"));
    }
}

#[test]
fn questions_and_promises_go_out_as_messages_too() {
    let list = list(vec![
        item(1, json!({"standing": "query", "text": "Check baseboard"})),
        item(2, json!({"trade": "superintendent"})),
        item(
            3,
            json!({"follow_up": "return", "promised_by": "owner", "by": "by Friday", "by_date": "2026-03-06"}),
        ),
    ]);
    let sheets = handouts::messages(&list, &Options::default());
    let files: Vec<&str> = sheets.iter().map(|s| s.file.as_str()).collect();
    assert_eq!(files, ["painter.txt", "superintendent.txt", "promises.txt"]);
    let own: Vec<&str> = page(&sheets, "superintendent.txt")
        .split("~~~~~\n")
        .collect();
    assert!(own[0].starts_with("Superintendent: to answer\n"), "{own:?}");
    assert!(own[0].contains("\n1. Check baseboard"), "{own:?}");
    assert!(own[1].starts_with("Superintendent: to do\n") && own[1].contains("\n2. "));
    let promises = page(&sheets, "promises.txt");
    assert!(
        promises.starts_with("Promises of the owner\n"),
        "{promises}"
    );
    assert!(
        promises.contains("3. Come back and look: Touch up baseboard"),
        "{promises}"
    );
    assert!(promises.contains("by Friday (2026-03-06)"), "{promises}");
}

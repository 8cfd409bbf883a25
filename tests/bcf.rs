//! BCF: a readable archive, one topic for each item, the same bytes twice, nothing private. The schemas: tests/outside/bcf.py.

use std::io::{Cursor, Read};
use std::path::Path;

use storystick::list::List;
use storystick::report::{self, Format, Look};

fn list(name: &str) -> List {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/lists")
        .join(name);
    serde_json::from_slice(&std::fs::read(path).unwrap()).unwrap()
}

fn bcf(list: &List) -> Vec<u8> {
    let look = Look {
        now: 1_767_312_000,
        ..Look::default()
    };
    let mut out = Vec::new();
    report::write(list, Format::Bcf, &look, &mut out).unwrap();
    out
}

fn files(bytes: Vec<u8>) -> Vec<(String, String)> {
    let mut zip = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
    (0..zip.len())
        .map(|i| {
            let mut file = zip.by_index(i).unwrap();
            let mut text = String::new();
            file.read_to_string(&mut text).unwrap();
            (file.name().to_string(), text)
        })
        .collect()
}

#[test]
fn one_topic_for_each_item() {
    for name in ["tinkers-row.json", "edges.json"] {
        let list = list(name);
        let files = files(bcf(&list));
        assert_eq!(files.len(), list.items.len() + 2);
        for (item, (path, text)) in list.items.iter().zip(&files[2..]) {
            let doc = roxmltree::Document::parse(text).unwrap();
            let topic = doc.descendants().find(|n| n.has_tag_name("Topic")).unwrap();
            assert_eq!(topic.attribute("TopicType"), Some(item.work.word()));
            assert_eq!(topic.attribute("TopicStatus"), Some(item.standing.word()));
            assert!(path.starts_with(topic.attribute("Guid").unwrap()));
            let title = topic
                .children()
                .find(|n| n.has_tag_name("Title"))
                .unwrap()
                .text()
                .unwrap();
            assert!(item.number == 0 || title.starts_with(&format!("{}. ", item.number)));
            let date = topic
                .children()
                .find(|n| n.has_tag_name("CreationDate"))
                .unwrap()
                .text();
            assert_eq!(date, Some("2026-01-02T00:00:00Z"));
        }
    }
}

#[test]
fn the_same_list_gives_the_same_bytes_and_an_item_keeps_its_guid() {
    let mut list = list("tinkers-row.json");
    assert_eq!(bcf(&list), bcf(&list));
    let before = files(bcf(&list));
    list.items.remove(0);
    let after = files(bcf(&list));
    assert_eq!(before[3].0, after[2].0);
}

#[test]
fn private_words_stay_here() {
    let mut list = list("tinkers-row.json");
    let words = "there's no guard along the open side";
    assert!(files(bcf(&list))[2].1.contains(words));
    list.items[0].said[0].private = true;
    assert!(!files(bcf(&list))[2].1.contains(words));
    // Nor where they tell the place or the deadline.
    list.items[0].spot = Some("along the open side".to_string());
    list.items[0].by = Some("There's no guard".to_string());
    let topic = &files(bcf(&list))[2].1;
    for words in ["the open side", "s no guard"] {
        assert!(!topic.contains(words), "{topic}");
    }
}

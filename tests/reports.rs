//! The reports of lists made by hand: as snapshots, never wider than asked, read back where they are data.

use std::path::Path;

use storystick::list::{Hazard, List, Trade};
use storystick::report::{self, Format, Look};
use unicode_width::UnicodeWidthStr;

fn list(name: &str) -> List {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/lists")
        .join(name);
    serde_json::from_slice(&std::fs::read(path).unwrap()).unwrap()
}

fn empty() -> List {
    let mut list = list("tinkers-row.json");
    list.areas.clear();
    list.items.clear();
    list.cleared.clear();
    list.passed_over.clear();
    list
}

fn shown(list: &List, format: Format, look: &Look) -> String {
    let mut out = Vec::new();
    report::write(list, format, look, &mut out).unwrap();
    String::from_utf8(out).unwrap()
}

fn table(list: &List, width: usize) -> String {
    shown(
        list,
        Format::Table,
        &Look {
            width,
            ..Look::default()
        },
    )
}

#[test]
fn table_at_80_columns() {
    insta::assert_snapshot!(table(&list("tinkers-row.json"), 80));
}

#[test]
fn table_at_50_columns() {
    insta::assert_snapshot!(table(&list("tinkers-row.json"), 50));
}

#[test]
fn table_of_edges_with_what_was_passed_over() {
    let look = Look {
        passed_over: true,
        ..Look::default()
    };
    insta::assert_snapshot!(shown(&list("edges.json"), Format::Table, &look));
}

#[test]
fn table_of_nothing() {
    insta::assert_snapshot!(table(&empty(), 80));
}

#[test]
fn markdown() {
    insta::assert_snapshot!(shown(
        &list("tinkers-row.json"),
        Format::Md,
        &Look::default()
    ));
}

#[test]
fn markdown_of_edges() {
    let look = Look {
        passed_over: true,
        ..Look::default()
    };
    insta::assert_snapshot!(shown(&list("edges.json"), Format::Md, &look));
}

#[test]
fn csv() {
    insta::assert_snapshot!(
        shown(&list("tinkers-row.json"), Format::Csv, &Look::default()).replace("\r\n", "\n")
    );
}

#[test]
fn no_line_is_wider_than_asked() {
    for name in ["tinkers-row.json", "edges.json"] {
        let list = list(name);
        for width in Look::NARROWEST..=130 {
            let look = Look {
                width,
                passed_over: true,
                color: false,
                ..Look::default()
            };
            for line in shown(&list, Format::Table, &look).lines() {
                assert!(
                    line.width() <= width,
                    "{name} at {width}: {} columns: {line}",
                    line.width()
                );
                assert_eq!(
                    line,
                    line.trim_end(),
                    "{name} at {width}: blanks at the end"
                );
            }
        }
    }
}

#[test]
fn color_adds_and_takes_nothing() {
    for name in ["tinkers-row.json", "edges.json"] {
        let list = list(name);
        let styled = shown(
            &list,
            Format::Table,
            &Look {
                color: true,
                ..Look::default()
            },
        );
        assert!(styled.contains('\x1b'));
        let mut plain = String::new();
        let mut rest = styled.as_str();
        while let Some((before, after)) = rest.split_once('\x1b') {
            plain.push_str(before);
            rest = after.split_once('m').unwrap().1;
        }
        plain.push_str(rest);
        assert_eq!(plain, table(&list, 80));
    }
}

#[test]
fn no_report_for_people_holds_what_steers_a_terminal() {
    let list = list("edges.json");
    for format in [Format::Table, Format::Md] {
        let text = shown(
            &list,
            format,
            &Look {
                passed_over: true,
                ..Look::default()
            },
        );
        assert!(
            text.chars().all(|c| c == '\n' || !c.is_control()),
            "{format:?}"
        );
    }
}

#[test]
fn csv_reads_back() {
    let list = list("edges.json");
    let text = shown(&list, Format::Csv, &Look::default());
    let mut rows = csv::Reader::from_reader(text.as_bytes());
    let names: Vec<String> = rows.headers().unwrap().iter().map(String::from).collect();
    let column = |name: &str| names.iter().position(|n| n == name).unwrap();
    let rows: Vec<csv::StringRecord> = rows.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), list.items.len());
    for (row, item) in rows.iter().zip(&list.items) {
        assert_eq!(row[column("number")], item.number.to_string());
        assert_eq!(row[column("trade")], *item.trade.word());
        assert_eq!(
            row[column("from_second")].parse::<f64>().unwrap(),
            item.said[0].start
        );
        for (name, cell) in names.iter().zip(row) {
            let number = name == "measure";
            assert!(
                number || !cell.starts_with(['=', '+', '-', '@', '\t', '\r']),
                "{name}: {cell}"
            );
        }
    }
    let risky = &rows[2];
    assert_eq!(&risky[column("element")], "'=HYPERLINK(\"http://x\")");
    assert_eq!(
        &risky[column("said")],
        "'-5 degrees,\n\"quoted\"; and a second line"
    );
    assert_eq!(&risky[column("by")], "'\tFriday");
    assert_eq!(&risky[column("measure")], "-5");
    assert_eq!(&risky[column("file")], "'-");
}

#[test]
fn json_reads_back() {
    for name in ["tinkers-row.json", "edges.json"] {
        let list = list(name);
        let text = shown(&list, Format::Json, &Look::default());
        assert_eq!(serde_json::from_str::<List>(&text).unwrap(), list);
    }
}

#[test]
fn json_lines_hold_one_item_each_and_its_file() {
    let list = list("edges.json");
    let text = shown(&list, Format::Jsonl, &Look::default());
    assert_eq!(text.lines().count(), list.items.len());
    for (line, item) in text.lines().zip(&list.items) {
        let value: serde_json::Value = serde_json::from_str(line).unwrap();
        assert_eq!(value["number"], item.number);
        assert!(value["file"].is_string());
        assert_eq!(
            serde_json::from_value::<storystick::list::Item>(value).unwrap(),
            *item
        );
    }
}

#[test]
fn several_lists_follow_each_other() {
    let lists = [list("tinkers-row.json"), list("edges.json")];
    let each = |format| {
        let mut out = Vec::new();
        report::write_each(&lists, format, &Look::default(), &mut out).unwrap();
        String::from_utf8(out).unwrap()
    };
    let items = lists.iter().map(|l| l.items.len()).sum::<usize>();
    assert_eq!(each(Format::Json).lines().count(), 2);
    assert_eq!(each(Format::Jsonl).lines().count(), items);
    assert_eq!(
        csv::Reader::from_reader(each(Format::Csv).as_bytes())
            .records()
            .count(),
        items
    );
    assert_eq!(each(Format::Table).matches("Punch list from").count(), 2);
    assert_eq!(
        each(Format::Md)
            .lines()
            .filter(|l| l.starts_with("# "))
            .count(),
        2
    );
}

#[test]
fn every_trade_fits_and_every_danger_has_its_caution() {
    assert!(Trade::ALL.iter().all(|t| t.word().len() <= 16));
    for hazard in Hazard::ALL {
        let text = report::caution(*hazard);
        assert!(text.ends_with('.') && text.len() < 90, "{hazard}: {text}");
    }
}

#[test]
fn csv_has_a_byte_order_mark_where_asked() {
    let list = list("tinkers-row.json");
    let plain = shown(&list, Format::Csv, &Look::default());
    let look = Look {
        bom: true,
        ..Look::default()
    };
    assert!(!plain.starts_with('\u{feff}'));
    assert_eq!(shown(&list, Format::Csv, &look), format!("\u{feff}{plain}"));
}

#[test]
fn the_page_has_every_item_and_nothing_from_outside_is_markup() {
    let mut list = list("tinkers-row.json");
    list.items[0].text = "<script>alert(1)</script>".to_string();
    list.areas[0].path = vec!["<b>".to_string()];
    let page = shown(&list, Format::Html, &Look::default());
    assert!(!page.contains("<script") && page.contains("&lt;script&gt;alert(1)"));
    for item in &list.items {
        assert_eq!(page.matches(&format!("<b>{}</b>", item.number)).count(), 1);
    }
    assert!(shown(&empty(), Format::Html, &Look::default()).contains("Nothing was marked."));
}

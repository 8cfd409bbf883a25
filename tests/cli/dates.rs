//! When a walk was recorded: given, carried into the list, or told by the recording's file.

use std::fs;
use std::time::{Duration, UNIX_EPOCH};

use serde_json::{Value, json};

use super::{done, run, storystick};

const WALK: &str = "[0:01] Kitchen. The tap leaks, that needs fixing by Friday.\n";

fn walks(folder: &std::path::Path) -> Vec<String> {
    [("a.txt", "Kitchen"), ("b.txt", "Laundry")]
        .into_iter()
        .map(|(name, room)| {
            let path = folder.join(name);
            fs::write(&path, WALK.replace("Kitchen", room)).unwrap();
            path.to_str().unwrap().to_string()
        })
        .collect()
}

#[test]
fn a_recorded_date_goes_into_the_list_and_dates_its_deadlines() {
    let folder = tempfile::tempdir().unwrap();
    let walks = walks(folder.path());
    let list = |args: &[&str]| -> Value { serde_json::from_str(&done(args)).unwrap() };
    let one = list(&["list", &walks[0], "-f", "json", "--recorded", "2026-03-04"]);
    assert_eq!(one["walks"][0]["recorded"], "2026-03-04");
    assert_eq!(one["items"][0]["by"], "by Friday");
    assert_eq!(one["items"][0]["by_date"], "2026-03-06");
    let undated = list(&["list", &walks[0], "-f", "json"]);
    assert_eq!(undated["walks"][0]["recorded"], Value::Null);
    assert_eq!(undated["items"][0].get("by_date"), None);
    let table = done(&[
        "list",
        &walks[0],
        "--recorded",
        "2026-03-04T09:15:00",
        "--width",
        "120",
    ]);
    assert!(table.contains("by Friday (2026-03-06)"), "{table}");
    // Once for each of several, in their order; once for all with --each.
    let each = done(&[
        "list",
        "--each",
        &walks[0],
        &walks[1],
        "--recorded",
        "2026-03-04",
        "--recorded",
        "2026-03-11",
        "-f",
        "json",
    ]);
    let dates: Vec<Value> = each
        .lines()
        .map(|l| serde_json::from_str::<Value>(l).unwrap()["items"][0]["by_date"].take())
        .collect();
    assert_eq!(dates, ["2026-03-06", "2026-03-13"]);
    let both = list(&[
        "list",
        &walks[0],
        &walks[1],
        "--recorded",
        "2026-03-04",
        "-f",
        "json",
    ]);
    assert_eq!(both["walks"][1]["recorded"], "2026-03-04");
}

#[test]
fn what_is_no_date_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let walks = walks(folder.path());
    let (code, _, err) = run(&mut storystick(&[
        "list",
        &walks[0],
        "--recorded",
        "last week",
    ]));
    assert_eq!(code, 2);
    assert!(err.contains("write 2026-03-02"), "{err}");
    let dates = ["--recorded", "2026-03-04", "--recorded", "2026-03-05"];
    let (code, _, err) = run(storystick(&["list", &walks[0]]).args(dates));
    assert_eq!(code, 2);
    assert!(err.contains("given 2 times for 1 walk"), "{err}");
}

#[test]
fn a_line_may_carry_its_date() {
    let lines = [
        json!({"name": "dated", "text": WALK, "recorded": "2026-03-04"}),
        json!({"name": "wrong", "text": WALK, "recorded": "soon"}),
    ];
    let input = lines.map(|l| l.to_string()).join("\n");
    let output = storystick(&["list", "--lines"])
        .write_stdin(input)
        .output()
        .unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    let answers: Vec<Value> = text
        .lines()
        .map(|l| serde_json::from_str(l).unwrap())
        .collect();
    assert_eq!(answers[0]["list"]["items"][0]["by_date"], "2026-03-06");
    let error = answers[1]["error"].as_str().unwrap();
    assert!(error.starts_with("line 2: recorded \"soon\""), "{error}");
}

#[test]
fn a_changed_deadline_is_dated_anew() {
    let folder = tempfile::tempdir().unwrap();
    let walks = walks(folder.path());
    let list = folder.path().join("list.json");
    let list = list.to_str().unwrap();
    done(&["list", &walks[0], "-o", list, "--recorded", "2026-03-04"]);
    let date = |change: &str| {
        let (code, _, err) = run(&mut storystick(&["change", list, "1", change]));
        assert_eq!(code, 0, "{err}");
        let list: Value = serde_json::from_str(&fs::read_to_string(list).unwrap()).unwrap();
        list["items"][0]["by_date"].clone()
    };
    assert_eq!(date("by=by the tenth"), "2026-03-10");
    assert_eq!(date("by=before closing"), Value::Null);
}

#[test]
fn a_recordings_file_tells_when_the_walk_began() {
    let folder = tempfile::tempdir().unwrap();
    let walks = walks(folder.path());
    let path = |name: &str| folder.path().join(name).to_str().unwrap().to_string();
    let list = path("list.json");
    done(&["list", &walks[0], "-o", &list]);
    let saved: Value = serde_json::from_str(&fs::read_to_string(&list).unwrap()).unwrap();
    let length = saved["walks"][0]["seconds"].as_f64().unwrap();
    // No recording at all, so nothing but the file's own date tells: 2026-03-02T09:15:00Z less the walk's length.
    let media = path("walk.mp4");
    fs::write(&media, "no recording").unwrap();
    let began = 1_772_442_900.0;
    let file = fs::File::options().write(true).open(&media).unwrap();
    file.set_modified(UNIX_EPOCH + Duration::from_secs_f64(began + length))
        .unwrap();
    fs::create_dir(path("photos")).unwrap();
    let handouts = [
        "handouts",
        &list,
        "-o",
        &path("out"),
        "--photos",
        &path("photos"),
    ];
    let (code, _, err) = run(storystick(&handouts)
        .args(["--media", &media])
        .env("TZ", "UTC"));
    assert_eq!(code, 0, "{err}");
    assert!(err.contains("begun at 2026-03-02T09:15:00"), "{err}");
    assert!(
        err.contains("last changed, less the time of the last word"),
        "{err}"
    );
    // Neither date nor recording.
    let (code, _, err) = run(&mut storystick(&handouts));
    assert_eq!(code, 2);
    assert!(
        err.contains("--recorded 2026-03-02T09:15:00, or the recording with --media"),
        "{err}"
    );
}

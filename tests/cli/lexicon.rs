//! Overlays, the commands of `lexicon`, limits and house files, as they are run; the worked example of a firm.

use std::fs;
use std::path::Path;

use assert_cmd::Command;
use serde_json::Value;

use super::{WALKS, done, example, run, storystick, trouble};

const WALK: &str = "[0:01] Hall.\n[0:03] The skirting is loose.\n[0:06] The zibbo is cracked.\n";
const ZIBBO: &str =
    "elements:\n  - {id: zibbo, names: [zibbo], group: trim, finds: [the zibbo is cracked]}\n";

/// A file in a folder, and its path.
fn put(folder: &Path, name: &str, text: &str) -> String {
    let path = folder.join(name);
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    fs::write(&path, text).unwrap();
    path.to_str().unwrap().to_string()
}

/// What a run gave as JSON, and what it noted.
fn json(command: &mut Command) -> (Value, String) {
    let (code, out, err) = run(command);
    assert_eq!(code, 0, "{err}");
    (serde_json::from_str(&out).unwrap(), err)
}

fn elements(list: &Value) -> Vec<&str> {
    let items = list["items"].as_array().unwrap().iter();
    items.filter_map(|i| i["element"].as_str()).collect()
}

#[test]
fn files_are_named_found_beside_above_and_in_the_configuration() {
    let folder = tempfile::tempdir().unwrap();
    let walk = put(folder.path(), "job/day/walk.txt", WALK);
    let (plain, err) = json(&mut storystick(&["list", &walk, "-f", "json"]));
    assert_eq!(err, "");
    assert!(elements(&plain).contains(&"skirting"));

    // Named: a file, a folder; the later one wins.
    let one = put(
        folder.path(),
        "one/a.yaml",
        "elements: [{id: baseboard, shown: first}]\n",
    );
    let two = put(
        folder.path(),
        "two/b.yaml",
        "elements: [{id: baseboard, shown: second}]\n",
    );
    let named = folder.path().join("one");
    for (files, shown) in [
        ([named.to_str().unwrap(), &two], "second"),
        ([two.as_str(), &one], "first"),
    ] {
        let args = [
            "list",
            &walk,
            "-f",
            "json",
            "--lexicon",
            files[0],
            "--lexicon",
            files[1],
        ];
        let (list, err) = json(&mut storystick(&args));
        assert_eq!(err, "", "named files need no note");
        assert!(elements(&list).contains(&shown), "{list:#}");
    }

    // In the user's configuration, above the walk, beside it: the nearest wins, and each is told.
    let home = folder.path().join("config");
    put(
        &home,
        "storystick/own.yaml",
        "elements: [{id: baseboard, shown: configured}]\n",
    );
    let mut args = storystick(&["list", &walk, "-f", "json"]);
    let (list, err) = json(args.env("XDG_CONFIG_HOME", &home));
    assert!(elements(&list).contains(&"configured"));
    assert!(
        err.starts_with("note: lexicon: ") && err.contains("own.yaml"),
        "{err}"
    );
    put(
        folder.path(),
        "job/storystick.yaml",
        "elements: [{id: baseboard, shown: above}]\n",
    );
    let (list, _) = json(storystick(&["list", &walk, "-f", "json"]).env("XDG_CONFIG_HOME", &home));
    assert!(elements(&list).contains(&"above"));
    put(
        folder.path(),
        "job/day/storystick.yaml",
        "elements: [{id: baseboard, shown: beside}]\n",
    );
    let (list, err) = json(&mut storystick(&["list", &walk, "-f", "json"]));
    assert!(elements(&list).contains(&"beside"));
    assert_eq!(err.matches("storystick.yaml").count(), 2, "{err}");
    // One that is named lies over all of these.
    let (list, _) = json(&mut storystick(&[
        "list",
        &walk,
        "-f",
        "json",
        "--lexicon",
        &one,
    ]));
    assert!(elements(&list).contains(&"first"));
    // One that is found and named is laid once: what it removes is there to be removed.
    let gone = put(
        folder.path(),
        "gone/storystick.yaml",
        "elements: [{id: baseboard, remove: true}]\n",
    );
    let alone = put(folder.path(), "gone/walk.txt", WALK);
    let (_, err) = json(&mut storystick(&[
        "list",
        &alone,
        "-f",
        "json",
        "--lexicon",
        &gone,
    ]));
    assert_eq!(err, "");
    // A folder of walks: the lexicon beside them is none of them.
    let day = folder.path().join("job/day");
    let (list, err) = json(&mut storystick(&[
        "list",
        day.to_str().unwrap(),
        "-f",
        "json",
    ]));
    assert!(
        elements(&list).contains(&"beside") && !err.contains("skipped"),
        "{err}"
    );
}

#[test]
fn a_lexicon_of_ones_own_alone() {
    let folder = tempfile::tempdir().unwrap();
    let walk = put(folder.path(), "walk.txt", WALK);
    assert!(
        trouble(&mut storystick(&["list", &walk, "--no-default-lexicon"])).contains("--lexicon")
    );
    // What is dumped is enough, and gives the same list to the byte.
    let zibbo = put(folder.path(), "zibbo.yaml", ZIBBO);
    let dump = done(&["lexicon", "dump", "--lexicon", &zibbo]);
    let dump = put(folder.path(), "dump.yaml", &dump);
    let laid = done(&["list", &walk, "-f", "json", "--lexicon", &zibbo]);
    let alone = done(&[
        "list",
        &walk,
        "-f",
        "json",
        "--no-default-lexicon",
        "--lexicon",
        &dump,
    ]);
    assert_eq!(laid, alone);
    assert!(laid.contains("\"zibbo\""));
}

#[test]
fn a_lexicon_that_cannot_be_used() {
    let folder = tempfile::tempdir().unwrap();
    let walk = put(folder.path(), "walk.txt", WALK);
    for (name, text, says) in [
        (
            "typo.yaml",
            "elements: [{id: zibbo, nmaes: [zibbo]}]\n",
            "typo.yaml:1:24: ",
        ),
        ("latin.yaml", "", "no UTF-8"),
        ("gone.yaml", "", "no such file"),
    ] {
        let path = put(folder.path(), name, text);
        match name {
            "latin.yaml" => fs::write(&path, b"# caf\xe9\n").unwrap(),
            "gone.yaml" => fs::remove_file(&path).unwrap(),
            _ => {}
        }
        let err = trouble(&mut storystick(&["list", &walk, "--lexicon", &path]));
        assert!(err.starts_with("error: ") && err.contains(says), "{err}");
    }
    let empty = folder.path().join("empty");
    fs::create_dir(&empty).unwrap();
    let err = trouble(&mut storystick(&[
        "list",
        &walk,
        "--lexicon",
        empty.to_str().unwrap(),
    ]));
    assert!(err.contains("no lexicon file"), "{err}");
}

#[test]
fn check_tells_what_is_wrong_and_what_changed() {
    let folder = tempfile::tempdir().unwrap();
    let check = |text: &str| {
        let path = put(folder.path(), "own.yaml", text);
        run(&mut storystick(&["lexicon", "check", &path]))
    };
    let (code, out, err) = check(ZIBBO);
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(
        out.contains("0 of them failed") && out.contains("1 added, 0 changed, 0 removed"),
        "{out}"
    );
    // A form changes hands: told, with the examples that are read otherwise now.
    let (code, out, err) = check("elements:\n  - {id: towel-bar, forms: [dado]}\n");
    assert_eq!(code, 0, "{err}");
    assert!(
        out.contains("0 added, 1 changed, 0 removed, 1 form taken over"),
        "{out}"
    );
    assert!(
        err.contains(
            "own.yaml:2:29: \"dado\" is elements/towel-bar now, no more elements/chair-rail"
        ),
        "{err}"
    );
    // An example that fails.
    let (code, out, err) =
        check("elements:\n  - {id: zibbo, names: [zibbo], group: trim, finds: [the bathtub]}\n");
    assert_eq!(code, 1);
    assert!(out.contains("1 of them failed"), "{out}");
    assert!(
        err.contains(
            "own.yaml:2:54: elements/zibbo should be found in \"the bathtub\"; found there: bathtub"
        ),
        "{err}"
    );
    // A file that is no lexicon.
    let (code, out, err) = check("elements:\n  - {id: zibbo, nmaes: [zibbo]}\n");
    assert_eq!((code, out.as_str()), (1, ""));
    assert!(
        err.contains("own.yaml:2:17: ") && err.contains("did you mean \"names\"?"),
        "{err}"
    );
}

#[test]
fn show_and_words() {
    let folder = tempfile::tempdir().unwrap();
    let zibbo = put(folder.path(), "zibbo.yaml", ZIBBO);
    let text = done(&["lexicon", "show", "zibbos", "--lexicon", &zibbo]);
    assert!(text.starts_with("elements/zibbo\n  defined    "), "{text}");
    assert!(
        text.contains("leads to   trade finish-carpenter (group trim)"),
        "{text}"
    );
    let err = trouble(&mut storystick(&["lexicon", "show", "zibbo"]));
    assert!(err.contains("no entry and no form"), "{err}");

    let walk = put(folder.path(), "walk.txt", WALK);
    let words = done(&["lexicon", "words", &walk]);
    assert_eq!(words.lines().count(), 2, "{words}");
    assert!(
        words
            .lines()
            .nth(1)
            .unwrap()
            .contains("zibbo  walk.txt 0:06 "),
        "{words}"
    );
    let taught = done(&["lexicon", "words", &walk, "--lexicon", &zibbo]);
    assert_eq!(taught.lines().count(), 1, "{taught}");
    assert!(
        trouble(&mut storystick(&["lexicon", "words", "no/such.vtt"])).contains("no such file")
    );
}

#[test]
fn a_measure_is_noted_where_the_use_is_known() {
    let folder = tempfile::tempdir().unwrap();
    let walk = put(
        folder.path(),
        "walk.txt",
        "[0:01] Hall.\n[0:03] The handrail is too low, it's thirty inches high.\n",
    );
    for format in ["table", "json", "jsonl", "csv", "md"] {
        let plain = done(&["list", &walk, "-f", format]);
        assert!(!plain.contains("505.4"), "{format}: {plain}");
        let noted = done(&["list", &walk, "-f", format, "--use", "public"]);
        let flat = noted.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            flat.contains("505.4") && flat.contains("local code"),
            "{format}: {noted}"
        );
    }
    assert!(trouble(&mut storystick(&["list", &walk, "--use", "palace"])).contains("dwelling"));
}

/// A danger's caution stands in every report that shows the item.
#[test]
fn a_caution_goes_wherever_the_item_goes() {
    let folder = tempfile::tempdir().unwrap();
    let walk = put(
        folder.path(),
        "walk.txt",
        "[0:01] Hall.\n[0:03] The smoke alarm is chirping.\n",
    );
    for format in ["table", "json", "jsonl", "csv", "md"] {
        let out = done(&["list", &walk, "-f", format]);
        let flat = out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            flat.contains("nobody sleeps there until it is in and tested"),
            "{format}: {out}"
        );
    }
}

#[test]
fn a_house_file_that_cannot_be_used() {
    let folder = tempfile::tempdir().unwrap();
    let house = put(
        folder.path(),
        "house.yaml",
        "areas:\n  - {name: Kitchen, elements: [windw]}\n",
    );
    let err = trouble(&mut storystick(&[
        "list",
        &example(WALKS[0]),
        "--house",
        &house,
    ]));
    assert!(
        err.contains("house.yaml:2:32: ") && err.contains("did you mean \"window\"?"),
        "{err}"
    );
    let err = trouble(&mut storystick(&[
        "list",
        &example(WALKS[0]),
        "--house",
        "no/such.yaml",
    ]));
    assert!(err.contains("no such file"), "{err}");
}

/// The invented firm's lexicon is sound, and what it and its house file make of its walk is this.
#[test]
fn the_worked_example() {
    let (firm, house, walk) = (
        example("firm/storystick.yaml"),
        example("firm/house.yaml"),
        example("firm/plot-7.vtt"),
    );
    let (code, out, err) = run(&mut storystick(&["lexicon", "check", &firm]));
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(
        out.contains("6 added, 4 changed, 0 removed, 0 forms taken over"),
        "{out}"
    );
    let (code, out, err) = run(&mut storystick(&["list", &walk, "--house", &house]));
    assert_eq!(code, 0, "{err}");
    assert!(
        err.starts_with("note: lexicon: ") && err.lines().count() == 1,
        "{err}"
    );
    insta::assert_snapshot!("firm", out);
    let (list, _) = json(&mut storystick(&[
        "list", &walk, "--house", &house, "-f", "json",
    ]));
    let validator = jsonschema::draft202012::new(&storystick::list::schema()).unwrap();
    assert!(validator.is_valid(&list));
    assert_eq!(list["house"]["not_visited"][0][1], "Landing");
    assert_eq!(list["trades"][0]["name"], "Decorators");
}

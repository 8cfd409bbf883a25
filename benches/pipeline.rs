//! `cargo bench`: the whole program on one walk, each format's reader, the pipeline beside a bare scan for the same forms, how
//! time grows with the walk, the next walk and the handouts of a list of 2,000 items.
//!
//! `cargo bench -- NAME` runs one group. Figures say something beside each other, in one run, on one machine.

use std::hint::black_box;
use std::process::{Command, Stdio};
use std::time::Duration;

use aho_corasick::{AhoCorasick, AhoCorasickKind};
use criterion::{
    BatchSize, BenchmarkGroup, BenchmarkId, Criterion, Throughput, criterion_group, criterion_main,
    measurement::WallTime,
};
use storystick::handouts::{self, Options};
use storystick::lexicon::Lexicon;
use storystick::pipeline::normalize::Speech;
use storystick::pipeline::{self, Job};
use storystick::record::Record;
use storystick::rewalk::rewalk;
use storystick::transcript::{ReadOptions, Reading, Transcript, read};

const WALKS: [(&str, &[u8]); 5] = [
    ("webvtt", include_bytes!("../examples/walnut-house.vtt")),
    ("subrip", include_bytes!("../examples/counter-to-kerb.srt")),
    ("stamped", include_bytes!("../examples/keys-came-back.txt")),
    (
        "json",
        include_bytes!("../examples/before-the-keys-hang.json"),
    ),
    ("ttml", include_bytes!("../tests/fuzz/corpus/hall.ttml")),
];

/// Items on a long list.
const MANY: usize = 2_000;

fn plain() -> ReadOptions {
    ReadOptions { lossy: false }
}

fn walk(text: &str) -> Transcript {
    read(text.as_bytes(), "walk.vtt", &plain()).expect("a walk of our own")
}

/// A group that is measured in a few seconds.
fn group<'c>(c: &'c mut Criterion, name: &str) -> BenchmarkGroup<'c, WallTime> {
    let mut group = c.benchmark_group(name);
    group
        .sample_size(10)
        .warm_up_time(Duration::from_millis(300))
        .measurement_time(Duration::from_secs(2));
    group
}

/// A walk of cues of one second: no recording is longer than a hundred hours.
fn cues(said: impl Iterator<Item = String>) -> String {
    let stamp = |s: usize| format!("{:02}:{:02}:{:02}.000", s / 3600, s / 60 % 60, s % 60);
    let mut out = String::from("WEBVTT\n");
    for (i, words) in said.enumerate() {
        let (from, to) = (stamp(i), stamp(i + 1));
        out.push_str(&format!("\n{from} --> {to}\n{words}\n"));
    }
    out
}

/// The words of the examples, cue by cue.
fn said() -> Vec<String> {
    WALKS[..2]
        .iter()
        .flat_map(|(_, walk)| std::str::from_utf8(walk).unwrap_or_default().lines())
        .filter(|l| !l.contains("-->") && l.contains(' '))
        .map(str::to_string)
        .collect()
}

/// The words of the examples as a table, over and over: a table of a few lines would tell only of how reading begins.
fn table() -> String {
    let mut out = String::from("start\tend\ttext\n");
    for (i, words) in said().iter().cycle().take(MANY).enumerate() {
        out.push_str(&format!("{i}.0\t{}.0\t{words}\n", i + 1));
    }
    out
}

/// The words of the examples with new times, as long as is wanted.
fn walk_of(bytes: usize) -> String {
    let said = said();
    // Times and blank lines take 35 bytes of each cue.
    let all = said.iter().map(|l| l.len() + 35);
    let mut left = bytes;
    let cycle = said.iter().zip(all).cycle();
    cues(
        cycle
            .take_while(|(_, size)| {
                let more = left > 0;
                left = left.saturating_sub(*size);
                more
            })
            .map(|(said, _)| said.clone()),
    )
}

/// The program as people start it, beside the least that a program does.
fn whole(c: &mut Criterion) {
    let mut group = group(c, "whole");
    let folder = tempfile::tempdir().expect("a folder for the walk");
    let path = folder.path().join("walk.vtt");
    std::fs::write(&path, walk_of(15_000)).expect("the walk is written");
    let run = |args: &[&str]| {
        let status = Command::new(env!("CARGO_BIN_EXE_storystick"))
            .args(args)
            .current_dir(folder.path())
            .env("XDG_CONFIG_HOME", folder.path())
            .stdout(Stdio::null())
            .status();
        assert!(status.is_ok_and(|s| s.success()));
    };
    group.sample_size(20);
    group.bench_function("version", |b| b.iter(|| run(&["--version"])));
    group.bench_function("list", |b| b.iter(|| run(&["list", "walk.vtt"])));
    group.finish();
}

fn start(c: &mut Criterion) {
    group(c, "start").bench_function("lexicon", |b| b.iter(Lexicon::builtin));
}

fn readers(c: &mut Criterion) {
    let mut group = group(c, "read");
    let table = table();
    let all = WALKS.into_iter().chain([("table", table.as_bytes())]);
    for (name, bytes) in all {
        group.throughput(Throughput::Bytes(bytes.len() as u64));
        group.bench_function(name, |b| b.iter(|| read(bytes, name, &plain())));
    }
    group.finish();
}

/// The pipeline on a long walk; a bare scan of the same words for the same forms; the lexicon's own.
fn throughput(c: &mut Criterion) {
    let mut group = group(c, "throughput");
    let lexicon = Lexicon::builtin();
    let walk = walk(&walk_of(1_000_000));
    let reading = Reading::new(&walk);
    let folded = Speech::new(&reading, &lexicon).folded;
    let scan = AhoCorasick::builder()
        .kind(Some(AhoCorasickKind::ContiguousNFA))
        .build(lexicon.data().forms.iter().map(|f| f.text))
        .expect("an automaton of the forms");
    group.throughput(Throughput::Bytes(reading.text.len() as u64));
    let walks = [walk];
    group.bench_function("pipeline", |b| b.iter(|| pipeline::list(&walks, &lexicon)));
    group.bench_function("bare scan", |b| {
        b.iter(|| scan.find_overlapping_iter(&folded).map(black_box).count())
    });
    group.bench_function("forms", |b| b.iter(|| lexicon.hits(&folded)));
    group.finish();
}

fn growth(c: &mut Criterion) {
    let lexicon = Lexicon::builtin();
    let mut group = group(c, "growth");
    for bytes in [10_000, 100_000, 1_000_000, 10_000_000] {
        let text = walk_of(bytes);
        group.throughput(Throughput::Bytes(text.len() as u64));
        group.bench_with_input(BenchmarkId::from_parameter(bytes), &text, |b, text| {
            b.iter(|| pipeline::list(&[walk(text)], &lexicon))
        });
    }
    group.finish();
}

/// The next walk and the handouts of a list of as many items as a large building has.
fn long_lists(c: &mut Criterion) {
    let lexicon = Lexicon::builtin();
    let rooms = |i| format!("Okay, room {}. The door is scratched.", 1_000 + i);
    let list = pipeline::list(&[walk(&cues((0..MANY).map(rooms)))], &lexicon);
    assert_eq!(list.items.len(), MANY);
    let json = serde_json::to_vec(&list).expect("a list is JSON");
    let open = || Record::from_bytes("list.json", &json).expect("a list of our own");
    let again = |i| format!("Okay, room {}. The door is fine now.", 1_000 + i);
    let next = walk(&cues((0..MANY).map(again)));
    let told = rewalk(&mut open(), &next, &lexicon, &Job::default());
    assert!(told.is_ok_and(|told| told.len() >= MANY));
    let mut group = group(c, "2000 items");
    group.bench_function("rewalk", |b| {
        b.iter_batched(
            open,
            |mut record| rewalk(&mut record, &next, &lexicon, &Job::default()),
            BatchSize::PerIteration,
        )
    });
    let options = Options::default();
    group.bench_function("pages", |b| b.iter(|| handouts::pages(&list, &options)));
    group.bench_function("messages", |b| {
        b.iter(|| handouts::messages(&list, &options))
    });
    group.finish();
}

criterion_group!(
    benches, whole, start, readers, throughput, growth, long_lists
);
criterion_main!(benches);

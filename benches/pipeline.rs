//! `cargo bench`: each format's reader, the pipeline on one walk, and how time grows with the walk.

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use storystick::lexicon::Lexicon;
use storystick::transcript::{ReadOptions, read};

const WALKS: [(&str, &[u8]); 6] = [
    ("webvtt", include_bytes!("../examples/walnut-house.vtt")),
    ("subrip", include_bytes!("../examples/counter-to-kerb.srt")),
    ("stamped", include_bytes!("../examples/keys-came-back.txt")),
    (
        "json",
        include_bytes!("../examples/before-the-keys-hang.json"),
    ),
    ("ttml", include_bytes!("../tests/fuzz/corpus/hall.ttml")),
    ("table", include_bytes!("../tests/fuzz/corpus/pantry.tsv")),
];

fn plain() -> ReadOptions {
    ReadOptions { lossy: false }
}

fn readers(c: &mut Criterion) {
    let mut group = c.benchmark_group("read");
    for (name, bytes) in WALKS {
        group.throughput(Throughput::Bytes(bytes.len() as u64));
        group.bench_function(name, |b| b.iter(|| read(bytes, name, &plain())));
    }
    group.finish();
}

fn start(c: &mut Criterion) {
    c.bench_function("lexicon", |b| b.iter(Lexicon::builtin));
}

/// The example's words with new times, as long as is wanted.
fn walk_of(bytes: usize) -> String {
    let text = String::from_utf8_lossy(WALKS[0].1);
    let said: Vec<&str> = text
        .lines()
        .filter(|l| !l.contains("-->") && l.contains(' '))
        .collect();
    let mut out = String::from("WEBVTT\n");
    let mut s = 0;
    while out.len() < bytes {
        let stamp = |s: usize| format!("{:02}:{:02}:{:02}.000", s / 3600, s / 60 % 60, s % 60);
        let words = said[s / 3 % said.len()];
        out.push_str(&format!("\n{} --> {}\n{words}\n", stamp(s), stamp(s + 3)));
        s += 3;
    }
    out
}

fn growth(c: &mut Criterion) {
    let lexicon = Lexicon::builtin();
    let mut group = c.benchmark_group("list");
    group.sample_size(10);
    for bytes in [10_000, 100_000, 1_000_000] {
        let text = walk_of(bytes);
        group.throughput(Throughput::Bytes(text.len() as u64));
        group.bench_with_input(BenchmarkId::from_parameter(bytes), &text, |b, text| {
            b.iter(|| {
                read(text.as_bytes(), "walk", &plain())
                    .map(|w| storystick::pipeline::list(&[w], &lexicon))
            })
        });
    }
    group.finish();
}

criterion_group!(benches, readers, start, growth);
criterion_main!(benches);

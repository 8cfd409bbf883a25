//! Pictures for handouts: frames of the recording by ffmpeg, and a phone's photographs by the time they were taken.

use std::fs::File;
use std::io::BufReader;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use anyhow::{Context, bail};
use exif::{In, Tag, Value};
use jiff::civil::DateTime;

use super::{recording, say};
use crate::handouts::{Picture, spoken_at};
use crate::list::{List, Walk};
use crate::report::clock;

/// The largest photograph that is embedded, in bytes.
const LARGEST: u64 = 8_000_000;

/// A frame for each item, at the middle of its words. Without ffmpeg, or where the recording has no picture, it says so and
/// goes on.
pub(super) fn stills(list: &List, media: &[PathBuf], pictures: &mut [Vec<Picture>]) {
    let there = Command::new("ffmpeg")
        .arg("-version")
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status();
    if !there.is_ok_and(|s| s.success()) {
        say(
            "note",
            "no stills: ffmpeg is not on this machine; install it, or leave out --stills",
        );
        return;
    }
    let (mut missing, mut unnamed) = (0, 0);
    for (item, pictures) in list.items.iter().zip(pictures) {
        let Some(said) = item.said.first() else {
            continue;
        };
        let Some(file) = recording_of(list, media, &said.walk) else {
            unnamed += 1;
            continue;
        };
        let middle = (said.start + said.end) / 2.0;
        match frame(&file, middle) {
            Some(bytes) => pictures.push(Picture {
                mime: "image/jpeg",
                bytes,
                caption: format!("From the recording at {}", clock(middle)),
            }),
            None => missing += 1,
        }
    }
    let of = list.items.len();
    for (n, why) in [
        (missing, "the recording has no picture there"),
        (
            unnamed,
            "their recording is not named; name it with --media",
        ),
    ] {
        if n > 0 {
            say("note", &format!("no still for {n} of {of} items: {why}"));
        }
    }
}

/// The recording of a walk: as named now, else as the list has it, if it is there.
fn recording_of(list: &List, media: &[PathBuf], walk: &str) -> Option<PathBuf> {
    let at = list.walks.iter().position(|w| w.id == walk)?;
    let kept = || list.walks[at].media.as_ref().map(PathBuf::from);
    media
        .get(at)
        .cloned()
        .or_else(|| kept().filter(|file| file.is_file()))
}

fn frame(file: &Path, second: f64) -> Option<Vec<u8>> {
    let out = Command::new("ffmpeg")
        .args([
            "-nostdin",
            "-v",
            "error",
            "-ss",
            &format!("{second:.3}"),
            "-i",
        ])
        .arg(file)
        .args([
            "-frames:v",
            "1",
            "-vf",
            "scale=w='min(640,iw)':h=-2",
            "-map_metadata",
            "-1",
            "-bitexact",
        ])
        .args(["-q:v", "5", "-f", "mjpeg", "-"])
        .stderr(Stdio::null())
        .output()
        .ok()?;
    (out.status.success() && out.stdout.starts_with(&[0xff, 0xd8])).then_some(out.stdout)
}

/// Puts each photograph of a folder to the item spoken of when it was taken; names those that fit none.
pub(super) fn photos(
    list: &List,
    folder: &Path,
    recorded: Option<&str>,
    media: &[PathBuf],
    pictures: &mut [Vec<Picture>],
) -> anyhow::Result<()> {
    let begun = begun(list, recorded, media)?;
    let read = || format!("cannot read the folder {}", folder.display());
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder)
        .with_context(read)?
        .map(|e| e.map(|e| e.path()))
        .collect::<Result<_, _>>()
        .with_context(read)?;
    files.retain(|p| p.is_file());
    files.sort();
    let mut embedded = 0;
    for file in &files {
        let name = file.file_name().unwrap_or_default().to_string_lossy();
        let skip = |why: &str| say("note", &format!("{name} fits no item: {why}"));
        let Some(mime) = mime(file) else {
            skip("it is no JPEG, PNG or WebP, as browsers show them; save it as JPEG");
            continue;
        };
        let Some(taken) = taken(file) else {
            skip("it does not hold the time at which it was taken");
            continue;
        };
        let during = begun.iter().find_map(|(walk, began)| {
            let second = seconds(*began, taken)?;
            let whole = 0.0..=walk.seconds + crate::handouts::NEAR;
            whole.contains(&second).then_some((walk, second))
        });
        let Some((walk, second)) = during else {
            skip(&format!("it was taken at {taken}, not during the walk"));
            continue;
        };
        let Some(item) = spoken_at(list, &walk.id, second) else {
            skip(&format!("nothing was spoken of near {}", clock(second)));
            continue;
        };
        if std::fs::metadata(file).is_ok_and(|m| m.len() > LARGEST) {
            skip("it is larger than 8 MB; make it smaller");
            continue;
        }
        let bytes =
            std::fs::read(file).with_context(|| format!("cannot read {}", file.display()))?;
        pictures[item].push(Picture {
            mime,
            bytes,
            caption: format!("{name}, taken at {}", clock(second)),
        });
        embedded += 1;
    }
    if embedded > 0 {
        say(
            "note",
            &format!(
                "{embedded} photographs are embedded as they are, with the place they were taken at where the phone wrote it"
            ),
        );
    }
    Ok(())
}

/// The walks whose beginning is known, with it. That of the first must be; of a later one it is said where it is not.
fn begun<'a>(
    list: &'a List,
    recorded: Option<&str>,
    media: &[PathBuf],
) -> anyhow::Result<Vec<(&'a Walk, DateTime)>> {
    let Some((first, later)) = list.walks.split_first() else {
        bail!("the list names no walk, so no photograph can be put to it");
    };
    let file = |n: usize| media.get(n).map(PathBuf::as_path);
    let mut out = vec![(first, began(first, recorded, file(0))?)];
    for (n, walk) in later.iter().enumerate() {
        match began(walk, None, file(n + 1)) {
            Ok(time) => out.push((walk, time)),
            Err(_) => say(
                "note",
                &format!(
                    "no photographs are put to {}: when it began is not known; read it with --recorded, or give its recording with \
                     --media",
                    walk.file
                ),
            ),
        }
    }
    Ok(out)
}

/// The seconds from one time to another.
fn seconds(from: DateTime, to: DateTime) -> Option<f64> {
    let days = jiff::SpanRelativeTo::days_are_24_hours();
    from.until(to).ok()?.total((jiff::Unit::Second, days)).ok()
}

/// When the walk began, by the phone's clock: as given, as the list has it, or as the recording's file tells.
fn began(walk: &Walk, recorded: Option<&str>, media: Option<&Path>) -> anyhow::Result<DateTime> {
    let timed = |text: &str| text.parse::<DateTime>().ok().filter(|_| text.contains(':'));
    if let Some(text) = recorded {
        return timed(text).with_context(|| {
            format!("{text} is no time of day; write --recorded 2026-03-02T09:15:00, by the phone's clock")
        });
    }
    if let Some(time) = walk.recorded.as_deref().and_then(timed) {
        return Ok(time);
    }
    let Some(file) = media else {
        bail!(
            "--photos needs the time at which the walk began; give it with --recorded 2026-03-02T09:15:00, or the recording with \
             --media"
        );
    };
    let Some(began) = recording::began(file, walk.seconds) else {
        bail!(
            "{} does not tell when it was recorded; give the time at which the walk began with --recorded 2026-03-02T09:15:00",
            file.display()
        );
    };
    say(
        "note",
        &format!(
            "the walk is taken to have begun at {}: {} tells {}; where the phone's clock said otherwise give --recorded",
            began.time.strftime("%Y-%m-%dT%H:%M:%S"),
            file.display(),
            began.told
        ),
    );
    Ok(began.time)
}

fn mime(file: &Path) -> Option<&'static str> {
    match file.extension()?.to_str()?.to_ascii_lowercase().as_str() {
        "jpg" | "jpeg" => Some("image/jpeg"),
        "png" => Some("image/png"),
        "webp" => Some("image/webp"),
        _ => None,
    }
}

/// When a photograph was taken, by the phone's own clock.
fn taken(file: &Path) -> Option<DateTime> {
    let mut reader = BufReader::new(File::open(file).ok()?);
    let exif = exif::Reader::new().read_from_container(&mut reader).ok()?;
    let field = exif.get_field(Tag::DateTimeOriginal, In::PRIMARY)?;
    let Value::Ascii(lines) = &field.value else {
        return None;
    };
    let t = exif::DateTime::from_ascii(lines.first()?).ok()?;
    let part = |n: u8| i8::try_from(n).ok();
    DateTime::new(
        i16::try_from(t.year).ok()?,
        part(t.month)?,
        part(t.day)?,
        part(t.hour)?,
        part(t.minute)?,
        part(t.second)?,
        0,
    )
    .ok()
}

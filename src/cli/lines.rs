//! `storystick list --lines`: one walk a line in, one list or one error a line out.
//!
//! The form for engines that spread work over machines. Memory does not grow with the number of lines: they are taken as
//! they come, a batch at a time, worked on by all cores, and answered in their order. A batch never waits for more
//! lines than have come already, so whoever writes one line and waits for its answer gets it.

use std::io::{self, BufRead, BufReader, Read, Write};

use anyhow::{Context, anyhow, bail};
use rayon::prelude::*;
use serde::Deserialize;
use serde_json::value::RawValue;

use super::{Exit, now};
use crate::lexicon::Lexicon;
use crate::list::List;
use crate::pipeline::{self, Job};
use crate::transcript::{self, ReadOptions, Transcript};

/// The most lines of a batch.
const BATCH: usize = 64;
/// How much is read ahead, in bytes.
const AHEAD: usize = 1 << 18;
/// The longest line that is read, in bytes.
const LONGEST: u64 = 64 << 20;

/// A line of input. What else stands in it belongs to the transcript, where it has no `text`.
#[derive(Deserialize)]
struct Line<'a> {
    name: String,
    #[serde(borrow)]
    text: Option<&'a RawValue>,
    recorded: Option<String>,
}

/// A line of output.
#[derive(serde::Serialize)]
#[serde(untagged)]
enum Answer {
    List { name: String, list: Box<List> },
    Error { name: Option<String>, error: String },
}

/// Answers all lines of standard input.
pub(super) fn run(lossy: bool) -> anyhow::Result<Exit> {
    let lexicon = Lexicon::builtin();
    let mut input = BufReader::with_capacity(AHEAD, io::stdin());
    let mut out = io::stdout().lock();
    let mut number = 0;
    loop {
        let batch = batch(&mut input)?;
        if batch.is_empty() {
            return Ok(Exit::Done);
        }
        let answers: Vec<Option<Vec<u8>>> = batch
            .par_iter()
            .enumerate()
            .map(|(i, line)| answer(number + i + 1, line, lossy, &lexicon))
            .collect();
        number += batch.len();
        for answer in answers.into_iter().flatten() {
            out.write_all(&answer)
                .context("cannot write to standard output")?;
        }
        out.flush().context("cannot write to standard output")?;
    }
}

/// The next lines: one, and those that have been read ahead with it.
fn batch(input: &mut BufReader<impl Read>) -> anyhow::Result<Vec<Vec<u8>>> {
    let mut lines = Vec::new();
    while lines.is_empty() || lines.len() < BATCH && input.buffer().contains(&b'\n') {
        let mut line = Vec::new();
        let read = input
            .by_ref()
            .take(LONGEST)
            .read_until(b'\n', &mut line)
            .context("standard input: cannot be read")?;
        if read == 0 {
            break;
        }
        if read as u64 == LONGEST && line.last() != Some(&b'\n') {
            input
                .skip_until(b'\n')
                .context("standard input: cannot be read")?;
        }
        lines.push(line);
    }
    Ok(lines)
}

/// What a line comes to, as a line; nothing for a blank one.
fn answer(number: usize, line: &[u8], lossy: bool, lexicon: &Lexicon) -> Option<Vec<u8>> {
    if line.iter().all(u8::is_ascii_whitespace) {
        return None;
    }
    let mut name = None;
    let answer = match read(line, lossy, &mut name) {
        Ok((walk, recorded)) => {
            let job = Job {
                recorded: recorded.as_slice(),
                ..Job::default()
            };
            Answer::List {
                name: walk.file.clone(),
                list: Box::new(pipeline::list_of(
                    std::slice::from_ref(&walk),
                    lexicon,
                    &job,
                )),
            }
        }
        Err(error) => Answer::Error {
            name,
            error: format!("line {number}: {error:#}"),
        },
    };
    let mut bytes = serde_json::to_vec(&answer).unwrap_or_default();
    bytes.push(b'\n');
    Some(bytes)
}

/// The walk of a line, and when it was recorded.
fn read(
    line: &[u8],
    lossy: bool,
    name: &mut Option<String>,
) -> anyhow::Result<(Transcript, Option<String>)> {
    if line.len() as u64 >= LONGEST {
        bail!("longer than {} MiB; cut the walk", LONGEST >> 20);
    }
    let parsed: Line = serde_json::from_slice(line).map_err(|e| {
        anyhow!("no object with a name and a transcript ({e}); write {{\"name\": …, \"text\": …}} or {{\"name\": …, \"segments\": […]}}")
    })?;
    *name = Some(parsed.name.clone());
    let recorded = parsed
        .recorded
        .map(|r| now::recorded(&r).map_err(|e| anyhow!("recorded {r:?}: {e}")));
    let recorded = recorded.transpose()?;
    let text = match parsed.text {
        Some(raw) if raw.get().starts_with('"') => Some(serde_json::from_str::<String>(raw.get())?),
        _ => None,
    };
    // A recognizer's own object may hold the whole text beside its segments: then the segments have the times.
    let object: serde_json::Map<String, serde_json::Value> = serde_json::from_slice(line)?;
    let timed = object.values().any(|v| v.is_array() || v.is_object());
    let bytes = match &text {
        Some(text) if !timed => text.as_bytes(),
        _ => line,
    };
    let walk = transcript::read(bytes, &parsed.name, &ReadOptions { lossy })?;
    Ok((walk, recorded))
}

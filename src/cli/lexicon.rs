//! `storystick lexicon check`, `dump` and `show`.

use std::path::PathBuf;

use super::args::LexiconArgs;
use super::layers::{self, Files};
use super::{Exit, input, output, say};
use crate::lexicon::check::Report;
use crate::lexicon::{Compiled, check, dump, show, unknown};
use crate::report::clock;

/// Checks the lexicon with these files laid over it.
pub(super) fn check(paths: &[PathBuf], mut args: LexiconArgs) -> anyhow::Result<Exit> {
    args.files.extend_from_slice(paths);
    let Some(compiled) = Files::of(&args, &[PathBuf::from("-")])?.compiled() else {
        return Ok(Exit::Failed);
    };
    let report = check::compiled(&compiled);
    for gap in &report.gaps {
        say("error", &gap.to_string());
    }
    let (below, failed): (Vec<_>, Vec<_>) = report.failures.iter().partition(|f| f.below);
    for failure in &failed {
        say("error", &failure.to_string());
    }
    for failure in &below {
        say("note", &format!("changed by what lies over it: {failure}"));
    }
    for t in &compiled.taken {
        let place = compiled.layers.shown(t.place);
        say(
            "note",
            &format!("{place}: {:?} is {} now, no more {}", t.form, t.to, t.from),
        );
    }
    let failed = failed.len() + report.gaps.len();
    output::print(totals(&report, &compiled, failed).as_bytes())?;
    Ok(if failed == 0 {
        Exit::Done
    } else {
        Exit::Failed
    })
}

/// How much there is, and what the layers over the lowest did.
fn totals(report: &Report, compiled: &Compiled, failed: usize) -> String {
    let mut line = format!(
        "{} entries, {} examples, {failed} of them failed\n",
        report.entries, report.phrases
    );
    if compiled.layers.top() > 0 {
        let all = || compiled.layers.lists.values().flatten();
        let added = all().filter(|e| e.defined.layer > 0).count();
        let changed = all()
            .filter(|e| e.defined.layer == 0 && !e.changed.is_empty())
            .count();
        line.push_str(&format!(
            "laid over the lowest: {added} added, {changed} changed, {} removed, {} taken over\n",
            compiled.layers.removed.len(),
            match compiled.taken.len() {
                1 => "1 form".to_string(),
                n => format!("{n} forms"),
            }
        ));
    }
    line
}

/// Prints the lexicon in effect.
pub(super) fn dump(args: &LexiconArgs) -> anyhow::Result<Exit> {
    let Some(compiled) = Files::of(args, &[PathBuf::from("-")])?.compiled() else {
        return Ok(Exit::Trouble);
    };
    output::print(dump::dump(&compiled).as_bytes())?;
    Ok(Exit::Done)
}

/// Shows what an id or a word stands for.
pub(super) fn show(asked: &str, args: &LexiconArgs) -> anyhow::Result<Exit> {
    let Some(compiled) = Files::of(args, &[PathBuf::from("-")])?.compiled() else {
        return Ok(Exit::Trouble);
    };
    match show::show(&compiled, asked) {
        Ok(text) => {
            output::print(text.as_bytes())?;
            Ok(Exit::Done)
        }
        Err(what) => {
            say("error", &what);
            Ok(Exit::Trouble)
        }
    }
}

/// What to look for in walks, and how much of it to show.
pub(super) struct Words {
    pub(super) walks: Vec<PathBuf>,
    pub(super) most: usize,
    pub(super) lossy: bool,
    pub(super) lexicon: LexiconArgs,
}

/// Prints the words near faults and works that the lexicon does not know.
pub(super) fn words(options: &Words) -> anyhow::Result<Exit> {
    let input = input::read(&options.walks, None, options.lossy)?;
    for error in &input.errors {
        say("error", &format!("{error:#}"));
    }
    let files = Files::of(&options.lexicon, &options.walks)?;
    if input.walks.is_empty() {
        return Ok(Exit::Trouble);
    }
    let Some(lexicon) = layers::lexicon(&files) else {
        return Ok(Exit::Trouble);
    };
    let all = unknown::unknown(&input.walks, &lexicon);
    let mut out = String::from("times  walks  words  first said\n");
    let shown = &all[..all.len().min(options.most)];
    let widest = shown
        .iter()
        .map(|u| u.words.chars().count())
        .max()
        .unwrap_or(0);
    for u in shown {
        // What was said may hold anything; a line is a line.
        let said: String = u
            .said
            .chars()
            .map(|c| if c.is_control() { ' ' } else { c })
            .collect();
        out.push_str(&format!(
            "{:>5}  {:>5}  {:<widest$}  {} {} {said:?}\n",
            u.times,
            u.walks,
            u.words,
            u.file,
            clock(u.second),
        ));
    }
    output::print(out.as_bytes())?;
    if all.len() > shown.len() {
        say(
            "note",
            &format!("{} more; --most shows them", all.len() - shown.len()),
        );
    }
    Ok(if input.errors.is_empty() {
        Exit::Done
    } else {
        Exit::Trouble
    })
}

//! `storystick lexicon check`, `dump` and `show`.

use std::path::PathBuf;

use super::args::LexiconArgs;
use super::layers::Files;
use super::{Exit, output, say};
use crate::lexicon::check::Report;
use crate::lexicon::{Compiled, check, dump, show};

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
            "laid over the lowest: {added} added, {changed} changed, {} removed, {} forms taken over\n",
            compiled.layers.removed.len(),
            compiled.taken.len()
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

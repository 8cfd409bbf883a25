//! `storystick lexicon check [PATH...]`.

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, bail};

use super::{Exit, output, say};
use crate::lexicon::check;
use crate::lexicon::compile::Text;

pub(super) fn check(paths: &[PathBuf]) -> anyhow::Result<Exit> {
    let report = if paths.is_empty() {
        check::builtin()
    } else {
        let files = read(paths)?;
        let texts: Vec<Text<'_>> = files
            .iter()
            .map(|(file, text)| Text {
                file,
                text,
                layer: 0,
            })
            .collect();
        match check::texts(&texts) {
            Ok(report) => report,
            Err(faults) => {
                for fault in &faults {
                    say("error", &fault.to_string());
                }
                return Ok(Exit::Failed);
            }
        }
    };
    for gap in &report.gaps {
        say("error", &gap.to_string());
    }
    for failure in &report.failures {
        say("error", &failure.to_string());
    }
    let failed = report.failures.len();
    let line = format!(
        "{} entries, {} examples, {failed} of them failed\n",
        report.entries, report.phrases
    );
    output::print(line.as_bytes())?;
    Ok(if failed == 0 {
        Exit::Done
    } else {
        Exit::Failed
    })
}

/// The YAML files named, those of a folder in the order of their names.
fn read(paths: &[PathBuf]) -> anyhow::Result<Vec<(String, String)>> {
    let mut files = Vec::new();
    for path in paths {
        if path.is_dir() {
            let entries = fs::read_dir(path)
                .with_context(|| format!("{}: the folder cannot be read", path.display()))?;
            let mut inside: Vec<PathBuf> = entries
                .filter_map(|e| e.ok().map(|e| e.path()))
                .filter(|p| is_yaml(p))
                .collect();
            inside.sort();
            if inside.is_empty() {
                bail!("{}: no lexicon file (.yaml) in this folder", path.display());
            }
            for p in inside {
                files.push(one(&p)?);
            }
        } else {
            files.push(one(path)?);
        }
    }
    Ok(files)
}

fn is_yaml(path: &Path) -> bool {
    path.extension().is_some_and(|x| x == "yaml" || x == "yml")
}

fn one(path: &Path) -> anyhow::Result<(String, String)> {
    let text = fs::read_to_string(path)
        .with_context(|| format!("{}: the file cannot be read as text", path.display()))?;
    Ok((path.display().to_string(), text))
}

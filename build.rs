//! Reads and checks the lexicon's YAML and builds it into the program in a compact form.
//!
//! The texts go in as well, for what is laid over them when the program runs.
//!
//! The modules that do so are the library's own, included by path: there is one parser for built-in and user lexicons.

#![allow(dead_code, missing_docs)]

#[path = "src/list"]
mod list {
    pub mod trade;
    pub mod types;
    pub use trade::Trade;
    pub use types::*;
}

#[path = "src/lexicon"]
mod lexicon {
    pub mod compile;
    pub mod data;
    pub mod entries;
    pub mod forms;
    pub mod heard;
    pub mod layers;
    pub mod listing;
    pub mod merge;
    pub mod refs;
    pub mod sounds;
    pub mod source;
    pub mod table;
    pub mod typed;
    pub mod words;
    pub mod yaml;
}

use std::{env, fs, path::PathBuf, process::ExitCode};

fn main() -> ExitCode {
    println!("cargo::rerun-if-changed=lexicon");
    println!("cargo::rerun-if-changed=src/lexicon");
    println!("cargo::rerun-if-changed=src/list/trade.rs");
    println!("cargo::rerun-if-changed=src/list/types.rs");
    match build() {
        Ok(()) => ExitCode::SUCCESS,
        Err(faults) => {
            for f in faults {
                println!("cargo::error={f}");
            }
            ExitCode::FAILURE
        }
    }
}

fn build() -> Result<(), Vec<String>> {
    let one = |e: std::io::Error| vec![e.to_string()];
    let root = PathBuf::from(
        env::var_os("CARGO_MANIFEST_DIR")
            .ok_or_else(|| vec!["no CARGO_MANIFEST_DIR".to_string()])?,
    );
    let mut paths: Vec<PathBuf> = fs::read_dir(root.join("lexicon"))
        .map_err(one)?
        .filter_map(|e| e.ok().map(|e| e.path()))
        .filter(|p| p.extension().is_some_and(|x| x == "yaml"))
        // The order of work and the labels are read where they are used; they hold no words of speech.
        .filter(|p| !p.ends_with("plan.yaml") && !p.ends_with("labels-es.yaml"))
        .collect();
    paths.sort();
    let mut files = Vec::new();
    for p in &paths {
        let name = p.strip_prefix(&root).unwrap_or(p).display().to_string();
        files.push((name, fs::read_to_string(p).map_err(one)?));
    }
    let texts: Vec<_> = files
        .iter()
        .map(|(file, text)| lexicon::compile::Text {
            file,
            text,
            layer: 0,
        })
        .collect();
    let all = |e: Vec<lexicon::compile::LexiconError>| e.iter().map(ToString::to_string).collect();
    let compiled = lexicon::compile::compile(&texts).map_err(all)?;
    if !compiled.gaps.is_empty() {
        return Err(all(compiled.gaps));
    }
    let out = PathBuf::from(env::var_os("OUT_DIR").ok_or_else(|| vec!["no OUT_DIR".to_string()])?);
    let data = &compiled.data;
    let pack = |e: postcard::Error| vec![e.to_string()];
    let (texts, numbers) = data.forms.parts();
    let targets = lexicon::heard::targets(data);
    for (name, bytes) in [
        ("lexicon.bin", postcard::to_allocvec(data).map_err(pack)?),
        ("forms.txt", texts.as_bytes().to_vec()),
        ("forms.bin", numbers.to_vec()),
        ("heard.bin", postcard::to_allocvec(&targets).map_err(pack)?),
        ("sources.bin", postcard::to_allocvec(&files).map_err(pack)?),
    ] {
        fs::write(out.join(name), bytes).map_err(one)?;
    }
    Ok(())
}

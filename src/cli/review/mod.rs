//! `storystick review LIST`.

mod browser;
mod terminal;

use std::io::{self, IsTerminal, Write};
use std::path::{Path, PathBuf};

use anyhow::{Context, bail};
use serde_json::Value;

use super::args::ReviewArgs;
use super::change::role;
use super::layers::{self, Files};
use super::now::written;
use super::{Exit, say};
use crate::review::{Desk, FileDesk, Media, Server, choices};

/// Opens the list and hands it to the page or to the terminal.
pub(super) fn run(args: &ReviewArgs) -> anyhow::Result<Exit> {
    let Some(lexicon) =
        layers::lexicon(&Files::of(&args.lexicon, std::slice::from_ref(&args.list))?)
    else {
        return Ok(Exit::Trouble);
    };
    let words = choices(&lexicon);
    let mut desk = desk(args)?;
    let view = desk.view()?;
    if args.terminal {
        let out = io::stdout();
        if io::stdin().is_terminal() && out.is_terminal() {
            terminal::run(desk.as_mut(), &words, &mut terminal::Keys::new())?;
        } else {
            let lines = terminal::Lines::new(io::stdin().lock(), out.lock());
            terminal::run(desk.as_mut(), &words, &mut { lines })?;
        }
        return Ok(Exit::Done);
    }
    let media = media(&args.media, &view)?;
    let server = Server::bind(desk, words, media)?;
    let stop = server.stopper();
    ctrlc::set_handler(move || stop.stop()).context("cannot listen for Ctrl-C")?;
    let address = server.address();
    let mut out = io::stdout().lock();
    writeln!(out, "{address}")?;
    out.flush()?;
    drop(out);
    if !args.no_open && !browser::open(&address) {
        say(
            "note",
            "no browser could be opened; open the address above in one on this machine",
        );
    }
    say(
        "note",
        "each change is saved at once; Ctrl-C ends the review. Whoever has the address can change the list.",
    );
    server.run();
    Ok(Exit::Done)
}

fn desk(args: &ReviewArgs) -> anyhow::Result<Box<dyn Desk>> {
    let given = args.now.clone();
    // What is wrong with the time shows at the start, not at the first decision.
    let start = written(given.as_deref())?;
    let clock = move || written(given.as_deref()).unwrap_or_else(|_| start.clone());
    let desk = FileDesk::open(&args.list, &role(&args.by)?, Box::new(clock))?;
    Ok(Box::new(desk))
}

/// The recordings: `FILE` for the next walk that has none, `w2=FILE` for that one.
fn media(named: &[String], view: &Value) -> anyhow::Result<Vec<Media>> {
    let walks: Vec<&str> = view["walks"]
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(|w| w["id"].as_str())
        .collect();
    let mut all: Vec<Media> = Vec::new();
    for name in named {
        let told = name
            .split_once('=')
            .filter(|(walk, _)| walks.contains(walk));
        let (walk, path) = match told {
            Some((walk, path)) => (walk, path),
            None => {
                let free = walks.iter().find(|w| all.iter().all(|m| m.walk != **w));
                let walk = free.with_context(|| {
                    format!("--media {name}: each of the list's {} walks has its recording already; leave it out", walks.len())
                })?;
                (*walk, name.as_str())
            }
        };
        if all.iter().any(|m| m.walk == walk) {
            bail!("--media {name}: walk {walk} has its recording already; name each walk once");
        }
        let path = PathBuf::from(path);
        if !Path::new(&path).is_file() {
            bail!(
                "--media {}: no such file; check its name and folder",
                path.display()
            );
        }
        all.push(Media {
            walk: walk.to_string(),
            path,
        });
    }
    Ok(all)
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn recordings_go_to_their_walks() {
        let folder = tempfile::tempdir().unwrap();
        let path = |name: &str| {
            let path = folder.path().join(name);
            std::fs::write(&path, b"").unwrap();
            path.to_str().unwrap().to_string()
        };
        let (one, two) = (path("one.wav"), path("two=b.wav"));
        let view = json!({"walks": [{"id": "w1"}, {"id": "w2"}]});
        let walks = |named: &[String]| -> Vec<String> {
            media(named, &view)
                .unwrap()
                .into_iter()
                .map(|m| m.walk)
                .collect()
        };
        assert_eq!(walks(&[one.clone(), two.clone()]), ["w1", "w2"]);
        assert_eq!(walks(&[format!("w2={one}"), two.clone()]), ["w2", "w1"]);
        assert!(media(&[one.clone(), two.clone(), one.clone()], &view).is_err());
        assert!(media(&[format!("w1={one}"), format!("w1={two}")], &view).is_err());
        let error = media(&["no.wav".to_string()], &view).unwrap_err();
        assert!(error.to_string().contains("no such file"), "{error}");
    }
}

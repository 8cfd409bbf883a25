//! Which lexicon files lie over one another: the built-in ones, those found by themselves, those named.

use std::env;
use std::fs;
use std::io::Read;
use std::path::{Path, PathBuf};

use anyhow::{Context, anyhow, bail};

use super::args::LexiconArgs;
use super::say;
use crate::building::Building;
use crate::lexicon::compile::compile;
use crate::lexicon::yaml::LARGEST;
use crate::lexicon::{Compiled, Lexicon, Text};

/// The file that is looked for beside a walk and in the folders above it.
pub(super) const BESIDE: &str = "storystick.yaml";

/// One file of a lexicon.
struct File {
    name: String,
    text: String,
    layer: usize,
}

/// The files, in the order in which they are laid.
#[derive(Default)]
pub(super) struct Files {
    files: Vec<File>,
    /// How many layers there are.
    layers: usize,
    /// Those that nobody named.
    found: Vec<String>,
}

impl Files {
    /// Looks for all files that are used for these walks.
    pub(super) fn of(args: &LexiconArgs, walks: &[PathBuf]) -> anyhow::Result<Files> {
        let mut all = Files {
            layers: 1,
            ..Files::default()
        };
        if args.no_default_lexicon {
            if args.files.is_empty() {
                bail!("--no-default-lexicon leaves no lexicon at all; name one with --lexicon");
            }
            all.layers = 0;
        } else {
            if let Some(folder) = configuration() {
                let inside = yaml_in(&folder).unwrap_or_default();
                all.found
                    .extend(inside.iter().map(|p| p.display().to_string()));
                all.layer(inside)?;
            }
            // One that is named as well lies where it was named, once.
            let named = |path: &Path| {
                let same = |f: &PathBuf| f.canonicalize().is_ok_and(|f| f == path);
                args.files.iter().any(same)
            };
            for path in beside(walks).into_iter().filter(|p| !named(p)) {
                all.found.push(path.display().to_string());
                all.layer(vec![path])?;
            }
        }
        for path in &args.files {
            let files = if path.is_dir() {
                let inside = yaml_in(path)
                    .with_context(|| format!("{}: the folder cannot be read", path.display()))?;
                if inside.is_empty() {
                    bail!("{}: no lexicon file (.yaml) in this folder", path.display());
                }
                inside
            } else {
                vec![path.clone()]
            };
            all.layer(files)?;
        }
        Ok(all)
    }

    /// Reads the files of one layer.
    fn layer(&mut self, paths: Vec<PathBuf>) -> anyhow::Result<()> {
        for path in &paths {
            self.files.push(File {
                name: path.display().to_string(),
                text: text_of(path)?,
                layer: self.layers,
            });
        }
        self.layers += usize::from(!paths.is_empty());
        Ok(())
    }

    /// Whether nothing lies over the built-in lexicon.
    fn only_builtin(&self) -> bool {
        self.files.is_empty()
    }

    /// Says which files were found, where nobody named them: a list should not change and nobody know why.
    fn tell(&self) {
        if !self.found.is_empty() {
            say(
                "note",
                &format!(
                    "lexicon: the built-in one, over it {}",
                    self.found.join(", ")
                ),
            );
        }
    }

    /// All files as one lexicon; what is wrong with them is said, and gives none.
    pub(super) fn compiled(&self) -> Option<Compiled> {
        let builtin = if self.files.first().is_some_and(|f| f.layer == 0) {
            Vec::new()
        } else {
            Lexicon::builtin_files()
        };
        let below = builtin.iter().map(|(file, text)| Text {
            file,
            text,
            layer: 0,
        });
        let above = self.files.iter().map(|f| Text {
            file: &f.name,
            text: &f.text,
            layer: f.layer,
        });
        let texts: Vec<Text<'_>> = below.chain(above).collect();
        self.tell();
        match compile(&texts) {
            Ok(compiled) => Some(compiled),
            Err(faults) => {
                for fault in &faults {
                    say("error", &fault.to_string());
                }
                None
            }
        }
    }
}

/// The lexicon for these walks. What is wrong with its files is said, and gives none.
pub(super) fn lexicon(files: &Files) -> Option<Lexicon> {
    if files.only_builtin() {
        // Unpacked, not parsed: this is the quick way.
        return Some(Lexicon::builtin());
    }
    files.compiled().map(Lexicon::of)
}

/// The lexicon for these walks and the building that a house file tells of. The names of its areas become words of the
/// lexicon. What is wrong with the files is said, and gives none.
pub(super) fn known(
    args: &LexiconArgs,
    walks: &[PathBuf],
    house: Option<&Path>,
) -> anyhow::Result<Option<(Lexicon, Option<Building>)>> {
    let mut files = Files::of(args, walks)?;
    let Some(lexicon) = lexicon(&files) else {
        return Ok(None);
    };
    let Some(house) = house else {
        return Ok(Some((lexicon, None)));
    };
    let (name, text) = (house.display().to_string(), text_of(house)?);
    let read = |lexicon: &Lexicon| match Building::read(&name, &text, lexicon) {
        Ok(building) => Some(building),
        Err(faults) => {
            for fault in &faults {
                say("error", &fault.to_string());
            }
            None
        }
    };
    let Some(building) = read(&lexicon) else {
        return Ok(None);
    };
    let Some(overlay) = building.overlay(&lexicon) else {
        return Ok(Some((lexicon, Some(building))));
    };
    files.found.clear();
    files.files.push(File {
        name: name.clone(),
        text: overlay,
        layer: files.layers,
    });
    // The parts are looked up again: a lexicon may be laid anew.
    Ok(self::lexicon(&files).and_then(|lexicon| {
        let building = read(&lexicon)?;
        Some((lexicon, Some(building)))
    }))
}

/// The folder `storystick` of the user's configuration, where there is one.
fn configuration() -> Option<PathBuf> {
    let named = |name: &str| {
        env::var_os(name)
            .filter(|v| !v.is_empty())
            .map(PathBuf::from)
    };
    let base = named("XDG_CONFIG_HOME")
        .filter(|p| p.is_absolute())
        .or_else(|| named("APPDATA").filter(|_| cfg!(windows)))
        .or_else(|| named("HOME").map(|h| h.join(".config")))?;
    Some(base.join("storystick")).filter(|p| p.is_dir())
}

/// Each `storystick.yaml` beside a walk or in a folder above it, the outermost first.
fn beside(walks: &[PathBuf]) -> Vec<PathBuf> {
    let mut out: Vec<PathBuf> = Vec::new();
    for walk in walks {
        let folder = if walk.is_dir() {
            walk.clone()
        } else {
            // Of standard input the folder one stands in.
            walk.parent().map(Path::to_path_buf).unwrap_or_default()
        };
        let folder = if folder.as_os_str().is_empty() {
            PathBuf::from(".")
        } else {
            folder
        };
        let Ok(folder) = folder.canonicalize() else {
            continue;
        };
        let mut here: Vec<PathBuf> = folder
            .ancestors()
            .map(|f| f.join(BESIDE))
            .filter(|p| p.is_file())
            .collect();
        here.reverse();
        for path in here {
            if !out.contains(&path) {
                out.push(path);
            }
        }
    }
    out
}

/// The YAML files in a folder, in the order of their names.
fn yaml_in(folder: &Path) -> std::io::Result<Vec<PathBuf>> {
    let mut inside = Vec::new();
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.extension().is_some_and(|x| x == "yaml" || x == "yml") && path.is_file() {
            inside.push(path);
        }
    }
    inside.sort();
    Ok(inside)
}

/// The text of a lexicon file or a house file; one that is far too large is not even read.
pub(super) fn text_of(path: &Path) -> anyhow::Result<String> {
    let shown = path.display();
    let file = fs::File::open(path).map_err(|error| match error.kind() {
        std::io::ErrorKind::NotFound => anyhow!("{shown}: no such file; check its name and folder"),
        _ => anyhow!("{shown}: cannot be read: {error}"),
    })?;
    let mut bytes = Vec::new();
    file.take(LARGEST as u64 + 1)
        .read_to_end(&mut bytes)
        .with_context(|| format!("{shown}: cannot be read"))?;
    if bytes.len() > LARGEST {
        bail!(
            "{shown}: more than {LARGEST} bytes; split it, or look whether it is a lexicon at all"
        );
    }
    String::from_utf8(bytes).map_err(|e| {
        let at = e.utf8_error().valid_up_to();
        anyhow!("{shown}: byte {at} is no UTF-8; save the file as UTF-8")
    })
}

//! A list that was saved before, read back.

use std::io::Read;
use std::path::Path;

use anyhow::{Context, bail};

use crate::list::{List, SCHEMA};

/// Reads a list from a file or, for `-`, from standard input.
pub(super) fn list(path: &Path) -> anyhow::Result<List> {
    let name = path.display();
    let mut bytes = Vec::new();
    if path.as_os_str() == "-" {
        std::io::stdin()
            .lock()
            .read_to_end(&mut bytes)
            .context("cannot read standard input")?;
    } else {
        bytes = std::fs::read(path).with_context(|| {
            format!("cannot read {name}; give a list as `list -o NAME.json` saves it")
        })?;
    }
    let list: List = serde_json::from_slice(&bytes).with_context(|| {
        format!(
            "{name} is no list; make one of a transcript with `storystick list WALK -o NAME.json`"
        )
    })?;
    if list.schema != SCHEMA {
        bail!(
            "{name} says it is {:?}, and this version reads {SCHEMA:?}; make the list anew",
            list.schema
        );
    }
    Ok(list)
}

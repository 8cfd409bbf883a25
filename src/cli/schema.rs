//! `storystick schema`: the JSON Schema of the list.

use super::{Exit, output};

pub(super) fn run() -> anyhow::Result<Exit> {
    let mut text = serde_json::to_string_pretty(&crate::list::schema())?;
    text.push('\n');
    output::print(text.as_bytes())?;
    Ok(Exit::Done)
}

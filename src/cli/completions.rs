//! `storystick completions SHELL`.

use clap::CommandFactory;

use super::{Exit, args::Args, output};

pub(super) fn run(shell: clap_complete::Shell) -> anyhow::Result<Exit> {
    // Into memory first: the generator panics where its writer fails.
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Args::command(), "storystick", &mut script);
    output::print(&script)?;
    Ok(Exit::Done)
}

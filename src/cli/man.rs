//! `storystick man [COMMAND]`: a manual page in roff.

use anyhow::bail;
use clap::CommandFactory;

use super::{Exit, args::Args, output};

pub(super) fn run(command: Option<&str>) -> anyhow::Result<Exit> {
    let mut program = Args::command();
    program.build();
    let page = match command {
        None => program,
        Some(name) => match program.find_subcommand(name) {
            // `build` has given it its full name already, "storystick-list", which titles the page.
            Some(found) => found.clone(),
            None => {
                let known: Vec<&str> = program.get_subcommands().map(|c| c.get_name()).collect();
                bail!(
                    "no command is called '{name}'; the commands are {}",
                    known.join(", ")
                );
            }
        },
    };
    let mut roff = Vec::new();
    clap_mangen::Man::new(page).render(&mut roff)?;
    output::print(&roff)?;
    Ok(Exit::Done)
}

//! `nudgeproof completions SHELL`: a script with which a shell completes commands and options.

use crate::output::{Problem, print};
use clap::Command;
use clap_complete::{Shell, generate};

/// Arguments of `completions`.
#[derive(clap::Args)]
pub(crate) struct CompletionsArgs {
    /// Which shell
    shell: Shell,
}

impl CompletionsArgs {
    /// Prints the script for the whole command.
    pub(crate) fn run(&self, command: &mut Command) -> Result<(), Problem> {
        let name = command.get_name().to_owned();
        let mut script = Vec::new();
        generate(self.shell, command, name, &mut script);
        print(&String::from_utf8_lossy(&script))
    }
}

//! `nudgeproof-pack`: packs the finished page, see the library beside this file.

use clap::Parser;
use nudgeproof_pack::{
    Course, Problem, licences, pack, read_folder, read_text, traces_of_this_machine, write_folder,
};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// Packs the finished page for web servers, course systems and sticks.
#[derive(Parser)]
#[command(version)]
struct Arguments {
    /// The folder with the finished page, as `make build` leaves it
    #[arg(long, default_value = "dist")]
    page: PathBuf,
    /// The folder to write
    #[arg(long, default_value = "packed")]
    out: PathBuf,
    /// The set-up of a class, as TOML or JSON, for the packages for course systems: what a launch begins with
    #[arg(long)]
    launch: Option<PathBuf>,
}

fn main() -> ExitCode {
    match run(&Arguments::parse()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(problem) => {
            eprintln!("nudgeproof-pack: {problem}");
            ExitCode::from(2)
        }
    }
}

fn run(arguments: &Arguments) -> Result<(), Problem> {
    let project = Path::new(".");
    let page = read_folder(&arguments.page)?;
    let launch = arguments.launch.as_deref().map(read_text).transpose()?;
    let licences = licences(&project.join("Cargo.toml"))?;
    let packed = pack(&page, &Course { launch }, &licences, &traces_of_this_machine(project))?;
    write_folder(&arguments.out, &packed)?;
    for (name, bytes) in packed.iter().filter(|(name, _)| !name.contains('/')) {
        println!("{}: {} KiB", arguments.out.join(name).display(), bytes.len().div_ceil(1024));
    }
    println!(
        "{}, {}",
        arguments.out.join("site").display(),
        arguments.out.join("servers").display()
    );
    Ok(())
}

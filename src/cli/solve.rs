use crate::output::Problem;
use clap::Args;
use nudgeproof::io::visible;
use nudgeproof::locate::{CaseAnswer, CaseFileError, read_cases};
use nudgeproof::text::{plain, signed};
use serde::Serialize;
use std::fs::File;
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

/// Size of the buffer for answers, bytes: a broken file with fewer answers prints only its error.
const HELD_BACK: usize = 1 << 20;

#[derive(Args)]
pub(crate) struct SolveArgs {
    /// Case file (JSON); `-` reads standard input
    cases: PathBuf,
    /// Put the name of the case before each answer in the JSON
    #[arg(long, requires = "json")]
    names: bool,
    /// Print JSON, in the layout of the case's `expect`
    #[arg(long)]
    json: bool,
}

/// An answer with the name of its case.
#[derive(Serialize)]
struct NamedAnswer<'a> {
    name: &'a str,
    #[serde(flatten)]
    answer: CaseAnswer,
}

impl SolveArgs {
    /// Prints one answer for each case, in the same order: a line, or an entry of an array. Reads and writes
    /// as it goes.
    pub(crate) fn run(&self) -> Result<(), Problem> {
        let name = self.cases.display();
        let input = open(&self.cases).map_err(|e| format!("{name}: cannot be read: {e}"))?;
        let mut out = HeldBack { held: Vec::new(), out: io::stdout().lock() };
        let result =
            if self.json { answer(self.names, input, &mut out) } else { say(input, &mut out) };
        match result {
            Ok(()) => Ok(()),
            Err(CaseFileError::Io(e)) if e.kind() == io::ErrorKind::BrokenPipe => Ok(()),
            Err(e) => Err(format!("{name}: {e}")),
        }
    }
}

fn answer(
    names: bool,
    input: impl Read,
    out: &mut HeldBack<impl Write>,
) -> Result<(), CaseFileError> {
    let mut before = "[\n";
    let read = read_cases(input, &mut |case, sigma_mm| {
        out.write_all(before.as_bytes())?;
        before = ",\n";
        let answer = case.solve(sigma_mm);
        if names {
            serde_json::to_writer(&mut *out, &NamedAnswer { name: &case.name, answer })?;
        } else {
            serde_json::to_writer(&mut *out, &answer)?;
        }
        Ok(())
    })?;
    out.write_all(if read == 0 { b"[]\n" } else { b"\n]\n" })?;
    Ok(out.flush()?)
}

/// A line for each case.
fn say(input: impl Read, out: &mut HeldBack<impl Write>) -> Result<(), CaseFileError> {
    let mut number = 0;
    let read = read_cases(input, &mut |case, sigma_mm| {
        number += 1;
        let name = if case.name.is_empty() { format!("case {number}") } else { case.name.clone() };
        let answer = words_of(&case.solve(sigma_mm));
        writeln!(out, "{}: {}", visible(&name), visible(&answer))
    })?;
    if read == 0 {
        writeln!(out, "no cases")?;
    }
    Ok(out.flush()?)
}

fn words_of(answer: &CaseAnswer) -> String {
    match answer {
        CaseAnswer::Refused(refused) => refused.error.to_string(),
        CaseAnswer::Solved(solved) => {
            let listed = |values: &[f64; 3]| values.map(|value| signed(value, 3)).join(", ");
            let (shift, turn) = (listed(&solved.shift), listed(&solved.rotation_vector_deg));
            let doubt = if solved.consistent { "" } else { "; the touches disagree" };
            let rms = plain(solved.rms_mm, 3);
            format!("shift {shift} mm; rotation vector {turn}°; residual {rms} mm{doubt}")
        }
    }
}

fn open(path: &Path) -> io::Result<Box<dyn Read>> {
    Ok(if path == Path::new("-") {
        Box::new(io::stdin().lock())
    } else {
        Box::new(File::open(path)?)
    })
}

/// Buffers output until it holds [`HELD_BACK`] bytes or is flushed.
struct HeldBack<W: Write> {
    held: Vec<u8>,
    out: W,
}

impl<W: Write> Write for HeldBack<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.held.extend_from_slice(bytes);
        if self.held.len() >= HELD_BACK {
            self.flush()?;
        }
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        self.out.write_all(&self.held)?;
        self.held.clear();
        self.out.flush()
    }
}

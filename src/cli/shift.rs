//! `nudgeproof shift SESSION.json`: the answer sheet of a shift.

use crate::files::read_session;
use crate::output::{Problem, print_json};
use nudgeproof::session::Decision;
use nudgeproof::shift::Shift;
use serde_json::json;
use std::path::PathBuf;

/// Arguments of `shift`.
#[derive(clap::Args)]
pub(crate) struct ShiftArgs {
    /// Session file with a reference run, as the page exports it
    session: PathBuf,
    /// How many parts
    #[arg(long, default_value_t = 40, value_parser = clap::value_parser!(u32).range(1..=200))]
    parts: u32,
    /// Seed of the parts and of what goes wrong
    #[arg(long, default_value_t = 1)]
    seed: u64,
}

impl ShiftArgs {
    pub(crate) fn run(&self) -> Result<(), Problem> {
        let session = read_session(&self.session)?;
        let mut shift = Shift::new(session.state(), self.seed, self.parts as usize)
            .map_err(|e| format!("{}: {e}", self.session.display()))?;
        let troubles = shift.troubles().to_vec();
        let best = shift.best_decisions();
        let mut decisions = best.iter().peekable();
        let mut parts = Vec::new();
        while let Some(felt) = shift.now().cloned() {
            let mut made: Vec<Decision> = Vec::new();
            let done = shift.done().len();
            while shift.done().len() == done
                && let Some(decision) = decisions.next()
            {
                shift.decide(*decision).map_err(|e| e.to_string())?;
                made.push(*decision);
            }
            parts.push(json!({
                "part": felt.part,
                "shift_mm": felt.shift.map(|s| [s.x, s.y, s.z]),
                "turn_deg": felt.offset.map(|o| o.rotation_vector().z.to_degrees()),
                "agreement_mm": felt.agreement.map(|a| a.mm),
                "in_doubt": felt.agreement.is_some_and(|a| a.in_doubt()),
                "best": made,
                "seam_miss_mm": shift.done().last().and_then(|d| d.weld).map(|(mm, _)| mm),
            }));
        }
        print_json(&json!({
            "part": session.header().part.name,
            "seed": self.seed,
            "troubles": troubles,
            "best": shift.tally(),
            "parts": parts,
        }))
    }
}

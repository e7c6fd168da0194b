//! `nudgeproof shift SESSION.json`: the answer sheet of a shift.

use crate::files::read_session;
use crate::output::{Problem, print_json, say};
use nudgeproof::session::{Decision, LookAt};
use nudgeproof::shift::{Shift, ShiftTally, Trouble, TroubleKind};
use nudgeproof::text::signed;
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
    /// Print JSON
    #[arg(long)]
    json: bool,
}

impl ShiftArgs {
    pub(crate) fn run(&self) -> Result<(), Problem> {
        let session = read_session(&self.session)?;
        let mut shift = Shift::new(session.state(), self.seed, self.parts as usize)
            .map_err(|e| format!("{}: {e}", self.session.display()))?;
        let troubles = shift.troubles().to_vec();
        let best = shift.best_decisions();
        let mut decisions = best.iter().peekable();
        let (mut parts, mut says) = (Vec::new(), String::new());
        while let Some(felt) = shift.now().cloned() {
            let mut made: Vec<Decision> = Vec::new();
            let done = shift.done().len();
            while shift.done().len() == done
                && let Some(decision) = decisions.next()
            {
                shift.decide(*decision).map_err(|e| e.to_string())?;
                made.push(*decision);
            }
            let weld = shift.done().last().and_then(|d| d.weld);
            if made != [Decision::GoOn] || weld.is_some_and(|(_, landed)| !landed) {
                says += &part_words(felt.part, &made, weld);
            }
            parts.push(json!({
                "part": felt.part,
                "shift_mm": felt.shift.map(|s| [s.x, s.y, s.z]),
                "turn_deg": felt.offset.map(|o| o.rotation_vector().z.to_degrees()),
                "agreement_mm": felt.agreement.map(|a| a.mm),
                "in_doubt": felt.agreement.is_some_and(|a| a.in_doubt()),
                "best": made,
                "seam_miss_mm": weld.map(|(mm, _)| mm),
            }));
        }
        if !self.json {
            let title = &session.header().part.title;
            let troubles: String = troubles.iter().map(trouble_words).collect();
            let best = tally_words(&shift.tally());
            return say(&format!("{title}, seed {}\n{troubles}{says}{best}", self.seed));
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

/// What goes wrong, and with which parts.
fn trouble_words(trouble: &Trouble) -> String {
    let what = match trouble.kind {
        TroubleKind::WireBent => "the wire is bent",
        TroubleKind::TipWorn => "the contact tip wears",
        TroubleKind::ClampWorn => "a clamp is worn",
        TroubleKind::OutOfSquare => "a batch is out of square",
        TroubleKind::WorkLeadOff => "the work lead is off",
    };
    format!("from part {}: {what}\n", trouble.from)
}

/// The best decisions about a part, and how its weld came out.
fn part_words(part: usize, made: &[Decision], weld: Option<(f64, bool)>) -> String {
    let made = made.iter().map(|decision| match decision {
        Decision::GoOn => "go on".into(),
        Decision::Stop => "stop".into(),
        Decision::Look(at) => format!("look at the {}", look_words(*at)),
    });
    let made = made.collect::<Vec<_>>().join(", ");
    let weld = match weld {
        None => String::new(),
        Some((mm, landed)) => {
            format!(" ({} {} mm)", if landed { "lands" } else { "misses" }, signed(mm, 2))
        }
    };
    format!("part {part}: {made}{weld}\n")
}

fn look_words(at: LookAt) -> &'static str {
    match at {
        LookAt::WireTip => "wire tip",
        LookAt::Clamps => "clamps",
        LookAt::Part => "part",
        LookAt::WorkLead => "work lead",
    }
}

fn tally_words(best: &ShiftTally) -> String {
    let ShiftTally { good, scrap, set_aside, needless_looks, needless_stops, minutes, .. } = best;
    format!(
        "at best: {good} good, {scrap} scrap, {set_aside} set aside, {minutes} minutes, \
         {needless_looks} needless looks, {needless_stops} needless stops\n"
    )
}

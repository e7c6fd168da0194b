//! `nudgeproof layout PART.toml`: the layouts of touches with the least spread at the worst weld end.

use crate::output::{Problem, print_json};
use nudgeproof::cell::Part;
use nudgeproof::lesson::{LayoutChoice, best_layouts};
use serde_json::json;
use std::path::PathBuf;

/// Arguments of `layout`.
#[derive(clap::Args)]
pub(crate) struct LayoutArgs {
    /// Part file, as Rehearse saves it
    part: PathBuf,
    /// A face that must not be touched; may be given again
    #[arg(long, value_name = "FACE")]
    keep_out: Vec<String>,
}

impl LayoutArgs {
    /// Prints the part's own layout and the best ones: their touches, forecast and time.
    pub(crate) fn run(&self) -> Result<(), Problem> {
        let name = self.part.display();
        let text = std::fs::read_to_string(&self.part)
            .map_err(|e| format!("{name}: cannot be read: {e}"))?;
        let part = Part::from_toml(&text).map_err(|e| format!("{name}: {e}"))?;
        let own = LayoutChoice::of(&part);
        let best = best_layouts(&part, &self.keep_out);
        print_json(&json!({
            "part": part.name,
            "own": own.as_ref().map(said),
            "best": best.iter().map(said).collect::<Vec<_>>(),
        }))
    }
}

fn said(choice: &LayoutChoice) -> serde_json::Value {
    json!({
        "touches": choice.touches,
        "across_mm": choice.across_mm,
        "share_of_tolerance": choice.share,
        "searching_s": choice.searching_s,
        "model_touches": choice.part.model_touches,
    })
}

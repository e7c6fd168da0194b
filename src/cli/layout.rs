//! `nudgeproof layout PART.toml`: the layouts of touches with the least spread at the worst weld end.

use crate::files::read_text;
use crate::output::{Problem, print_json, say};
use nudgeproof::cell::Part;
use nudgeproof::lesson::{LayoutChoice, best_layouts};
use nudgeproof::text::plain;
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
    /// Print JSON
    #[arg(long)]
    json: bool,
}

impl LayoutArgs {
    /// Prints the part's own layout and the best ones: their touches, forecast and time.
    pub(crate) fn run(&self) -> Result<(), Problem> {
        let name = self.part.display();
        let text = read_text(&self.part, "a part file").map_err(|e| format!("{name}: {e}"))?;
        let part = Part::from_toml(&text).map_err(|e| format!("{name}: {e}"))?;
        let own = LayoutChoice::of(&part);
        let best = best_layouts(&part, &self.keep_out);
        if !self.json {
            let own = own.as_ref().map(|choice| format!("its own: {}", words_of(choice)));
            let best: String = best.iter().map(words_of).collect();
            return say(&format!("{}\n{}{best}", part.title, own.unwrap_or_default()));
        }
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

/// A layout in a line.
fn words_of(choice: &LayoutChoice) -> String {
    let faces: Vec<_> = choice.part.model_touches.iter().map(|t| t.face.as_str()).collect();
    format!(
        "{} touches ({}): spread ±{} mm at the worst weld end, {} % of what is allowed; {} s of searching\n",
        choice.touches,
        faces.join(", "),
        plain(choice.across_mm, 2),
        plain(100.0 * choice.share, 0),
        plain(choice.searching_s, 0)
    )
}

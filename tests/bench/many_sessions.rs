//! Prints as many sessions as its argument says, one a line, of ten attempts a learner: food for
//! `nudgeproof grade -`. No two have the same noise.

use serde_json::Value;
use std::io::{self, BufWriter, Write};

const SESSIONS: [&str; 3] = [
    include_str!("../cases/sessions/home-rides-along.json"),
    include_str!("../cases/sessions/reference-retaken.json"),
    include_str!("../cases/sessions/as-it-should-be.json"),
];

fn main() -> io::Result<()> {
    let count = std::env::args().nth(1).and_then(|n| n.parse().ok()).unwrap_or(1000_u64);
    let mut sessions: Vec<Value> = Vec::new();
    for text in SESSIONS {
        sessions.push(serde_json::from_str(text)?);
    }
    let mut out = BufWriter::new(io::stdout().lock());
    for n in 0..count {
        let session = &mut sessions[n as usize % SESSIONS.len()];
        session["seed"] = n.into();
        session["learner"] = format!("Learner {:05}", n / 10).into();
        serde_json::to_writer(&mut out, session)?;
        out.write_all(b"\n")?;
    }
    out.flush()
}

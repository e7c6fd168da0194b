//! Puts an attempt's own names and numbers into the texts of its stages.

use super::ask::number;
use super::error::LessonError;
use super::file::Stage;
use super::nudge::Nudge;
use super::variant::Variant;
use crate::cell::ModelTouch;
use crate::geometry::{Point3, PoseFile, Vector3};
use crate::routine::TaughtPoint;
use std::collections::BTreeMap;

/// Fills every `{name}` in every text.
pub(super) fn fill(stages: &mut [Stage], variant: &Variant) -> Result<(), LessonError> {
    let mut values = values(variant);
    // The words of a draw may name the attempt's own points and ways.
    for (name, text) in &variant.drawn.words {
        let text = filled(text, &values).map_err(|found| LessonError::NoSuchDrawValue { found })?;
        values.insert(name.clone(), text);
    }
    let joint = variant.part.seams.first().map(|seam| &seam.joint);
    for (i, stage) in stages.iter_mut().enumerate() {
        if let (Some(ask), Some(joint)) = (&mut stage.ask, joint) {
            ask.joint = joint.clone();
        }
        for (key, text) in stage.texts_mut() {
            *text = filled(text, &values).map_err(|found| LessonError::NoSuchValue {
                stage: i + 1,
                key,
                found,
            })?;
        }
    }
    Ok(())
}

fn filled(text: &str, values: &BTreeMap<String, String>) -> Result<String, String> {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('{') {
        let (name, after) = after.split_once('}').ok_or_else(|| after.to_owned())?;
        out.push_str(before);
        out.push_str(values.get(name).ok_or_else(|| name.to_owned())?);
        rest = after;
    }
    out.push_str(rest);
    Ok(out)
}

/// The names that may stand in braces, and their values.
fn values(v: &Variant) -> BTreeMap<String, String> {
    let mut all = BTreeMap::new();
    let mut put = |name: String, value: String| {
        all.insert(name, value);
    };
    put("part".into(), v.part.title.clone());
    put("freedoms".into(), v.part.play.freedoms().label());
    put("play".into(), play(v));
    put("nudge".into(), nudge(&v.nudge));
    put("nudge-again".into(), nudge(&v.nudge_again));
    let faces = &v.faces;
    for (f, face) in faces.iter().enumerate() {
        put(format!("face{}", f + 1), face[0].face.clone());
    }
    for (i, t) in faces.iter().flatten().enumerate() {
        put(format!("touch{}", i + 1), at(&t.from));
        put(format!("way{}", i + 1), way(&Vector3::from(t.direction)));
    }
    let touch = |t: &ModelTouch| {
        let way = way(&Vector3::from(t.direction));
        format!("{way} from {} ({})", at(&t.from), t.face)
    };
    let layout: Vec<String> = faces.iter().flatten().map(touch).collect();
    put("layout".into(), layout.join("; "));
    let count = v.part.model_touches.len();
    put("touches".into(), spelled(count).into());
    for name in ["home", "approach", "weld-start", "weld-end", "retreat"] {
        if let Some(p) = v.model.point(name) {
            put(name.into(), at(&p.at));
        }
    }
    // Those of a part that has several, such as `weld-end-2`.
    let several = ["clear-", "weld-start-", "weld-end-"];
    let numbered = |p: &&TaughtPoint| several.iter().any(|name| p.name.starts_with(name));
    for p in v.model.points.iter().filter(numbered) {
        put(p.name.clone(), at(&p.at));
    }
    all
}

fn at(p: &Point3<f64>) -> String {
    format!("X {} mm, Y {} mm, Z {} mm", number(p.x), number(p.y), number(p.z))
}

/// A direction along an axis as the buttons name it.
fn way(d: &Vector3<f64>) -> String {
    let i = d.iamax();
    format!("{}{}", if d[i] < 0.0 { "−" } else { "+" }, ["X", "Y", "Z"][i])
}

fn play(v: &Variant) -> String {
    let p = &v.part.play;
    let mut all = Vec::new();
    if p.dx == p.dy && p.dx > 0.0 {
        all.push(format!("{} mm each way", number(p.dx)));
    } else {
        for (limit, axis) in [(p.dx, "X"), (p.dy, "Y")].iter().filter(|(l, _)| *l > 0.0) {
            all.push(format!("{} mm along {axis}", number(*limit)));
        }
    }
    if p.dz > 0.0 {
        all.push(format!("{} mm up or down", number(p.dz)));
    }
    if p.turn_deg > 0.0 {
        all.push(format!("{}° of turn", number(p.turn_deg)));
    }
    if p.tilt_deg > 0.0 {
        all.push(format!("{}° of tilt", number(p.tilt_deg)));
    }
    listed(&all)
}

/// Part and bodies: "X 3 mm and Y −2 mm, and for the post X 1 mm".
fn nudge(n: &Nudge) -> String {
    let moved = n.bodies.iter().filter(|(_, own)| **own != PoseFile::default());
    let bodies = moved.map(|(name, own)| format!(", and for the {name} {}", placed(own)));
    std::iter::once(placed(&n.part)).chain(bodies).collect()
}

fn placed(n: &PoseFile) -> String {
    let parts = [
        (n.dx, "X", " mm"),
        (n.dy, "Y", " mm"),
        (n.dz, "Z", " mm"),
        (n.tilt_x_deg, "tilt about X", "°"),
        (n.tilt_y_deg, "tilt about Y", "°"),
        (n.turn_deg, "turn", "°"),
    ];
    let shown = parts.iter().filter(|(v, ..)| *v != 0.0);
    listed(&shown.map(|(v, name, unit)| format!("{name} {}{unit}", number(*v))).collect::<Vec<_>>())
}

fn listed(all: &[String]) -> String {
    match all {
        [] => "nothing".into(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

fn spelled(n: usize) -> &'static str {
    const WORDS: [&str; 10] =
        ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"];
    WORDS.get(n).copied().unwrap_or("many")
}

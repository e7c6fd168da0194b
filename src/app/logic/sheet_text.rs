//! The sheet in sentences for screen readers: the same things in the same order.

use super::describe::offset;
use super::nudge::Nudge;
use super::number::{length, signed, signed_length};
use super::shown::found_offsets;
use crate::app::i18n::{Key, format, say, text};
use nudgeproof::cell::Part;
use nudgeproof::geometry::{Point3, Pose};
use nudgeproof::routine::RunLog;
use nudgeproof::session::{CellState, State};

/// One sentence for each thing on the sheet: `part` is the one that is drawn, `pose` its place,
/// `torch` the place of the torch, work frame, mm.
pub(crate) fn sentences(
    state: &State,
    part: &Part,
    pose: &Pose,
    torch: &Point3<f64>,
    run: Option<&RunLog>,
) -> Vec<String> {
    let place = |p: &Pose| {
        let n = Nudge::of(p);
        [signed_length(n.dx, 1), signed_length(n.dy, 1), signed(n.turn_deg, 1)]
    };
    let [dx, dy, turn] = place(pose);
    let mut out = vec![format(Key::SayPart, &[&part.title, &dx, &dy, &turn])];
    if let Some(reference) = state.reference_pose() {
        let [dx, dy, turn] = place(&reference);
        out.push(format(Key::SayReference, &[&dx, &dy, &turn]));
    }
    for clamp in &part.clamps {
        let corners = || clamp.outline.corners.iter().map(|c| c.at);
        let ([x0, x1], [y0, y1]) = (range(corners().map(|p| p.x)), range(corners().map(|p| p.y)));
        out.push(format(Key::SayClamp, &[&clamp.name, &x0, &x1, &y0, &y1]));
    }
    let cutter = part.cutter();
    out.push(format(Key::SayCutter, &[&length(cutter.x, 0), &length(cutter.y, 0)]));
    let flag = if state.memory.reference_flag { Key::ReferenceOn } else { Key::ReferenceOff };
    out.push(format!("{}.", text(flag)));
    let cell = match state.cell_state {
        CellState::Ready => Key::CellReady,
        CellState::LockedOut => Key::CellLockedOut,
    };
    out.push(format!("{}.", text(cell)));
    out.push(format(
        Key::SayTorch,
        &[&length(torch.x, 1), &length(torch.y, 1), &length(torch.z, 1)],
    ));
    out.extend(state.routine.points.iter().map(|p| {
        format(
            Key::SayPoint,
            &[&p.name, &length(p.at.x, 1), &length(p.at.y, 1), &length(p.at.z, 1)],
        )
    }));
    if let Some(run) = run {
        out.extend(run_sentences(run));
    }
    out
}

/// The least and the greatest of these lengths, given in mm, as they are shown.
fn range(values: impl Iterator<Item = f64>) -> [String; 2] {
    let (low, high) = values.fold((f64::MAX, f64::MIN), |(a, b), v| (a.min(v), b.max(v)));
    [length(low, 0), length(high, 0)]
}

fn run_sentences(run: &RunLog) -> Vec<String> {
    let touches = run.searches.iter().enumerate().map(|(i, s)| say(&s.says(i)) + ".");
    let offsets = found_offsets(run, f64::MAX).collect::<Vec<_>>().into_iter().rev();
    let offsets = offsets.map(|(s, pose)| {
        let (slides, rotations) = offset(&s.place, s.may, &pose);
        [Some(slides), rotations].into_iter().flatten().collect::<Vec<_>>().join(", ") + "."
    });
    let welds = run.welds.iter().map(|w| {
        let [a, b] = w.miss.map(|m| signed_length(m.across_mm, 2));
        format(Key::SayMiss, &[&w.seam, &a, &b, &length(w.tolerance_mm, 1)])
    });
    touches.chain(offsets).chain(welds).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::cell::first_part;
    use nudgeproof::session::{Action, Header, Session};

    #[test]
    fn the_words_follow_the_sheet() {
        let part = first_part();
        let mut session = Session::new(Header::new(part, 1)).expect("a session");
        let at = Point3::new(1.0, 2.0, 3.0);
        session.act(Action::Teach { point: "west-1".into(), at }).expect("taught");
        let pose = Pose::planar(6.0, -4.0, 0.0);
        let said = sentences(session.state(), &session.state().part, &pose, &at, None).join("\n");
        assert!(said.contains("+6.0 / −4.0 mm"), "the part's place: {said}");
        assert!(said.contains("west-1 at X 1.0, Y 2.0"), "the point: {said}");
        assert!(said.contains("clamp"), "the clamps: {said}");
    }
}

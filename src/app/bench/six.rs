use crate::app::desk::desk;
use crate::app::logic::nudge::Nudge;
use crate::app::logic::number::{signed, signed_length};
use crate::app::words::{Word, say};
use leptos::prelude::*;
use nudgeproof::geometry::Pose;
use nudgeproof::locate::Freedoms;

/// Height and tilts of an offset, where the plan looks for them.
#[component]
pub(crate) fn SixNumbers(
    /// The offset found.
    found: Pose,
    /// What the part really did, where that may be told.
    truth: Option<Pose>,
) -> impl IntoView {
    let desk = desk();
    let wanted = desk.routine().plans.iter().any(|p| {
        matches!(p.freedoms, Freedoms::SlideThree | Freedoms::SlideThreeTurn | Freedoms::SlideTilt)
    });
    let row = |name: Word, pose: Pose, test_id: &'static str| {
        let n = Nudge::of(&pose);
        view! {
            <tr data-testid=test_id>
                <th scope="row">{say(name)}</th>
                <td>{signed_length(n.dz, 2)}</td>
                <td>{signed(n.tilt_x_deg, 2)}</td>
                <td>{signed(n.tilt_y_deg, 2)}</td>
            </tr>
        }
    };
    let lifts = wanted || Nudge::of(&found).lifts();
    lifts.then(|| {
        view! {
            <table class="readings" data-testid="six-numbers">
                <thead><tr>
                    <th scope="col">{say(Word::ColHeightTilt)}</th>
                    <th scope="col">"ΔZ"</th>
                    <th scope="col">{say(Word::TiltX)}" °"</th>
                    <th scope="col">{say(Word::TiltY)}" °"</th>
                </tr></thead>
                <tbody>
                    {row(Word::Found, found, "six-found")}
                    {truth.map(|t| row(Word::RowTruth, t, "six-true"))}
                </tbody>
            </table>
        }
    })
}

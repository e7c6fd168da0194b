use crate::app::dom::{View, column, el};
use crate::app::i18n::Key;
use crate::app::logic::nudge::Nudge;
use crate::app::logic::number::{signed, signed_length};
use crate::app::workspace::workspace;
use nudgeproof::geometry::Pose;
use nudgeproof::locate::Freedoms;

/// Height and tilts of an offset, where the plan looks for them.
pub(crate) fn six_numbers(found: Pose, truth: Option<Pose>) -> Option<View> {
    let workspace = workspace();
    let wanted = workspace.routine().plans.iter().any(|p| {
        matches!(p.freedoms, Freedoms::SlideThree | Freedoms::SlideThreeTurn | Freedoms::SlideTilt)
    });
    let row = |name: Key, pose: Pose, test_id: &'static str| {
        let n = Nudge::of(&pose);
        el("tr")
            .test_id(test_id)
            .child(el("th").attr("scope", "row").text(name))
            .child(el("td").text(signed_length(n.dz, 2)))
            .child(el("td").text(signed(n.tilt_x_deg, 2)))
            .child(el("td").text(signed(n.tilt_y_deg, 2)))
    };
    let lifts = wanted || Nudge::of(&found).lifts();
    lifts.then(|| {
        el("table")
            .class("readings")
            .test_id("six-numbers")
            .child(
                el("thead").child(
                    el("tr")
                        .child(column().text(Key::ColHeightTilt))
                        .child(column().text("ΔZ"))
                        .child(column().text(Key::TiltX).text(" °"))
                        .child(column().text(Key::TiltY).text(" °")),
                ),
            )
            .child(
                el("tbody")
                    .child(row(Key::Found, found, "six-found"))
                    .child(truth.map(|t| row(Key::RowTruth, t, "six-true"))),
            )
    })
}

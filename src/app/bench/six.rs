use crate::app::desk::desk;
use crate::app::dom::{View, column, el};
use crate::app::logic::nudge::Nudge;
use crate::app::logic::number::{signed, signed_length};
use crate::app::words::Word;
use nudgeproof::geometry::Pose;
use nudgeproof::locate::Freedoms;

/// Height and tilts of an offset, where the plan looks for them.
pub(crate) fn six_numbers(found: Pose, truth: Option<Pose>) -> Option<View> {
    let desk = desk();
    let wanted = desk.routine().plans.iter().any(|p| {
        matches!(p.freedoms, Freedoms::SlideThree | Freedoms::SlideThreeTurn | Freedoms::SlideTilt)
    });
    let row = |name: Word, pose: Pose, test_id: &'static str| {
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
                        .child(column().text(Word::ColHeightTilt))
                        .child(column().text("ΔZ"))
                        .child(column().text(Word::TiltX).text(" °"))
                        .child(column().text(Word::TiltY).text(" °")),
                ),
            )
            .child(
                el("tbody")
                    .child(row(Word::Found, found, "six-found"))
                    .child(truth.map(|t| row(Word::RowTruth, t, "six-true"))),
            )
    })
}

use crate::app::bench::SixNumbers;
use crate::app::dom::{View, column, el, leptos_view, note, several, when};
use crate::app::i18n::{Key, format, text};
use crate::app::logic::nudge::Nudge;
use crate::app::logic::number::{length, signed, signed_length};
use crate::app::logic::reading::{found, rows};
use crate::app::logic::shown::weld_points;
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::geometry::{Point3, Pose};

fn place(p: Option<Point3<f64>>) -> String {
    p.map_or_else(|| "–".to_owned(), |p| format!("{}, {}", length(p.x, 2), length(p.y, 2)))
}

/// The touches, the offset found, and, after a production run, the true one.
pub(super) fn readings() -> View {
    let workspace = workspace();
    let log = Memo::new(move |_| workspace.shown_run());
    let table =
        move || {
            let log = log.get()?;
            let rows = rows(&log, &workspace.state().memory);
            (!rows.is_empty()).then(|| {
                el("table")
                    .class("readings")
                    .test_id("readings")
                    .child(
                        el("thead").child(
                            el("tr")
                                .child(column().text(Key::ColTouch))
                                .child(column().text(Key::ColFace))
                                .child(column().text(Key::ColReference))
                                .child(column().text(Key::ColNow))
                                .child(column().text(Key::ColLater)),
                        ),
                    )
                    .child(el("tbody").children(rows.into_iter().map(|r| {
                        el("tr")
                            .child(el("td").text(r.number))
                            .child(el("td").text(r.face))
                            .child(el("td").text(place(r.reference)))
                            .child(el("td").text(place(r.now)))
                            .child(el("td").text(
                                r.later.map_or_else(|| "–".to_owned(), |v| signed_length(v, 2)),
                            ))
                    })))
            })
        };
    let offsets = move || {
        let log = log.get()?;
        let state = workspace.state();
        let f = found(&log, &state)?;
        let start = weld_points(&state.routine)[0];
        let line = |name: &str, pose: &Pose, test_id: &'static str| {
            let n = Nudge::of(pose);
            let at_weld = start.map(|p| pose.displacement(&p));
            el("tr")
                .test_id(test_id)
                .child(el("th").attr("scope", "row").text(name.to_owned()))
                .child(
                    el("td")
                        .test_id(format!("{test_id}-dx"))
                        .attr("data-value", n.dx.to_string())
                        .text(signed_length(n.dx, 2)),
                )
                .child(
                    el("td")
                        .test_id(format!("{test_id}-dy"))
                        .attr("data-value", n.dy.to_string())
                        .text(signed_length(n.dy, 2)),
                )
                .child(
                    el("td")
                        .test_id(format!("{test_id}-turn"))
                        .attr("data-value", n.turn_deg.to_string())
                        .text(signed(n.turn_deg, 2)),
                )
                .child(el("td").text(at_weld.map_or_else(
                    || "–".into(),
                    |s| format!("{}, {}", signed_length(s.x, 2), signed_length(s.y, 2)),
                )))
        };
        Some(
            several()
                .child(
                    el("table")
                        .class("readings")
                        .test_id("offsets")
                        .child(
                            el("thead").child(
                                el("tr")
                                    .child(column().text(Key::ColOffset))
                                    .child(column().text("ΔX"))
                                    .child(column().text("ΔY"))
                                    .child(column().text(Key::ColTurn))
                                    .child(column().text(Key::ColAtWeld)),
                            ),
                        )
                        .child(
                            el("tbody")
                                .child(line(
                                    &format(Key::RowFound, &[&f.name]),
                                    &f.motion,
                                    "reading-offset",
                                ))
                                .child(
                                    f.truth.map(|t| line(text(Key::RowTruth), &t, "reading-true")),
                                ),
                        ),
                )
                .child(leptos_view(view! { <SixNumbers found=f.motion truth=f.truth /> }))
                .child(note().text(format(Key::OffsetOrigin, &[])))
                .child(f.residual_mm.map(|r| {
                    note().test_id("residual").text(format(Key::ResidualIs, &[&length(r, 2)]))
                })),
        )
    };
    several().child(table).child(offsets).child(when(
        move || log.read().is_none(),
        move || el("p").class("empty").text(Key::NoReadings),
    ))
}

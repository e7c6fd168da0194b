use crate::app::bench::SixNumbers;
use crate::app::desk::desk;
use crate::app::live::{memo, when};
use crate::app::logic::nudge::Nudge;
use crate::app::logic::number::{length, signed, signed_length};
use crate::app::logic::reading::{found, rows};
use crate::app::logic::shown::weld_points;
use crate::app::words::{Word, say, tell};
use leptos::prelude::*;
use nudgeproof::geometry::{Point3, Pose};

fn place(p: Option<Point3<f64>>) -> String {
    p.map_or_else(|| "–".to_owned(), |p| format!("{}, {}", length(p.x, 2), length(p.y, 2)))
}

/// The touches, the offset found, and, after a production run, the true one.
#[component]
pub(super) fn Readings() -> impl IntoView {
    let desk = desk();
    let log = memo(move || desk.shown_run());
    let table = move || {
        let log = log.get()?;
        let rows = rows(&log, &desk.state().memory);
        (!rows.is_empty()).then(|| view! {
            <table class="readings" data-testid="readings">
                <thead><tr>
                    <th scope="col">{say(Word::ColTouch)}</th>
                    <th scope="col">{say(Word::ColFace)}</th>
                    <th scope="col">{say(Word::ColReference)}</th>
                    <th scope="col">{say(Word::ColNow)}</th>
                    <th scope="col">{say(Word::ColLater)}</th>
                </tr></thead>
                <tbody>
                    {rows.into_iter().map(|r| view! {
                        <tr>
                            <td>{r.number}</td>
                            <td>{r.face}</td>
                            <td>{place(r.reference)}</td>
                            <td>{place(r.now)}</td>
                            <td>{r.later.map_or_else(|| "–".to_owned(), |v| signed_length(v, 2))}</td>
                        </tr>
                    }).collect_view()}
                </tbody>
            </table>
        })
    };
    let offsets = move || {
        let log = log.get()?;
        let state = desk.state();
        let f = found(&log, &state)?;
        let start = weld_points(&state.routine)[0];
        let line = |name: &str, pose: &Pose, test_id: &'static str| {
            let n = Nudge::of(pose);
            let at_weld = start.map(|p| pose.shift_at(&p));
            view! {
                <tr data-testid=test_id>
                    <th scope="row">{name.to_owned()}</th>
                    <td data-testid=format!("{test_id}-dx") data-value=n.dx.to_string()>{signed_length(n.dx, 2)}</td>
                    <td data-testid=format!("{test_id}-dy") data-value=n.dy.to_string()>{signed_length(n.dy, 2)}</td>
                    <td data-testid=format!("{test_id}-turn") data-value=n.turn_deg.to_string()>
                        {signed(n.turn_deg, 2)}
                    </td>
                    <td>{at_weld.map_or_else(|| "–".into(), |s| format!("{}, {}", signed_length(s.x, 2), signed_length(s.y, 2)))}</td>
                </tr>
            }
        };
        Some(view! {
            <table class="readings" data-testid="offsets">
                <thead><tr>
                    <th scope="col">{say(Word::ColOffset)}</th>
                    <th scope="col">"ΔX"</th>
                    <th scope="col">"ΔY"</th>
                    <th scope="col">{say(Word::ColTurn)}</th>
                    <th scope="col">{say(Word::ColAtWeld)}</th>
                </tr></thead>
                <tbody>
                    {line(&tell(Word::RowFound, &[&f.name]), &f.motion, "reading-offset")}
                    {f.truth.map(|t| line(say(Word::RowTruth), &t, "reading-true"))}
                </tbody>
            </table>
            <SixNumbers found=f.motion truth=f.truth/>
            <p class="fine">{tell(Word::OffsetOrigin, &[])}</p>
            {f.residual_mm.map(|r| view! {
                <p class="fine" data-testid="residual">{tell(Word::ResidualIs, &[&length(r, 2)])}</p>
            })}
        })
    };
    view! {
        {table}
        {offsets}
        {when(move || log.read().is_none(), move || view! {
            <p class="empty">{say(Word::NoReadings)}</p>
        }.into_any())}
    }
}

//! What each touch of the run on show read, and what was found.

use crate::app::bench::SixNumbers;
use crate::app::controls::{ColumnHead, Note, or_dash};
use crate::app::i18n::{Key, format, text};
use crate::app::logic::nudge::Nudge;
use crate::app::logic::number::{length, signed, signed_length};
use crate::app::logic::reading::{ReadingRow, ReportedOffset, reported_offsets, rows};
use crate::app::logic::shown::weld_points;
use crate::app::logic::touch_report::{EarlierRun, earlier_runs};
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::geometry::{Point3, Pose};

fn place(p: Option<Point3<f64>>) -> String {
    or_dash(p.map(|p| format!("{}, {}", length(p.x, 2), length(p.y, 2))))
}

/// The touches of the run shown, the offset found, and, after a production run, the true one.
#[component]
pub(crate) fn Readings() -> impl IntoView {
    let workspace = workspace();
    let log = Memo::new(move |_| workspace.run_so_far());
    let touches = Memo::new(move |_| {
        log.with(|log| Some(rows(log.as_ref()?, &workspace.state().memory))).unwrap_or_default()
    });
    let offsets = Memo::new(move |_| {
        let state = workspace.state();
        log.with(|log| Some(reported_offsets(log.as_ref()?, &state))).unwrap_or_default()
    });
    // At most so many earlier runs beside it: there is no room for more.
    let earlier = Memo::new(move |_| {
        let (runs, state) = (workspace.told_runs(), workspace.state());
        let run = workspace.shown_index().unwrap_or(0);
        earlier_runs(&runs, run, |i| state.run_contexts.get(i).cloned(), EARLIER)
    });
    let weld_start = Memo::new(move |_| weld_points(&workspace.routine())[0]);
    view! {
        <div class="readings-front">
            <Show when=move || !touches.read().is_empty()>
                <TouchTable touches earlier />
            </Show>
            {move || {
                let (found, weld_start) = (offsets.get(), weld_start.get());
                (!found.is_empty()).then(|| view! { <Offsets found weld_start /> })
            }}
        </div>
        <Show when=move || log.read().is_none()>
            <p class="empty">{text(Key::NoReadings)}</p>
        </Show>
    }
}

/// Earlier runs in the table.
const EARLIER: usize = 2;

/// A row for each touch: its reading in the reference and now, and how much later it touched; in softer ink
/// the same of earlier runs.
#[component]
fn TouchTable(touches: Memo<Vec<ReadingRow>>, earlier: Memo<Vec<EarlierRun>>) -> impl IntoView {
    let row = move |row: ReadingRow| {
        let later = |mm: Option<f64>| or_dash(mm.map(|mm| signed_length(mm, 2)));
        let of_run = |run: &EarlierRun| {
            let mm = run.later.iter().find(|(step, _)| *step == row.step).map(|(_, mm)| *mm);
            view! { <td class="earlier">{later(mm)}</td> }
        };
        view! {
            <tr>
                <td>{row.number}</td>
                <td>{row.face.clone()}</td>
                <td>{place(row.reference)}</td>
                <td>{place(row.now)}</td>
                <td>{later(row.later)}</td>
                {earlier.read().iter().map(of_run).collect_view()}
            </tr>
        }
    };
    let heads = move || {
        let head = |run: &EarlierRun| {
            let name = format(Key::ColEarlier, &[&run.number.to_string()]);
            view! { <th scope="col" class="earlier">{name}</th> }
        };
        earlier.read().iter().map(head).collect_view()
    };
    view! {
        <table class="readings" data-testid="readings">
            <thead>
                <tr>
                    <ColumnHead>{text(Key::ColTouch)}</ColumnHead>
                    <ColumnHead>{text(Key::ColFace)}</ColumnHead>
                    <ColumnHead>{text(Key::ColReference)}</ColumnHead>
                    <ColumnHead>{text(Key::ColNow)}</ColumnHead>
                    <ColumnHead>{text(Key::ColLater)}</ColumnHead>
                    {heads}
                </tr>
            </thead>
            <tbody>{move || touches.get().into_iter().map(row).collect_view()}</tbody>
        </table>
    }
}

/// The offset of each place, at the origin of the work frame and at the start of the weld.
#[component]
fn Offsets(found: Vec<ReportedOffset>, weld_start: Option<Point3<f64>>) -> impl IntoView {
    let row = |name: String, pose: &Pose, test_id: String| {
        let n = Nudge::of(pose);
        let at_weld = or_dash(weld_start.map(|start| {
            let shift = pose.displacement(&start);
            format!("{}, {}", signed_length(shift.x, 2), signed_length(shift.y, 2))
        }));
        view! {
            <tr data-testid=test_id.clone()>
                <th scope="row">{name}</th>
                <td data-testid=format!("{test_id}-dx") data-value=n.dx.to_string()>
                    {signed_length(n.dx, 2)}
                </td>
                <td data-testid=format!("{test_id}-dy") data-value=n.dy.to_string()>
                    {signed_length(n.dy, 2)}
                </td>
                <td data-testid=format!("{test_id}-turn") data-value=n.turn_deg.to_string()>
                    {signed(n.turn_deg, 2)}
                </td>
                <td>{at_weld}</td>
            </tr>
        }
    };
    let rows = |found: &ReportedOffset| {
        let place = &found.place;
        let truth = found.truth.as_ref();
        view! {
            {row(format(Key::RowFound, &[place]), &found.motion, format!("found-{place}"))}
            {truth.map(|truth| row(format(Key::RowTruth, &[place]), truth, format!("true-{place}")))}
        }
    };
    let residual = |found: &ReportedOffset| {
        let mm = length(found.residual_mm, 2);
        let residual = format(Key::ResidualIs, &[&found.place, &mm]);
        view! { <Note attr:data-testid=format!("residual-{}", found.place)>{residual}</Note> }
    };
    let six = |found: &ReportedOffset| {
        view! { <SixNumbers place=found.place.clone() found=found.motion truth=found.truth /> }
    };
    view! {
        <div>
        <table class="readings" data-testid="offsets">
            <thead>
                <tr>
                    <ColumnHead>{text(Key::ColOffset)}</ColumnHead>
                    <ColumnHead>"ΔX"</ColumnHead>
                    <ColumnHead>"ΔY"</ColumnHead>
                    <ColumnHead>{text(Key::ColTurn)}</ColumnHead>
                    <ColumnHead>{text(Key::ColAtWeld)}</ColumnHead>
                </tr>
            </thead>
            <tbody>
                {found.iter().map(rows).collect_view()}
            </tbody>
        </table>
        {found.iter().map(six).collect_view()}
        {found.iter().map(residual).collect_view()}
        <Note>{format(Key::OffsetOrigin, &[])}</Note>
        </div>
    }
}

use super::outline_reader::OutlineReader;
use super::rehearsal::Rehearsal;
use super::words;
use crate::app::controls::{FileChooser, LabelledField, Select, modal};
use crate::app::i18n::{Key, format, text};
use crate::app::logic::number::length;
use crate::app::logic::svg_path::d;
use crate::app::logic::traced::{Front, Traced};
use gloo::file::callbacks::{FileReader, read_as_bytes};
use kurbo::Line;
use leptos::ev::Event;
use leptos::prelude::*;
use nudgeproof::cell::{DraftError, OutlineDraft, OutlinePartError};
use nudgeproof::drawing::{DrawingReport, Unit, UnitSaid};

/// Opens a drawing file, and the dialog over it.
#[component]
pub(super) fn OpenDrawing() -> impl IntoView {
    let outlines = OutlineReader::new();
    // Dropping the reader stops the reading.
    let reader = StoredValue::new_local(None::<FileReader>);
    let choose = move |file: gloo::file::File| {
        let name = file.name();
        reader.set_value(Some(read_as_bytes(&file, move |bytes| match bytes {
            Ok(bytes) => outlines.open(name, bytes),
            Err(why) => outlines.refuse(name, why.to_string()),
        })));
    };
    view! {
        <FileChooser test_id="own-drawing" accept=".dxf,.svg" on_choose=choose>
            {text(Key::DrawingOpen)}
        </FileChooser>
        <OutlineDialog outlines />
    }
}

/// The outlines of a drawing to choose from, and what in it is none.
#[component]
fn OutlineDialog(outlines: OutlineReader) -> impl IntoView {
    let rehearsal = Rehearsal::here();
    let dialog = modal(move || outlines.name().is_some());
    let traced = Memo::new(move |_| outlines.traced());
    let draft = Memo::new(move |_| {
        let title = untrack(|| rehearsal.draft.with(|d| d.title.clone()));
        traced.read().as_ref()?.draft(outlines.front()?, &title).ok()
    });
    // What stands in the way of a part, and where the lengths are in doubt.
    let wrong = move || {
        if !outlines.has_unit() {
            return Some(text(Key::DrawingUnitFirst).to_owned());
        }
        match draft.get() {
            None => Some(text(Key::DrawingNoFront).to_owned()),
            Some(draft) => draft.part().err().map(|why| words::why_no_part(&why)),
        }
    };
    // What the outline itself has cannot be filled in afterwards.
    let of_no_use = move || {
        let given = |why: OutlinePartError| {
            matches!(why, OutlinePartError::Draft(DraftError::Dimension { dimension, .. })
                if OutlineDraft::GIVEN.contains(&dimension))
        };
        draft.read().as_ref().is_none_or(|draft| draft.part().is_err_and(given))
    };
    let take = move |_| {
        if let Some(draft) = draft.get_untracked() {
            rehearsal.take_outline(draft);
        }
        outlines.close();
    };
    let read = move || {
        let report = outlines.report()?;
        let none = report.outlines.is_empty();
        Some(view! {
            {(!none).then(|| view! { <Chosen outlines traced /> })}
            {none.then(|| view! { <p>{text(Key::DrawingNone)}</p> })}
            <Remarks report=(*report).clone() />
            <p class="own-wrong" role="status" data-testid="drawing-wrong">
                {move || (!none).then(wrong).flatten()}
            </p>
        })
    };
    let state = move || match outlines.refused() {
        Some(why) if why.is_empty() => text(Key::ProspectFailed).to_owned(),
        Some(why) => format(Key::DrawingRefused, &[&why]),
        None if outlines.report().is_none() => text(Key::DrawingReading).to_owned(),
        None => String::new(),
    };
    view! {
        <dialog
            class="dialog drawing-dialog"
            data-testid="drawing-dialog"
            aria-labelledby="drawing-dialog-title"
            node_ref=dialog
            on:cancel=move |_: Event| outlines.close()
        >
            <h2 id="drawing-dialog-title">
                {move || format(Key::DrawingTitle, &[&outlines.name().unwrap_or_default()])}
            </h2>
            <p role="status" data-testid="drawing-state">{state}</p>
            {read}
            <div class="dialog-buttons">
                <button type="button" data-testid="drawing-cancel" on:click=move |_| outlines.close()>
                    {text(Key::Cancel)}
                </button>
                <button
                    type="button"
                    class="run-button"
                    data-testid="drawing-take"
                    disabled=move || of_no_use() || !outlines.has_unit()
                    on:click=take
                >
                    {text(Key::DrawingTake)}
                </button>
            </div>
        </dialog>
    }
}

/// The drawing, and lists for its unit, the outline and the edge that lies in front.
#[component]
fn Chosen(outlines: OutlineReader, traced: Memo<Option<Traced>>) -> impl IntoView {
    let units = move || {
        let said = outlines.report().map(|report| report.unit);
        let first = match said {
            Some(UnitSaid::Mm(mm)) => format(Key::DrawingUnitSaid, &[&length(mm, 4)]),
            Some(UnitSaid::Contradiction(..)) => text(Key::DrawingUnitDoubt).to_owned(),
            _ => text(Key::DrawingUnitAsk).to_owned(),
        };
        let unit =
            |unit: &Unit| (<&str>::from(*unit).to_owned(), text(words::unit(*unit)).to_owned());
        std::iter::once((String::new(), first)).chain(Unit::ALL.iter().map(unit)).collect()
    };
    let unit =
        move || outlines.unit().map_or_else(String::new, |unit| <&str>::from(unit).to_owned());
    let all = move || {
        let report = outlines.report();
        let outlines = report.iter().flat_map(|report| &report.outlines).enumerate();
        let outline = |(i, outline): (usize, &nudgeproof::drawing::OutlineReport)| {
            let [x, y] = Traced::measures(&outline.corners).map(|mm| length(mm, 1));
            (i.to_string(), format(Key::DrawingOutlineOf, &[&x, &y, &outline.element]))
        };
        outlines.map(outline).collect()
    };
    let fronts = move || {
        let front = |(i, front): (usize, &Front)| {
            let says =
                format(Key::DrawingFrontOf, &[&(i + 1).to_string(), &length(front.length_mm, 1)]);
            (front.edge.to_string(), says)
        };
        traced.read().iter().flat_map(|t| t.fronts.iter().enumerate()).map(front).collect()
    };
    let front = move || outlines.front().map_or_else(String::new, |edge| edge.to_string());
    let picture = move || traced.get().map(|traced| view! { <Picture outlines traced /> });
    view! {
        {picture}
        <div class="drawing-choices">
            <LabelledField name=text(Key::DrawingUnit)>
                <Select
                    test_id="drawing-unit"
                    options=Signal::derive(units)
                    value=Signal::derive(unit)
                    on_change=move |name: String| outlines.choose_unit(name.parse().ok())
                />
            </LabelledField>
            <LabelledField name=text(Key::DrawingOutline)>
                <Select
                    test_id="drawing-outline"
                    options=Signal::derive(all)
                    value=Signal::derive(move || outlines.outline().to_string())
                    on_change=move |i: String| outlines.choose_outline(i.parse().unwrap_or(0))
                />
            </LabelledField>
            <LabelledField name=text(Key::DrawingFront)>
                <Select
                    test_id="drawing-front"
                    options=Signal::derive(fronts)
                    value=Signal::derive(front)
                    on_change=move |edge: String| outlines.choose_front(edge.parse().unwrap_or(0))
                />
            </LabelledField>
        </div>
    }
}

/// All outlines, the one at hand filled; a press chooses another one, or the edge that lies in front.
#[component]
fn Picture(outlines: OutlineReader, traced: Traced) -> impl IntoView {
    let Traced { size: [width, height], outlines: all, open, fronts, .. } = traced;
    let outline = |(i, path): (usize, &kurbo::BezPath)| {
        view! {
            <path
                class="traced"
                class:at-hand=move || outlines.outline() == i
                d=d(path)
                on:click=move |_| outlines.choose_outline(i)
            />
        }
    };
    let front = |(i, front): (usize, Front)| {
        let Front { edge, line: [a, b], number, .. } = front;
        let line = d(&Line::new(a, b));
        view! {
            <g
                class="traced-front"
                class:at-hand=move || outlines.front() == Some(edge)
                on:click=move |_| outlines.choose_front(edge)
            >
                <path class="traced-reach" d=line.clone() />
                <path d=line />
                <text x=number.x y=number.y + 5.5 text-anchor="middle">{i + 1}</text>
            </g>
        }
    };
    view! {
        <svg
            class="traced-picture"
            viewBox=format!("0 0 {width:.0} {height:.0}")
            role="img"
            aria-label=text(Key::DrawingPlan)
        >
            {all.iter().enumerate().map(outline).collect_view()}
            {open.iter().map(|path| view! { <path class="traced-open" d=d(path) /> }).collect_view()}
            {fronts.into_iter().enumerate().map(front).collect_view()}
        </svg>
    }
}

/// What was joined, what stayed open, and what was not used, element by element.
#[component]
fn Remarks(report: DrawingReport) -> impl IntoView {
    let gap = report.outlines.iter().map(|o| o.gap_mm).fold(0.0, f64::max);
    let joined = (gap > 1e-6).then(|| format(Key::DrawingGap, &[&length(gap, 3)]));
    let open = report
        .open
        .iter()
        .map(|open| format(Key::DrawingOpenLine, &[&open.element, &length(open.open_by_mm, 3)]));
    let forks = report
        .forks
        .iter()
        .map(|[x, y]| format(Key::DrawingFork, &[&length(*x, 1), &length(*y, 1)]));
    let left_out = report.remarks.iter().map(|remark| {
        let (element, why) = (remark.element.to_string(), remark.why.to_string());
        let times = remark.times.to_string();
        let key = if remark.times > 1 { Key::DrawingLeftOutTimes } else { Key::DrawingLeftOut };
        format(key, &[&element, &why, &times])
    });
    let all: Vec<String> = joined.into_iter().chain(open).chain(forks).chain(left_out).collect();
    (!all.is_empty()).then(|| {
        view! {
            <ul class="drawing-remarks" tabindex="0" aria-label=text(Key::DrawingRemarks) data-testid="drawing-remarks">
                {all.into_iter().map(|says| view! { <li>{says}</li> }).collect_view()}
            </ul>
        }
    })
}

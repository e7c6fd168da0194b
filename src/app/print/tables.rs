use super::at_cell::{OffsetFields, ReadingField};
use crate::app::i18n::{Key, format, say, text};
use crate::app::logic::aim::direction_label;
use crate::app::logic::cell_views::point_number;
use crate::app::logic::describe::freedoms_name;
use crate::app::logic::number::{length, unit};
use leptos::prelude::*;
use nudgeproof::forecast::{PlannedFind, PlannedTouch, WeldForecast};
use nudgeproof::geometry::Point3;
use nudgeproof::routine::TaughtPoint;

/// A table with its caption.
#[component]
pub(super) fn Table(
    test_id: &'static str,
    caption: String,
    columns: Vec<String>,
    rows: Vec<Vec<AnyView>>,
) -> impl IntoView {
    let name = caption.clone();
    let column = |name| view! { <th scope="col">{name}</th> };
    let cell = |value| view! { <td>{value}</td> };
    let row = |row: Vec<AnyView>| view! { <tr>{row.into_iter().map(cell).collect_view()}</tr> };
    view! {
        <div class="table-holder" tabindex="0" role="region" aria-label=name>
            <table class="readings" data-testid=test_id>
                <caption>{caption}</caption>
                <thead>
                    <tr>{columns.into_iter().map(column).collect_view()}</tr>
                </thead>
                <tbody>{rows.into_iter().map(row).collect_view()}</tbody>
            </table>
        </div>
    }
}

pub(super) fn texts(cells: impl IntoIterator<Item = String>) -> Vec<AnyView> {
    cells.into_iter().map(IntoAny::into_any).collect()
}

fn with_unit(name: &str) -> String {
    format!("{name}, {}", unit())
}

fn coordinates(p: &Point3<f64>) -> [String; 3] {
    [p.x, p.y, p.z].map(|v| length(v, 1))
}

/// Every find: what it solves for in the caption, its touches in the rows. Touches are numbered
/// through all finds.
#[component]
pub(super) fn FindTables(finds: Vec<PlannedFind>) -> impl IntoView {
    let mut number = 0;
    let mut table = move |find: PlannedFind| {
        let may = freedoms_name(find.may);
        let caption = format(Key::FindCaption, &[&find.place, &may]);
        let rows = find.touches.iter().map(|touch| {
            number += 1;
            touch_row(number, touch)
        });
        let rows = rows.collect();
        let columns = vec![
            text(Key::ColTouch).into(),
            text(Key::ColFace).into(),
            text(Key::ColFrom).into(),
            with_unit("X"),
            with_unit("Y"),
            with_unit("Z"),
            text(Key::ColDirection).into(),
            format!("{}, {}/s", text(Key::Speed), unit()),
            with_unit(text(Key::Reach)),
            with_unit(text(Key::ColTouchesAfter)),
            text(Key::ColReferenceReading).into(),
            text(Key::ColProofReading).into(),
        ];
        view! {
            <Table test_id="cell-touches" caption columns rows />
            <OffsetFields find=find.clone() moved=false />
            <OffsetFields find moved=true />
        }
    };
    finds.into_iter().map(&mut table).collect_view()
}

fn touch_row(number: usize, touch: &PlannedTouch) -> Vec<AnyView> {
    let [x, y, z] = coordinates(&touch.from);
    let distance = touch.distance().map(|mm| length(mm, 1));
    let mut row = texts([
        number.to_string(),
        touch.face.clone(),
        touch.point.clone(),
        x,
        y,
        z,
        direction_label(&touch.direction),
        length(touch.speed_mm_s, 0),
        length(touch.reach_mm, 0),
        distance.unwrap_or_else(|| text(Key::MeetsNothing).into()),
    ]);
    row.extend([false, true].map(|proof| {
        view! { <ReadingField number touch=touch.name() proof reach_mm=touch.reach_mm /> }
            .into_any()
    }));
    row
}

/// Every taught point, after its number where the drawing has that in place of its name.
#[component]
pub(super) fn PointsTable(points: Vec<TaughtPoint>, numbered: bool) -> impl IntoView {
    let columns = vec![text(Key::PointIs).into(), with_unit("X"), with_unit("Y"), with_unit("Z")];
    let row = |(n, p): (usize, &TaughtPoint)| {
        let name =
            if numbered { [&point_number(n), " ", &p.name].concat() } else { p.name.clone() };
        let [x, y, z] = coordinates(&p.at);
        texts([name, x, y, z])
    };
    let rows = (1..).zip(&points).map(row).collect();
    view! { <Table test_id="cell-points" caption=text(Key::PointsTaught).into() columns rows /> }
}

/// The forecast at both ends of each weld against its tolerance, mm, or why there is none.
#[component]
pub(super) fn ForecastTable(welds: Vec<WeldForecast>) -> impl IntoView {
    if welds.is_empty() {
        return view! { <p data-testid="cell-forecast">{text(Key::NothingToForecast)}</p> }
            .into_any();
    }
    let several = welds.len() > 1;
    let of_seam = |weld: &WeldForecast, says: &str| {
        if several { format(Key::OfSeam, &[&weld.seam, says]) } else { says.to_owned() }
    };
    let row = |weld: &WeldForecast, name: Key, across: f64| {
        let inside = across <= weld.tolerance_mm;
        let verdict = if inside { Key::InsideTolerance } else { Key::OutsideTolerance };
        texts([
            of_seam(weld, text(name)),
            format!("± {}", length(across, 2)),
            format!("± {}", length(weld.tolerance_mm, 1)),
            text(verdict).into(),
        ])
    };
    let ends = |weld: &WeldForecast| {
        let across = weld.across().into_iter().flatten();
        let names = [Key::DetailStart, Key::DetailEnd];
        names
            .into_iter()
            .zip(across)
            .map(|(name, across)| row(weld, name, across))
            .collect::<Vec<_>>()
    };
    let rows: Vec<_> = welds.iter().flat_map(ends).collect();
    let without = welds.iter().filter_map(|weld| {
        let none = weld.ends.as_ref().err()?;
        let why = of_seam(weld, &format(Key::NoForecast, &[&say(&none.why)]));
        Some(view! { <p data-testid="cell-forecast">{why}</p> })
    });
    let without = without.collect_view();
    let columns = vec![
        text(Key::ColWeldEnd).into(),
        with_unit(text(Key::ColSpread)),
        with_unit(text(Key::ColAllowed)),
        text(Key::ColVerdict).into(),
    ];
    let caption = || text(Key::ForecastIs).into();
    let table = (!rows.is_empty())
        .then(|| view! { <Table test_id="cell-forecast" caption=caption() columns rows /> });
    view! {
        {table}
        {without}
    }
    .into_any()
}

use crate::app::logic::forecast::{Block, EndSpread, SIGMAS};
use crate::app::logic::names::direction_label;
use crate::app::logic::number::{length, length_unit, unit};
use crate::app::routine::freedoms_name;
use crate::app::words::{Word, say, tell};
use leptos::prelude::*;
use nudgeproof::cell::Play;
use nudgeproof::geometry::Point3;
use nudgeproof::routine::Routine;

/// Names with their values, as a title block has them.
pub(super) fn pairs(all: Vec<(String, String)>) -> AnyView {
    let rows: Vec<_> =
        all.into_iter().map(|(n, v)| view! { <div><dt>{n}</dt><dd>{v}</dd></div> }).collect();
    view! { <dl class="cell-title">{rows}</dl> }.into_any()
}

/// A table with its caption.
fn table(
    test_id: &'static str,
    caption: String,
    head: Vec<String>,
    rows: Vec<Vec<String>>,
) -> AnyView {
    let head: Vec<_> = head.into_iter().map(|h| view! { <th scope="col">{h}</th> }).collect();
    let rows: Vec<_> = rows
        .into_iter()
        .map(|r| {
            let cells: Vec<_> = r.into_iter().map(|c| view! { <td>{c}</td> }).collect();
            view! { <tr>{cells}</tr> }
        })
        .collect();
    view! {
        <table class="readings" data-testid=test_id>
            <caption>{caption}</caption>
            <thead><tr>{head}</tr></thead>
            <tbody>{rows}</tbody>
        </table>
    }
    .into_any()
}

fn in_unit(name: &str) -> String {
    [name, ", ", unit()].concat()
}

fn place(p: &Point3<f64>) -> [String; 3] {
    [p.x, p.y, p.z].map(|v| length(v, 1))
}

/// How far the fixture lets the part stray.
pub(super) fn play(p: &Play) -> String {
    let mut all = vec![format!("± {} / {}", length(p.dx, 0), length_unit(p.dy, 0))];
    if p.dz != 0.0 {
        all.push(format!("Z ± {}", length_unit(p.dz, 0)));
    }
    if p.turn_deg != 0.0 {
        all.push(format!("± {}°", p.turn_deg));
    }
    if p.tilt_deg != 0.0 {
        all.push(format!("{} ± {}°", say(Word::TiltX), p.tilt_deg));
    }
    all.join(", ")
}

/// Every probe plan: its settings in the caption, its touches in the rows.
pub(super) fn plan_tables(blocks: &[Block]) -> AnyView {
    let mut n = 0;
    let tables: Vec<_> = blocks
        .iter()
        .map(|b| {
            let p = &b.plan;
            let caption = tell(
                Word::PlanCaption,
                &[
                    &p.name,
                    freedoms_name(p.freedoms),
                    &length(p.speed_mm_s, 0),
                    &length(p.reach_mm, 0),
                    &p.fills,
                    &length(p.residual_limit_mm, 1),
                ],
            );
            let rows = b.touches.iter().map(|t| {
                n += 1;
                let [x, y, z] = place(&t.from);
                let meets =
                    t.distance().map_or_else(|| say(Word::MeetsNothing).into(), |d| length(d, 1));
                vec![
                    n.to_string(),
                    t.face.clone(),
                    t.point.clone(),
                    x,
                    y,
                    z,
                    direction_label(&t.direction),
                    meets,
                ]
            });
            let rows = rows.collect();
            let head = vec![
                say(Word::ColTouch).into(),
                say(Word::ColFace).into(),
                say(Word::ColFrom).into(),
                in_unit("X"),
                in_unit("Y"),
                in_unit("Z"),
                say(Word::ColDirection).into(),
                in_unit(say(Word::ColTouchesAfter)),
            ];
            table("cell-plan", caption, head, rows)
        })
        .collect();
    tables.into_any()
}

/// Every taught point.
pub(super) fn points_table(routine: &Routine) -> AnyView {
    let head = vec![say(Word::PointIs).into(), in_unit("X"), in_unit("Y"), in_unit("Z")];
    let rows = routine.points.iter().map(|p| {
        let [x, y, z] = place(&p.at);
        vec![p.name.clone(), x, y, z]
    });
    table("cell-points", say(Word::PointsTaught).into(), head, rows.collect())
}

/// The forecast at both ends against the tolerance.
pub(super) fn forecast_table(
    spread: Option<Result<Vec<EndSpread>, String>>,
    tolerance: f64,
) -> AnyView {
    let ends = match spread {
        Some(Ok(ends)) => ends,
        Some(Err(why)) => {
            return view! { <p data-testid="cell-forecast">{tell(Word::NoForecast, &[&why])}</p> }
                .into_any();
        }
        None => {
            return view! { <p data-testid="cell-forecast">{say(Word::NothingToForecast)}</p> }
                .into_any();
        }
    };
    let rows = ends.iter().zip([Word::DetailStart, Word::DetailEnd]).map(|(end, name)| {
        let across = SIGMAS * end.across;
        let inside =
            if across <= tolerance { Word::InsideTolerance } else { Word::OutsideTolerance };
        vec![
            say(name).into(),
            format!("± {}", length(across, 2)),
            format!("± {}", length(tolerance, 1)),
            say(inside).into(),
        ]
    });
    let head = vec![
        say(Word::ColWeldEnd).into(),
        in_unit(say(Word::ColSpread)),
        in_unit(say(Word::ColAllowed)),
        say(Word::ColVerdict).into(),
    ];
    table("cell-forecast", say(Word::ForecastIs).into(), head, rows.collect())
}

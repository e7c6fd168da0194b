use crate::app::i18n::{Key, format, text};
use crate::app::logic::forecast::{Block, EndSpread, SIGMAS};
use crate::app::logic::names::direction_label;
use crate::app::logic::number::{length, length_unit, unit};
use crate::app::logic::svg_writer::SvgWriter;
use crate::app::routine::freedoms_name;
use nudgeproof::cell::FixturePlay;
use nudgeproof::geometry::Point3;
use nudgeproof::routine::Routine;

/// Names with their values, as a title block has them.
pub(super) fn pairs(m: &mut SvgWriter, all: &[(&str, String)]) {
    m.enter("dl", "cell-title", &[]);
    for (name, value) in all {
        m.enter("div", "", &[]).says("dt", "", name).says("dd", "", value).leave("div");
    }
    m.leave("dl");
}

/// A table with its caption.
fn table(m: &mut SvgWriter, test_id: &str, caption: &str, head: &[String], rows: &[Vec<String>]) {
    m.enter("table", "readings", &[("data-testid", test_id)]).says("caption", "", caption);
    m.enter("thead", "", &[]).enter("tr", "", &[]);
    for name in head {
        m.enter("th", "", &[("scope", "col")]).word(name).leave("th");
    }
    m.leave("tr").leave("thead").enter("tbody", "", &[]);
    for row in rows {
        m.enter("tr", "", &[]);
        for cell in row {
            m.says("td", "", cell);
        }
        m.leave("tr");
    }
    m.leave("tbody").leave("table");
}

fn with_unit(name: &str) -> String {
    [name, ", ", unit()].concat()
}

fn place(p: &Point3<f64>) -> [String; 3] {
    [p.x, p.y, p.z].map(|v| length(v, 1))
}

/// How far the fixture lets the part stray.
pub(super) fn play(p: &FixturePlay) -> String {
    let mut all = vec![format!("± {} / {}", length(p.dx, 0), length_unit(p.dy, 0))];
    if p.dz != 0.0 {
        all.push(format!("Z ± {}", length_unit(p.dz, 0)));
    }
    if p.turn_deg != 0.0 {
        all.push(format!("± {}°", p.turn_deg));
    }
    if p.tilt_deg != 0.0 {
        all.push(format!("{} ± {}°", text(Key::TiltX), p.tilt_deg));
    }
    all.join(", ")
}

/// Every probe plan: its settings in the caption, its touches in the rows.
pub(super) fn plan_tables(m: &mut SvgWriter, blocks: &[Block]) {
    let mut n = 0;
    for b in blocks {
        let p = &b.plan;
        let numbers =
            [length(p.speed_mm_s, 0), length(p.reach_mm, 0), length(p.residual_limit_mm, 1)];
        let [speed, reach, limit] = numbers.each_ref().map(String::as_str);
        let freedoms = freedoms_name(p.freedoms);
        let caption = format(Key::PlanCaption, &[&p.name, freedoms, speed, reach, &p.fills, limit]);
        let mut rows = Vec::new();
        for t in &b.touches {
            n += 1;
            let [x, y, z] = place(&t.from);
            let meets = t.distance().map(|d| length(d, 1));
            rows.push(vec![
                n.to_string(),
                t.face.clone(),
                t.point.clone(),
                x,
                y,
                z,
                direction_label(&t.direction),
                meets.unwrap_or_else(|| text(Key::MeetsNothing).into()),
            ]);
        }
        let head = [
            text(Key::ColTouch).into(),
            text(Key::ColFace).into(),
            text(Key::ColFrom).into(),
            with_unit("X"),
            with_unit("Y"),
            with_unit("Z"),
            text(Key::ColDirection).into(),
            with_unit(text(Key::ColTouchesAfter)),
        ];
        table(m, "cell-plan", &caption, &head, &rows);
    }
}

/// Every taught point.
pub(super) fn points_table(m: &mut SvgWriter, routine: &Routine) {
    let head = [text(Key::PointIs).into(), with_unit("X"), with_unit("Y"), with_unit("Z")];
    let mut rows = Vec::new();
    for p in &routine.points {
        let [x, y, z] = place(&p.at);
        rows.push(vec![p.name.clone(), x, y, z]);
    }
    table(m, "cell-points", text(Key::PointsTaught), &head, &rows);
}

/// The forecast at both ends against the tolerance.
pub(super) fn forecast_table(
    m: &mut SvgWriter,
    spread: Option<Result<Vec<EndSpread>, String>>,
    tolerance: f64,
) {
    let none = match spread {
        Some(Ok(ends)) => return ends_table(m, &ends, tolerance),
        Some(Err(why)) => format(Key::NoForecast, &[&why]),
        None => text(Key::NothingToForecast).into(),
    };
    m.enter("p", "", &[("data-testid", "cell-forecast")]).word(&none).leave("p");
}

fn ends_table(m: &mut SvgWriter, ends: &[EndSpread], tolerance: f64) {
    let mut rows = Vec::new();
    for (end, name) in ends.iter().zip([Key::DetailStart, Key::DetailEnd]) {
        let across = SIGMAS * end.across;
        let inside = across <= tolerance;
        rows.push(vec![
            text(name).into(),
            format!("± {}", length(across, 2)),
            format!("± {}", length(tolerance, 1)),
            text(if inside { Key::InsideTolerance } else { Key::OutsideTolerance }).into(),
        ]);
    }
    let head = [
        text(Key::ColWeldEnd).into(),
        with_unit(text(Key::ColSpread)),
        with_unit(text(Key::ColAllowed)),
        text(Key::ColVerdict).into(),
    ];
    table(m, "cell-forecast", text(Key::ForecastIs), &head, &rows);
}

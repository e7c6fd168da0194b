use super::frame::Frame;
use crate::app::logic::layout::Rect;
use crate::app::logic::number::signed_length;
use crate::app::logic::projection::ScreenPoint;
use crate::app::logic::svg_writer::SvgWriter;

/// A bar for what each touch disagrees by once the best motion is taken out, mm, against the size
/// at which touches are to be doubted.
pub(super) fn residual_chart(residuals: &[f64], limit: f64) -> String {
    let frame = Frame::new(residuals, limit);
    let mut m = SvgWriter::default();
    frame.draw(&mut m);
    let p = &frame.plot;
    let each = p.w / residuals.len().max(1) as f64;
    let wide = (each * 0.5).min(36.0);
    for (i, v) in residuals.iter().enumerate() {
        let middle = p.x + (i as f64 + 0.5) * each;
        let (a, b) = (frame.y(v.max(0.0)), frame.y(v.min(0.0)));
        let class = if v.abs() > limit { "column out" } else { "column" };
        m.rect(class, &Rect::new(middle - wide / 2.0, a, wide, (b - a).max(1.0)));
        let number = ScreenPoint::new(middle, if *v < 0.0 { b + 12.0 } else { a - 4.0 });
        m.label("value", number, &signed_length(*v, 2), "middle");
        m.label(
            "name",
            ScreenPoint::new(middle, p.bottom() + 14.0),
            &(i + 1).to_string(),
            "middle",
        );
    }
    m.finish()
}

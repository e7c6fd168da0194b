use super::frame::Frame;
use crate::app::i18n::{Key, text};
use crate::app::logic::number::signed_length;
use crate::app::logic::projection::ScreenPoint;
use crate::app::logic::svg_path;
use crate::app::logic::svg_writer::SvgWriter;
use nudgeproof::routine::WeldTrace;

/// The miss across the seam from weld start to weld end. Weld and seam are straight, so it is a
/// straight line between its ends.
pub(super) fn seam_chart(weld: &WeldTrace) -> String {
    let misses = weld.miss.map(|m| m.across_mm);
    let frame = Frame::new(&misses, weld.tolerance_mm);
    let mut m = SvgWriter::default();
    frame.draw(&mut m);
    let p = &frame.plot;
    let ends = [p.x + 30.0, p.right() - 30.0].into_iter().zip(misses);
    let ends: Vec<ScreenPoint> = ends.map(|(x, v)| ScreenPoint::new(x, frame.y(v))).collect();
    m.path("miss", &svg_path::line(&ends, false));
    let names = [Key::DetailStart, Key::DetailEnd];
    for ((s, mm), name) in ends.iter().zip(misses).zip(names) {
        let out = mm.abs() > weld.tolerance_mm;
        // A cross is outside, a ring inside.
        if out {
            m.path("mark out", &svg_path::cross(*s, 5.0));
        } else {
            m.circle("mark", *s, 4.5);
        }
        // The number stands away from the middle line, where there is room.
        let above = if mm > 0.0 && frame.y(mm) - p.y < 18.0 || mm <= 0.0 && p.bottom() - s.y > 22.0
        {
            17.0
        } else {
            -9.0
        };
        m.label("value", ScreenPoint::new(s.x, s.y + above), &signed_length(mm, 2), "middle");
        m.label("name", ScreenPoint::new(s.x, p.bottom() + 14.0), text(name), "middle");
    }
    m.finish()
}

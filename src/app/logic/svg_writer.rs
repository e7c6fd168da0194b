//! A layer of the sheet as SVG text: one string instead of a tree of small views. It keeps the
//! program small and a redraw cheap; whatever a learner typed is escaped on its way in.

use super::layout::Rect;
use super::projection::ScreenPoint;
use super::svg_path;

/// SVG text under construction.
#[derive(Debug, Default)]
pub(crate) struct SvgWriter {
    out: String,
}

/// How a text stands on the sheet, beyond its class.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Lettering<'a> {
    pub(crate) class: &'a str,
    /// Size of the letters, pixels; 0 leaves it to the style sheet.
    pub(crate) size: f64,
    /// Further attributes, by name.
    pub(crate) attributes: &'a [(&'a str, &'a str)],
}

impl SvgWriter {
    pub(crate) fn path(&mut self, class: &str, d: &str) -> &mut Self {
        self.tag("path", class).attribute("d", d).end()
    }

    pub(crate) fn circle(&mut self, class: &str, at: ScreenPoint, r: f64) -> &mut Self {
        self.tag("circle", class).number("cx", at.x).number("cy", at.y).number("r", r).end()
    }

    pub(crate) fn rect(&mut self, class: &str, r: &Rect) -> &mut Self {
        self.tag("rect", class)
            .number("x", r.x)
            .number("y", r.y)
            .number("width", r.w)
            .number("height", r.h)
            .end()
    }

    pub(crate) fn text(&mut self, class: &str, at: ScreenPoint, text: &str) -> &mut Self {
        self.lettering(Lettering { class, ..Lettering::default() }, at, text)
    }

    /// A text that the style sheet gives a halo of paper, so that it is read over lines.
    pub(crate) fn label(
        &mut self,
        class: &str,
        at: ScreenPoint,
        text: &str,
        anchor: &str,
    ) -> &mut Self {
        let attributes = &[("text-anchor", anchor)];
        self.lettering(Lettering { class, size: 0.0, attributes }, at, text)
    }

    pub(crate) fn lettering(
        &mut self,
        how: Lettering<'_>,
        at: ScreenPoint,
        text: &str,
    ) -> &mut Self {
        self.tag("text", how.class).number("x", at.x).number("y", at.y);
        if how.size > 0.0 {
            self.number("font-size", how.size);
        }
        for (name, value) in how.attributes {
            self.attribute(name, value);
        }
        self.out.push('>');
        self.escape(text);
        self.out.push_str("</text>");
        self
    }

    /// Opens a group; everything up to [`SvgWriter::close`] stands in it.
    pub(crate) fn open(&mut self, class: &str, attributes: &[(&str, &str)]) -> &mut Self {
        self.enter("g", class, attributes)
    }

    /// Opens any element; everything up to [`SvgWriter::leave`] stands in it.
    pub(crate) fn enter(
        &mut self,
        name: &str,
        class: &str,
        attributes: &[(&str, &str)],
    ) -> &mut Self {
        self.tag(name, class);
        for (name, value) in attributes {
            self.attribute(name, value);
        }
        self.out.push('>');
        self
    }

    pub(crate) fn close(&mut self) -> &mut Self {
        self.leave("g")
    }

    pub(crate) fn leave(&mut self, name: &str) -> &mut Self {
        self.out.push_str("</");
        self.out.push_str(name);
        self.out.push('>');
        self
    }

    /// An element that holds nothing but a text.
    pub(crate) fn says(&mut self, name: &str, class: &str, text: &str) -> &mut Self {
        self.enter(name, class, &[]).word(text).leave(name)
    }

    /// A text within what is open.
    pub(crate) fn word(&mut self, text: &str) -> &mut Self {
        self.escape(text);
        self
    }

    /// What was drawn elsewhere, as it is.
    pub(crate) fn drawing(&mut self, svg: &str) -> &mut Self {
        self.out.push_str(svg);
        self
    }

    /// What is said when a pointer rests on the group that is open.
    pub(crate) fn title(&mut self, text: &str) -> &mut Self {
        self.out.push_str("<title>");
        self.escape(text);
        self.out.push_str("</title>");
        self
    }

    pub(crate) fn finish(self) -> String {
        self.out
    }

    fn tag(&mut self, name: &str, class: &str) -> &mut Self {
        self.out.push('<');
        self.out.push_str(name);
        self.attribute("class", class)
    }

    fn attribute(&mut self, name: &str, value: &str) -> &mut Self {
        self.out.push(' ');
        self.out.push_str(name);
        self.out.push_str("=\"");
        self.escape(value);
        self.out.push('"');
        self
    }

    fn number(&mut self, name: &str, value: f64) -> &mut Self {
        self.out.push(' ');
        self.out.push_str(name);
        self.out.push_str("=\"");
        svg_path::pixels(&mut self.out, value);
        self.out.push('"');
        self
    }

    fn end(&mut self) -> &mut Self {
        self.out.push_str("/>");
        self
    }

    fn escape(&mut self, text: &str) {
        for c in text.chars() {
            match c {
                '&' => self.out.push_str("&amp;"),
                '<' => self.out.push_str("&lt;"),
                '>' => self.out.push_str("&gt;"),
                '"' => self.out.push_str("&quot;"),
                _ => self.out.push(c),
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shapes_become_svg() {
        let mut m = SvgWriter::default();
        m.open("points", &[("data-testid", "p")])
            .path("a", "M0 0")
            .circle("b", ScreenPoint::new(1.0, 2.5), 3.0)
            .close();
        assert_eq!(
            m.finish(),
            "<g class=\"points\" data-testid=\"p\"><path class=\"a\" d=\"M0 0\"/>\
             <circle class=\"b\" cx=\"1.00\" cy=\"2.50\" r=\"3.00\"/></g>",
            "as written"
        );
    }

    #[test]
    fn what_a_learner_typed_cannot_become_an_element() {
        let mut m = SvgWriter::default();
        m.open("x", &[("data-point", "\"><script>")])
            .text("label", ScreenPoint::new(0.0, 0.0), "<img src=x> & \"co\"")
            .close();
        let out = m.finish();
        assert!(!out.contains("<script") && !out.contains("<img"), "{out}");
        assert!(out.contains("&lt;img src=x&gt; &amp; &quot;co&quot;"), "{out}");
    }
}

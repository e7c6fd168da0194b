//! Words on the sheet: the room that they take, and the place where they cover nothing.

use kurbo::{Point, Rect};

/// Words at a place of the drawing.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Words {
    pub(crate) text: String,
    pub(crate) at: Point,
    /// `start`, `middle` or `end`.
    pub(crate) anchor: &'static str,
}

/// Height of a line, and how far letters reach above and below its base line, in mean letters.
const LINE: f64 = 2.0;
const ABOVE: f64 = 1.55;
const BELOW: f64 = 0.45;

/// Height of a line of words with letters of this mean width, pixels.
pub(crate) fn line_height(letter: f64) -> f64 {
    letter * LINE
}

/// Width of a text with letters of this mean width, pixels.
pub(crate) fn text_width(text: &str, letter: f64) -> f64 {
    text.chars().count() as f64 * letter
}

impl Words {
    pub(crate) fn new(text: &str, at: Point, anchor: &'static str) -> Self {
        Self { text: text.to_owned(), at, anchor }
    }

    /// The room that they take, with letters of this mean width.
    pub(crate) fn room(&self, letter: f64) -> Rect {
        let width = text_width(&self.text, letter);
        let x = match self.anchor {
            "start" => self.at.x,
            "end" => self.at.x - width,
            _ => self.at.x - width / 2.0,
        };
        Rect::new(x, self.at.y - ABOVE * letter, x + width, self.at.y + BELOW * letter)
    }
}

/// The first of several ways to draw something that keeps in `view` and off what is `taken`; if none does,
/// the one that covers least. The room that it takes is added to `taken`.
pub(crate) fn best_way<T>(
    ways: impl IntoIterator<Item = T>,
    room: impl Fn(&T) -> Rect,
    taken: &mut Vec<Rect>,
    view: &Rect,
) -> Option<T> {
    let covers = |way: &T| {
        let room = room(way);
        let outside = room.area() - room.intersect(*view).area();
        // To be cut off is worse than to lie over something.
        2.0 * outside + taken.iter().map(|taken| taken.intersect(room).area()).sum::<f64>()
    };
    let mut best: Option<(T, f64)> = None;
    for way in ways {
        let covered = covers(&way);
        if best.as_ref().is_none_or(|(_, least)| covered + 1e-6 < *least) {
            best = Some((way, covered));
        }
        if covered <= 0.0 {
            break;
        }
    }
    let (way, _) = best?;
    taken.push(room(&way));
    Some(way)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_stand_in_the_first_free_place_or_where_they_cover_least() {
        let view = Rect::new(0.0, 0.0, 200.0, 100.0);
        let word = |x: f64| Words::new("0123456789", Point::new(x, 50.0), "start");
        let room = |w: &Words| w.room(5.0);
        let mut taken = vec![Rect::new(0.0, 40.0, 60.0, 60.0)];
        let first = best_way([10.0, 190.0, 80.0].map(word), room, &mut taken, &view);
        assert_eq!(first.map(|w| w.at.x), Some(80.0), "neither over something nor outside");
        assert_eq!(taken.len(), 2, "and it takes its room");
        let second = best_way([85.0, 40.0].map(word), room, &mut taken, &view);
        assert_eq!(second.map(|w| w.at.x), Some(40.0), "the one that covers less");
        assert_eq!(best_way([], room, &mut taken, &view), None, "no way, no place");
    }

    #[test]
    fn the_room_of_words_lies_on_the_side_of_their_anchor() {
        let at = |anchor| Words::new("1234", Point::new(100.0, 50.0), anchor).room(5.0);
        assert_eq!((at("start").x0, at("end").x1, at("middle").center().x), (100.0, 100.0, 100.0));
        assert!(at("end").y0 < 50.0 && at("end").y1 > 50.0, "above and below the base line");
    }
}

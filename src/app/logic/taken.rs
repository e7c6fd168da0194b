//! The layout of touches that was taken for a part of the learner's own.

use nudgeproof::cell::Part;
use nudgeproof::forecast::with_touch_moved;
use nudgeproof::geometry::Vector2;
use std::sync::Arc;

/// A layout of touches that was taken.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Taken {
    /// The one that a part is drawn with, whatever becomes of the drawing.
    AsDrawn,
    /// Another one: the part it is for, and that part with it.
    Other([Arc<Part>; 2]),
}

impl Taken {
    /// A layout of a part as it is drawn.
    pub(crate) fn new(drawn: Arc<Part>, with: Part) -> Self {
        if nameless(&drawn) == nameless(&with) {
            Self::AsDrawn
        } else {
            Self::Other([drawn, Arc::new(with)])
        }
    }

    /// A part with this layout, if every touch is sure to land on it; for the part it is for, or for what
    /// became of that.
    pub(crate) fn on(&self, drawn: &Arc<Part>) -> Option<Arc<Part>> {
        let Self::Other([of, with]) = self else { return Some(drawn.clone()) };
        let touches = with.model_touches.clone();
        let laid_out = Part { model_touches: touches, ..Part::clone(drawn) };
        let lands = |n| with_touch_moved(&laid_out, n, Vector2::zeros()).is_some();
        let of_it = nameless(of) == nameless(drawn);
        let all_land = of_it || (0..laid_out.model_touches.len()).all(lands);
        all_land.then(|| Arc::new(laid_out))
    }
}

/// A part without its names: what is found out about it holds when it is renamed.
pub(crate) fn nameless(part: &Part) -> Part {
    Part { name: String::new(), title: String::new(), ..part.clone() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::cell::{Dimension, Draft, Template};

    /// A rail on a plate of this length, mm.
    fn rail(length: f64) -> Arc<Part> {
        let mut draft = Draft::new(Template::Rail, "Own");
        draft.set(Dimension::Length, length);
        Arc::new(draft.part().expect("common values"))
    }

    #[test]
    fn the_layout_of_the_drawing_goes_by_the_drawing() {
        let [short, long] = [rail(400.0), rail(420.0)];
        let taken =
            Taken::new(short.clone(), Part { title: "Renamed".into(), ..Part::clone(&short) });
        assert_eq!(taken, Taken::AsDrawn);
        assert_eq!(taken.on(&long), Some(long), "no touch of the shorter part");
    }

    #[test]
    fn another_layout_stays_as_long_as_its_touches_land() {
        let [short, long] = [rail(400.0), rail(420.0)];
        let moved = with_touch_moved(&short, 0, Vector2::new(-10.0, 0.0)).expect("it lands");
        let taken = Taken::new(short.clone(), moved.clone());
        assert_eq!(taken.on(&short).as_deref(), Some(&moved));
        let on_long = taken.on(&long).expect("all land");
        assert_eq!(on_long.model_touches, moved.model_touches);
        assert_eq!(on_long.bodies, long.bodies);
        let away = Part { model_touches: moved.model_touches.clone(), ..Part::clone(&short) };
        let lap = Draft::new(Template::Butt, "Own").part().expect("common values");
        assert_eq!(Taken::new(short, away).on(&Arc::new(lap)), None, "other faces");
    }
}

use crate::text::{Sentence, Value, say};
use bitflags::bitflags;
use nalgebra::Vector3;
use serde::de::{SeqAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::fmt;

/// One thing that the part may have done since the reference run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Freedom {
    /// Slide along X.
    X,
    /// Slide along Y.
    Y,
    /// Sit higher or lower: slide along Z.
    Height,
    /// Turn about Z.
    Turn,
    /// Tilt about X.
    TiltX,
    /// Tilt about Y.
    TiltY,
}

impl Freedom {
    /// All six, in the order of files and screens.
    pub const ALL: [Self; 6] =
        [Self::X, Self::Y, Self::Height, Self::Turn, Self::TiltX, Self::TiltY];

    /// Name in texts.
    pub const fn label(self) -> &'static str {
        match self {
            Self::X => "X",
            Self::Y => "Y",
            Self::Height => "height",
            Self::Turn => "turn",
            Self::TiltX => "tilt X",
            Self::TiltY => "tilt Y",
        }
    }

    /// The same, to be said.
    pub(crate) fn said(self) -> Sentence {
        match self {
            Self::X => say::free_x(),
            Self::Y => say::free_y(),
            Self::Height => say::free_height(),
            Self::Turn => say::free_turn(),
            Self::TiltX => say::free_tilt_x(),
            Self::TiltY => say::free_tilt_y(),
        }
    }

    /// Whether it is an angle, about an axis.
    pub const fn is_turn(self) -> bool {
        matches!(self, Self::Turn | Self::TiltX | Self::TiltY)
    }

    /// Its place in (dx, dy, dz, rx, ry, rz), the order of every covariance and Jacobian.
    pub const fn axis(self) -> usize {
        match self {
            Self::X => 0,
            Self::Y => 1,
            Self::Height => 2,
            Self::TiltX => 3,
            Self::TiltY => 4,
            Self::Turn => 5,
        }
    }
}

bitflags! {
    /// How the part may have moved since the reference run: any set of the six freedoms.
    ///
    /// The motion is `x' = R x + t`: t, the translation of the frame origin, has the components that
    /// the set names, and so has the rotation vector of R (axis times angle). What the set does not
    /// name is zero. In files a list of names: `["x", "y", "turn"]`.
    #[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub struct Freedoms: u8 {
        /// Slide along X.
        const X = 1;
        /// Slide along Y.
        const Y = 1 << 1;
        /// Sit higher or lower: slide along Z.
        const HEIGHT = 1 << 2;
        /// Tilt about X.
        const TILT_X = 1 << 3;
        /// Tilt about Y.
        const TILT_Y = 1 << 4;
        /// Turn about Z.
        const TURN = 1 << 5;
        /// Slide one way: along the searches, which are parallel, in whatever direction. It stands
        /// alone; in case files `slide_one`.
        const ALONG_SEARCH = 1 << 6;

        /// Slide on the table.
        const SLIDE_XY = Self::X.bits() | Self::Y.bits();
        /// Slide in space.
        const SLIDE_XYZ = Self::SLIDE_XY.bits() | Self::HEIGHT.bits();
        /// Slide and turn on the table.
        const PLAN = Self::SLIDE_XY.bits() | Self::TURN.bits();
        /// Slide in space and turn about Z.
        const UPRIGHT = Self::SLIDE_XYZ.bits() | Self::TURN.bits();
        /// Tilt about X and Y.
        const TILTS = Self::TILT_X.bits() | Self::TILT_Y.bits();
        /// All six: slide in space, turn and tilt.
        const SIX = Self::UPRIGHT.bits() | Self::TILTS.bits();
    }
}

impl From<Freedom> for Freedoms {
    fn from(freedom: Freedom) -> Self {
        Self::from_bits_truncate(1 << freedom.axis())
    }
}

impl FromIterator<Freedom> for Freedoms {
    fn from_iter<I: IntoIterator<Item = Freedom>>(freedoms: I) -> Self {
        freedoms.into_iter().map(Self::from).collect()
    }
}

impl Freedoms {
    /// Number of unknowns, which is also the least number of touches.
    pub const fn count(self) -> usize {
        self.bits().count_ones() as usize
    }

    /// Least number of touches that can determine the unknowns.
    pub const fn needed_touches(self) -> usize {
        self.count()
    }

    /// Whether the set names this freedom.
    pub fn has(self, freedom: Freedom) -> bool {
        self.contains(freedom.into())
    }

    /// The freedoms of the set, in the order of [`Freedom::ALL`].
    pub fn list(self) -> impl Iterator<Item = Freedom> {
        Freedom::ALL.into_iter().filter(move |f| self.has(*f))
    }

    /// The places of its unknowns in (dx, dy, dz, rx, ry, rz), ascending.
    pub(crate) fn axes(self) -> impl Iterator<Item = usize> {
        (0..6).filter(move |axis| self.bits() & (1 << axis) != 0)
    }

    /// Names of the unknowns in the order of the covariance, as in files.
    /// Translations are of the frame origin, mm; angles are in degrees in files and
    /// in radians everywhere in the library.
    pub fn unknowns(self) -> Vec<&'static str> {
        if self == Self::ALONG_SEARCH {
            return vec!["s"];
        }
        let turn = if self.tilts() { "rz_deg" } else { "theta_deg" };
        let names = ["dx", "dy", "dz", "rx_deg", "ry_deg", turn];
        self.axes().map(|axis| names[axis]).collect()
    }

    /// The freedoms in words: "X, Y and turn".
    pub fn label(self) -> String {
        self.said().to_string()
    }

    /// The freedoms, to be said.
    pub(crate) fn said(self) -> Value {
        if self == Self::ALONG_SEARCH {
            return say::one_way().into();
        }
        if self.is_empty() {
            say::nothing().into()
        } else {
            say::all_of(self.list().map(Freedom::said))
        }
    }

    /// Whether only x and y count: the part stays flat on the table.
    pub fn is_planar(self) -> bool {
        Self::PLAN.contains(self)
    }

    /// Whether the part may have turned or tilted.
    pub fn rotates(self) -> bool {
        self.intersects(Self::TURN | Self::TILTS)
    }

    /// Whether the part may have tilted.
    pub fn tilts(self) -> bool {
        self.intersects(Self::TILTS)
    }

    /// The set, and the slides of the frame origin while its rotations are about another point.
    #[must_use]
    pub fn about_any_point(self) -> Self {
        let slides =
            |rotation, slides| if self.contains(rotation) { slides } else { Self::empty() };
        self | slides(Self::TURN, Self::SLIDE_XY)
            | slides(Self::TILT_X, Self::Y | Self::HEIGHT)
            | slides(Self::TILT_Y, Self::X | Self::HEIGHT)
    }

    /// Whether a rotation about any point is one about the frame origin and a slide that the set
    /// names. If so the choice of the frame origin does not matter.
    pub(crate) fn any_pivot(self) -> bool {
        self == self.about_any_point()
    }

    /// Whether it names two of the three rotations. Rotations about two axes do not make a third
    /// of their kind when one follows another, so that their rotation vector is the unknown.
    pub(crate) fn two_rotations(self) -> bool {
        (self & (Self::TURN | Self::TILTS)).count() == 2
    }

    /// `v` without its z if only x and y count.
    pub(crate) fn project(self, v: Vector3<f64>) -> Vector3<f64> {
        if self.is_planar() { Vector3::new(v.x, v.y, 0.0) } else { v }
    }

    /// The components of `v` along which the part may slide.
    pub(crate) fn slides(self, v: &Vector3<f64>) -> Vector3<f64> {
        Vector3::from_fn(|axis, _| if self.bits() & (1 << axis) == 0 { 0.0 } else { v[axis] })
    }

    /// Reads one of the six names that case files had for sets of freedoms, or a list.
    ///
    /// # Errors
    ///
    /// Another name, or what is not a list of freedoms.
    pub(crate) fn by_name_or_list<'de, D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from.deserialize_any(NameOrList { names: &NAMES })
    }
}

/// The names of sets of freedoms in case files.
const NAMES: [(&str, Freedoms); 6] = [
    ("slide_one", Freedoms::ALONG_SEARCH),
    ("slide_two", Freedoms::SLIDE_XY),
    ("slide_turn", Freedoms::PLAN),
    ("slide_three", Freedoms::SLIDE_XYZ),
    ("slide_three_turn", Freedoms::UPRIGHT),
    ("slide_tilt", Freedoms::SIX),
];

impl Serialize for Freedoms {
    /// A list of names; `slide_one`, which is no set, as that name.
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        if *self == Self::ALONG_SEARCH {
            return to.serialize_str(NAMES[0].0);
        }
        to.collect_seq(self.list())
    }
}

impl<'de> Deserialize<'de> for Freedoms {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from.deserialize_seq(NameOrList { names: &[] })
    }
}

/// A list of freedoms, or one of some names.
struct NameOrList {
    names: &'static [(&'static str, Freedoms)],
}

impl<'de> Visitor<'de> for NameOrList {
    type Value = Freedoms;

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("a list of `x`, `y`, `height`, `turn`, `tilt_x`, `tilt_y`, each once")?;
        self.names.iter().try_for_each(|(name, _)| write!(f, ", or `{name}`"))
    }

    fn visit_str<E: serde::de::Error>(self, name: &str) -> Result<Freedoms, E> {
        let known = self.names.iter().find(|(known, _)| *known == name);
        known
            .map(|(_, set)| *set)
            .ok_or_else(|| E::invalid_value(serde::de::Unexpected::Str(name), &self))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Freedoms, A::Error> {
        let mut set = Freedoms::empty();
        while let Some(freedom) = list.next_element::<Freedom>()? {
            if set.has(freedom) {
                let twice = format!("{} stands twice: name each freedom once", freedom.label());
                return Err(serde::de::Error::custom(twice));
            }
            set |= freedom.into();
        }
        Ok(set)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_set_reads_as_it_is_written() {
        for bits in 0..64 {
            let set = Freedoms::from_bits_truncate(bits);
            let text = serde_json::to_string(&set).expect("JSON");
            assert_eq!(serde_json::from_str::<Freedoms>(&text).expect("a list"), set, "{text}");
        }
        let list = serde_json::to_string(&Freedoms::PLAN).expect("JSON");
        assert_eq!(list, r#"["x","y","turn"]"#);
    }

    #[test]
    fn a_wrong_list_is_refused_with_what_was_expected() {
        for (text, says) in [
            (r#"["x","x"]"#, "X stands twice"),
            (r#"["z"]"#, "unknown variant `z`"),
            (r#""slide_turn""#, "expected a list of `x`"),
            ("3", "expected a list of `x`"),
        ] {
            let error = serde_json::from_str::<Freedoms>(text).expect_err(text).to_string();
            assert!(error.contains(says), "{text}: {error}");
        }
    }

    #[test]
    fn only_sets_that_hold_the_slides_of_a_rotation_may_pivot_anywhere() {
        assert!(Freedoms::PLAN.any_pivot() && Freedoms::SIX.any_pivot());
        assert!(Freedoms::SLIDE_XY.any_pivot() && Freedoms::empty().any_pivot());
        assert!(!Freedoms::TURN.any_pivot());
        assert!(!(Freedoms::HEIGHT | Freedoms::TILTS).any_pivot());
    }
}

/// An inch, mm: exact by definition (ISO 31-1; since 1959).
const INCH: f64 = 25.4;

/// The unit that lengths are written in. Files and the program itself stay metric.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Units {
    /// Millimetres.
    #[default]
    Metric,
    /// Inches.
    Inches,
}

/// What a number measures: decides the unit that it is written with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// mm inside the program.
    Length,
    /// mm/s inside the program.
    Speed,
    /// Degrees.
    Angle,
    /// Has no unit.
    Number,
}

impl Units {
    /// The unit of lengths.
    pub const fn length(self) -> &'static str {
        match self {
            Self::Metric => "mm",
            Self::Inches => "in",
        }
    }

    /// The unit of speeds.
    pub const fn speed(self) -> &'static str {
        match self {
            Self::Metric => "mm/s",
            Self::Inches => "in/s",
        }
    }

    /// How many mm the unit of lengths is.
    pub const fn mm(self) -> f64 {
        match self {
            Self::Metric => 1.0,
            Self::Inches => INCH,
        }
    }

    /// Decimals of a length that has this many in mm: a thousandth of an inch is the finest in use in
    /// shops.
    const fn decimals(self, metric: usize) -> usize {
        match self {
            Self::Metric => metric,
            Self::Inches if metric > 0 => 3,
            Self::Inches => 2,
        }
    }
}

impl Quantity {
    /// The value and its decimals in these units; `decimals` are those of a metric value.
    pub const fn shown(self, value: f64, decimals: usize, units: Units) -> (f64, usize) {
        match self {
            Self::Length | Self::Speed => (value / units.mm(), units.decimals(decimals)),
            Self::Angle | Self::Number => (value, decimals),
        }
    }

    /// What follows the number: a blank and the unit, or the sign of a degree.
    pub(super) fn unit(self, units: Units) -> [&'static str; 2] {
        match self {
            Self::Length => [" ", units.length()],
            Self::Speed => [" ", units.speed()],
            Self::Angle => ["", "°"],
            Self::Number => ["", ""],
        }
    }
}

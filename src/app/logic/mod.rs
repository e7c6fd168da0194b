//! What the page works out, apart from how it shows it: plain types with plain tests.

pub(crate) mod describe;
pub(crate) mod detail;
pub(crate) mod dimension;
pub(crate) mod elevation;
pub(crate) mod event_mark;
pub(crate) mod forecast;
pub(crate) mod labels;
pub(crate) mod layout;
pub(crate) mod names;
pub(crate) mod nudge;
pub(crate) mod number;
pub(crate) mod palette;
pub(crate) mod playback;
pub(crate) mod projection;
pub(crate) mod rails;
pub(crate) mod reading;
pub(crate) mod run_marks;
pub(crate) mod scale;
pub(crate) mod search_marks;
pub(crate) mod sheet_frame;
pub(crate) mod sheet_text;
pub(crate) mod shown;
pub(crate) mod svg_path;
pub(crate) mod torch_shape;

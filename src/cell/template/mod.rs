//! Parts of one's own: templates with dimensions to fill in, of which a part is made.

mod dimension;
mod draft;
mod error;
mod kind;
mod lay_out;
mod limits;
mod name;
mod outline_draft;
mod outline_error;
mod plate;

pub use dimension::{Dimension, Section};
pub use draft::Draft;
pub use error::DraftError;
pub use kind::Template;
pub use name::{OWN_NAME, own_name_of_part, own_part_name};
pub use outline_draft::OutlineDraft;
pub use outline_error::OutlinePartError;

//! Packing, from outside: a small page as Trunk writes one, in every way in which it is handed on.
//!
//! Beside the packer stand other readers: roxmltree for the manifests, and what the standards say.

mod archives;
mod one_file;
mod page;
mod site;
mod whole;

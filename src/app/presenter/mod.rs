//! For the instructor: faults and moves that are kept secret from the class until they are revealed, and a
//! window of the instructor's own from which the page that the class sees is led.

mod channel;
mod commands;
mod drawer;
mod guesses;
mod link;
mod message;
mod reveal;
mod rules;
mod secrets;
mod setup_form;
mod window;

pub(crate) use drawer::{FaultKeys, PresenterPanel};
pub(crate) use guesses::{ClassQuestion, Guesses, HandsCounted, HandsFor, guesses, stage_question};
pub(crate) use link::ClassLink;
pub(crate) use reveal::{RevealCard, RevealScene, reveal_scene};
pub(crate) use rules::{ClassRules, class_rules};
pub(crate) use window::{ClassWindow, is_class_window};

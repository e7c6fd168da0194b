//! The two rails beside the steps: where the wire senses, and where points ride with a place.

use nudgeproof::routine::{Routine, StepId, Structure};
use std::collections::HashMap;

/// The part of a rail beside a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Rail {
    #[default]
    None,
    /// The step opens the block.
    Opens,
    Inside,
    /// The step closes the block.
    Closes,
}

impl Rail {
    /// Its class in the style sheet.
    pub(crate) fn class(self) -> &'static str {
        match self {
            Self::None => "",
            Self::Opens => "opens",
            Self::Inside => "inside",
            Self::Closes => "closes",
        }
    }
}

/// The rails beside one step, and its warning.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Margin {
    pub(crate) sensing: Rail,
    pub(crate) follow: Rail,
    /// The step is a move home that rides with a place.
    pub(crate) home_carried: bool,
}

/// Where a step stands in its routine.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct StepPlace {
    /// From 0.
    pub(crate) index: usize,
    pub(crate) margin: Margin,
}

impl StepPlace {
    /// The places of all steps of a routine.
    pub(crate) fn all(routine: &Routine) -> HashMap<StepId, Self> {
        let places = routine.steps.iter().zip(margins(routine)).enumerate();
        places.map(|(index, (step, margin))| (step.id, Self { index, margin })).collect()
    }
}

/// The margin of each step. A block that is never closed runs to the end.
pub(crate) fn margins(routine: &Routine) -> Vec<Margin> {
    let structure = Structure::of(routine);
    let mut margins = vec![Margin::default(); routine.steps.len()];
    for block in &structure.sensing {
        draw(&mut margins, (block.begin, block.end), |m| &mut m.sensing);
    }
    for block in &structure.follows {
        draw(&mut margins, (block.begin, block.end), |m| &mut m.follow);
    }
    for (i, step) in routine.steps.iter().enumerate() {
        margins[i].home_carried = step.instruction.is_home() && structure.follow_at(i).is_some();
    }
    margins
}

/// Draws the rail of a block. The step that ends one block may begin the next: that is drawn later.
fn draw(
    margins: &mut [Margin],
    (begin, end): (usize, Option<usize>),
    rail: fn(&mut Margin) -> &mut Rail,
) {
    for (i, margin) in margins.iter_mut().enumerate().skip(begin) {
        *rail(margin) = match end {
            _ if i == begin => Rail::Opens,
            Some(end) if i == end => Rail::Closes,
            Some(end) if i > end => break,
            _ => Rail::Inside,
        };
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::routine::{Instruction, PathKind, Step, Stop};

    fn home() -> Instruction {
        Instruction::Move { to: "home".into(), way: PathKind::Joint, stop: Stop::Full }
    }

    fn follow(place: &str) -> Instruction {
        Instruction::Follow { place: place.into() }
    }

    fn check(instructions: Vec<Instruction>, expected: &str) {
        let step = |(instruction, n)| Step { id: StepId(n), instruction };
        let steps = instructions.into_iter().zip(1..).map(step).collect();
        let drawn: Vec<String> = margins(&Routine { steps, ..Routine::default() })
            .iter()
            .map(|m| {
                let sign = |r| match r {
                    Rail::None => '.',
                    Rail::Opens => '<',
                    Rail::Inside => '|',
                    Rail::Closes => '>',
                };
                let home = if m.home_carried { "!" } else { "" };
                format!("{}{}{home}", sign(m.sensing), sign(m.follow))
            })
            .collect();
        assert_eq!(drawn.join(" "), expected, "sensing and follow rail, step by step");
    }

    #[test]
    fn rails_span_their_blocks() {
        check(
            vec![
                home(),
                Instruction::sensing_on(),
                home(),
                Instruction::SensingOff,
                follow("part"),
                home(),
                Instruction::StopFollowing,
                home(),
            ],
            ".. <. |. >. .< .|! .> ..",
        );
    }

    #[test]
    fn a_block_left_open_runs_to_the_end() {
        check(vec![follow("part"), home(), home()], ".< .|! .|!");
    }

    #[test]
    fn a_follow_inside_a_follow_begins_a_block_of_its_own() {
        let steps =
            vec![follow("part"), home(), follow("left-end"), home(), Instruction::StopFollowing];
        check(steps, ".< .|! .< .|! .>");
    }

    #[test]
    fn a_close_without_an_open_draws_nothing() {
        check(vec![Instruction::SensingOff, Instruction::StopFollowing], ".. ..");
    }
}

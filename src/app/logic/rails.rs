//! The two rails beside the steps: which steps are inside probing, which follow the part.

use nudgeproof::routine::{Instruction, Step, StepId};
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
    pub(crate) probing: Rail,
    pub(crate) follow: Rail,
    /// The step is a move home that follows the part.
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
    pub(crate) fn all(steps: &[Step]) -> HashMap<StepId, Self> {
        let places = steps.iter().zip(margins(steps)).enumerate();
        places.map(|(index, (step, margin))| (step.id, Self { index, margin })).collect()
    }
}

/// The margin of each step. A block that is never closed runs to the end.
pub(crate) fn margins(steps: &[Step]) -> Vec<Margin> {
    let (mut probing, mut follow) = (false, false);
    let mut out = Vec::with_capacity(steps.len());
    for step in steps {
        let mut m =
            Margin { probing: inside(probing), follow: inside(follow), home_carried: false };
        match &step.instruction {
            Instruction::BeginProbing { .. } => {
                m.probing = Rail::Opens;
                probing = true;
            }
            Instruction::FinishProbing if probing => {
                m.probing = Rail::Closes;
                probing = false;
            }
            Instruction::Follow { .. } => {
                m.follow = Rail::Opens;
                follow = true;
            }
            Instruction::StopFollowing if follow => {
                m.follow = Rail::Closes;
                follow = false;
            }
            other => m.home_carried = follow && other.is_home(),
        }
        out.push(m);
    }
    out
}

fn inside(on: bool) -> Rail {
    if on { Rail::Inside } else { Rail::None }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::routine::{Corner, PathKind};

    fn home() -> Instruction {
        Instruction::Move { to: "home".into(), path: PathKind::Joint, corner: Corner::FullStop }
    }

    fn check(acts: Vec<Instruction>, expected: &str) {
        let steps: Vec<Step> = acts
            .into_iter()
            .zip(1..)
            .map(|(act, n)| Step { id: StepId(n), instruction: act })
            .collect();
        let drawn: Vec<String> = margins(&steps)
            .iter()
            .map(|m| {
                let sign = |r| match r {
                    Rail::None => '.',
                    Rail::Opens => '<',
                    Rail::Inside => '|',
                    Rail::Closes => '>',
                };
                let home = if m.home_carried { "!" } else { "" };
                format!("{}{}{home}", sign(m.probing), sign(m.follow))
            })
            .collect();
        assert_eq!(drawn.join(" "), expected, "probing and follow rail, step by step");
    }

    #[test]
    fn rails_span_their_blocks() {
        let begin = Instruction::BeginProbing { plan: "p".into() };
        let follow = Instruction::Follow { offset: "A".into() };
        check(
            vec![
                home(),
                begin,
                home(),
                Instruction::FinishProbing,
                follow,
                home(),
                Instruction::StopFollowing,
                home(),
            ],
            ".. <. |. >. .< .|! .> ..",
        );
    }

    #[test]
    fn a_block_left_open_runs_to_the_end() {
        check(vec![Instruction::Follow { offset: "A".into() }, home(), home()], ".< .|! .|!");
    }

    #[test]
    fn a_close_without_an_open_draws_nothing() {
        check(vec![Instruction::FinishProbing, Instruction::StopFollowing], ".. ..");
    }
}

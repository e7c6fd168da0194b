use super::hints::{hint_button, open_hints};
use super::markdown::prose;
use crate::app::dom::{View, button, el};
use crate::app::i18n::{Key, format, text};
use crate::app::logic::number::{in_unit, length};
use crate::app::logic::playback::Playback;
use crate::app::workspace::{Workspace, workspace};
use leptos::prelude::*;
use nudgeproof::coach::{self, Finding, Severity};
use nudgeproof::session::Action;

/// How long before the moment the playback begins, s.
const LEAD: f64 = 3.0;

/// The title of a rule, or its name if it has none.
pub(crate) fn rule_title(name: &'static str) -> &'static str {
    coach::rule(name).map_or(name, |r| r.title)
}

fn weight(w: Severity) -> (&'static str, &'static str) {
    match w {
        Severity::Ruins => ("ruins", text(Key::WeightRuins)),
        Severity::Misses => ("misses", text(Key::WeightMisses)),
        Severity::Sloppy => ("sloppy", text(Key::WeightSloppy)),
    }
}

/// What a finding costs, in a sentence.
fn cost(f: &Finding) -> Option<String> {
    match (&f.cost.mm, &f.cost.event) {
        (Some(v), Some(event)) => Some(format(Key::CostBoth, &[&length(*v, 1), event])),
        (Some(v), None) => Some(format(Key::CostMm, &[&length(*v, 1)])),
        (None, Some(event)) => Some(format(Key::CostEvent, &[event])),
        (None, None) => None,
    }
}

/// A finding in one line, for the record.
pub(crate) fn finding_line(f: &Finding) -> String {
    match cost(f) {
        Some(c) => format!("{} {c}", in_unit(&f.message)),
        None => in_unit(&f.message),
    }
}

/// Plays the moment a finding is about.
fn play_moment(workspace: Workspace, run: usize, time: f64) {
    let state = workspace.state_untracked();
    let Some(log) = run.checked_sub(1).and_then(|i| state.runs.get(i)) else { return };
    let until = (time + 0.5).min(log.duration);
    workspace.rate.set(1.0);
    workspace.playback.set(Some(Playback::play(run - 1, (time - LEAD).max(0.0), until)));
}

/// Mends it in the session as it is now.
fn mend(finding: &Finding) {
    let workspace = workspace();
    let Some(mut actions) = workspace.with_session(|s| coach::mend(s, finding)) else { return };
    actions.push(Action::Mended { rule: finding.rule.into() });
    if workspace.act_all(actions) {
        workspace.notify(format(Key::MendedIt, &[rule_title(finding.rule)]));
    }
}

/// One finding: rule, message, cost, why, hints, mend, the moment.
pub(super) fn finding_card(finding: Finding, open: bool) -> Option<View> {
    let workspace = workspace();
    let rule = coach::rule(finding.rule)?;
    let (weight_class, weight_word) = weight(finding.weight);
    let rungs = Memo::new(move |_| {
        let hints = &workspace.state().hints;
        let rungs = hints.iter().filter(|(r, _)| r == rule.name).map(|(_, rung)| *rung);
        rungs.max().map_or(0, usize::from)
    });
    let mendable = workspace.with_session(|s| coach::mend(s, &finding)).is_some();
    let step = finding.step;
    let moment = finding.run.zip(finding.time_s);
    let costs = cost(&finding);
    let cost_mm = finding.cost.mm.map(|v| v.to_string());
    let message = in_unit(&finding.message);
    Some(
        el("details")
            .class(format!("finding {weight_class}"))
            .attr("open", open)
            .test_id(format!("finding-{}", rule.name))
            .attr("data-cost-mm", cost_mm)
            .child(
                el("summary")
                    .child(el("span").class("sign").attr("aria-hidden", "true"))
                    .child(el("span").class("finding-title").text(rule.title))
                    .child(el("span").class("weight").text(weight_word)),
            )
            .child(el("p").class("message").text(message))
            .child(costs.map(|c| el("p").class("cost").test_id("cost").text(c)))
            .child(el("p").text(in_unit(rule.asks)))
            .child(open_hints(rule.hints, rungs))
            .child(
                el("div")
                    .class("row-tools")
                    .child(hint_button("finding-hint", rungs, move || {
                        let rung = rungs.get_untracked() as u8 + 1;
                        workspace.act(Action::Hint { rule: rule.name.into(), rung });
                    }))
                    .child(step.map(|id| {
                        button("finding-step")
                            .click(move || workspace.cursor.set(Some(id)))
                            .text(Key::ShowStep)
                    }))
                    .child(moment.map(|(run, time)| {
                        button("finding-moment")
                            .click(move || play_moment(workspace, run, time))
                            .text(Key::ShowMoment)
                    }))
                    .child(mendable.then(|| {
                        button("finding-mend").click(move || mend(&finding)).text(Key::MendIt)
                    })),
            )
            .child(
                el("details")
                    .class("why")
                    .child(el("summary").text(Key::Why))
                    .child(prose(rule.page)),
            ),
    )
}

use super::finding_card::FindingCard;
use super::score::SessionScore;
use crate::app::i18n::{Key, format, text};
use crate::app::lessons::{Course, course};
use crate::app::logic::finding_key::{FindingKey, keyed};
use crate::app::panels::panels;
use crate::app::playback_state::set_if_changed;
use crate::app::screen::after_paint;
use crate::app::workspace::{Workspace, workspace};
use leptos::prelude::*;
use nudgeproof::coach::Finding;

/// What the coach's panel shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Phase {
    /// The routine is built; nothing has run yet.
    Building,
    /// A run is shown.
    Running,
    /// A run is over.
    Reviewing,
    /// A prediction is asked for.
    Silent,
    /// In a drill: what is wrong is to be named first.
    InDrill,
}

/// The findings that the coach has told: none while the routine is built, a run is shown, or a
/// prediction is asked for.
pub(super) fn findings_told() -> Memo<Vec<Finding>> {
    let (workspace, course) = (workspace(), course());
    Memo::new(move |_| {
        let told = phase(workspace, course) == Phase::Reviewing;
        let review = workspace.review.last().filter(|_| told);
        review.map(|review| review.findings.clone()).unwrap_or_default()
    })
}

/// The finding that stands first on the card, while the coach has it.
pub(crate) fn finding_in_front() -> Memo<Option<Finding>> {
    let (workspace, panels, told) = (workspace(), panels(), findings_told());
    Memo::new(move |_| {
        let in_front = panels.coach_in_front.get() || workspace.attempt.read().is_none();
        told.with(|told| told.first().filter(|_| in_front).cloned())
    })
}

fn phase(workspace: Workspace, course: Course) -> Phase {
    if course.standing.read().quiet {
        Phase::Silent
    } else if course.names_causes_later() {
        Phase::InDrill
    } else if workspace.plays_still() {
        Phase::Running
    } else if workspace.runs.read().is_empty() {
        Phase::Building
    } else {
        Phase::Reviewing
    }
}

/// The findings of the coach: one line while the routine is built or a run is shown; after the run a
/// card each, the worst first.
#[component]
pub(super) fn Coach() -> impl IntoView {
    let (workspace, course) = (workspace(), course());
    let phase = Memo::new(move |_| phase(workspace, course));
    // Another phase is another panel of many elements: it follows once the sheet has shown what a
    // press did.
    let shown = RwSignal::new(phase.get_untracked());
    Effect::new(move || {
        phase.track();
        after_paint(move || {
            if let Some(now) = phase.try_get_untracked() {
                set_if_changed(shown, now);
            }
        });
    });
    let busy = move || workspace.review.busy() || shown.get() != phase.get();
    view! {
        <div class="coach" data-testid="coach" aria-busy=move || busy().to_string()>
            {move || match shown.get() {
                Phase::Building => view! { <RoutineMarks /> }.into_any(),
                Phase::Running => view! { <Watching /> }.into_any(),
                Phase::Silent => {
                    view! { <p class="empty" data-testid="coach-silent">{text(Key::CoachAsks)}</p> }
                        .into_any()
                }
                Phase::InDrill => {
                    let says = text(Key::CoachInDrill);
                    view! { <p class="empty" data-testid="coach-silent">{says}</p> }.into_any()
                }
                Phase::Reviewing => view! { <RunReview /> }.into_any(),
            }}
        </div>
    }
}

#[component]
fn Watching() -> impl IntoView {
    view! { <p class="empty">{text(Key::CoachWatches)}</p> }
}

/// Findings about the routine alone.
#[component]
fn RoutineMarks() -> impl IntoView {
    let workspace = workspace();
    let marks = workspace.review.marks();
    let nothing = move || {
        let empty = workspace.routine().steps.is_empty();
        text(if empty { Key::CoachWaits } else { Key::CoachQuiet })
    };
    let count = move || format(Key::CoachMarks, &[&marks.read().len().to_string()]);
    view! {
        <Show
            when=move || marks.read().is_empty()
            fallback=move || view! { <p class="fine">{count}</p> }
        >
            <p class="empty" data-testid="coach-quiet">{nothing}</p>
        </Show>
        <FindingCards findings=marks first_open=false />
    }
}

/// Findings about the runs.
#[component]
fn RunReview() -> impl IntoView {
    let workspace = workspace();
    let review = workspace.review;
    let findings =
        Memo::new(move |_| review.last().map(|r| r.findings.clone()).unwrap_or_default());
    let score = move || match review.last() {
        None => view! { <Watching /> }.into_any(),
        // A lesson has a score of its own.
        Some(_) if workspace.attempt.read().is_some() => ().into_any(),
        Some(review) => view! { <SessionScore score=review.score.clone() /> }.into_any(),
    };
    view! {
        <Show when=move || review.last().is_some_and(|r| r.findings.is_empty())>
            <p class="no-findings" data-testid="no-findings">{text(Key::NoFindings)}</p>
        </Show>
        <FindingCards findings first_open=true />
        {score}
    }
}

/// A card for each finding, in their order. A card stays as it is, open or closed, as long as there is
/// a finding about the same.
#[component]
fn FindingCards(
    #[prop(into)] findings: Signal<Vec<Finding>>,
    /// The first card is open when it appears.
    first_open: bool,
) -> impl IntoView {
    let all = Memo::new(move |_| keyed(&findings.read()));
    let card = move |(index, (key, finding)): (usize, (FindingKey, Finding))| {
        // A card that is about to go keeps its last finding.
        let finding = Memo::new(move |before: Option<&Finding>| {
            let all = all.read();
            let now = all.iter().find(|(k, _)| *k == key).map(|(_, finding)| finding);
            now.or(before).unwrap_or(&finding).clone()
        });
        view! { <FindingCard finding open=first_open && index == 0 /> }
    };
    view! {
        <For
            each=move || all.get().into_iter().enumerate()
            key=|(_, (key, _))| key.clone()
            children=card
        />
    }
}

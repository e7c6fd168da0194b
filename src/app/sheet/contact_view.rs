//! What the run on show has touched: at each contact rings, a tick and the number that drops onto its
//! face. The numbers stay.

use super::in_hand::InHand;
use super::run_shown::RunShown;
use super::shapes::circle;
use super::sheet_view::SheetView;
use crate::app::logic::playback::Sight;
use crate::app::logic::run_marks::{NumberPlace, TouchMark};
use crate::app::logic::shown::searches_until;
use crate::app::logic::svg_path::{d, hundredth};
use crate::app::logic::touch_report::{TouchReport, touch_reports};
use crate::app::workspace::{Workspace, workspace};
use kurbo::Rect;
use leptos::prelude::*;
use nudgeproof::geometry::Point3;

/// What the run on show has touched, and where it is told on the plan.
#[derive(Clone, Copy)]
pub(super) struct Touches {
    /// How many the run has come to.
    count: Memo<usize>,
    /// The one whose contact is on show, by its place among the run's searches.
    told: Memo<Option<usize>>,
    marks: Memo<Vec<TouchMark>>,
    /// What each touch of the run tells.
    pub(super) reports: Memo<Vec<TouchReport>>,
    /// What the words cover that the plan has before a run.
    pub(super) words: Memo<Vec<Rect>>,
    /// Where the numbers stand that the run has come to: each keeps off those before it.
    pub(super) places: Memo<Vec<NumberPlace>>,
}

impl Touches {
    /// What numbers and words cover on the plan. Tracked.
    pub(super) fn taken(self) -> Vec<Rect> {
        let numbers = self.places.read();
        numbers.iter().map(|place| place.covers).chain(self.words.get()).collect()
    }

    pub(super) fn new(run: RunShown, hand: InHand) -> Self {
        let workspace = workspace();
        let view = expect_context::<SheetView>();
        let count = Memo::new(move |_| {
            workspace.shown_so_far().map_or(0, |(log, t)| searches_until(&log, t).count())
        });
        let told = Memo::new(move |_| match run.scene.get()?.sight {
            Sight::Contact(index) => Some(index),
            _ => None,
        });
        let marks = Memo::new(move |_| {
            let plan = view.projection().plan;
            let log = run.log.get();
            let searches = log.iter().flat_map(|log| log.searches.iter().map(move |s| (log, s)));
            searches.map(|(log, search)| TouchMark::new(log, search, &plan)).collect::<Vec<_>>()
        });
        let reports = Memo::new(move |_| {
            let Some(index) = run.index.get() else { return Vec::new() };
            touch_reports(&workspace.runs.read(), index, workspace.state().run_contexts.get(index))
        });
        let words = Memo::new(move |_| {
            let names = !point_names_give_way(workspace, view);
            hand.labels.with(|labels| {
                let names = labels.names.iter().filter(|_| names);
                labels.words.iter().chain(names).copied().collect::<Vec<_>>()
            })
        });
        let places = Memo::new(move |_| {
            let (layout, told, part) = (view.layout.read(), told.get(), workspace.part());
            let [x, y, z] = part.play.about;
            let middle = layout.projection.plan.point(&Point3::new(x, y, z));
            let mut taken = words.get();
            let place = |(i, (mark, report)): (usize, (&TouchMark, &TouchReport))| {
                let large = told == Some(i);
                let letters = (large, report.letters(large));
                let place = mark.number(letters, layout.letter, (&layout.plan, middle), &taken);
                taken.push(place.covers);
                place
            };
            let (marks, reports) = (marks.read(), reports.read());
            let shown = marks.iter().zip(&*reports).take(count.get());
            shown.enumerate().map(place).collect::<Vec<_>>()
        });
        Self { count, told, marks, reports, words, places }
    }
}

/// Whether the names of the taught points leave their room to a run: on a narrow plan, while one is on show.
pub(super) fn point_names_give_way(workspace: Workspace, view: SheetView) -> bool {
    workspace.playback.run().is_some() && view.layout.read().narrow()
}

/// The touches, as far as the run on show has come.
#[component]
pub(super) fn Contacts(run: RunShown, touches: Touches) -> impl IntoView {
    let Touches { count, told, marks, reports, places, .. } = touches;
    view! {
        <g class="touches" data-testid="touches">
            <For
                each=move || {
                    let run = run.index.get();
                    (0..count.get()).map(move |i| (run, i))
                }
                key=|key| *key
                let((_, index))
            >
                <Contact
                    index
                    told=Memo::new(move |_| told.get() == Some(index))
                    mark=Memo::new(move |_| marks.read().get(index).cloned())
                    place=Memo::new(move |_| places.read().get(index).copied())
                    report=Memo::new(move |_| reports.read().get(index).copied())
                />
            </For>
        </g>
    }
}

/// One touch. While its contact is on show it tells more, and larger.
#[component]
fn Contact(
    /// Its place among the run's searches, from 0.
    index: usize,
    /// Its contact is on show.
    told: Memo<bool>,
    mark: Memo<Option<TouchMark>>,
    place: Memo<Option<NumberPlace>>,
    report: Memo<Option<TouchReport>>,
) -> impl IntoView {
    let words = move || report.get().map(TouchReport::words).unwrap_or_default();
    let figure = move || report.get().map(TouchReport::figure).unwrap_or_default();
    let rings = move || {
        let at = mark.read().as_ref()?.at;
        Some(
            [("ring first", 24.0), ("ring second", 33.0), ("ring third", 43.0)]
                .map(|(class, radius)| circle(class, at, radius)),
        )
    };
    let test_id = format!("touch-{}", index + 1);
    view! {
        <g
            class="touch"
            class:failed=move || mark.read().as_ref().is_some_and(|mark| !mark.found)
            class:told=told
            data-testid=test_id
        >
            <Show when=move || told.get()>{rings}</Show>
            <path
                class="tick"
                d=move || mark.read().as_ref().map(|mark| d(&mark.sign)).unwrap_or_default()
            />
            {move || {
                let NumberPlace { at, radius, text, anchor, .. } = place.get()?;
                Some(
                    view! {
                        <g class="number">
                            {circle("", at, radius)}
                            <text class="digit" x=hundredth(at.x) y=hundredth(at.y)>
                                {index + 1}
                            </text>
                            <text
                                class="tells"
                                x=hundredth(text.x)
                                y=hundredth(text.y)
                                text-anchor=anchor
                            >
                                <tspan class="figure">{figure}</tspan>
                                " "
                                <tspan class="words">{words}</tspan>
                            </text>
                        </g>
                    },
                )
            }}
        </g>
    }
}

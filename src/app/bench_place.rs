use super::bench::{BenchDrawer, DetailCards};
use super::controls::{Group, ToggleButton};
use super::guide::NowCard;
use super::i18n::{Key, text};
use super::keys::{KeyCommand, shortcuts};
use super::logic::shown::{Verdict, verdict};
use super::panels::{Detail, Pane, Panel, Panels, panels};
use super::place::CellSheetLink;
use super::presenter::PresenterPanel;
use super::routine::RoutinePanel;
use super::run::{NudgePanel, RunBar, TorchPanel};
use super::screen;
use super::sheet::Sheet;
use super::shift::TaughtShift;
use super::workspace::{Workspace, workspace};
use leptos::html::Div;
use leptos::prelude::*;
use nudgeproof::lesson::{Lesson, LessonKind};
use std::sync::Arc;
use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement};

/// Where lessons are done, and free work: the bench, or the shift of a lesson about one.
#[component]
pub(crate) fn BenchPlace() -> impl IntoView {
    let workspace = workspace();
    let of_shift = Memo::new_with_compare(
        move |_| workspace.attempt.get().filter(|l| l.kind == LessonKind::Shift),
        |a: Option<&Option<Arc<Lesson>>>, b| {
            let at = |l: Option<&Option<Arc<Lesson>>>| l.map(|l| l.as_ref().map(Arc::as_ptr));
            at(a) != at(b)
        },
    );
    move || match of_shift.get() {
        Some(lesson) => view! { <TaughtShift lesson /> }.into_any(),
        None => view! { <Bench /> }.into_any(),
    }
}

/// The bench: the sheet with the run bar under it, and beside it the card *Now* over the routine. On a
/// phone the sheet stays, and card, steps and everything else take turns under it.
#[component]
fn Bench() -> impl IntoView {
    let workspace = workspace();
    let panels = panels();
    // A press that leads here is answered by sheet, card and steps.
    let painted = screen::painted();
    // The words of a lesson that has just begun come first.
    Effect::new(move || {
        let attempt = workspace.attempt.get();
        let begun = |lesson: Arc<Lesson>| {
            workspace.with_session(|s| s.actions().len() == lesson.start_actions_in(s))
        };
        if attempt.is_some_and(begun) {
            panels.show(Panel::Lesson);
        }
    });
    open_the_miss(workspace, panels);
    let drawers = NodeRef::<Div>::new();
    shortcuts().on(KeyCommand::CloseOpened, move || {
        let closed = drawers.get_untracked().is_some_and(|drawers| close_drawer(&drawers));
        if !closed {
            panels.detail.set(None);
        }
    });
    let pane = move |pane: Pane| {
        view! {
            <ToggleButton
                test_id=format!("pane-{}", pane.id())
                pressed=Signal::derive(move || panels.pane.get() == pane)
                on:click=move |_| panels.pane.set(pane)
            >
                {text(pane.name())}
            </ToggleButton>
        }
    };
    let past = Memo::new(move |_| workspace.past_run().is_some());
    // A part that only slides and turns, in one piece: the card that moves it is low.
    let flat = Memo::new(move |_| {
        let part = workspace.part();
        let play = &part.play;
        play.dz == 0.0 && play.tilt_deg == 0.0 && part.bodies.iter().all(|b| b.play.is_none())
    });
    view! {
        <div
            class="bench"
            data-testid="bench"
            data-pane=move || panels.pane.get().id()
            class:past=move || past.get()
            class:plays=move || workspace.plays_still()
            class:flat=move || flat.get()
        >
            <h1 class="visually-hidden">{text(Key::PlaceBench)}</h1>
            <Sheet />
            <div class="more-pane">
                <Show when=move || painted.get()>
                    <div node_ref=drawers class="drawers">
                        <BenchDrawer />
                        <PresenterPanel />
                        <CellSheetLink />
                    </div>
                    <Group class="bench-cards" name=text(Key::Cards)>
                        <DetailCards />
                        <TorchPanel />
                        <NudgePanel />
                    </Group>
                </Show>
            </div>
            <RunBar />
            <NowCard />
            <RoutinePanel />
            <Group class="panes" name=text(Key::Sections)>{Pane::ALL.map(pane)}</Group>
        </div>
    }
}

/// Closes the open one of the drawers; the focus goes to its head. False if none is open.
fn close_drawer(drawers: &Element) -> bool {
    let Ok(Some(open)) = drawers.query_selector("details[open]") else { return false };
    // Both can only fail on what is no element of a page.
    let _ = open.remove_attribute("open");
    if let Ok(Some(head)) = open.query_selector("summary") {
        let _ = head.unchecked_into::<HtmlElement>().focus();
    }
    true
}

/// A run that missed opens the detail of the end that missed by more; the next run closes it.
fn open_the_miss(workspace: Workspace, panels: Panels) {
    let missed = Memo::new(move |_| {
        let (log, p) = workspace.at_beat()?;
        let missed = matches!(verdict(Some(&log), Some(&p)), Verdict::Missed(_));
        let weld = log.welds.last().filter(|_| missed)?;
        let [start, end] = weld.miss.map(|m| m.off_mm());
        Some(if start > end { Detail::WeldStart } else { Detail::WeldEnd })
    });
    let run = Memo::new(move |_| workspace.playback.run());
    Effect::new(move |before: Option<Option<Detail>>| {
        run.track();
        let now = missed.get();
        if before != Some(now) {
            panels.detail.set(now);
        }
        now
    });
}

//! The sheet: plan, elevation, details and title block, and what can be dragged on them.
//!
//! All of it is `view!`. What changes with each frame is a single attribute each: the place of the
//! torch, its height as a text, and the path of the leg under way. Everything else follows the beats
//! of a run (`playback_state.rs`) or a drag, in closures that leptos renders into the elements that
//! are there. So nothing on the sheet is written as markup text by hand.

mod arc_view;
mod arm_view;
mod contact_view;
mod crash_view;
mod definitions;
mod detail_view;
mod distance_view;
mod drag;
mod elevation_view;
mod find_view;
mod fixture_view;
mod forecast_view;
mod frame_view;
mod glass_view;
mod height_view;
mod in_hand;
mod now_line_view;
mod part_grips;
mod part_view;
mod point_view;
mod reveal_view;
mod route_view;
mod run_shown;
mod run_view;
mod shapes;
mod sheet_view;
mod size;
mod strip_tabs;
mod strokes;
mod title_block;
mod torch_path_view;
mod torch_view;

pub(crate) use definitions::Hatches;
pub(crate) use drag::keep_page_still;
pub(crate) use elevation_view::solids;
pub(crate) use forecast_view::end_mark;
pub(crate) use height_view::set_height;
pub(crate) use part_grips::{place_locked_out, place_part, place_part_and_bodies};
pub(crate) use part_view::bodies;
pub(crate) use shapes::{circle, label, lettering, rect, sized_lettering};
pub(crate) use size::element_size;

use super::i18n::{Key, text};
use super::keys::shortcuts;
use super::logic::layout::{SheetExtent, SheetFormat, SheetLayout};
use super::logic::sheet_text::sentences;
use super::logic::shown;
use super::logic::torch_shape::DrawnTorch;
use super::panels::panels;
use super::settings::settings;
use super::workspace::workspace;
use crate::app::logic::class_setup::ClassPanel;
use crate::app::presenter::class_rules;
use arm_view::ArmOnPlan;
use contact_view::Touches;
use crash_view::CrashView;
use definitions::Definitions;
use detail_view::OpenDetail;
use distance_view::{DistancesInElevation, DistancesOnPlan};
use elevation_view::Elevation;
use fixture_view::{Fixture, FixtureNames};
use forecast_view::ForecastOnPlan;
use frame_view::SheetFrame;
use in_hand::InHand;
use leptos::{prelude::*, svg};
use now_line_view::NowLineOnPlan;
use part_grips::PartGrips;
use part_view::{Ghost, PartView};
use point_view::Points;
use reveal_view::RevealOnPlan;
use route_view::RouteOnPlan;
use run_shown::RunShown;
use run_view::RunOnPlan;
use sheet_view::SheetView;
use size::UNSEEN;
use strip_tabs::StripTabs;
use strokes::{FreePlan, SeamStrokes};
use title_block::{TitleBlock, VerdictBlock};
use torch_view::{TorchInElevation, TorchOnPlan};

/// The sheet.
#[component]
pub(crate) fn Sheet() -> impl IntoView {
    let (workspace, settings, shortcuts) = (workspace(), settings(), shortcuts());
    let rules = class_rules();
    let (holder, drawing) = (panels().sheet, NodeRef::<svg::Svg>::new());
    let size = element_size(holder);
    let measured = Memo::new(move |_| size.get().is_some());
    let bounds = Memo::new(move |_| SheetExtent::of(&workspace.part()));
    let layout = Memo::new(move |_| {
        let (w, h) = size.get().unwrap_or(UNSEEN);
        SheetLayout::new(w, h, &bounds.get(), SheetFormat::of(w, settings.projector()))
    });
    let pose = Memo::new(move |_| {
        workspace.dragged.get().unwrap_or_else(|| match workspace.at_beat() {
            Some((log, p)) => shown::part_at(&log, p.t),
            None => workspace.state().part_shown(),
        })
    });
    let own_motions = Memo::new(move |_| {
        let (state, run) = (workspace.state(), workspace.playback.run());
        shown::own_motions(&state, run)
    });
    let torch = Memo::new(move |_| {
        let on_show = workspace.on_show();
        shown::torch(on_show.as_ref().map(|(log, p)| (&**log, p)), workspace.hand.get())
    });
    let shape = Memo::new(move |_| {
        let (on_show, state) = (workspace.on_show(), workspace.state());
        let on_show = on_show.as_ref().map(|(log, p)| (&**log, p));
        let (wire, axis) = (shown::wire(on_show, &state), shown::torch_axis(on_show));
        DrawnTorch { settings: state.settings, wire, axis }
    });
    let torch_at_rest =
        Memo::new(
            move |_| if workspace.playback.playing() { torch.get_untracked() } else { torch.get() },
        );
    let reference = Memo::new(move |_| workspace.state().reference_pose());
    let view =
        SheetView { layout, pose, own_motions, torch, torch_at_rest, shape, reference, drawing };
    provide_context(view);
    let hand = InHand::new(view);
    provide_context(hand);
    let run = RunShown::new();
    let touches = Touches::new(run, hand);
    provide_context(touches);
    view! {
        <div class="sheet-holder" node_ref=holder>
            <Show when=move || measured.get()>
                <svg
                    class="sheet"
                    node_ref=drawing
                    data-testid="sheet"
                    role="group"
                    aria-label=text(Key::Sheet)
                    width=move || layout.read().width
                    height=move || layout.read().height
                    viewBox=move || layout.with(|l| format!("0 0 {} {}", l.width, l.height))
                    on:keydown=move |event| shortcuts.on_sheet(&event)
                >
                    <Definitions />
                    <SheetFrame />
                    <g clip-path="url(#clip-plan)">
                        <FreePlan />
                        <Fixture />
                        <Ghost />
                        <PartView />
                        <RevealOnPlan touches />
                        <FixtureNames />
                        <ArmOnPlan />
                        <RouteOnPlan />
                        <RunOnPlan run touches />
                        <Show when=move || rules.shows(ClassPanel::Forecast)>
                            <ForecastOnPlan />
                        </Show>
                        <Points />
                        <SeamStrokes />
                        <PartGrips />
                        <DistancesOnPlan />
                        <TorchOnPlan />
                        <CrashView />
                    </g>
                    <g clip-path="url(#clip-side)">
                        <Elevation />
                        <TorchInElevation />
                        <DistancesInElevation />
                    </g>
                    <NowLineOnPlan />
                    <TitleBlock />
                    <VerdictBlock />
                    <OpenDetail />
                </svg>
            </Show>
            <StripTabs />
            <SheetText />
        </div>
    }
}

/// The sheet in sentences, for those who do not see it. Only a sentence that changed is replaced,
/// and none while a run plays.
#[component]
fn SheetText() -> impl IntoView {
    let workspace = workspace();
    let SheetView { pose, torch_at_rest, .. } = expect_context();
    let sentences = Memo::new(move |before: Option<&Vec<String>>| match before {
        Some(before) if workspace.playback.playing() => before.clone(),
        _ => {
            let (state, part, run) = (workspace.state(), workspace.part(), workspace.shown_run());
            sentences(&state, &part, &pose.get(), &torch_at_rest.get(), run.as_deref())
        }
    });
    view! {
        <section class="visually-hidden" aria-label=text(Key::SheetInWords) data-testid="sheet-text">
            <ul>
                <For
                    each=move || sentences.get().into_iter().enumerate()
                    key=Clone::clone
                    let((_, sentence))
                >
                    <li>{sentence}</li>
                </For>
            </ul>
        </section>
    }
}

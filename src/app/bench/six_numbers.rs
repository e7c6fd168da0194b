use crate::app::controls::ColumnHead;
use crate::app::i18n::{Key, text};
use crate::app::logic::nudge::Nudge;
use crate::app::logic::number::{signed, signed_length};
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::geometry::Pose;
use nudgeproof::locate::Freedoms;

/// Height and tilts of an offset, if a plan looks for them or the offset has them.
#[component]
pub(crate) fn SixNumbers(
    /// The offset that was found.
    found: Pose,
    /// How the part truly moved, where that may be shown.
    truth: Option<Pose>,
) -> impl IntoView {
    let workspace = workspace();
    let wanted = move || {
        let plans = &workspace.routine().plans;
        Nudge::of(&found).lifts() || plans.iter().any(|p| p.freedoms.contains(Freedoms::HEIGHT))
    };
    view! {
        <Show when=wanted>
            <table class="readings" data-testid="six-numbers">
                <thead>
                    <tr>
                        <ColumnHead>{text(Key::ColHeightTilt)}</ColumnHead>
                        <ColumnHead>"ΔZ"</ColumnHead>
                        <ColumnHead>{text(Key::TiltX)} " °"</ColumnHead>
                        <ColumnHead>{text(Key::TiltY)} " °"</ColumnHead>
                    </tr>
                </thead>
                <tbody>
                    <SixNumbersRow test_id="six-found" name=text(Key::Found) pose=found />
                    {truth.map(|truth| {
                        view! {
                            <SixNumbersRow test_id="six-true" name=text(Key::RowTruth) pose=truth />
                        }
                    })}
                </tbody>
            </table>
        </Show>
    }
}

/// Height, mm, and tilts, degrees, of one pose.
#[component]
fn SixNumbersRow(test_id: &'static str, name: &'static str, pose: Pose) -> impl IntoView {
    let n = Nudge::of(&pose);
    view! {
        <tr data-testid=test_id>
            <th scope="row">{name}</th>
            <td>{signed_length(n.dz, 2)}</td>
            <td>{signed(n.tilt_x_deg, 2)}</td>
            <td>{signed(n.tilt_y_deg, 2)}</td>
        </tr>
    }
}

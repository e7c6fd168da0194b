use crate::app::controls::ColumnHead;
use crate::app::i18n::{Key, format, text};
use crate::app::logic::nudge::Nudge;
use crate::app::logic::number::{signed, signed_length};
use crate::app::workspace::workspace;
use leptos::prelude::*;
use nudgeproof::geometry::Pose;
use nudgeproof::locate::Freedoms;
use nudgeproof::routine::Structure;

/// Height and tilts of an offset, if a find looks for them or the offset has them.
#[component]
pub(crate) fn SixNumbers(
    /// Its place.
    place: String,
    /// The offset that was found.
    found: Pose,
    /// How the part truly moved, where that may be shown.
    truth: Option<Pose>,
) -> impl IntoView {
    let workspace = workspace();
    let wanted = move || {
        let finds = Structure::of(&workspace.routine()).finds;
        Nudge::of(&found).lifts() || finds.iter().any(|f| f.may.contains(Freedoms::HEIGHT))
    };
    let place = StoredValue::new(place);
    let name = move |key| place.with_value(|place| format(key, &[place]));
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
                    <SixNumbersRow test_id="six-found" name=name(Key::RowFound) pose=found />
                    {truth.map(|truth| {
                        view! {
                            <SixNumbersRow test_id="six-true" name=name(Key::RowTruth) pose=truth />
                        }
                    })}
                </tbody>
            </table>
        </Show>
    }
}

/// Height, mm, and tilts, degrees, of one pose.
#[component]
fn SixNumbersRow(test_id: &'static str, name: String, pose: Pose) -> impl IntoView {
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

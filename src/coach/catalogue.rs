use super::rule::Rule;
use super::rules::{
    arc_in_trial, disagreement_ignored, feel_edited_after_reference, feel_follows_part,
    feel_without_sensing, first_run_too_fast, follow_before_found, follow_never_stopped,
    freedoms_too_few, freedoms_too_many, home_follows_part, no_approach, no_clear_move,
    no_home_end, no_home_start, no_proof_run, no_reference_run, no_retreat, no_touch_ignored,
    offset_beyond_play, one_sided_touches, part_moved_mid_run, point_touched_up_while_following,
    reach_too_short, reference_away_from_taught, reference_flag_left_on,
    reference_retaken_on_moved_part, seam_not_followed, search_misses_face,
    sensing_on_while_welding, short_baseline, start_too_close, stick_out_changed, too_few_touches,
    touch_near_corner, touch_too_high, touches_never_used, untrimmed_wire, weld_not_closed,
    wire_bent_and_used, wrong_place_followed,
};

/// The whole catalogue, in the order of a routine and then of a session.
///
/// Status of every rule: common practice, no source, unless its page names one.
pub static RULES: &[Rule] = &[
    no_home_start::RULE,
    no_home_end::RULE,
    home_follows_part::RULE,
    feel_follows_part::RULE,
    feel_without_sensing::RULE,
    sensing_on_while_welding::RULE,
    touches_never_used::RULE,
    follow_never_stopped::RULE,
    follow_before_found::RULE,
    wrong_place_followed::RULE,
    seam_not_followed::RULE,
    too_few_touches::RULE,
    one_sided_touches::RULE,
    short_baseline::RULE,
    freedoms_too_few::RULE,
    freedoms_too_many::RULE,
    search_misses_face::RULE,
    reach_too_short::RULE,
    start_too_close::RULE,
    touch_too_high::RULE,
    touch_near_corner::RULE,
    no_clear_move::RULE,
    no_approach::RULE,
    no_retreat::RULE,
    weld_not_closed::RULE,
    no_reference_run::RULE,
    reference_flag_left_on::RULE,
    reference_retaken_on_moved_part::RULE,
    reference_away_from_taught::RULE,
    no_proof_run::RULE,
    first_run_too_fast::RULE,
    arc_in_trial::RULE,
    part_moved_mid_run::RULE,
    feel_edited_after_reference::RULE,
    untrimmed_wire::RULE,
    stick_out_changed::RULE,
    wire_bent_and_used::RULE,
    no_touch_ignored::RULE,
    disagreement_ignored::RULE,
    offset_beyond_play::RULE,
    point_touched_up_while_following::RULE,
];

/// The rule of that name.
pub fn rule(name: &str) -> Option<&'static Rule> {
    RULES.iter().find(|r| r.name == name)
}

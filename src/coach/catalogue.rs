use super::rule::Rule;
use super::rules::{
    arc_in_trial, arrival_blends, arrival_not_joint, arrival_point_split, first_run_too_fast,
    follow_before_found, follow_never_stopped, freedoms_too_few, freedoms_too_many,
    home_follows_part, no_approach, no_arrival, no_clear_move, no_home_end, no_home_start,
    no_proof_run, no_reference_run, no_retreat, no_touch_ignored, offset_beyond_limit,
    one_sided_touches, part_moved_mid_run, point_touched_up_while_following,
    probe_edited_after_reference, probe_misses_face, probe_outside_probing, probing_follows_part,
    probing_never_finished, reach_too_short, reference_away_from_taught, reference_flag_left_on,
    reference_retaken_on_moved_part, residual_ignored, seam_not_followed, short_baseline,
    start_too_close, stick_out_changed, too_few_touches, touch_near_corner, touch_too_high,
    weld_not_closed, wire_bent_and_used, wrong_offset_followed,
};

/// The whole catalogue, in the order of a routine and then of a session.
///
/// Status of every rule: common practice, no source, unless its page names one.
pub static RULES: &[Rule] = &[
    no_home_start::RULE,
    no_home_end::RULE,
    home_follows_part::RULE,
    probing_follows_part::RULE,
    probe_outside_probing::RULE,
    probing_never_finished::RULE,
    follow_never_stopped::RULE,
    follow_before_found::RULE,
    wrong_offset_followed::RULE,
    seam_not_followed::RULE,
    no_arrival::RULE,
    arrival_blends::RULE,
    arrival_point_split::RULE,
    arrival_not_joint::RULE,
    too_few_touches::RULE,
    one_sided_touches::RULE,
    short_baseline::RULE,
    freedoms_too_few::RULE,
    freedoms_too_many::RULE,
    probe_misses_face::RULE,
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
    probe_edited_after_reference::RULE,
    stick_out_changed::RULE,
    wire_bent_and_used::RULE,
    no_touch_ignored::RULE,
    residual_ignored::RULE,
    offset_beyond_limit::RULE,
    point_touched_up_while_following::RULE,
];

/// The rule of that name.
pub fn rule(name: &str) -> Option<&'static Rule> {
    RULES.iter().find(|r| r.name == name)
}

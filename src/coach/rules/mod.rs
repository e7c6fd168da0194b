//! One file for each rule, with its page beside it.

#![expect(
    clippy::unnecessary_wraps,
    reason = "every mend has one signature, also where it never fails"
)]

pub(super) mod arc_in_trial;
pub(super) mod arc_on_first_moved_part;
pub(super) mod datum_not_of_the_seam;
pub(super) mod disagreement_ignored;
pub(super) mod entered_live_cell;
pub(super) mod feel_edited_after_reference;
pub(super) mod feel_follows_part;
pub(super) mod feel_too_fast;
pub(super) mod feel_without_sensing;
pub(super) mod first_run_too_fast;
pub(super) mod follow_before_found;
pub(super) mod follow_never_stopped;
pub(super) mod forecast_outside_tolerance;
pub(super) mod freedoms_too_few;
pub(super) mod freedoms_too_many;
mod help;
pub(super) mod home_follows_part;
mod layout;
pub(super) mod no_approach;
pub(super) mod no_clear_move;
pub(super) mod no_home_end;
pub(super) mod no_home_start;
pub(super) mod no_proof_run;
pub(super) mod no_reference_run;
pub(super) mod no_retreat;
pub(super) mod no_touch_ignored;
pub(super) mod offset_beyond_play;
pub(super) mod one_sided_touches;
pub(super) mod part_moved_mid_run;
pub(super) mod point_corrected_on_moved_part;
pub(super) mod proof_offset_ignored;
pub(super) mod reach_too_short;
pub(super) mod reference_away_from_taught;
pub(super) mod reference_flag_left_on;
pub(super) mod reference_retaken_on_moved_part;
pub(super) mod seam_not_followed;
pub(super) mod search_misses_face;
pub(super) mod search_not_square;
pub(super) mod sensing_on_while_welding;
pub(super) mod short_baseline;
pub(super) mod spread;
pub(super) mod start_too_close;
pub(super) mod stick_out_changed;
pub(super) mod too_few_touches;
pub(super) mod touch_height;
pub(super) mod touch_near_corner;
pub(super) mod touches_never_used;
pub(super) mod unexplained_miss;
pub(super) mod untrimmed_wire;
mod watching;
pub(super) mod way_blocked_at_limit;
pub(super) mod weld_not_closed;
pub(super) mod weld_point_off_seam;
pub(super) mod wire_bent_and_used;
pub(super) mod wrong_place_followed;

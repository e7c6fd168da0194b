use super::rule::Rule;
use super::rules;
use crate::text::RuleName;

macro_rules! catalogue {
    ($($name:ident $file:ident,)*) => {
        /// The whole catalogue, in the order of a routine and then of a session.
        ///
        /// Status of every rule: common practice, no source, unless its page names one.
        pub static RULES: &[Rule] = &[$(rules::$file::RULE),*];

        /// The rule of that name.
        pub fn rule(name: RuleName) -> &'static Rule {
            match name {
                $(RuleName::$name => const { &rules::$file::RULE },)*
            }
        }
    };
}

// Every rule: its name, and its file in `rules/`.
catalogue! {
    NoHomeStart no_home_start,
    NoHomeEnd no_home_end,
    HomeFollowsPart home_follows_part,
    FeelFollowsPart feel_follows_part,
    FeelWithoutSensing feel_without_sensing,
    SensingOnWhileWelding sensing_on_while_welding,
    TouchesNeverUsed touches_never_used,
    FollowNeverStopped follow_never_stopped,
    FollowBeforeFound follow_before_found,
    WrongPlaceFollowed wrong_place_followed,
    SeamNotFollowed seam_not_followed,
    TooFewTouches too_few_touches,
    OneSidedTouches one_sided_touches,
    ShortBaseline short_baseline,
    ForecastOutsideTolerance forecast_outside_tolerance,
    FreedomsTooFew freedoms_too_few,
    FreedomsTooMany freedoms_too_many,
    DatumNotOfTheSeam datum_not_of_the_seam,
    SearchMissesFace search_misses_face,
    SearchNotSquare search_not_square,
    ReachTooShort reach_too_short,
    StartTooClose start_too_close,
    FeelTooFast feel_too_fast,
    TouchHeight touch_height,
    TouchNearCorner touch_near_corner,
    NoClearMove no_clear_move,
    WayBlockedAtLimit way_blocked_at_limit,
    NoApproach no_approach,
    NoRetreat no_retreat,
    WeldNotClosed weld_not_closed,
    WeldPointOffSeam weld_point_off_seam,
    NoReferenceRun no_reference_run,
    ReferenceFlagLeftOn reference_flag_left_on,
    ReferenceRetakenOnMovedPart reference_retaken_on_moved_part,
    ReferenceAwayFromTaught reference_away_from_taught,
    NoProofRun no_proof_run,
    ProofOffsetIgnored proof_offset_ignored,
    ArcOnFirstMovedPart arc_on_first_moved_part,
    FirstRunTooFast first_run_too_fast,
    ArcInTrial arc_in_trial,
    EnteredLiveCell entered_live_cell,
    PartMovedMidRun part_moved_mid_run,
    FeelEditedAfterReference feel_edited_after_reference,
    UntrimmedWire untrimmed_wire,
    StickOutChanged stick_out_changed,
    WireBentAndUsed wire_bent_and_used,
    NoTouchIgnored no_touch_ignored,
    DisagreementIgnored disagreement_ignored,
    OffsetBeyondPlay offset_beyond_play,
    PointCorrectedOnMovedPart point_corrected_on_moved_part,
    UnexplainedMiss unexplained_miss,
}

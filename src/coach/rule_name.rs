use crate::text::RuleTexts;
use serde::{Deserialize, Serialize};
use strum::{Display, EnumString, IntoStaticStr};

/// Gives `with!` every rule, in the order of a routine and then of a session: its name, and its file in
/// `rules/`.
macro_rules! every_rule {
    ($with:ident) => {
        $with! {
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
    };
}
pub(super) use every_rule;

macro_rules! names {
    ($($name:ident $file:ident,)*) => {
        /// The name of a rule: names the mistake. Kebab-case in files and on screen.
        #[derive(
            Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, Display,
            EnumString, IntoStaticStr,
        )]
        #[serde(rename_all = "kebab-case")]
        #[strum(serialize_all = "kebab-case")]
        pub enum RuleName {
            $(
                #[doc = concat!("`src/coach/rules/", stringify!($file), ".rs`.")]
                $name,
            )*
        }

        impl RuleName {
            /// The title of the rule, what it asks, and its hints.
            pub const fn texts(self) -> RuleTexts {
                match self { $(Self::$name => RuleTexts::$name),* }
            }
        }
    };
}

every_rule!(names);

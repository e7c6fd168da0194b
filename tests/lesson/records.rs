//! Records of attempts, as the page keeps them.

use nudgeproof::coach::Attempt;
use nudgeproof::lesson::{Calibration, LessonRecord, PASS_SCORE};

/// An attempt without help and without a finding, whose weld landed if it was a pass.
pub(crate) fn record(lesson: &str, day: u32, score: u8) -> LessonRecord {
    let attempt = Attempt {
        part: "bench-side".into(),
        landed: score >= PASS_SCORE,
        faults: lesson == "when-it-goes-wrong",
        findings: Vec::new(),
        aided: Vec::new(),
    };
    LessonRecord {
        day,
        lesson: lesson.into(),
        seed: 1,
        score,
        miss_mm: None,
        predictions: Calibration::default(),
        first_try: None,
        looks: 0,
        shift: None,
        hints: 0,
        house_rules: None,
        attempt,
    }
}

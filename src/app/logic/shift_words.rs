//! What is said in a shift about the part that waits, and at its end.

use super::number::{length, plain, signed, signed_length, unit};
use crate::app::i18n::{Key, format, text};
use nudgeproof::cell::FixturePlay;
use nudgeproof::session::LookAt;
use nudgeproof::shift::{
    Agreement, Alarm, Felt, Followed, Shift, Trouble, TroubleKind, first_parts,
};

/// How what is followed over a shift is shown.
pub(crate) trait FollowedShown {
    /// What a chart of it shows in any case: the play of the fixture, or none.
    fn usual(self, play: &FixturePlay) -> [f64; 2];
    fn name(self) -> &'static str;
    /// Its name for tests.
    fn id(self) -> &'static str;
    /// A value with its unit.
    fn says(self, value: f64) -> String;
    /// A value without its unit.
    fn number(self, value: f64) -> String;
}

impl FollowedShown for Followed {
    fn usual(self, play: &FixturePlay) -> [f64; 2] {
        let either = |v: f64| [-v, v];
        match self {
            Self::Along(axis) => either([play.dx, play.dy, play.dz][axis]),
            Self::Turn => either(play.turn_deg),
            Self::Agreement => [0.0, 0.0],
        }
    }

    fn name(self) -> &'static str {
        text(match self {
            Self::Along(0) => Key::ShiftX,
            Self::Along(1) => Key::ShiftY,
            Self::Along(_) => Key::ShiftHeight,
            Self::Turn => Key::ShiftTurn,
            Self::Agreement => Key::ShiftAgreement,
        })
    }

    fn id(self) -> &'static str {
        ["x", "y", "height", "turn", "agreement"][match self {
            Self::Along(axis) => axis.min(2),
            Self::Turn => 3,
            Self::Agreement => 4,
        }]
    }

    fn says(self, value: f64) -> String {
        let number = self.number(value);
        match self {
            Self::Turn => format!("{number}°"),
            Self::Along(_) | Self::Agreement => format!("{number} {}", unit()),
        }
    }

    fn number(self, value: f64) -> String {
        match self {
            Self::Along(_) => signed_length(value, 1),
            Self::Turn => signed(value, 1),
            Self::Agreement => length(value, 2),
        }
    }
}

/// What there is to say about the part that waits: a headline, and what stands under it.
pub(crate) fn about_now(shift: &Shift) -> Option<[String; 2]> {
    let now = shift.now()?;
    let part = now.part.to_string();
    let [headline, under] = match shift.alarm() {
        Some(Alarm::NotFound) => {
            let number = now.touches.len().to_string();
            let silent = now.touches.last().is_some_and(|t| t.reading.is_none());
            let key = if silent { Key::ShiftNoTouch } else { Key::ShiftNotFound };
            [format(key, &[&part, &number]), text(Key::ShiftCannotWeld).into()]
        }
        Some(Alarm::Disagree(agreement)) => {
            let doubt = |f: &&Felt| f.agreement.is_some_and(|a| a.in_doubt());
            let before = shift.done().iter().rev().map(|d| &d.felt).take_while(doubt).count();
            let by = length(agreement.mm, 2);
            let headline = match before {
                0 => format(Key::ShiftDisagree, &[&by]),
                _ => format(Key::ShiftDisagreeAgain, &[&by, &(before + 1).to_string()]),
            };
            [headline, format(Key::ShiftAllowed, &[&length(agreement.limit_mm, 2)])]
        }
        Some(Alarm::Outside { what, value, limits: [low, high] }) => {
            let usual = format(Key::ShiftUsual, &[&what.number(low), &what.says(high)]);
            [format(Key::ShiftOutside, &[what.name(), &what.says(value)]), usual]
        }
        None => {
            let agrees =
                |a: Agreement| format(Key::ShiftAgree, &[&length(a.mm, 2), &length(a.limit_mm, 2)]);
            let agrees = now.agreement.map(agrees).unwrap_or_default();
            let known = Followed::of(&shift.part().play)
                .into_iter()
                .any(|what| what != Followed::Agreement && shift.limits(what).is_some());
            let headline = if known {
                format(Key::ShiftAsUsual, &[&part])
            } else {
                format(Key::ShiftNoLimits, &[&part, &first_parts(shift.parts()).to_string()])
            };
            [headline, agrees]
        }
    };
    Some([headline, under])
}

/// What the last look found, or the setter at the part before.
pub(crate) fn about_look(shift: &Shift) -> Option<String> {
    let Some((at, found)) = shift.looks().last() else {
        let cause = shift.done().last()?.stop?;
        return Some(text(if cause { Key::SetterFound } else { Key::SetterFoundNothing }).into());
    };
    let key = match (at, found) {
        (LookAt::WireTip, true) => Key::FoundWireTip,
        (LookAt::Clamps, true) => Key::FoundClamps,
        (LookAt::Part, true) => Key::FoundPart,
        (LookAt::WorkLead, true) => Key::FoundWorkLead,
        (_, false) => return Some(format(Key::FoundNothing, &[look_name(*at)])),
    };
    Some(text(key).into())
}

/// What can be looked at, as it is called.
pub(crate) fn look_name(at: LookAt) -> &'static str {
    text(match at {
        LookAt::WireTip => Key::LookWireTip,
        LookAt::Clamps => Key::LookClamps,
        LookAt::Part => Key::LookPart,
        LookAt::WorkLead => Key::LookWorkLead,
    })
}

/// What was wrong in a shift of so many parts, at which of them, and how it shows in the touches.
pub(crate) fn about_trouble(trouble: &Trouble, parts: usize) -> [String; 2] {
    let size = length(trouble.size, 1);
    let (what, shows) = match trouble.kind {
        TroubleKind::WireBent => (format(Key::WasWireBent, &[&size]), Key::ShowsWireBent),
        TroubleKind::TipWorn => (text(Key::WasTipWorn).into(), Key::ShowsTipWorn),
        TroubleKind::ClampWorn => (format(Key::WasClampWorn, &[&size]), Key::ShowsClampWorn),
        TroubleKind::OutOfSquare => {
            let lean = plain(trouble.size.abs(), 1);
            (format(Key::WasOutOfSquare, &[&lean]), Key::ShowsOutOfSquare)
        }
        TroubleKind::WorkLeadOff => (text(Key::WasWorkLeadOff).into(), Key::ShowsWorkLeadOff),
    };
    let from = trouble.from.to_string();
    let headline = match (trouble.mended_at, trouble.until) {
        (Some(at), _) => format(Key::TroubleMended, &[&from, &what, &at.to_string()]),
        (None, until) if until == trouble.from => format(Key::TroubleOnce, &[&from, &what]),
        (None, until) if until < parts => {
            format(Key::TroubleOver, &[&from, &until.to_string(), &what])
        }
        (None, _) => format(Key::TroubleNotMended, &[&from, &what]),
    };
    [headline, text(shows).into()]
}

/// A time of the shift's clock: hours and minutes.
pub(crate) fn clock(seconds: f64) -> String {
    let minutes = (seconds / 60.0) as u32;
    format!("{}:{:02}", minutes / 60, minutes % 60)
}

#[cfg(test)]
mod tests {
    use super::*;
    use nudgeproof::lesson::prepared_shift;
    use nudgeproof::session::Decision;

    /// The first of some hundred prepared shifts that comes to a part of which this is so.
    fn until(is_so: impl Fn(&Felt) -> bool) -> Shift {
        let found = (1..400).find_map(|number| {
            let mut shift = prepared_shift(number)?;
            loop {
                let now = shift.now()?;
                if is_so(now) {
                    return Some(shift);
                }
                let on = if now.offset.is_some() { Decision::GoOn } else { Decision::Stop };
                shift.decide(on).ok()?;
            }
        });
        found.expect("one of four hundred")
    }

    fn headline(shift: &Shift) -> String {
        about_now(shift).expect("a part waits")[0].clone()
    }

    #[test]
    fn a_usual_part_is_called_so() {
        let shift = prepared_shift(1).expect("a shift");
        assert!(headline(&shift).contains("Part 1"), "{}", headline(&shift));
        let followed = Followed::of(&shift.part().play);
        assert!(followed.contains(&Followed::Agreement) && followed.len() >= 3, "{followed:?}");
        for what in followed {
            assert_eq!(shift.values(what).len(), 1, "{what:?}: the part that waits");
        }
    }

    #[test]
    fn touches_that_disagree_and_parts_that_are_not_found_are_told() {
        let doubt = until(|f| f.agreement.is_some_and(|a| a.in_doubt()));
        let agreement = doubt.now().and_then(|f| f.agreement).expect("in doubt");
        assert!(headline(&doubt).contains(&length(agreement.mm, 2)), "{}", headline(&doubt));
        let lost = until(|f| f.touches.last().is_some_and(|t| t.reading.is_none()));
        assert!(headline(&lost).contains("not found"), "{}", headline(&lost));
    }

    #[test]
    fn a_value_outside_its_limits_is_told_with_them() {
        let agrees = |f: &Felt| !f.agreement.is_some_and(|a| a.in_doubt());
        let far = |f: &Felt| f.part > 20 && f.shift.is_some_and(|s| s.xy().norm() > 5.0);
        let off = until(|f| agrees(f) && far(f));
        let headline = headline(&off);
        assert!(headline.contains("outside"), "{headline}");
    }

    #[test]
    fn a_look_says_what_it_found() {
        let mut shift = prepared_shift(1).expect("a shift");
        assert_eq!(about_look(&shift), None, "nothing was looked at");
        shift.decide(Decision::Look(LookAt::Clamps)).expect("a look");
        let said = about_look(&shift).expect("a look");
        assert!(said.contains(look_name(LookAt::Clamps)), "{said}");
        shift.decide(Decision::Stop).expect("a stop");
        assert_eq!(about_look(&shift).as_deref(), Some(text(Key::SetterFoundNothing)));
    }

    #[test]
    fn the_clock_counts_hours_and_minutes() {
        assert_eq!(clock(0.0), "0:00");
        assert_eq!(clock(3725.0), "1:02");
    }
}

use std::f64::consts::TAU;

/// The same angle in [−π, π], radians.
pub fn wrapped(angle: f64) -> f64 {
    angle - (angle / TAU).round() * TAU
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    #[test]
    fn keeps_the_direction_and_turns_by_half_a_turn_at_most() {
        for k in -50..=50 {
            let angle = f64::from(k) * 0.3;
            let same = wrapped(angle);
            assert!(same.abs() <= PI + 1e-12, "{angle}: {same}");
            assert!((libm::sin(same) - libm::sin(angle)).abs() < 1e-12, "{angle}: {same}");
            assert!((libm::cos(same) - libm::cos(angle)).abs() < 1e-12, "{angle}: {same}");
        }
        assert_eq!(wrapped(0.25), 0.25, "what is within half a turn stays to the last bit");
    }
}

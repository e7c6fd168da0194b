//! Which faults may be there at once: those of which neither hides the other.

/// How a fault shows. Two that show in the same way hide each other, and one that stops the run hides
/// all that would show after it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Shows {
    /// The run stops, or the torch runs into something.
    Stops,
    /// The touches of a run disagree.
    Disagreement,
    /// The touches agree, and yet they are off.
    Shift,
    /// The touches are right, and the weld lies beside the seam.
    Weld,
    /// The part lies further away than it may.
    Beyond,
    /// The proof run finds an offset.
    Proof,
}

fn shows(fault: &str) -> Option<Shows> {
    Some(match fault {
        // Fast searches bend the wire, and mostly stop the run.
        "clamp-moved"
        | "work-lead-off"
        | "spatter-bridge"
        | "wrong-part"
        | "sensing-speed-changed" => Shows::Stops,
        "painted-edge" | "tack-on-edge" | "out-of-square" | "rough-edge" => Shows::Disagreement,
        "wire-bent" | "stick-out-changed" | "untrimmed-wire" | "tip-worn" => Shows::Shift,
        "part-slips-mid-run" | "loose-upright" => Shows::Weld,
        "worn-clamp" => Shows::Beyond,
        "reference-on-moved-part" => Shows::Proof,
        _ => return None,
    })
}

/// Whether two faults may be planted at once, so that each can be found beside the other.
pub fn may_come_together(a: &str, b: &str) -> bool {
    let (Some(first), Some(second)) = (shows(a), shows(b)) else { return false };
    // One look at the clamps finds one or the other.
    let clamps = |f| ["part-slips-mid-run", "worn-clamp"].contains(&f);
    // A weld on a wrong reference is beside the seam anyway, on either side.
    let beside = [first, second];
    let proof_hides = beside.contains(&Shows::Proof) && beside.contains(&Shows::Weld);
    let one_look = clamps(a) && clamps(b);
    let alike = first == second || beside.contains(&Shows::Stops);
    !(alike || one_look || proof_hides)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cell::FAULT_NAMES;

    #[test]
    fn every_fault_is_known_to_show_somehow() {
        for name in FAULT_NAMES {
            assert!(shows(name).is_some(), "{name}");
            assert!(!may_come_together(name, name), "{name} twice");
        }
    }

    #[test]
    fn what_stops_the_run_comes_alone() {
        for other in FAULT_NAMES {
            assert!(!may_come_together("work-lead-off", other), "{other}");
            assert!(!may_come_together(other, "wrong-part"), "{other}");
        }
        assert!(may_come_together("painted-edge", "wire-bent"), "a touch, and all touches");
        assert!(!may_come_together("painted-edge", "tack-on-edge"), "one touch each");
        assert!(!may_come_together("worn-clamp", "part-slips-mid-run"), "both at the clamps");
    }
}

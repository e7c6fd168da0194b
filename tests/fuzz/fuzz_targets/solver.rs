//! Any numbers as touches: a finite answer or a reason, never a panic.
#![no_main]

use libfuzzer_sys::fuzz_target;
use nudgeproof::geometry::{Point3, Vector3};
use nudgeproof::locate::{Freedoms, Touch, forecast, locate};
use nudgeproof::text::Value;

/// Takes numbers off the front of the input: mostly tenths of a millimetre as in a
/// cell, where a byte says so any number at all. Past the end it is all zeros.
struct Numbers<'a>(&'a [u8]);

impl Numbers<'_> {
    fn bytes<const N: usize>(&mut self) -> [u8; N] {
        let mut taken = [0; N];
        let n = N.min(self.0.len());
        taken[..n].copy_from_slice(&self.0[..n]);
        self.0 = &self.0[n..];
        taken
    }

    fn triple(&mut self, any: bool) -> [f64; 3] {
        [(); 3].map(|()| {
            if any {
                f64::from_le_bytes(self.bytes())
            } else {
                f64::from(i16::from_le_bytes(self.bytes())) / 10.0
            }
        })
    }
}

fuzz_target!(|bytes: &[u8]| {
    let mut numbers = Numbers(bytes);
    let [freedoms, sigma] = numbers.bytes();
    let freedoms = Freedoms::from_bits_truncate(freedoms);
    let sigma = f64::from(sigma) / 100.0;
    let mut touches = Vec::new();
    while !numbers.0.is_empty() && touches.len() < 20 {
        let [flags] = numbers.bytes();
        let any = flags & 0xf0 == 0xf0;
        touches.push(Touch {
            face: usize::from(flags & 3),
            search: Vector3::from(numbers.triple(any)),
            reference: Point3::from(numbers.triple(any)),
            current: (flags & 0x0c != 0x0c).then(|| Point3::from(numbers.triple(any))),
        });
    }
    let name = |i: usize| Value::from(i);
    match locate(freedoms, &touches, sigma) {
        Ok(located) => {
            assert!(located.motion.translation().iter().all(|v| v.is_finite()), "{located:?}");
            assert!(located.residuals.iter().all(|v| v.is_finite()), "{located:?}");
            assert!(located.motion.angle() <= std::f64::consts::FRAC_PI_2 + 1e-6, "{located:?}");
            assert!(located.covariance.full.iter().all(|v| v.is_finite()), "{located:?}");
            let point = located.at_point(&touches[0].reference, &Vector3::x());
            assert!(point.sigma_along_mm >= 0.0 && point.sigma_across_mm >= 0.0, "{point:?}");
            assert!(
                forecast(freedoms, &touches, sigma).is_ok(),
                "what can be solved can be forecast"
            );
        }
        Err(refusal) => assert!(!refusal.message(&name, &name).to_string().is_empty(), "{refusal:?}"),
    }
});

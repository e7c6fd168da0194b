//! Digests of sessions over all parts, for both sides of the comparison.

#[path = "../../coach/mutations/draft.rs"]
#[expect(dead_code, reason = "what changes a session is for the tests of the coach")]
mod draft;
#[path = "../../coach/mutations/rng.rs"]
mod rng;

use draft::correct;
use nudgeproof::cell::Fault;
use nudgeproof::coach;
use nudgeproof::routine::RunSpeed;
use nudgeproof::session::{Action, Session, Study};
use std::fmt::Write;

/// How many sessions are compared.
#[unsafe(no_mangle)]
pub extern "C" fn count() -> u32 {
    100
}

/// Digest of everything that the session with this number comes to.
///
/// `Debug` prints the shortest text that reads back as the same number, and a negative zero as one:
/// equal texts mean equal bits.
///
/// # Panics
/// If the session cannot be played.
#[unsafe(no_mangle)]
pub extern "C" fn digest(number: u32) -> u64 {
    let session = session(number);
    let review = coach::review(&session);
    let study = Study::new(session.state(), number.into()).map(|study| study.run(0..10));
    let mut digest = Fnv1a::START;
    write!(digest, "{:?} {review:?} {study:?}", session.state()).expect("a digest takes any text");
    digest.0
}

/// The part of the session with this number.
pub fn part(number: u32) -> String {
    session(number).state().part.name.clone()
}

/// A correct session with three runs; in two of three a further run, on a part out of square or with
/// a bent wire.
fn session(number: u32) -> Session {
    let mut draft = correct(number.into());
    let fault = match number % 3 {
        0 => None,
        1 => Some(Fault::OutOfSquare { lean_deg: 0.3 }),
        _ => Some(Fault::WireBent { bend: [0.7, -0.4, 0.0].into() }),
    };
    if let Some(fault) = fault {
        draft.actions.push(Action::Plant { fault });
        draft.actions.push(Action::Run { speed: RunSpeed::Full, arc: true, steps: None });
    }
    draft.session()
}

/// FNV-1a with 64 bits (Fowler, Noll and Vo).
struct Fnv1a(u64);

impl Fnv1a {
    const START: Self = Self(0xcbf2_9ce4_8422_2325);
}

impl Write for Fnv1a {
    fn write_str(&mut self, text: &str) -> std::fmt::Result {
        for byte in text.bytes() {
            self.0 = (self.0 ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
        }
        Ok(())
    }
}

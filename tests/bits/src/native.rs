//! Prints part and digest of every session, one a line.

use nudgeproof_bits::{count, digest, part};

fn main() {
    for number in 0..count() {
        println!("{} {}", part(number), digest(number));
    }
}

//! `nudgeproof lessons check` over the whole course: each lesson with its own seed and 199 others.

use std::process::Command;

/// As many lessons as the course has at least.
const COURSE: usize = 12;

#[test]
fn the_command_line_proves_every_lesson_with_two_hundred_seeds() {
    let ran = Command::new(env!("CARGO_BIN_EXE_nudgeproof"))
        .args(["lessons", "check", "--seeds", "199"])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("the command line can be started");
    let (says, complains) =
        (String::from_utf8_lossy(&ran.stdout), String::from_utf8_lossy(&ran.stderr));
    assert!(ran.status.success(), "{says}{complains}");
    let sound = says.lines().filter(|l| l.ends_with("sound with 200 seeds")).count();
    assert!(sound >= COURSE && sound == says.lines().count(), "{says}");
}

//! Any bytes as a case file: an answer to every case or an error, never a panic.
#![no_main]

use libfuzzer_sys::fuzz_target;
use nudgeproof::locate::read_cases;

fuzz_target!(|bytes: &[u8]| {
    let result = read_cases(bytes, &mut |case, sigma_mm| {
        let answer = serde_json::to_string(&case.solve(sigma_mm))?;
        assert!(answer.starts_with("{\"ok\":"), "{answer}");
        Ok(())
    });
    if let Err(problem) = result {
        assert!(!problem.to_string().is_empty(), "an error says what is wrong");
    }
});

//! Every worked case of tests/cases/locating.json, computed by an independent
//! implementation (least squares and closed forms, cross-checked against point-set fits).

use nudgeproof::locate::read_cases;
use serde_json::Value;

/// mm and degrees.
const TOLERANCE: f64 = 1e-6;

const CASES: &str = include_str!("../cases/locating.json");

fn answers() -> Vec<Value> {
    let mut answers = Vec::new();
    read_cases(CASES.as_bytes(), &mut |case, sigma_mm| {
        answers.push(serde_json::to_value(case.solve(sigma_mm))?);
        Ok(())
    })
    .expect("the worked cases are a case file");
    answers
}

/// Everything that stands in `expected` stands in `found`, numbers to [`TOLERANCE`].
fn compare(place: &str, found: &Value, expected: &Value) {
    match expected {
        Value::Object(fields) => {
            for (name, value) in fields {
                // The sentence is ours; the code is what is agreed.
                if name != "error" {
                    compare(&format!("{place}.{name}"), &found[name], value);
                }
            }
            let found: Vec<_> = found.as_object().expect(place).keys().collect();
            let extra: Vec<_> = found.iter().filter(|key| !fields.contains_key(**key)).collect();
            assert!(extra.is_empty(), "{place}: fields beyond the layout: {extra:?}");
        }
        Value::Array(items) => {
            let found = found.as_array().unwrap_or_else(|| panic!("{place}: array expected"));
            assert_eq!(found.len(), items.len(), "{place}: length");
            for (i, (found, expected)) in found.iter().zip(items).enumerate() {
                compare(&format!("{place}[{i}]"), found, expected);
            }
        }
        Value::Number(expected) if expected.is_f64() => {
            let (found, expected) = (found.as_f64().expect(place), expected.as_f64().expect(place));
            assert!((found - expected).abs() <= TOLERANCE, "{place}: {found}, expected {expected}");
        }
        _ => assert_eq!(found, expected, "{place}"),
    }
}

#[test]
fn every_worked_case_comes_out_as_expected() {
    let file: Value = serde_json::from_str(CASES).expect("JSON");
    let cases = file["cases"].as_array().expect("cases");
    let answers = answers();
    assert_eq!(answers.len(), cases.len(), "one answer for each case");
    for (case, answer) in cases.iter().zip(&answers) {
        compare(case["name"].as_str().expect("name"), answer, &case["expect"]);
    }
}

#[test]
fn a_refusal_says_what_and_where() {
    let answers = answers();
    let codes: Vec<_> = answers.iter().filter_map(|a| a["code"].as_str()).collect();
    assert_eq!(codes, ["free_shift", "free_rotation"]);
    let sentence = answers[12]["error"].as_str().expect("a sentence");
    assert!(sentence.contains("(200.0 mm, 125.0 mm, 0.0 mm)"), "names the point: {sentence}");
}

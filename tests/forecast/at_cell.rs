//! Numbers from a real cell, which here is a simulated one: what is told of scatter, proof and play.

use nudgeproof::cell::{Part, parts};
use nudgeproof::forecast::{CellFindings, CellNumbers, EndSeen, SeamForecast};
use nudgeproof::geometry::{Pose, PoseFile};
use nudgeproof::lesson::model_routine;
use nudgeproof::locate::{Freedom, Freedoms};
use nudgeproof::routine::{RunLog, RunSpeed, SearchOutcome};
use nudgeproof::session::{Action, Header, Session};

fn run() -> Action {
    Action::Run { speed: RunSpeed::Reduced, arc: false, steps: None }
}

/// A session with the model routine of a part, in a cell that scatters so many times as much as usual.
fn cell(part: &Part, seed: u64, rougher: f64) -> Session {
    let mut header = Header::new(part.clone(), seed);
    header.settings.sigma_mm *= rougher;
    let mut session = Session::new(header).expect("a part");
    let actions = [
        Action::LoadRoutine { routine: model_routine(part) },
        Action::SetReference { on: true },
        run(),
        Action::SetReference { on: false },
    ];
    session.act_all(actions).expect("the reference run");
    session
}

fn last(session: &Session) -> &RunLog {
    session.state().runs.last().expect("a run")
}

/// How far each search of a run went, as somebody at the cell reads it.
fn travels(forecast: &SeamForecast, log: &RunLog) -> Vec<(String, f64)> {
    let touches = forecast.finds.iter().flat_map(|find| &find.touches);
    let far = |search: &nudgeproof::routine::Search, touch: &nudgeproof::forecast::PlannedTouch| {
        match &search.outcome {
            SearchOutcome::Touch { reading, .. } => (reading - touch.from).dot(&touch.direction),
            _ => f64::NAN,
        }
    };
    touches.zip(&log.searches).map(|(t, s)| (t.name(), far(s, t))).collect()
}

fn offset(may: Freedoms, pose: &Pose) -> impl Iterator<Item = (Freedom, f64)> {
    let file = PoseFile::from(*pose);
    may.list().map(move |freedom| {
        let number = match freedom {
            Freedom::X => file.dx,
            Freedom::Y => file.dy,
            Freedom::Height => file.dz,
            Freedom::Turn => file.turn_deg,
            Freedom::TiltX => file.tilt_x_deg,
            Freedom::TiltY => file.tilt_y_deg,
        };
        (freedom, number)
    })
}

/// What is written down of reference and proof, and what it says beside the forecast of a usual cell.
fn proven(part: &Part, seed: u64, rougher: f64) -> CellFindings {
    let mut real = cell(part, seed, rougher);
    let planned = cell(part, 0, 1.0);
    let forecast = SeamForecast::of(planned.state());
    let mut numbers = CellNumbers::default();
    for (name, mm) in travels(&forecast, last(&real)) {
        numbers.touches.entry(name).or_default().reference = Some(mm);
    }
    real.act(run()).expect("the proof run");
    for (name, mm) in travels(&forecast, last(&real)) {
        numbers.touches.entry(name).or_default().proof = Some(mm);
    }
    for find in &forecast.finds {
        let found = last(&real).offset_of(&find.place).expect("the place was found");
        numbers.places.entry(find.place.clone()).or_default().proof =
            offset(find.may, &found).collect();
    }
    CellFindings::of(planned.state(), &forecast, &numbers)
}

/// What is said of numbers that a proof run found of the first place.
fn proof_says(
    session: &Session,
    forecast: &SeamForecast,
    found: [(Freedom, f64); 3],
) -> CellFindings {
    let mut numbers = CellNumbers::default();
    let place = forecast.finds[0].place.clone();
    numbers.places.entry(place).or_default().proof = found.into();
    CellFindings::of(session.state(), forecast, &numbers)
}

fn part(name: &str) -> Part {
    parts().into_iter().find(|part| part.name == name).expect("it comes with the program")
}

#[test]
fn scatter_as_assumed_is_doubted_once_in_a_hundred_proofs() {
    const PROOFS: usize = 1000;
    let part = part("bench-side");
    let all: Vec<_> = (0..PROOFS as u64).map(|seed| proven(&part, seed, 1.0)).collect();
    let scatters: Vec<_> = all.iter().map(|f| f.scatter.expect("all readings are there")).collect();
    let doubted = scatters.iter().filter(|s| !s.as_assumed()).count();
    // The limit is the 99 % point of chi-squared with 4 degrees of freedom, 13.277 (NIST/SEMATECH e-Handbook
    // of Statistical Methods, 1.3.6.7.4): ten of a thousand, with a standard deviation of √(1000·0.01·0.99).
    assert!((scatters[0].limit - (13.277_f64 / 4.0).sqrt()).abs() < 1e-9, "{}", scatters[0].limit);
    assert!(doubted.abs_diff(10) <= 13, "{doubted} of {PROOFS}");
    let mean = scatters.iter().map(|s| s.factor * s.factor).sum::<f64>() / PROOFS as f64;
    // The mean square of 4000 values with variance 1 has a standard deviation of √(2/4000).
    assert!((mean - 1.0).abs() < 4.0 * (2.0 / 4000.0_f64).sqrt(), "mean square {mean}");
    // Three standard deviations hold 0.9973 of each weld end.
    let ends: Vec<_> = all.iter().flat_map(|f| &f.proof).collect();
    assert_eq!(ends.len(), 2 * PROOFS, "both ends of the one weld");
    let beyond = ends.iter().filter(|end| !end.as_forecast()).count();
    assert!((1..=15).contains(&beyond), "{beyond} of {} weld ends", ends.len());
}

#[test]
fn a_part_that_lay_still_and_was_found_elsewhere_is_told_also_along_its_seam() {
    use Freedom::{Turn, X, Y};
    let session = cell(&part("bench-side"), 1, 1.0);
    let forecast = SeamForecast::of(session.state());
    let found = proof_says(&session, &forecast, [(X, 7.0), (Y, 0.0), (Turn, 0.0)]);
    assert!(found.proof.iter().all(EndSeen::as_forecast), "its seam runs along X: {found:?}");
    let [seen] = &found.still[..] else { panic!("{found:?}") };
    assert_eq!(seen.beyond.iter().map(|b| (b.freedom, b.by)).collect::<Vec<_>>(), [(X, 7.0)]);
    let none = proof_says(&session, &forecast, [(X, 0.05), (Y, -0.05), (Turn, 0.01)]);
    assert!(none.still.is_empty(), "{none:?}");
}

#[test]
fn what_chance_makes_of_each_number_of_a_proof_is_what_proofs_show() {
    const PROOFS: u64 = 600;
    let part = part("bench-side");
    let session = cell(&part, 0, 1.0);
    let forecast = SeamForecast::of(session.state());
    let all = Freedom::ALL.into_iter().filter(|f| forecast.finds[0].may.has(*f));
    let all: [Freedom; 3] = all.collect::<Vec<_>>().try_into().expect("X, Y and turn");
    let told = proof_says(&session, &forecast, all.map(|freedom| (freedom, 9.0)));
    let mut squares = [0.0; 3];
    for seed in 0..PROOFS {
        let mut real = cell(&part, seed, 1.0);
        real.act(run()).expect("the proof run");
        let found = last(&real).offset_of(&forecast.finds[0].place).expect("the place was found");
        for (n, (_, number)) in offset(forecast.finds[0].may, &found).enumerate() {
            squares[n] += number * number / PROOFS as f64;
        }
    }
    // Three standard deviations; that of a standard deviation of so many is 1/√(2·600), 2.9 %.
    for (beyond, square) in told.still[0].beyond.iter().zip(squares) {
        let ratio = 3.0 * square.sqrt() / beyond.limit;
        assert!((ratio - 1.0).abs() < 0.12, "{beyond:?}: {ratio}");
    }
}

#[test]
fn a_cell_that_scatters_three_times_as_much_is_found_out() {
    let part = part("bench-side");
    let all: Vec<_> = (0..200).map(|seed| proven(&part, seed, 3.0)).collect();
    let found_out = all.iter().filter(|f| !f.scatter.expect("readings").as_assumed()).count();
    // P(χ²₄ > 13.277 / 9) = e^(−x/2)·(1 + x/2) with x = 1.475: 0.831 (closed form for 4 degrees of freedom).
    assert!((146..=186).contains(&found_out), "{found_out} of 200");
}

#[test]
fn a_part_within_the_play_is_told_as_that_and_beyond_it_by_how_much() {
    let part = part("bench-side");
    let session = cell(&part, 1, 1.0);
    let forecast = SeamForecast::of(session.state());
    let told = |pose: Pose| {
        let mut numbers = CellNumbers::default();
        let moved = offset(forecast.finds[0].may, &pose).collect();
        numbers.places.entry(forecast.finds[0].place.clone()).or_default().moved = moved;
        let found = CellFindings::of(session.state(), &forecast, &numbers);
        assert_eq!(found.moved.len(), 1, "one place");
        found.moved[0].clone()
    };
    let near = told(Pose::planar(0.4 * part.play.dx, 0.0, 0.0));
    assert!(near.beyond.is_empty() && near.lost.is_empty(), "{near:?}");
    // A slide alone is the same at every point of the part.
    let far = told(Pose::planar(0.0, -2.0 * part.play.dy, 0.0));
    assert_eq!(far.beyond.len(), 1, "{far:?}");
    let y = far.beyond[0];
    assert_eq!(y.freedom, Freedom::Y);
    assert!((y.by + 2.0 * part.play.dy).abs() < 1e-9 && y.limit == part.play.dy, "{y:?}");
    // Away from the searches along Y by more than their reach: those meet nothing, and no other touch is lost.
    let gone = told(Pose::planar(0.0, 25.0, 0.0));
    let along_y: Vec<usize> = forecast.finds[0]
        .touches
        .iter()
        .enumerate()
        .filter(|(_, t)| t.direction.y > 0.5)
        .map(|(n, _)| n)
        .collect();
    assert_eq!(gone.lost, along_y, "{gone:?}");
}

#[test]
fn what_was_not_measured_is_not_judged() {
    let part = part("bench-side");
    let session = cell(&part, 1, 1.0);
    let forecast = SeamForecast::of(session.state());
    let of = |numbers: &CellNumbers| CellFindings::of(session.state(), &forecast, numbers);
    assert!(of(&CellNumbers::default()).is_empty(), "nothing typed");
    let mut numbers = CellNumbers::default();
    let touch = forecast.finds[0].touches[0].name();
    numbers.touches.entry(touch.clone()).or_default().proof = Some(15.0);
    let place = forecast.finds[0].place.clone();
    numbers.places.entry(place).or_default().proof.insert(Freedom::X, 0.1);
    assert!(
        of(&numbers).is_empty(),
        "a proof without its reference, an offset with one number of three"
    );
    numbers.touches.entry(touch).or_default().reference = Some(15.0);
    numbers.touches.entry("a touch of another routine".into()).or_default().reference = Some(1.0);
    let scatter = of(&numbers).scatter.expect("one touch has both readings");
    assert_eq!((scatter.touches, scatter.factor, scatter.worst), (1, 0.0, 0));
    // A find with nothing ticked has no number to type, and so none to judge.
    let mut nothing = forecast.clone();
    nothing.finds[0].may = Freedoms::empty();
    let found = CellFindings::of(session.state(), &nothing, &numbers);
    assert!(found.proof.is_empty() && found.moved.is_empty(), "{found:?}");
}

#[test]
fn numbers_are_kept_as_text_and_read_back() {
    let mut numbers = CellNumbers::default();
    numbers.touches.entry("west-1 west".into()).or_default().reference = Some(15.37);
    numbers.places.entry("part".into()).or_default().moved.insert(Freedom::TiltX, -0.2);
    let text = serde_json::to_string(&numbers).expect("plain data");
    assert_eq!(
        text,
        r#"{"touches":{"west-1 west":{"reference":15.37}},"places":{"part":{"proof":{},"moved":{"tilt_x":-0.2}}}}"#
    );
    assert_eq!(serde_json::from_str::<CellNumbers>(&text).expect("the same"), numbers);
}
